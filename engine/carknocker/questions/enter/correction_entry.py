"""What a form says was written down wrongly, put right: a reading by an entry beside it, a description, the mark or the
name in its own place with an entry that says what stood there."""

from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

import msgspec

from carknocker.documents import InputRefused, Location, Problem, nearest, some
from carknocker.documents.list_entries import in_braces, with_line_ends
from carknocker.documents.visible_text import one_line
from carknocker.forms.against import reading_named
from carknocker.forms.comma_in_figure import comma_in_doubt
from carknocker.forms.entries import EntryName
from carknocker.forms.names import name_on_a_form
from carknocker.forms.rows import unit_of, with_unit
from carknocker.questions.enter.answer_values import flow_text, place_of, value_said
from carknocker.questions.enter.entry_put_right import with_entry_put_right
from carknocker.questions.enter.filled_form import FurtherAnswer, Place, cell_value
from carknocker.record import CarRecord, read_car_text
from carknocker.record.corrections_in_place import MARK_AND_NAME
from carknocker.record.entry_words import entry_called
from carknocker.record.insertion import CannotInsert, dotted, with_entry, with_value
from carknocker.record.model import Evidence, Part
from carknocker.record.standing import listed_now
from carknocker.record.value_words import value_words
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.other_names import names_of_attributes

_NEEDED = ("of", "reading", "said", "is", "by", "on", "why")
_KEYS = ("of", "reading", "read_on", "said", "is", "by", "on", "why")
CORRECTIONS = "corrections"
_CAR = "car"
_NOWHERE = Location("the form", 1, 1)


class _Meant(NamedTuple):
    """The part and the attribute that a correction is about; None for the mark or the name of the car."""

    name: str
    part: Part | None
    attribute: Attribute | None
    key: str


def with_correction(
    name: EntryName, said: Sequence[FurtherAnswer], blank: Mapping[str, Place], text: str, file: str
) -> tuple[str, dict[str, Any]]:  # fmt: skip
    """The text with a description, the mark or the name put right, and the entry to be written; none where it stands
    right already. Raises InputRefused with the places of the form: for each box that is empty, for a part or an
    attribute that the record has not got, and for what stands otherwise on record than the form says."""
    answers = {one.attribute: one for one in said}
    told = _told(name, said, answers, blank)
    car = read_car_text(text, file)
    if name.kind == "" and entry_called(told["of"]) is not None:
        return with_entry_put_right(told, answers, car, text, file)
    meant = _meant(told, answers, said[0], car)
    value, words = _right(told, answers["is"], meant)
    entry = {
        **told, "of": meant.name, "reading": meant.key, "is": in_braces(value) if isinstance(value, dict) else value,
        "on": _day(told["on"]),
    }  # fmt: skip
    if meant.attribute is not None and not meant.attribute.description:
        reading = _reading(told, answers, meant, words, car, said[0])
        if reading is None:
            return text, {}
        entry |= {"read_on": reading.on, "said": value_words(reading.value)}
        return text, {key: entry[key] for key in _KEYS}
    before = _before(meant, car)
    if before == words:
        return text, {}
    if "read_on" in answers:
        found = f"a day of reading of `{meant.key}`, which has none"
        raise _refused(answers["read_on"], found, "the day of a reading alone: a description has none")
    if not _alike(told["said"], before, meant.attribute):
        raise _refused(answers["said"], f"`{told['said'][:60]}`", f"as it stands on record: {before or 'nothing'}")
    path = (_CAR, meant.key) if meant.part is None else (*place_of(meant.part), meant.key)
    plain = text.replace("\r\n", "\n")
    new = with_line_ends(text, plain, _put_in_place(plain, path, flow_text(value), answers["is"]))
    entry["said"] = before
    return new, {key: entry[key] for key in _KEYS if key != "read_on"}


def _told(
    name: EntryName, said: Sequence[FurtherAnswer], answers: Mapping[str, FurtherAnswer], blank: Mapping[str, Place]
) -> dict[str, str]:  # fmt: skip
    """What a correction says by its boxes and by its name. Raises InputRefused for each box that it needs."""
    told = {key: one_line(str(one.value)).strip() for key, one in answers.items()}
    named = reading_named(name.kind)
    if named is not None:
        told |= {"of": named.part, "reading": named.attribute, "read_on": named.read_on}
    labels = {field.key: field.label for field in name.sort.fields}
    lacks = [key for key in _NEEDED if not told.get(key) and not (key == "said" and named is not None)]
    if lacks:
        first, expected = said[0], "every field of it filled in"
        places = [(key, blank.get(key, (first.where, first.words))) for key in lacks]
        which = "a correction" if named is None else f"a correction of {named.part}"
        raise InputRefused(
            tuple(Problem(where, f"{words}{which} without: {labels[key]}", expected) for key, (where, words) in places)
        )
    return told


def _right(told: Mapping[str, str], right: FurtherAnswer, meant: _Meant) -> tuple[Any, str]:
    """What is right as a record writes it, and in words. Raises InputRefused where it is no such value."""
    if meant.attribute is None:
        return told["is"], told["is"]
    kind = load_vocabulary().kinds[meant.attribute.kind]
    value = cell_value(kind, meant.key, with_unit(told["is"], unit_of(meant.attribute)))
    doubt = comma_in_doubt(value, meant.attribute, right.where, right.words)
    if doubt is not None:
        raise InputRefused((doubt,))
    return value, value_words(value_said(msgspec.structs.replace(right, value=value), meant.attribute))


