"""The appendix as plain data: all that a stranger looks up after the first page. Only long pages and JSON need it."""

import msgspec

from carknocker.dossier.evidence import (
    HistoryRow,
    PaperOnRecord,
    SerialRow,
    SheetRow,
    SignedTest,
    history_of,
    papers_of,
    serials_of,
    sheets_of,
    signed_tests_of,
)
from carknocker.dossier.sources import rules_that_apply
from carknocker.dossier.worked_lines import worked_lines_of
from carknocker.judgement.explanation import Explanation
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.page.model import Entry
from carknocker.rulebook.model import Verdict
from carknocker.wording.evidence import day_and_person
from carknocker.wording.limits import margin_words, path_words
from carknocker.wording.parts import named
from carknocker.wording.sources import place_words, status_words
from carknocker.wording.verdicts import is_bare_answer, measured_words, names_day, reason_words, required_words

_ORDER: tuple[Verdict, ...] = (
    "breached", "void", "lapses", "borderline", "not shown", "for the day", "met", "not applicable",
)  # fmt: skip
_UNSEEN = frozenset({"not shown", "for the day"})


class CriterionRow(msgspec.Struct, frozen=True):
    """One criterion, on the parts that have the same result. margin: empty if there is no figure."""

    title: str
    place: str
    parts: str
    verdict: str
    measured: str
    margin: str
    required: str


class KindRows(msgspec.Struct, frozen=True):
    """All criteria on one kind of part, the worst first. parts: those on the car."""

    parts: str
    rows: tuple[CriterionRow, ...]


def every_criterion_of(index: JudgementIndex) -> tuple[KindRows, ...]:
    """All that was judged, kind by kind in walking order; the car's own parts before its spares."""
    kinds: dict[tuple[bool, str], list[Finding]] = {}
    for finding in index.judgement.findings:
        if finding.verdict != "not applicable":
            kinds.setdefault((not finding.part.fitted, finding.part.kind), []).append(finding)
    first = {key: min(index.order.get(one.part.key, len(index.order)) for one in own) for key, own in kinds.items()}
    return tuple(_kind(kinds[key], index) for key in sorted(kinds, key=lambda key: (key[0], first[key], key[1])))


def _kind(findings: list[Finding], index: JudgementIndex) -> KindRows:
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        explained = index.explain(finding)
        seen = "" if finding.verdict in _UNSEEN else _measured_words(finding, index)
        key = (finding.criterion.id, _verdict(finding), seen, margin_words(explained.margin))
        alike.setdefault(key, []).append(finding)
    rows = sorted(alike.values(), key=lambda group: _ORDER.index(group[0].verdict))
    return KindRows(named((one.part for one in findings), index), tuple(_row(group, index) for group in rows))


def _row(group: list[Finding], index: JudgementIndex) -> CriterionRow:
    first = group[0]
    explained = index.explain(first)
    return CriterionRow(
        title=first.criterion.title,
        place=place_words(first.criterion.source),
        parts=named((one.part for one in group), index),
        verdict=_verdict(first),
        measured=_first_and_count(list(dict.fromkeys(_measured_words(one, index) for one in group))),
        margin=margin_words(explained.margin),
        required=required_words(explained.required, signs=True),
    )


def _first_and_count(words: list[str]) -> str:
    """The first words, and how many more of their kind there are."""
    return words[0] if len(words) == 1 else f"{words[0]}; and {len(words) - 1} more such"


def _verdict(finding: Finding) -> str:
    return f"{finding.verdict}, relieved" if finding.relieved else finding.verdict


def _measured_words(finding: Finding, index: JudgementIndex) -> str:
    """What was measured, with the day and the person; the reason if nothing that counts was measured."""
    explained = index.explain(finding)
    if finding.verdict in _UNSEEN:
        return reason_words(explained.reasons) or measured_words(explained.measured)
    evidence, reason = finding.evidence, reason_words(explained.reasons)
    on = None if evidence is None else evidence.on
    told = day_and_person(evidence, with_day=on is None or not names_day(explained.measured, on))
    words = f"{_with_label(explained)} ({told})" if told else _with_label(explained)
    return f"{words}; {reason}" if reason else words


def _with_label(explained: Explanation) -> str:
    """What was measured; a bare yes or no with its label."""
    words = measured_words(explained.measured)
    if explained.attributes and is_bare_answer(explained.measured):
        return f"{path_words(explained.attributes[0])}: {words}"
    return words


def not_applying_of(index: JudgementIndex) -> tuple[Entry, ...]:
    """The criteria that do not apply to some part of the car, by reason, each with its parts."""
    reasons: dict[str, dict[str, list[Finding]]] = {}
    for finding in index.judgement.findings:
        if finding.verdict == "not applicable":
            criteria = reasons.setdefault(reason_words(index.explain(finding).reasons), {})
            criteria.setdefault(finding.criterion.id, []).append(finding)
    return tuple(
        Entry(reason[:1].upper() + reason[1:], tuple(_not_applying(group, index) for group in criteria.values()))
        for reason, criteria in reasons.items()
    )


def _not_applying(group: list[Finding], index: JudgementIndex) -> str:
    criterion = group[0].criterion
    return f"{criterion.title} ({place_words(criterion.source)}): {named((one.part for one in group), index)}"


class RuleApplied(msgspec.Struct, frozen=True):
    """A criterion that applied, or a consequence that fired. words: quoted from its source."""

    edition: str
    title: str
    place: str
    words: str
    year: str
    status: str
    id: str


def rules_applied_of(index: JudgementIndex) -> tuple[RuleApplied, ...]:
    """The rules, edition by edition in the order of the rulebook."""
    editions = {(one.ruleset, one.name): number for number, one in enumerate(index.judgement.rulebook.editions)}
    rules = sorted(rules_that_apply(index), key=lambda rule: editions.get((rule.ruleset, rule.edition), -1))
    return tuple(
        RuleApplied(
            edition=f"{rule.ruleset} {rule.edition}",
            title=rule.title,
            place=place_words(rule.source),
            words=rule.source.words,
            year=rule.source.year,
            status=status_words(rule.source),
            id=rule.id,
        )
        for rule in rules
    )


class Appendix(msgspec.Struct, frozen=True):
    """Each field is documented where its type is defined. file: the car record, whose lines are cited by number
    alone."""

    file: str
    criteria: tuple[KindRows, ...]
    not_applying: tuple[Entry, ...]
    workings: tuple[Entry, ...]
    serials: tuple[SerialRow, ...]
    history: tuple[HistoryRow, ...]
    tests: tuple[SignedTest, ...]
    papers: tuple[PaperOnRecord, ...]
    sheets: tuple[SheetRow, ...]
    rules: tuple[RuleApplied, ...]


def appendix_of(index: JudgementIndex) -> Appendix:
    """The appendix of one judgement. A pure function of it."""
    return Appendix(
        file=index.judgement.car.file,
        criteria=every_criterion_of(index),
        not_applying=not_applying_of(index),
        workings=worked_lines_of(index),
        serials=serials_of(index),
        history=history_of(index),
        tests=signed_tests_of(index),
        papers=papers_of(index),
        sheets=sheets_of(index),
        rules=rules_applied_of(index),
    )
