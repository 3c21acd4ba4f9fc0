"""The fixed shapes of entries: people, gauges, heads of sheets, work, tests, papers, spares, leaves, moves."""

from datetime import date
from typing import Annotated, Any, Literal

from msgspec import field
from pydantic_core import core_schema

from carknocker.documents.structure import Accepts, Structure, schema_of
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.value_text import full_day
from carknocker.vocabulary.model import Access


def quantity(dimension: str) -> Accepts:
    """Accepts a quantity of a dimension, written with its unit."""

    def read(text: Any) -> Quantity:
        if not isinstance(text, str):
            raise QuantityError("a list or a mapping", f"a {dimension}")
        return read_quantity(text.strip(), dimension)

    return Accepts.made_by(read)


def _several(value: Any) -> Any:
    return value if isinstance(value, list) else [value]


def _whole_number(value: Any) -> Any:
    text = value.strip() if isinstance(value, str) else ""
    if not (text.isascii() and text.isdigit() and len(text) < 7):
        found = f"`{text[:60]}`" if text else "something else"
        raise QuantityError(found, "a whole number, of at most six digits")
    return int(text)


def _yes_or_no(value: Any) -> Any:
    return {"true": "yes", "false": "no"}.get(value, value) if isinstance(value, str) else value


_YesOrNo = Literal["yes", "no"]
_TEXT = core_schema.str_schema(strip_whitespace=True, min_length=1, max_length=2000)

Text = Annotated[str, Accepts(_TEXT)]
Free = Annotated[str, Accepts(core_schema.str_schema(strip_whitespace=True, max_length=2000))]
FullDay = Annotated[date, Accepts.before(full_day, core_schema.date_schema())]
Riders = Literal["passengers", "crew", "nobody"]
Miles = Annotated[Quantity, quantity("distance")]
Speed = Annotated[Quantity, quantity("speed")]
Several = Annotated[tuple[str, ...], Accepts.before(_several, schema_of(tuple[Text, ...]))]
SeveralAccesses = Annotated[tuple[Access, ...], Accepts.before(_several, schema_of(tuple[Access, ...]))]
Whole = Annotated[int, Accepts.before(_whole_number, core_schema.int_schema())]
YesOrNo = Annotated[_YesOrNo, Accepts.before(_yes_or_no, schema_of(_YesOrNo))]


class PersonEntry(Structure, frozen=True, kw_only=True):
    role: Text
    full_name: Free = ""
    accepted_by: Several = ()
    until: FullDay | None = None


class GaugeEntry(Structure, frozen=True, kw_only=True):
    kind: Text
    reads_to: Free = ""
    uncertainty: Free = ""
    checked: FullDay | None = None
    due: FullDay | None = None


class SheetHead(Structure, frozen=True, kw_only=True):
    on: FullDay
    by: Text
    gauge: Free = ""
    access: SeveralAccesses = ()
    car: Free = ""
    paper: Free = ""
    after: Several = ()


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


class PaperHead(Structure, frozen=True, kw_only=True):
    paper: Text
    on: FullDay | None = None
    from_day: FullDay | None = field(default=None, name="from")
    until: FullDay | None = None
    by: Free = ""


class SpareHead(Structure, frozen=True, kw_only=True):
    spare: Text
    serial: Free = ""
    carried: Whole = 0
    shelf: Whole = 0


class LeaveLeaves(Structure, frozen=True, kw_only=True):
    speed: Speed | None = None
    place: Free = ""
    riders: Riders | None = None
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
    signed_by: Text
    paper: Free = ""
    leaves: LeaveLeaves | None = None


class MoveMadeEntry(Structure, frozen=True, kw_only=True):
    from_day: FullDay = field(name="from")
    to: FullDay
    miles: Miles
    host: Text
    remarks: Free = ""


class MoveHead(Structure, frozen=True, kw_only=True):
    host: Text
    train: Literal["passenger", "freight", "excursion"]
    out: FullDay
    back: FullDay
    rides: Riders
    circular: Literal["none"] | None = None
    editions: dict[str, Text] = field(default_factory=dict)


class LegHead(Structure, frozen=True, kw_only=True):
    from_place: Text = field(name="from")
    to: Text
    miles: Miles
    on: FullDay | None = None
    until: FullDay | None = None
