"""The people and gauges of a form, put on record: each complete, or refused at the field that lacks something. A form
never says that a host accepts anyone, and gives nobody a qualification that others have to give."""

from collections.abc import Mapping, Sequence

import msgspec

from carknocker.documents import InputRefused, Problem, nearest, some
from carknocker.documents.list_entries import with_line_ends
from carknocker.forms.entries import PEOPLE_AND_GAUGES, entry_named
from carknocker.quantities import write_quantity
from carknocker.questions.enter.filled_form import FurtherAnswer, Place
from carknocker.record import CarRecord, read_car_text
from carknocker.record.insertion import CannotInsert, plain_text, with_entry, with_members
from carknocker.vocabulary import load_vocabulary

_IN_A_NAME = "-. '&/"
_LONGEST_NAME = 40
_MAY_FOLLOW = ("full_name", "telephone")
"""What may be said later of a person on record, as long as nothing stands there: it decides nothing."""
_BY_HAND = "write it into the record by hand"


def with_people_and_gauges(
    text: str, file: str, answers: Sequence[FurtherAnswer], blank: Mapping[tuple[str, str], Place] = {}
) -> tuple[str, tuple[str, ...]]:  # fmt: skip
    """The text of a record with the people and gauges that a form brings, and the lines that it gets. blank: where its
    empty boxes stand. Who is on record alike is passed over. Raises InputRefused with the places of the form: what one
    lacks at its own box."""
    by_part: dict[str, dict[str, FurtherAnswer]] = {}
    for one in answers:
        by_part.setdefault(one.part, {})[one.attribute] = one
    added: list[str] = []
    for part, said in by_part.items():
        named = entry_named(part)
        if named is None:
            raise ValueError(f"{part} is neither a person nor a gauge")
        section = named.sort.section
        own = {key: place for (whose, key), place in blank.items() if whose == part}
        values = _values(part, said, own)
        name = values.pop("name")
        before = _on_record(section, name, read_car_text(text, file))
        if before is not None:
            _refuse_other(said, values, before, name)
            more = {key: value for key, value in values.items() if key in _MAY_FOLLOW and not before[key]}
            if more:
                text, lines = _with_more(text, file, section, name, more, said)
                added += lines
            continue
        _refuse_incomplete(name, part, said, values, own)
        line = f"{{{', '.join(f'{key}: {plain_text(value)}' for key, value in values.items())}}}"
        try:
            plain = text.replace("\r\n", "\n")
            new = with_line_ends(text, plain, with_members(plain, section, {plain_text(name): line}))
        except CannotInsert as reason:
            raise _refused(said["name"], f"{name} can't be written: {reason}", "a place of its own", _BY_HAND) from None
        _read(new, file, said)
        text = new
        added.append(f"{section}: {name}: {line}")
    return text, tuple(added)


def _with_more(
    text: str, file: str, section: str, name: str, more: Mapping[str, str], said: Mapping[str, FurtherAnswer]
) -> tuple[str, list[str]]:
    """The text with what is said of a person on record and stands nowhere yet, and the lines that it gets."""
    plain, lines = text.replace("\r\n", "\n"), []
    for key, value in more.items():
        try:
            plain = with_entry(plain, (section, name, key), plain_text(value))
        except CannotInsert as reason:
            found = f"`{key}` of {name} can't be written: {reason}"
            raise _refused(said[key], found, "a place of its own", _BY_HAND) from None
        lines.append(f"{section}: {name}: {{{key}: {plain_text(value)}}}")
    new = with_line_ends(text, text.replace("\r\n", "\n"), plain)
    _read(new, file, said)
    return new, lines


def _refused(said: FurtherAnswer, found: str, expected: str, remedy: str = "", near: str = "") -> InputRefused:
    return InputRefused((Problem(said.where, f"{said.words}{found}", expected, near, remedy),))


