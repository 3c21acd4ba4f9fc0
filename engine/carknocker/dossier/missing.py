"""All that is not shown, as one list to measure: by the access it takes, then by part and attribute."""

from collections.abc import Iterable

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Refusal
from carknocker.record.model import Part
from carknocker.record.part_keys import kind_of_key
from carknocker.rulebook.clauses import Unanswered
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.whatif.missing_evidence import Lack, lacks_of
from carknocker.wording.parts import attribute_words, label_of, plural, positions
from carknocker.wording.places_to_write import Wanted, lines_to_write

_ACCESS = {
    "walking round": "Walking round the car",
    "inside": "Inside the car",
    "pit": "From a pit",
    "wheel free": "With the wheel free to turn",
    "truck out": "With the truck out",
    "wheelset out": "With the wheelset out",
    "shop": "Dismantled in a shop",
    "test": "Tests to be made or shown",
    "paper": "Papers to put on record",
    "move": "To be stated in the move file",
}

_APART = frozenset(("test", "paper", "move"))
"""What is no reading."""


class MissingRow(msgspec.Struct, frozen=True):
    """What is missing on some parts of one kind. reason: empty if it was never read. write: where it is written, with
    the keys and the allowed words."""

    parts: str
    attributes: tuple[str, ...]
    reason: str
    write: tuple[str, ...] = ()


class UnlistedKind(msgspec.Struct, frozen=True):
    """Parts of a kind that must be in a container and are not on record.

    called: what they are called there. of: how many there are, None where nobody says; missing: how many of them are
    not listed. first: descriptions without which nobody knows whether there are any. rules: how many ask about them.
    section, own: the sections in which the container and the parts are written.
    """

    container: str
    kind: str
    called: tuple[str, ...]
    number: tuple[str, ...]
    of: int | None
    missing: int | None
    first: tuple[str, ...]
    rules: int
    section: str
    own: str

    @property
    def words(self) -> str:
        """`bolster springs not on record (4 rules ask); say how many, and describe them`."""
        ask = f"({self.rules:,} rule{' asks' if self.rules == 1 else 's ask'})"
        what = ", ".join(self.called)
        if self.missing is not None and self.number:
            isnt = "is" if self.missing == 1 else "are"
            do = f"list and describe what is missing under `{self.own}:`"
            return f"{self.missing} of {self.of} {what} {isnt} not on record {ask}; {do}"
        do = f"describe it under `{self.own}:`"
        if self.number:
            numbers = ", ".join(f"`{name}`" for name in self.number)
            where = f"under `{self.section}:` on a dated sheet"
            do = f"say how many ({numbers} {where}), and describe them under `{self.own}:`"
        first = f"say first: {', '.join(self.first)}; then " if self.first else ""
        return f"{what} not on record {ask}; {first}{do}"


class MissingGroup(msgspec.Struct, frozen=True):
    """What can be read with one kind of access."""

    access: str
    heading: str
    count: int
    rows: tuple[MissingRow, ...]


class Missing(msgspec.Struct, frozen=True):
    """All that is not shown. more_may_follow: some of it tells only whether a criterion applies.

    stops: what waits for it. criteria, findings: how many criteria are not shown for want of it, and on how many parts.
    unlisted: parts that must be there and are not on record. descriptions: how many of the readings the record says
    of a part itself, not on a sheet.
    """

    readings: int
    tests: int
    papers: int
    statements: int
    criteria: int
    findings: int
    more_may_follow: bool
    stops: str
    groups: tuple[MissingGroup, ...]
    unlisted: tuple[UnlistedKind, ...] = ()
    descriptions: int = 0

    @property
    def counts(self) -> str:
        """`not shown: 112 readings, 3 tests`."""
        return f"not shown: {self.counted}"

    @property
    def counted(self) -> str:
        """`112 readings, 3 tests`, or what is inside of a part."""
        return self.numbers or "what is inside"

    @property
    def numbers(self) -> str:
        """`112 readings, 3 tests`; empty where only what is inside of a part is not shown."""
        kinds = len({one.kind for one in self.unlisted})
        counts = [
            f"{number:,} {word}{'' if number == 1 else 's'}"
            for number, word in (
                (self.readings, "reading"),
                (self.tests, "test"),
                (self.papers, "paper"),
                (self.statements, "statement"),
            )
            if number
        ]
        if kinds:
            counts.insert(0, f"{kinds} kind{'' if kinds == 1 else 's'} of part not on record")
        return ", ".join(counts)

    @property
    def title(self) -> str:
        """`not shown: 112 readings, 3 tests; measure these`."""
        to_do = "show these" if self.tests or self.papers else "state these"
        if self.readings:
            to_do = "measure these" if self.readings > self.descriptions else "say these"
        if self.unlisted and not self.readings:
            to_do = "put these on record"
        return f"{self.counts}; {to_do}"


def may_be_shown(refusal: Refusal, index: JudgementIndex) -> bool:
    """Whether it is a refusal for want of evidence. Where no rule says what is asked nothing can be shown: that is told
    like a breach, unless what the part is would tell."""
    finding = refusal.finding
    if finding is None or finding.verdict != "not shown":
        return False
    return not isinstance(finding.criterion.must, Unanswered) or bool(lacks_of(finding, index))


def missing_now(index: JudgementIndex) -> Missing | None:
    """What a judged car lacks: the one count that every answer gives. None if nothing refuses it for that."""
    return missing_of(_lacking(index), index)


def readings_now(index: JudgementIndex) -> frozenset[tuple[str, str]]:
    """Part and attribute of each reading of that count."""
    lacks = lacks_among(_lacking(index), index).values()
    return frozenset((one.part.key, one.attribute.name) for one in lacks if _access_of(one) not in _APART)


