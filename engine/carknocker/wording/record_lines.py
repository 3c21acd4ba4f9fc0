"""What the record shows of a part, for sheets that go to others: the value with its day, or that it is missing."""

from collections.abc import Iterable, Iterator

import msgspec
from msgspec.structs import replace

from carknocker.judgement.model import Judgement
from carknocker.judgement.observed_value import ObservedValue
from carknocker.record.model import Part
from carknocker.record.part_keys import kind_of_key, side_of, wheelset_key
from carknocker.record.value_words import value_words
from carknocker.record.values import Words
from carknocker.vocabulary import Attribute, SheetLine, load_vocabulary, sheet_lines
from carknocker.wording.evidence import evidence_value
from carknocker.wording.parts import attribute_words, compact_labels
from carknocker.wording.set_aside import set_aside_words

MISSING = "not on record"


class RecordLine(msgspec.Struct, frozen=True):
    """A labelled line. known: False if the record does not show it, and the text says so. box: to be filled in or
    ticked by hand; the text is then a note that helps. owner_supplies: whether the owner can put it on record; what
    only a shop or a host reads is no lack of his."""

    label: str
    text: str
    known: bool = True
    box: bool = False
    owner_supplies: bool = True

    @property
    def missing(self) -> bool:
        """Whether the owner could supply what the record does not show."""
        return not self.known and self.owner_supplies

    @property
    def written(self) -> str:
        """The text, after an empty box if there is one."""
        return f"[  ] {self.text}".rstrip() if self.box else self.text


def observed(judgement: Judgement, key: str, attribute: str) -> ObservedValue | None:
    """The value that counts for a part; None if none does or the car has no such part."""
    view = judgement.situation.values.get(key)
    return None if view is None else view.get(attribute)


def record_line(judgement: Judgement, key: str, attribute: str, label: str = "") -> RecordLine:
    """A value of a part: as a reading with its day and person, or as missing. Evidence that is on record but does not
    count is shown with the reason."""
    part = judgement.parts.get(key)
    named = label or attribute_words(part.kind if part is not None else kind_of_key(key), attribute)
    held = observed(judgement, key, attribute)
    if held is not None:
        evidence = held.evidence
        when = ""
        if evidence is not None and evidence.on is not None:
            by = f", {evidence.by.full_name or evidence.by.name}" if evidence.by is not None else ""
            when = f" ({evidence.on.isoformat()}{by})"
        return RecordLine(named, f"{value_words(held.value)}{when}")
    entries = judgement.situation.standing.evidence.get(key, {}).get(attribute, ())
    kind = part.kind if part is not None else kind_of_key(key)
    supplies = owner_supplies(load_vocabulary().attribute(kind, attribute))
    if not entries:
        return RecordLine(named, MISSING, False, owner_supplies=supplies)
    last = entries[-1]
    why = set_aside_words(judgement.situation.excluded.get(last.id))
    words = evidence_value(last) + (f", {last.on.isoformat()}" if last.on is not None else "")
    return RecordLine(named, f"{words}: does not count{f', {why}' if why else ''}", False, owner_supplies=supplies)


def owner_supplies(attribute: Attribute | None) -> bool:
    """Whether the vocabulary has the owner among those who read an attribute, or names nobody."""
    return attribute is None or not attribute.read_by or "owner" in attribute.read_by


def may_apply(judgement: Judgement, key: str, attribute: Attribute) -> bool:
    """Whether an attribute may be asked of a part: nothing on record contradicts the condition under which it is
    asked."""
    for other, words in attribute.only_where:
        held = observed(judgement, key, other)
        if held is not None and held.text is not None and held.text not in words:
            return False
    return True


def listed_lines(judgement: Judgement, lines: Iterable[SheetLine], *keys: str) -> Iterator[RecordLine]:
    """The lines of a sheet about a part, its containers and its parts; of several parts, the first that has any of the
    kind.

    A line whose label names the part or its side is written for each such part, once for those that are alike, any
    other for the first one. A line that is asked only with another word is left out.
    """
    standing = judgement.situation.standing
    kinds = load_vocabulary().kinds
    for line in lines:
        reached = next((found for key in keys if (found := standing.reach(key, line.kind))), ())
        parts = [part for part in standing.by_kind.get(line.kind, ()) if part.key in reached]
        if not parts:
            yield missing_line(kinds[line.kind].label)
        attribute = kinds[line.kind].attributes[line.attribute]
        asked = [
            part for part in (parts if "{" in line.label else parts[:1]) if may_apply(judgement, part.key, attribute)
        ]
        alike: dict[RecordLine, list[Part]] = {}
        for part in asked:
            label = line.label.format(part="{part}", side=side_of(part.key), value="")
            alike.setdefault(record_line(judgement, part.key, line.attribute, label), []).append(part)
        for told, own in alike.items():
            yield replace(told, label=told.label.replace("{part}", compact_labels(part.label for part in own)))


def connections_of(judgement: Judgement, key: str) -> tuple[str, ...] | None:
    """What must be disconnected before a part leaves the car; None if the record does not list all of it."""
    found: list[str] = []
    for attribute in load_vocabulary().kinds[judgement.parts[key].kind].attributes.values():
        if attribute.to_disconnect:
            held = observed(judgement, key, attribute.name)
            if held is None or not isinstance(held.value, Words):
                return None
            found.extend(held.value.texts)
    return tuple(found)


def missing_line(label: str) -> RecordLine:
    """A line that says that the record shows nothing."""
    return RecordLine(label, MISSING, False)


def stowage_of(judgement: Judgement, serial: str) -> tuple[RecordLine, ...]:
    """Where a carried wheelset is, how it is secured, and its weight."""
    lines = sheet_lines("spares", "stowage of a wheelset")
    return tuple(listed_lines(judgement, lines, wheelset_key(serial), "car"))