def _before(meant: _Meant, car: CarRecord) -> str:
    """What stands on record, in words; empty where nothing does."""
    if meant.part is None or meant.attribute is None:
        return str(getattr(car, meant.key))
    held = car.by_part.get(meant.part.key, {}).get(meant.key, ())
    return value_words(held[-1].value) if held else ""


def _day(text: str) -> date | str:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text  # the record's reader says what is wrong with it


def _refused(said: FurtherAnswer, found: str, expected: str, near: str = "", remedy: str = "") -> InputRefused:
    return InputRefused((Problem(said.where, f"{said.words}{found}", expected, near, remedy),))


def _meant(
    told: Mapping[str, str], answers: Mapping[str, FurtherAnswer], first: FurtherAnswer, car: CarRecord
) -> _Meant:
    """The part, as a form names it in any letters, and what of it, by its key or as a form calls it."""
    standing = listed_now(car)
    names = {name_on_a_form(part, standing): part for part in car.parts}
    folded = {name.casefold(): name for name in names}
    name = folded.get(told["of"].casefold(), "")
    if not name:
        at = answers.get("of", first)
        expected = (
            "a part as the form calls it: `wheel L3`, `truck B`, `car`, or an entry: `test hand brake test`, `job J-2`"
        )
        raise _refused(at, f"the part `{told['of'][:60]}`", expected, nearest(told["of"], tuple(names)))
    part = names[name]
    wanted = told["reading"].casefold().replace(" ", "_")
    if part.kind == _CAR and wanted in MARK_AND_NAME:
        return _Meant(name, None, None, wanted)
    kind = load_vocabulary().kinds[part.kind]
    known = {one.name: one for one in kind.attributes.values() if not one.derived and one.type not in ("test", "paper")}
    key = next((one.name for one in known.values() if one.label.casefold() == told["reading"].casefold()), wanted)
    if key not in known:
        at = answers.get("reading", first)
        on_record = tuple(one for one in known if car.by_part.get(part.key, {}).get(one))
        raise _refused(at, f"`{told['reading'][:60]}` of {name}", f"what is on record of it: {some(on_record)}",
                       nearest(told["reading"], tuple(known), names_of_attributes(kind)))  # fmt: skip
    return _Meant(name, part, known[key], key)


def _reading(
    told: Mapping[str, str], answers: Mapping[str, FurtherAnswer], meant: _Meant, words: str, car: CarRecord,
    first: FurtherAnswer,
) -> Evidence | None:  # fmt: skip
    """The reading that a correction is about; None where it was put right so already. words: what is right. Raises
    InputRefused where none stands on record like that, or several do."""
    if meant.part is None or meant.attribute is None:
        raise AssertionError("a reading without a part")
    own = [one for one in car.by_part.get(meant.part.key, {}).get(meant.key, ()) if one.on is not None]
    day, said = told.get("read_on", ""), told.get("said", "")
    of_day = [one for one in own if not day or (one.on is not None and one.on.isoformat() == day)]
    if _is_put_right(told, meant, words, [one.on for one in of_day], car):
        return None
    found = [one for one in of_day if not said or _alike(said, value_words(one.value), meant.attribute)]
    if len({(one.on, value_words(one.value)) for one in found}) == 1:
        return found[0]
    known = tuple(dict.fromkeys(f"{value_words(one.value)}, {one.on}" for one in own))
    expected = f"as it stands on record, with its day: {some(known)}" if known else "a reading: none is on record"
    if found:
        at = answers.get("read_on" if said else "said", first)
        raise _refused(at, f"`{said[:60] or meant.key}`, which was read several times", expected)
    raise _refused(answers.get("said", first), f"`{said[:60] or meant.key}`{f' of {day}' if day else ''}", expected)


def _is_put_right(
    told: Mapping[str, str], meant: _Meant, words: str, days: Collection[date | None], car: CarRecord
) -> bool:
    """Whether the record has this correction already."""
    said = told.get("said", "")
    return any(
        (one.of, one.attribute, one.now) == (meant.name, meant.key, words)
        and one.read_on in days
        and (not said or _alike(said, one.said, meant.attribute))
        for one in car.corrections
    )


def _alike(told: str, words: str, attribute: Attribute | None) -> bool:
    """Whether a text says what stands on record, in its words or as a figure that is the same."""
    if told.casefold() == words.casefold():
        return True
    if attribute is None or not told or not words:
        return False
    kind = load_vocabulary().kinds[attribute.kind]
    values = []
    for text in (told, words):
        value = cell_value(kind, attribute.name, with_unit(text, unit_of(attribute)))
        try:
            values.append(value_said(FurtherAnswer("", attribute.name, value, _NOWHERE), attribute))
        except InputRefused:
            return False
    return values[0] == values[1]


def _put_in_place(text: str, path: tuple[str, ...], value: str, right: FurtherAnswer) -> str:
    """The text with another value at a path; what is said of several parts stays, and this one is said beside it."""
    try:
        return with_value(text, path, value)
    except CannotInsert:
        pass
    try:
        return with_entry(text, path, value)
    except CannotInsert as reason:
        found = f"`{dotted(path)}` can't be written: {reason}"
        raise _refused(right, found, "a place of its own", remedy="write it by hand") from None