def _values(part: str, said: Mapping[str, FurtherAnswer], blank: Mapping[str, Place]) -> dict[str, str]:
    """What is said, by key in the order of the form. Raises InputRefused without a short name, and for a word that is
    none of those allowed."""
    first = next(iter(said.values()))
    if "name" not in said:
        where, place = blank.get("name", (first.where, first.words))
        expected = "a short name, such as RE or G-1"
        raise InputRefused((Problem(where, f"{place}{part} without its short name", expected),))
    fields = PEOPLE_AND_GAUGES[part.rpartition(" ")[0]].fields
    other = next((one for key, one in said.items() if key not in [field.key for field in fields]), None)
    if other is not None:
        expected = some(tuple(field.key for field in fields))
        raise _refused(other, f"`{other.attribute[:40]}` of {part}", expected, f"what others have to give: {_BY_HAND}")
    values = {field.key: str(said[field.key].value).strip() for field in fields if field.key in said}
    name = values["name"]
    fits = all(letter.isalnum() or letter in _IN_A_NAME for letter in name) and name[:1].isalnum()
    if not fits or len(name) > _LONGEST_NAME:
        raise _refused(said["name"], f"the short name `{name[:40]}`", "letters and figures, such as RE or G-1")
    vocabulary = load_vocabulary()
    if "role" in values and values["role"] not in vocabulary.own_roles:
        found, words = f"the role `{values['role'][:40]}`", vocabulary.own_roles
        others = values["role"] in vocabulary.roles
        remedy = f"what others have to give stands in the record: {_BY_HAND}" if others else ""
        raise _refused(said["role"], found, some(words), remedy, "" if others else nearest(values["role"], words))
    if "kind" in values:
        values["kind"] = _kind(said["kind"], values["kind"])
    return values


def _kind(said: FurtherAnswer, word: str) -> str:
    kinds = load_vocabulary().gauge_kinds
    for kind in kinds.values():
        if word.casefold() in (kind.name, *kind.other_names):
            return kind.name
    remedy = f"a gauge of another kind: {_BY_HAND}"
    raise _refused(said, f"the kind of gauge `{word[:40]}`", some(tuple(kinds)), remedy, nearest(word, tuple(kinds)))


def _on_record(section: str, name: str, car: CarRecord) -> dict[str, str] | None:
    """What the record says of a person or gauge; None where it knows none of that name."""
    if section == "people":
        person = car.people.get(name)
        if person is None:
            return None
        return {"role": person.role, "full_name": person.full_name, "telephone": person.telephone}
    gauge = car.gauges.get(name)
    if gauge is None:
        return None
    return {
        "kind": gauge.kind,
        "reads_to": "" if gauge.reads_to is None else write_quantity(gauge.reads_to),
        "checked": "" if gauge.checked is None else gauge.checked.isoformat(),
        "due": "" if gauge.due is None else gauge.due.isoformat(),
    }


def _refuse_other(
    said: Mapping[str, FurtherAnswer], values: Mapping[str, str], before: Mapping[str, str], name: str
) -> None:
    """Nothing on record is written over: least of all the day on which a gauge is due."""
    for key, value in values.items():
        if value != before[key] and (before[key] or key not in _MAY_FOLLOW):
            known = f"`{before[key]}`" if before[key] else "nothing"
            found = f"`{value[:40]}` of {name}, of which the record says {known}"
            raise _refused(said[key], found, known, "take another short name, or correct the record by hand")


def _refuse_incomplete(
    name: str, part: str, said: Mapping[str, FurtherAnswer], values: Mapping[str, str], blank: Mapping[str, Place]
) -> None:  # fmt: skip
    """Raises InputRefused where a person has no role, or a gauge lacks what its readings are judged by: a gauge of
    which nothing is said must not be better than one that is overdue."""
    fields = PEOPLE_AND_GAUGES[part.rpartition(" ")[0]].fields
    wanted = [field.key for field in fields if field.key in ("role", "kind")]
    kind = load_vocabulary().gauge_kinds.get(values.get("kind", ""))
    if kind is not None:
        wanted += ["reads_to"] if kind.finest is not None else []
        wanted += ["checked", "due"] if kind.check else []
    labels = {field.key: field.label for field in fields}
    first = said["name"].where, said["name"].words
    lacks = [(blank.get(key, first), labels[key]) for key in wanted if not values.get(key)]
    if lacks:
        raise InputRefused(tuple(
            Problem(where, f"{words}{name} without: {label}", "every field filled in")
            for (where, words), label in lacks
        ))  # fmt: skip


def _read(text: str, file: str, said: Mapping[str, FurtherAnswer]) -> None:
    """Reads the new text. Raises InputRefused with the problems of the new line at the fields of the form."""
    try:
        read_car_text(text, file)
    except InputRefused as refused:
        problems = []
        for one in refused.problems:
            key = next((key for key, answer in said.items() if str(answer.value) in one.found), "name")
            place = said[key]
            problems.append(msgspec.structs.replace(
                one, where=place.where, found=f"{place.words}{one.found}", line_text=""
            ))  # fmt: skip
        raise InputRefused(tuple(problems)) from refused
