"""The fixed shapes of the entries of a record and a move, and how an entry is read by its shape."""

import re
from collections.abc import Mapping
from datetime import date
from functools import partial
from typing import Annotated, Any, Literal, TypeVar

from msgspec import field
from pydantic_core import core_schema

from carknocker.documents import Node
from carknocker.documents.structure import Accepts, Structure, StructureType, keys_of, read_as, schema_of
from carknocker.documents.suggestions import OtherNames
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.files import RecordReporter
from carknocker.record.model import NO_END, SureEntry
from carknocker.record.possible_values import NO_DAYS
from carknocker.record.value_reader import full_day, is_not_known, read_value, reason_of, says_nothing
from carknocker.record.values import Value
from carknocker.vocabulary.model import Access, Attribute
from carknocker.vocabulary.ranges import Days


def quantity(dimension: str) -> Accepts:
    """Accepts a quantity of a dimension, written with its unit."""

    def read(text: Any) -> Quantity:
        if not isinstance(text, str):
            raise QuantityError("a list or a mapping", f"a {dimension}")
        return read_quantity(text.strip(), dimension)

    return Accepts.made_by(read)


def _several(value: Any) -> Any:
    listed = value if isinstance(value, list) else [value]
    twice = next((one for number, one in enumerate(listed) if isinstance(one, str) and one in listed[:number]), "")
    if twice:
        raise QuantityError(f"`{twice[:60]}` a second time", "each once", remedy="take one of the two out")
    return listed


def _whole_number(value: Any) -> Any:
    text = value.strip() if isinstance(value, str) else ""
    if not (text.isascii() and text.isdigit() and len(text) < 7):
        found = f"`{text[:60]}`" if text else "something else"
        raise QuantityError(found, "a whole number, of at most six digits")
    return int(text)


def _yes_or_no(value: Any) -> Any:
    return {"true": "yes", "false": "no"}.get(value, value) if isinstance(value, str) else value


def _name(value: Any) -> Any:
    if isinstance(value, str) and says_nothing(value):
        raise QuantityError(f"`{value[:60]}`, which says nothing", "a name", remedy="write who signed")
    return value


def _digest(value: Any) -> Any:
    text = value.strip() if isinstance(value, str) else ""
    if not _SHA256.fullmatch(text):
        found = f"`{text[:70]}`" if text else "something else"
        raise QuantityError(found, "a SHA-256: 64 digits and letters a to f", remedy="let `photograph` write it")
    return text


def _day_or(word: str, text: Any) -> date:
    """A whole day, or the word that says that there is none."""
    if isinstance(text, str) and text.strip() == word:
        return NO_END
    try:
        return full_day(text)
    except QuantityError as error:
        raise QuantityError(error.found, f"{error.expected}, or `{word}`", error.nearest, error.remedy) from None


_SHA256 = re.compile(r"[0-9a-f]{64}")
_YesOrNo = Literal["yes", "no"]
_TEXT = core_schema.str_schema(strip_whitespace=True, min_length=1, max_length=2000)

Text = Annotated[str, Accepts(_TEXT)]
Name = Annotated[str, Accepts.before(_name, _TEXT)]
Free = Annotated[str, Accepts(core_schema.str_schema(strip_whitespace=True, max_length=2000))]
FullDay = Annotated[date, Accepts.before(full_day, core_schema.date_schema())]
LastDay = Annotated[date, Accepts.before(partial(_day_or, "no end"), core_schema.date_schema())]
DueDay = Annotated[date, Accepts.before(partial(_day_or, "never"), core_schema.date_schema())]
Riders = Literal["passengers", "crew", "nobody"]
Miles = Annotated[Quantity, quantity("distance")]
Speed = Annotated[Quantity, quantity("speed")]
Several = Annotated[tuple[str, ...], Accepts.before(_several, schema_of(tuple[Text, ...]))]
SeveralDays = Annotated[tuple[date, ...], Accepts.before(_several, schema_of(tuple[FullDay, ...]))]
SeveralAccesses = Annotated[tuple[Access, ...], Accepts.before(_several, schema_of(tuple[Access, ...]))]
Reason = Annotated[str, Accepts.before(reason_of, core_schema.str_schema())]
_WHY = partial(reason_of, key="why", expected="how it came about")
Why = Annotated[str, Accepts.before(_WHY, core_schema.str_schema())]
Whole = Annotated[int, Accepts.before(_whole_number, core_schema.int_schema())]
Digest = Annotated[str, Accepts.before(_digest, core_schema.str_schema())]
YesOrNo = Annotated[_YesOrNo, Accepts.before(_yes_or_no, schema_of(_YesOrNo))]


