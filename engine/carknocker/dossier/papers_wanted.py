"""The papers that the host's circular wants with the request for the move: which of them are on file, and how long
they hold."""

from collections.abc import Iterator
from typing import Literal, get_args

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.record.model import NO_END
from carknocker.record.value_words import value_words
from carknocker.rulebook.clauses import Comparison, Fixed, comparisons
from carknocker.rulebook.model import Source
from carknocker.vocabulary.model import Attribute

PaperState = Literal["on file", "runs out", "void", "not in order", "not on file"]
"""`runs out`: before the return of the move. `void`: on record, but work or an event came after it. `not in order`: on
record, but not as it is asked for."""
_STATES: tuple[PaperState, ...] = get_args(PaperState)
_CAR, _FORM = "car", "form"


class PaperWanted(msgspec.Struct, frozen=True):
    """One paper, or the report of an inspection, that the host asks of the car. form: which form it asks for, empty
    where it names none. until: the last day on which it holds, `no end`, or empty. criterion: the id of what asks for
    it, whose sentence is source; of several the one that is furthest from being met. holds_up: without it, or as it
    is, the car may not move."""

    paper: str
    form: str
    state: PaperState
    until: str
    holds_up: bool
    criterion: str
    source: Source


def papers_wanted(index: JudgementIndex) -> tuple[PaperWanted, ...]:
    """What the host's criteria ask for and the move needs, in the order of the circular, each paper once."""
    found: dict[str, PaperWanted] = {}
    for finding in index.judgement.findings:
        criterion = finding.criterion
        if finding.part.kind != _CAR or criterion.source.kind != "host" or finding.verdict == "not applicable":
            continue
        for attribute, form in _asked(finding):
            paper = _paper(attribute, form, finding, index)
            before = found.get(attribute.name)
            if before is None or _STATES.index(paper.state) > _STATES.index(before.state):
                found[attribute.name] = paper
    return tuple(found.values())


def _asked(finding: Finding) -> Iterator[tuple[Attribute, str]]:
    """The papers of the car that a criterion looks at, and the inspections of which it wants a form."""
    asked: dict[str, tuple[Attribute, str]] = {}
    for inside, comparison in comparisons(finding.criterion.must):
        attribute = comparison.path.attribute
        if not inside and not comparison.path.owner and attribute.kind == _CAR:
            form = asked.get(attribute.name, (attribute, ""))[1] or _form_of(comparison)
            asked[attribute.name] = attribute, form
    for attribute, form in asked.values():
        if attribute.type == "paper" or (attribute.type == "test" and form):
            yield attribute, form


def _form_of(comparison: Comparison) -> str:
    """The form that a comparison wants, empty where it wants none."""
    fact, limit = comparison.path.fact, comparison.limit
    if fact is None or fact.name != _FORM or not isinstance(limit, Fixed):
        return ""
    return " or ".join(value_words(value) for value in limit.values)


def _paper(attribute: Attribute, form: str, finding: Finding, index: JudgementIndex) -> PaperWanted:
    entries = index.standing.evidence.get(finding.part.key, {}).get(attribute.name, ())
    until = ""
    if entries:
        own, last = entries[-1].until, index.last_day(finding)
        until = "no end" if own == NO_END else own.isoformat() if own is not None else ""
        until = until or ("" if last is None else last.isoformat())
    return PaperWanted(
        attribute.label,
        form,
        _state(finding, known=bool(entries)),
        until,
        finding.unmet and finding.effect == "refuse" and not finding.relieved,
        finding.criterion.id,
        finding.criterion.source,
    )


def _state(finding: Finding, *, known: bool) -> PaperState:
    match finding.verdict:
        case "met" | "borderline":
            return "on file"
        case "lapses":
            return "runs out"
        case "void":
            return "void"
        case _:
            return "not in order" if known else "not on file"