def _lacking(index: JudgementIndex) -> list[Finding]:
    refusals = (one for one in index.judgement.refusals if may_be_shown(one, index))
    return [one.finding for one in refusals if one.finding is not None]


def missing_of(findings: Iterable[Finding], index: JudgementIndex) -> Missing | None:
    """What the findings lack, each value once. None if there are no findings."""
    listed = list(findings)
    if not listed:
        return None
    lacks = lacks_among(listed, index)
    by_access: dict[str, list[Lack]] = {}
    for lack in lacks.values():
        by_access.setdefault(_access_of(lack), []).append(lack)
    groups = tuple(
        MissingGroup(access, heading, len(by_access[access]), rows_of(by_access[access], index))
        for access, heading in _ACCESS.items()
        if access in by_access
    )
    counts = {group.access: group.count for group in groups}
    return Missing(
        readings=sum(count for access, count in counts.items() if access not in _APART),
        tests=counts.get("test", 0),
        papers=counts.get("paper", 0),
        statements=counts.get("move", 0),
        criteria=len({finding.criterion.id for finding in listed}),
        findings=len(listed),
        more_may_follow=any(lack.decides_whether for lack in lacks.values()),
        stops="the move" if all(finding.part.kind in MOVE_KINDS for finding in listed) else "the car",
        groups=groups,
        unlisted=unlisted_of(listed, index),
        descriptions=sum(one.attribute.description for one in lacks.values() if _access_of(one) not in _APART),
    )


def lacks_among(findings: Iterable[Finding], index: JudgementIndex) -> dict[tuple[str, str, str], Lack]:
    """What the findings lack, each value once; without what stands with the parts that are not on record."""
    lacks: dict[tuple[str, str, str], Lack] = {}
    for finding in findings:
        for lack in lacks_of(finding, index):
            unlisted = lack.part.unlisted is not None and lack.part.unlisted.number != ""
            if not lack.attribute.counts and not unlisted:
                lacks.setdefault(lack.key, lack)
    return lacks


def unlisted_of(findings: Iterable[Finding], index: JudgementIndex) -> tuple[UnlistedKind, ...]:
    """The parts that the findings are about and that are not on record, one item for each kind in each container."""
    rules: dict[tuple[str, str], set[str]] = {}
    parts: dict[tuple[str, str, bool], dict[str, Part]] = {}
    for finding in findings:
        part = finding.part
        if part.unlisted is not None and part.container is not None:
            place = (part.container, part.kind)
            rules.setdefault(place, set()).add(finding.criterion.id)
            parts.setdefault((*place, part.unlisted.missing is None), {})[part.key] = part
    return tuple(
        _unlisted_kind(index.judgement.parts[container], kind, list(own.values()), len(rules[container, kind]), index)
        for (container, kind, _), own in sorted(parts.items(), key=lambda one: (index.order[one[0][0]], one[0]))
    )


def _unlisted_kind(container: Part, kind: str, parts: list[Part], rules: int, index: JudgementIndex) -> UnlistedKind:
    known = [part.unlisted for part in parts if part.unlisted is not None]
    first = dict.fromkeys(attribute_words(kind_of_key(key), name) for one in known for key, name in one.undecided)
    missing = [one.missing for one in known if one.missing is not None]
    return UnlistedKind(
        container=label_of(container),
        kind=kind,
        called=tuple(one.called for one in known),
        number=tuple(one.number for one in known if one.number),
        of=sum(one.stated or 0 for one in known) if missing else None,
        missing=sum(missing) if missing else None,
        first=tuple(first),
        rules=rules,
        section=index.vocabulary.kinds[container.kind].section,
        own=index.vocabulary.kinds[kind].section,
    )


def _access_of(lack: Lack) -> str:
    if lack.part.kind in MOVE_KINDS:
        return "move"
    return lack.attribute.type if lack.attribute.type in ("test", "paper") else lack.attribute.access


def rows_of(lacks: Iterable[Lack], index: JudgementIndex) -> tuple[MissingRow, ...]:
    """One row for all attributes that are missing for the same reason on the same parts of a kind."""
    by_attribute: dict[tuple[str, bool, str, str], list[Part]] = {}
    meant: dict[tuple[str, bool, str, str], Wanted] = {}
    for lack in lacks:
        key = (lack.part.kind, lack.part.fitted, lack.label, lack.reason)
        by_attribute.setdefault(key, []).append(lack.part)
        meant[key] = Wanted(lack.part.kind, lack.attribute, lack.fact)
    rows: dict[tuple[str, str], list[str]] = {}
    wanted: dict[tuple[str, str], list[Wanted]] = {}
    first: dict[tuple[str, str], tuple[int, bool]] = {}
    for (kind, fitted, label, reason), parts in by_attribute.items():
        words = _parts_words(kind, fitted, parts, index)
        rows.setdefault((words, reason), []).append(label)
        wanted.setdefault((words, reason), []).append(meant[kind, fitted, label, reason])
        place = min(index.order.get(part.key, len(index.order)) for part in parts)
        first.setdefault((words, reason), (place, bool(reason)))
    return tuple(
        MissingRow(words, tuple(rows[words, reason]), reason, lines_to_write(wanted[words, reason]))
        for words, reason in sorted(rows, key=lambda row: (*first[row], row))
    )


def _parts_words(kind: str, fitted: bool, parts: list[Part], index: JudgementIndex) -> str:
    if len({part.key for part in parts}) == 1:
        return label_of(parts[0])
    words = f"{plural(kind)} {positions(parts, index)}"
    return words if fitted else f"{words} (spares)"