class PersonEntry(Structure, frozen=True, kw_only=True):
    role: Text
    full_name: Free = ""
    telephone: Free = ""
    accepted_by: Several = ()
    from_day: FullDay | None = field(default=None, name="from")
    until: LastDay | None = None
    sure: Reason = ""


class GaugeEntry(Structure, frozen=True, kw_only=True):
    kind: Text
    reads_to: Free = ""
    uncertainty: Free = ""
    checked: FullDay | None = None
    checked_before: SeveralDays = ()
    due: DueDay | None = None
    sure: Reason = ""


class SheetHead(Structure, frozen=True, kw_only=True):
    on: FullDay
    by: Text
    gauge: Free = ""
    access: SeveralAccesses = ()
    car: Free = ""
    paper: Free = ""
    after: Several = ()
    taken: Literal["after the events of the day"] | None = None


class WorkHead(Structure, frozen=True, kw_only=True):
    id: Text
    on: FullDay
    name: Text = field(name="did")
    at: Several = ()
    by: Free = ""
    after: Several = ()
    paper: Free = ""
    off: Free = ""
    fitted: Free = ""
    end_for_end: YesOrNo = "no"


class EventHead(Structure, frozen=True, kw_only=True):
    id: Text
    on: FullDay
    name: Text = field(name="happened")
    at: Several = ()
    by: Free = ""
    after: Several = ()
    paper: Free = ""


class TestHead(Structure, frozen=True, kw_only=True):
    __test__ = False

    test: Text
    on: FullDay
    by: Text
    result: Literal["passed", "failed"]
    at: Several = ()
    after: Several = ()
    paper: Free = ""
    until: FullDay | None = None
    gauge: Free = ""
    sure: Reason = ""


class PaperHead(Structure, frozen=True, kw_only=True):
    paper: Text
    on: FullDay | None = None
    from_day: FullDay | None = field(default=None, name="from")
    until: LastDay | None = None
    by: Free = ""
    sure: Reason = ""


class SpareHead(Structure, frozen=True, kw_only=True):
    spare: Text
    serial: Free = ""
    carried: Whole = 0
    shelf: Whole = 0
    sure: Reason = ""


NO_CONDITION = "none"
"""How a host's written permission says that it sets no condition of a sort."""


def _speed_or_none(text: Any) -> Quantity | str:
    if isinstance(text, str) and text.strip() == NO_CONDITION:
        return NO_CONDITION
    if not isinstance(text, str):
        raise QuantityError("a list or a mapping", f"a speed, or `{NO_CONDITION}`")
    return read_quantity(text.strip(), "speed")


def _all_none(value: Any) -> Any:
    return dict.fromkeys(keys_of(LeaveConditions), NO_CONDITION) if value == NO_CONDITION else value


SpeedOrNone = Annotated[Quantity | str, Accepts.made_by(_speed_or_none)]


class LeaveConditions(Structure, frozen=True, kw_only=True):
    speed: SpeedOrNone | None = None
    place: Free = ""
    riders: Literal["passengers", "crew", "nobody", "none"] | None = None
    tag: Free = ""


class LeaveEntry(Structure, frozen=True, kw_only=True):
    id: Text
    host: Text
    criterion: Text
    of: Free = ""
    at: Several = ()
    from_day: FullDay = field(name="from")
    until: FullDay
    for_what: Literal["move", "repair"] = field(name="for")
    signed_by: Name
    signed_on: FullDay | None = None
    paper: Free = ""
    leaves: Annotated[LeaveConditions, Accepts.before(_all_none, schema_of(LeaveConditions))] | None = None
    sure: Reason = ""


class MoveMadeEntry(Structure, frozen=True, kw_only=True):
    from_day: FullDay = field(name="from")
    to: FullDay
    miles: Miles
    host: Text
    remarks: Free = ""
    sure: Reason = ""


class LogHead(Structure, frozen=True, kw_only=True):
    complete_since: FullDay
    by: Text


class PhotographEntry(Structure, frozen=True, kw_only=True):
    file: Text
    of: Several
    reading: Free = ""
    on: FullDay
    by: Text
    after: Several = ()
    sha256: Digest
    original_sha256: Digest = ""


