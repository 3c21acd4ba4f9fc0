"""What the host's inspector looks at on the day, with the owner's latest reading beside it."""

from collections.abc import Iterator

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.record.model import Evidence, Part
from carknocker.record.value_words import value_words
from carknocker.record.values import NotAccessible
from carknocker.rulebook.clauses import AllOf, Clause, Comparison, Fixed
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.wording.evidence import evidence_value, reading_words
from carknocker.wording.parts import named
from carknocker.wording.sources import place_words
from carknocker.wording.verdicts import must_be_words, required_words

NO_READING = "no reading"
"""Beside a part of which nobody read anything."""


class InspectorItem(msgspec.Struct, frozen=True):
    """One item on the inspector's list. readings: parts and the owner's latest reading; `no reading` if there is
    none. must_be: what is required, as words of a sentence. all_read: each part has a reading, and none lies beyond
    its limit or too near to it. beyond_limit: one does. planned: it is about the move as planned, which nobody reads
    beforehand."""

    title: str
    required: str
    must_be: str
    section: str
    readings: tuple[tuple[str, str], ...]
    all_read: bool
    beyond_limit: bool
    planned: bool

    @property
    def of_practice(self) -> bool:
        """Whether common practice asks for it, and neither law nor the host."""
        return self.section.startswith("common practice")


def inspector_items(index: JudgementIndex) -> tuple[InspectorItem, ...]:
    """The inspector's list, criterion by criterion. One look is asked for once: common practice that asks no more of
    the same parts than another requirement on the list is left to that."""
    groups: dict[str, list[Finding]] = {}
    for finding in index.judgement.findings:
        if (
            finding.criterion.shown_by == "host on the day"
            and finding.verdict != "not applicable"
            and finding.part.fitted
            and finding.part.unlisted is None
        ):
            groups.setdefault(finding.criterion.id, []).append(finding)
    looks = list(groups.values())
    return tuple(_inspector_item(group, index) for group in looks if not any(_told_by(one, group) for one in looks))


def _told_by(other: list[Finding], group: list[Finding]) -> bool:
    """Whether another look settles all that a group of common practice asks."""
    practice = group[0].criterion.source.kind == "common practice"
    if other is group or not practice or {one.part.key for one in group} - {one.part.key for one in other}:
        return False
    asked, more = (_comparisons(one[0].criterion.must) for one in (group, other))
    return bool(asked) and all(any(_settles(one, each) for one in more) for each in asked) and len(more) > len(asked)


def _comparisons(must: Clause) -> tuple[Comparison, ...]:
    """What has to hold together; none where it is told otherwise."""
    clauses = must.clauses if isinstance(must, AllOf) else (must,)
    found = tuple(one for one in clauses if isinstance(one, Comparison))
    return found if len(found) == len(clauses) else ()


def _settles(one: Comparison, other: Comparison) -> bool:
    """Whether what meets one comparison meets the other too."""
    if one.path != other.path or one.word != other.word:
        return False
    if one.word == "none_of" and isinstance(one.limit, Fixed) and isinstance(other.limit, Fixed):
        return set(map(value_words, other.limit.values)) <= set(map(value_words, one.limit.values))
    return one.limit == other.limit


def parts_without_a_reading(index: JudgementIndex) -> tuple[Part, ...]:
    """Parts of the car that are left to the host's inspector, and of which no reading at all is on record. What he
    looks at on the car as a whole is none."""
    parts: dict[str, Part] = {}
    for finding in index.judgement.findings:
        part = finding.part
        if (
            finding.verdict == "for the day"
            and part.fitted
            and part.unlisted is None
            and part.kind != "car"
            and not _was_read(part, index)
        ):
            parts[part.key] = part
    return tuple(parts.values())


def parts_looked_at_too_long_ago(index: JudgementIndex) -> tuple[Part, ...]:
    """Parts of the car that are left to the host's inspector since the look on record is older than a rule accepts."""
    parts = {
        finding.part.key: finding.part
        for finding in index.judgement.findings
        if finding.verdict == "for the day" and finding.part.fitted and _is_too_old(finding, index)
    }
    return tuple(parts.values())


