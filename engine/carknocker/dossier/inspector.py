"""What the host's inspector looks at on the day, with the owner's latest reading beside it."""

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.record.model import Evidence, Part
from carknocker.wording.evidence import reading_words
from carknocker.wording.parts import named
from carknocker.wording.sources import place_words
from carknocker.wording.verdicts import required_words


class InspectorItem(msgspec.Struct, frozen=True):
    """One item on the inspector's list. readings: parts and the owner's latest reading; `no reading` if there is
    none."""

    title: str
    required: str
    section: str
    readings: tuple[tuple[str, str], ...]


def inspector_items(index: JudgementIndex) -> tuple[InspectorItem, ...]:
    """The inspector's list, criterion by criterion."""
    groups: dict[str, list[Finding]] = {}
    for finding in index.judgement.findings:
        if (
            finding.criterion.shown_by == "host on the day"
            and finding.verdict != "not applicable"
            and finding.part.fitted
            and finding.part.unlisted is None
        ):
            groups.setdefault(finding.criterion.id, []).append(finding)
    return tuple(_inspector_item(group, index) for group in groups.values())


def _inspector_item(group: list[Finding], index: JudgementIndex) -> InspectorItem:
    readings: dict[str, list[Part]] = {}
    for finding in group:
        readings.setdefault(_latest_words(finding, index), []).append(finding.part)
    return InspectorItem(
        title=group[0].criterion.title,
        required=required_words(index.explain(group[0]).required),
        section=place_words(group[0].criterion.source),
        readings=tuple((named(parts, index), words) for words, parts in readings.items()),
    )


def _latest_words(finding: Finding, index: JudgementIndex) -> str:
    evidence = finding.evidence or _latest(finding, index)
    words = "no reading" if evidence is None else reading_words(evidence)
    return f"{words}: {finding.verdict}" if finding.verdict in ("breached", "borderline") else words


def _latest(finding: Finding, index: JudgementIndex) -> Evidence | None:
    """The newest reading of what the criterion looks at, even one that is too old or does not count."""
    situation = index.judgement.situation
    for path in index.explain(finding).attributes:
        key = situation.owner(finding.part.key, path.owner) if path.owner else finding.part.key
        entries = situation.standing.evidence.get(key or "", {}).get(path.attribute.name, ())
        if entries:
            return entries[-1]
    return None