class CorrectionEntry(Structure, frozen=True, kw_only=True):
    """What was read (`is`) is a value, and no key of a fixed shape."""

    of: Text
    reading: Text
    read_on: FullDay | None = None
    said: Text
    by: Text
    on: FullDay
    why: Why


class MoveHead(Structure, frozen=True, kw_only=True):
    host: Text
    train: Literal["passenger", "freight", "excursion"]
    out: FullDay
    back: FullDay
    rides: Riders
    circular: Literal["none"] | None = None
    host_is_not: Several = ()
    editions: dict[str, Text] = field(default_factory=dict)
    sure: Reason = ""


class LegHead(Structure, frozen=True, kw_only=True):
    from_place: Text = field(name="from")
    to: Text
    miles: Miles
    on: FullDay | None = None
    until: FullDay | None = None
    sure: Reason = ""


_Named = TypeVar("_Named")
_NONE: Mapping[str, Attribute] = {}


def read_entry(
    node: Node,
    model: type[StructureType],
    reporter: RecordReporter,
    what: str,
    facts: Mapping[str, Attribute] | None = _NONE,
) -> tuple[StructureType | None, dict[str, Value]]:
    """The fixed part of an entry (None if something in it is wrong), and its further facts by name.

    facts: what else the entry may say; None where that is not known, and other keys go unread.
    """
    if node.kind != "mapping":
        reporter.note(node, node.describe(), f"{what}: a mapping")
        return None, {}
    head = read_as(node.only(keys_of(model)), model, reporter.problems)
    why = getattr(head, "sure", "")
    if why:
        reporter.sure.append(SureEntry(what, "", None, why, _signer(node), node.where))
    return head, ({} if facts is None else read_facts(node, keys_of(model), facts, reporter, what))


def read_head(node: Node, model: type[StructureType], reporter: RecordReporter, what: str) -> StructureType | None:
    """The fixed part of an entry alone."""
    return read_entry(node, model, reporter, what, None)[0]


def read_facts(
    node: Node, fixed: tuple[str, ...], facts: Mapping[str, Attribute], reporter: RecordReporter, what: str
) -> dict[str, Value]:
    """The further facts of a mapping, by name; what is `not known` is none. Other keys are reported."""
    read: dict[str, Value] = {}
    days = _days_of(node) if any(one.type == "date" for one in facts.values()) else NO_DAYS
    for key, value in reporter.mapping(node, what):
        if key in fixed:
            continue
        attribute = facts.get(key)
        if attribute is None:
            reporter.unknown_key(node, key, dict.fromkeys((*fixed, *facts)), what)
            continue
        found = None if is_not_known(value) else read_value(value, attribute, reporter, days)
        if found is None:
            continue
        if found.gauge:
            reporter.note(
                value, f"a gauge for `{key}`", "the value alone", remedy="a gauge is named on a sheet or a test"
            )
        if found.sure:
            reporter.sure.append(SureEntry(what, key, found.value, found.sure, _signer(node), value.where))
        read[key] = found.value
    return read


def _days_of(node: Node) -> Days:
    """The days of an entry that the range of a fact may count from; one that can't be read is told of by itself."""
    days: dict[str, tuple[date, date]] = {}
    for key in ("on", "from", "out", "back"):
        given = node.get(key) if node.kind == "mapping" else None
        if given is not None and given.kind == "scalar":
            try:
                day = full_day(given.text)
            except QuantityError:
                continue
            days[key] = (day, day)
    return days


def _signer(node: Node) -> str:
    """Who signs an entry, by his short name; "" where nobody does."""
    by = node.get("by")
    return by.text.strip() if by is not None and by.kind == "scalar" else ""


def kind_named(node: Node, key: str, kinds: Mapping[str, _Named], reporter: RecordReporter, what: str) -> _Named | None:
    """What the vocabulary has under the name that a key of the entry gives; None (reported) for an unknown name."""
    given = node.get(key) if node.kind == "mapping" else None
    if given is None or given.kind != "scalar" or given.is_empty:
        return None  # the fixed part of the entry says so
    name = given.text.strip()
    return kinds[name] if reporter.is_known(given, name, kinds, what, _entry_names) else None


def _entry_names() -> OtherNames:
    # imported only where a message needs it, since start-up is felt at every check
    from carknocker.vocabulary.other_names import names_of_entries

    return names_of_entries()
