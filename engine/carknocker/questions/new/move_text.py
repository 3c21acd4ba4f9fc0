"""The text of a first move: what each fact may say stands beside it."""

from collections.abc import Iterable, Mapping
from string import Template

from carknocker.cli.starter_files import as_scalar
from carknocker.documents.structure import keys_of
from carknocker.questions.new.answers import BETWEEN_NAMES, HOST_IS_NOT, Answers
from carknocker.questions.new.record_text import described_lines, scalar
from carknocker.questions.new.starter_text import MOVE, WITH_CIRCULAR, WITHOUT_CIRCULAR
from carknocker.record.entries import LegHead, MoveHead
from carknocker.record.value_reader import NOT_KNOWN
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import Interview


def move_text(answers: Answers, interview: Interview, *, circular: bool) -> str:
    """The move that the answers plan. circular: whether one of the host is at hand."""
    keys = {question.about: question.key for question in interview.questions}

    def said(kind: str, name: str) -> str:
        key = keys.get((kind, name), "")
        return answers.said(key) or NOT_KNOWN

    start, end = said("leg", "from"), said("leg", "to")
    return Template(MOVE).substitute(
        host=as_scalar(said("move", "host"), ""),
        circular=WITH_CIRCULAR if circular else WITHOUT_CIRCULAR + _not_the_host(answers),
        **{name: scalar(said("move", name)) for name in ("train", "out", "back", "rides")},
        start=as_scalar(start, ""), end=as_scalar(end, ""), miles=scalar(said("leg", "miles")),
        start_words=as_scalar(start, ""), end_words=as_scalar(end, ""),
        move_facts=_facts("move", keys_of(MoveHead), answers, keys, 2),
        train_facts=_facts("train", (), answers, keys, 2),
        leg_facts=_facts("leg", keys_of(LegHead), answers, keys, 4),
    )  # fmt: skip


def _not_the_host(answers: Answers) -> str:
    """The line that names railroads which the host is not."""
    names = [one for one in answers.said(HOST_IS_NOT).split(BETWEEN_NAMES) if one]
    return f"\n  host_is_not: [{', '.join(as_scalar(one, '') for one in names)}]" if names else ""


def _facts(kind: str, fixed: Iterable[str], answers: Answers, keys: Mapping[tuple[str, str], str], indent: int) -> str:
    """What the move may say besides its fixed keys, each answered or not known."""
    found = load_vocabulary().kinds[kind]
    values = {
        one.name: answers.said(keys.get((kind, one.name), "")) or NOT_KNOWN
        for one in found.attributes.values()
        if one.description and one.name not in fixed
    }
    return "\n".join(described_lines(values, found, indent))