def _is_too_old(finding: Finding, index: JudgementIndex) -> bool:
    """Whether all that is asked was read, and some of it before the day from which on readings are accepted, or so that
    it is too old before the return."""
    within = finding.criterion.read_within
    if within is None or not _is_read(finding, index):
        return False
    oldest = within.before(index.judgement.move.back)
    return any(
        one is not None and one.sort == "reading" and one.on is not None and one.on < oldest
        for one in _newest(finding, index)
    )


def _was_read(part: Part, index: JudgementIndex) -> bool:
    """Whether a reading of the part is on record that later work did not make void."""
    return any(
        one.on is not None and one.id not in index.voided and not isinstance(one.value, NotAccessible)
        for entries in index.judgement.situation.standing.evidence.get(part.key, {}).values()
        for one in entries
    )


def _inspector_item(group: list[Finding], index: JudgementIndex) -> InspectorItem:
    readings: dict[str, list[Part]] = {}
    all_read = True
    for finding in group:
        evidence = finding.evidence or _latest(finding, index)
        readings.setdefault(_words(finding, evidence, index), []).append(finding.part)
        all_read = all_read and _is_read(finding, index) and not _is_too_old(finding, index)
    beyond_limit = any(finding.verdict in _BAD for finding in group)
    return InspectorItem(
        title=group[0].criterion.title,
        required=_required(group[0], index),
        must_be=must_be_words(index.explain(group[0]).required),
        section=place_words(group[0].criterion.source),
        readings=tuple((named(parts, index), words) for words, parts in readings.items()),
        all_read=all_read and not beyond_limit,
        beyond_limit=beyond_limit,
        planned=all(one.kind in MOVE_KINDS for one in _owners(group[0], index)),
    )


def _owners(finding: Finding, index: JudgementIndex) -> list[Part]:
    """The parts whose words a criterion compares; the one that it is about, where it compares none."""
    situation = index.judgement.situation
    keys = [
        situation.owner(finding.part.key, path.owner) if path.owner else finding.part.key
        for path in index.explain(finding).attributes
    ]
    parts = index.judgement.parts
    return [parts[key] for key in keys if key is not None and key in parts] or [finding.part]


_BAD = ("breached", "borderline")


def _required(finding: Finding, index: JudgementIndex) -> str:
    explanation = index.explain(finding)
    words = required_words(explanation.required)
    return f"{explanation.attributes[0].attribute.label}: no" if words == "no" and explanation.attributes else words


def _words(finding: Finding, evidence: Evidence | None, index: JudgementIndex) -> str:
    """A `no` with what it is about: beside `Axle not bent` a bare one reads as its opposite."""
    words = NO_READING if evidence is None else reading_words(evidence)
    if evidence is not None and evidence_value(evidence) == "no":
        about = [path.attribute for path in index.explain(finding).attributes]
        words = next((f"{one.label}: {words}" for one in about if one.name == evidence.attribute), words)
    of = None if evidence is None else index.judgement.parts.get(evidence.part)
    if of is not None and of.kind in MOVE_KINDS:
        words = f"planned: {words}"
    return f"{words}: {finding.verdict}" if finding.verdict in _BAD else words


def _latest(finding: Finding, index: JudgementIndex) -> Evidence | None:
    """The newest reading of what the criterion looks at, even one that is too old or does not count."""
    return next((one for one in _newest(finding, index) if one is not None), None)


def _is_read(finding: Finding, index: JudgementIndex) -> bool:
    """Whether the record has a reading of all that the criterion looks at."""
    newest = list(_newest(finding, index))
    return bool(newest) and all(one is not None and not isinstance(one.value, NotAccessible) for one in newest)


def _newest(finding: Finding, index: JudgementIndex) -> Iterator[Evidence | None]:
    """Of each attribute that the criterion looks at the newest entry, None where there is none."""
    situation = index.judgement.situation
    for path in index.explain(finding).attributes:
        key = situation.owner(finding.part.key, path.owner) if path.owner else finding.part.key
        entries = situation.standing.evidence.get(key or "", {}).get(path.attribute.name, ())
        yield entries[-1] if entries else None
