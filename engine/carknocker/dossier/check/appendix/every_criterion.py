"""Every criterion by kind of part, with measured, required and margin; and what does not apply, with the reason."""

import msgspec

from carknocker.dossier.check.entries import Entry
from carknocker.dossier.context import Context
from carknocker.dossier.evidence_words import told_words
from carknocker.dossier.part_names import named
from carknocker.dossier.words import place_words
from carknocker.judgement.explanation.explain import Explanation
from carknocker.judgement.model import Finding
from carknocker.judgement.wording import path_words
from carknocker.rulebook.model import Verdict

_ORDER: tuple[Verdict, ...] = (
    "breached", "withdrawn", "lapses", "borderline", "not shown", "for the day", "met", "not applicable",
)  # fmt: skip
_UNSEEN = frozenset({"not shown", "for the day"})


class CriterionRow(msgspec.Struct, frozen=True):
    """One criterion on the parts on which it comes out alike. margin: empty where it is no figure."""

    title: str
    place: str
    parts: str
    verdict: str
    measured: str
    margin: str
    required: str


class KindRows(msgspec.Struct, frozen=True):
    """All criteria on one kind of part, what is worst first. parts: those that the car has."""

    parts: str
    rows: tuple[CriterionRow, ...]


def every_criterion_of(context: Context) -> tuple[KindRows, ...]:
    """What was judged, kind by kind in walking order, the car's own parts before its spares."""
    kinds: dict[tuple[bool, str], list[Finding]] = {}
    for finding in context.judgement.findings:
        if finding.verdict != "not applicable":
            kinds.setdefault((not finding.part.fitted, finding.part.kind), []).append(finding)
    first = {key: min(context.order.get(one.part.key, len(context.order)) for one in own) for key, own in kinds.items()}
    return tuple(_kind(kinds[key], context) for key in sorted(kinds, key=lambda key: (key[0], first[key], key[1])))


def _kind(findings: list[Finding], context: Context) -> KindRows:
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        explained = context.explain(finding)
        seen = "" if finding.verdict in _UNSEEN else _measured(finding, context)
        key = (finding.criterion.id, _verdict(finding), seen, explained.margin)
        alike.setdefault(key, []).append(finding)
    rows = sorted(alike.values(), key=lambda group: _ORDER.index(group[0].verdict))
    return KindRows(named((one.part for one in findings), context), tuple(_row(group, context) for group in rows))


def _row(group: list[Finding], context: Context) -> CriterionRow:
    first = group[0]
    explained = context.explain(first)
    return CriterionRow(
        title=first.criterion.title,
        place=place_words(first.criterion.source),
        parts=named((one.part for one in group), context),
        verdict=_verdict(first),
        measured=_together(list(dict.fromkeys(_measured(one, context) for one in group))),
        margin=explained.margin,
        required=explained.required,
    )


def _together(words: list[str]) -> str:
    """The first, and how many more there are of its kind."""
    return words[0] if len(words) == 1 else f"{words[0]}; and {len(words) - 1} more such"


def _verdict(finding: Finding) -> str:
    return f"{finding.verdict}, relieved" if finding.relieved else finding.verdict


def _measured(finding: Finding, context: Context) -> str:
    """What was seen, with the day and who; the reason where nothing that counts was seen."""
    explained = context.explain(finding)
    if finding.verdict in _UNSEEN:
        return explained.reason or explained.measured
    told = told_words(finding.evidence, unless_in=explained.measured)
    words = f"{_labelled(explained)} ({told})" if told else _labelled(explained)
    return f"{words}; {explained.reason}" if explained.reason else words


def _labelled(explained: Explanation) -> str:
    """What was measured; a bare yes or no with what it is about."""
    if explained.measured in ("yes", "no") and explained.attributes:
        return f"{path_words(explained.attributes[0])}: {explained.measured}"
    return explained.measured


def not_applying_of(context: Context) -> tuple[Entry, ...]:
    """The criteria that do not apply to some part of the car, by the reason, each with its parts."""
    reasons: dict[str, dict[str, list[Finding]]] = {}
    for finding in context.judgement.findings:
        if finding.verdict == "not applicable":
            criteria = reasons.setdefault(context.explain(finding).reason, {})
            criteria.setdefault(finding.criterion.id, []).append(finding)
    return tuple(
        Entry(reason[:1].upper() + reason[1:], tuple(_not_applying(group, context) for group in criteria.values()))
        for reason, criteria in reasons.items()
    )


def _not_applying(group: list[Finding], context: Context) -> str:
    criterion = group[0].criterion
    return f"{criterion.title} ({place_words(criterion.source)}): {named((one.part for one in group), context)}"
