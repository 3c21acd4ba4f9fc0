"""A test, a paper, a job or another entry of a list that was written down wrongly, put right in its own place or taken
out, as a form says; `corrections:` of the record says what stood there."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import msgspec

from carknocker.documents import InputRefused, Node, Problem, ProblemList, nearest, read_document, some
from carknocker.documents.list_entries import with_line_ends
from carknocker.documents.visible_text import one_line
from carknocker.forms.comma_in_figure import comma_in_doubt, fact_of_entry
from carknocker.forms.entries import SORTS, EntryName, Sort
from carknocker.forms.rows import unit_of, with_unit
from carknocker.questions.enter.answer_values import flow_text
from carknocker.questions.enter.filled_form import FurtherAnswer, at_its_place
from carknocker.record import CarRecord, read_car_text
from carknocker.record.acceptances import Acceptances
from carknocker.record.entry_words import DAYS, ENTRY, NAMED_BY, NEVER_WAS, call_of, entry_called
from carknocker.record.insertion import CannotInsert, with_entry, with_item_commented_out, with_value
from carknocker.vocabulary import load_vocabulary

NOTHING = "nothing"
"""What a form says of what an entry does not say."""
_LISTED = ("at", "after")


class _Known(msgspec.Struct, frozen=True):
    """An entry on record. number: its place in the list, from 0."""

    number: int
    node: Node
    name: str
    day: str

    @property
    def called(self) -> str:
        """By its id, where it has one, else by what it is."""
        return self.says("id") or self.name

    def says(self, key: str) -> str:
        node = self.node.get(key)
        if node is None or node.is_empty:
            return ""
        return one_line(", ".join(one.text for one in node.as_sequence())).strip()


def with_entry_put_right(
    told: Mapping[str, str], answers: Mapping[str, FurtherAnswer], car: CarRecord, text: str, file: str
) -> tuple[str, dict[str, Any]]:  # fmt: skip
    """The text with an entry put right, and the correction to be written; none where it stands right already. told: of
    the boxes, `of` in the words of an entry. Raises InputRefused with the places of the form."""
    called = entry_called(told["of"])
    if called is None:
        raise AssertionError("no entry of a list")
    what, name, day = called
    sort = SORTS[what]
    key = _key(told, answers, sort)
    known = _known(sort, what, text)
    found = [one for one in known if _is_called(one, name) and (not (day or told.get("read_on"))
             or one.day == (day or told["read_on"]))]  # fmt: skip
    if _is_put_right(told, key, called, car):
        return text, {}
    saying = [one for one in found if _alike(told["said"], one.says(key) if key != ENTRY else one.name, key, sort)]
    if len(saying) != 1:
        _refuse_which(told, answers, what, key, known, found, saying)
    entry = saying[0]
    _refuse_reader(told, answers, entry, car)
    said = entry.says(key) if key != ENTRY else entry.name or entry.day
    plain = text.replace("\r\n", "\n")
    value = _value(told["is"], key, sort)
    fact = fact_of_entry(EntryName(sort, entry.name), key)
    doubt = comma_in_doubt(value, fact, answers["is"].where, answers["is"].words)
    if doubt is not None:
        raise InputRefused((doubt,))
    path = (sort.section, entry.number, key)
    try:
        if key == ENTRY:
            new = with_item_commented_out(plain, sort.section, entry.number)
        else:
            new = (with_value if entry.node.get(key) is not None else with_entry)(plain, path, flow_text(value))
    except CannotInsert as reason:
        raise _refused(answers["is"], f"it can't be written: {reason}", "a place of its own",
                       remedy="write it by hand") from None  # fmt: skip
    new = with_line_ends(text, plain, new)
    try:
        read_car_text(new, file)
    except InputRefused as refused:
        place = (answers["is"].where, answers["is"].words)
        raise InputRefused(tuple(at_its_place(one, place) for one in refused.problems)) from refused
    now = NEVER_WAS if key == ENTRY else _words(value)
    written = {
        "of": call_of(what, entry.called, entry.day), "reading": key, "said": said or NOTHING, "is": now,
        "by": told["by"], "on": _day(told["on"]), "why": told["why"],
    }  # fmt: skip
    return new, written


def _key(told: Mapping[str, str], answers: Mapping[str, FurtherAnswer], sort: Sort) -> str:
    """What of the entry is put right, by its key or as a form calls it."""
    labels = {field.label.partition(",")[0].casefold(): field.key for field in sort.fields}
    facts = {
        fact.label.casefold(): fact.name for own in sort.kinds(load_vocabulary()).values() for fact in own.values()
    }
    known = {**facts, **labels, ENTRY: ENTRY}
    if sort.named_by[0]:
        known["which"] = sort.named_by[0]
    wanted = told["reading"].casefold()
    key = known.get(wanted, wanted.replace(" ", "_"))
    if key not in known.values():
        expected = f"what such an entry says: {some(tuple(known))}; `{ENTRY}` to take it out"
        raise _refused(answers["reading"], f"`{told['reading'][:60]}` of a {sort.word}", expected,
                       nearest(wanted, tuple(known)))  # fmt: skip
    if key == ENTRY and told["is"].casefold() != NEVER_WAS:
        raise _refused(answers["is"], f"`{told['is'][:60]}`", f"`{NEVER_WAS}`: the entry is taken out")
    return key


def _known(sort: Sort, what: str, text: str) -> list[_Known]:
    root = read_document(text, "the record", ProblemList())
    listed = None if root is None else root.get(sort.section)
    found = []
    for number, node in enumerate(() if listed is None or listed.kind != "sequence" else listed.nodes):
        if node.kind != "mapping":
            continue
        given = node.get(NAMED_BY.get(what, ""))
        days = (node.get(key) for key in DAYS)
        day = next((one.text.strip() for one in days if one is not None and not one.is_empty), "")
        found.append(_Known(number, node, "" if given is None else given.text.strip(), day))
    return found


def _is_called(one: _Known, name: str) -> bool:
    """By what it is, or by its id; any where neither is said."""
    return name.casefold() in ("", one.name.casefold(), one.says("id").casefold())


def _is_put_right(told: Mapping[str, str], key: str, called: tuple[str, str, str], car: CarRecord) -> bool:
    """Whether the record has this correction already."""
    what, name, day = called
    day = day or told.get("read_on", "")
    now = told["is"] if key == ENTRY else _words(_value(told["is"], key, SORTS[what]))
    for held in car.corrections:
        other = entry_called(held.of)
        alike = other is not None and other[0] == what and name.casefold() in ("", other[1].casefold())
        said = (held.attribute, held.now.casefold(), held.on.isoformat()) == (key, now.casefold(), told["on"])
        if alike and said and (not day or other is None or day in ("", other[2])):
            return True
    return False


def _alike(told: str, said: str, key: str, sort: Sort) -> bool:
    """Whether a text says what stands on record."""
    if not said:
        return told.casefold() == NOTHING
    folded = [", ".join(word.strip() for word in one.split(",")) for one in (told.casefold(), said.casefold())]
    return folded[0] == folded[1] or _value(told, key, sort) == said


def _refuse_which(
    told: Mapping[str, str], answers: Mapping[str, FurtherAnswer], what: str, key: str, known: Sequence[_Known],
    found: Sequence[_Known], saying: Sequence[_Known],
) -> None:  # fmt: skip
    if saying:
        at = answers.get("read_on", answers["of"])
        days = tuple(dict.fromkeys(one.day for one in saying))
        raise _refused(at, f"`{told['of'][:80]}`, of which there are several", f"its day: {some(days)}")
    if found:
        said = tuple(dict.fromkeys((one.says(key) if key != ENTRY else one.name) or NOTHING for one in found))
        raise _refused(answers["said"], f"`{told['said'][:60]}`", f"as it stands on record: {some(said)}")
    names = tuple(call_of(what, one.called, one.day) for one in known)
    raise _refused(
        answers["of"], f"`{told['of'][:80]}`, which is not on record",
        f"as it stands there: {some(names)}" if names else f"a {what} on record: there is none",
        nearest(told["of"], names),
    )  # fmt: skip


def _refuse_reader(
    told: Mapping[str, str], answers: Mapping[str, FurtherAnswer], entry: _Known, car: CarRecord
) -> None:  # fmt: skip
    """What somebody signed whom a host accepts is put right by him, or by one whom that host accepts."""
    signer, by = car.people.get(entry.says("by")), car.people.get(told["by"])
    day = _day(told["on"])
    if signer is None or by is None or not isinstance(day, date):
        return  # what is no day is told of where the correction is read
    host = Acceptances(car.work).who_does_not(signer, by, day)
    if host:
        found = f"what {signer.name} signed, put right by {by.name}, whom {host} does not accept on that day"
        raise _refused(answers["by"], found, f"{signer.name}, or one whom {host} accepts")


def _value(text: str, key: str, sort: Sort) -> Any:
    if key in _LISTED:
        return [word.strip() for word in text.split(",") if word.strip()]
    unit = next((field.unit for field in sort.fields if field.key == key), "")
    for own in sort.kinds(load_vocabulary()).values():
        unit = unit or (unit_of(own[key]) if key in own else "")
    return with_unit(text, unit)


def _words(value: Any) -> str:
    return ", ".join(value) if isinstance(value, list) else str(value)


def _day(text: str) -> date | str:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text


def _refused(said: FurtherAnswer, found: str, expected: str, near: str = "", remedy: str = "") -> InputRefused:
    return InputRefused((Problem(said.where, f"{said.words}{found}", expected, near, remedy),))
