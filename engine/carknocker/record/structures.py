"""The fixed shapes of entries: people, gauges, heads of sheets, work, tests, papers, spares, leaves, moves."""

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainValidator, StringConstraints

from carknocker.documents.structure import Structure
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.value_text import full_day
from carknocker.vocabulary.model import Access

Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=2000)]
Free = Annotated[str, StringConstraints(strip_whitespace=True, max_length=2000)]
FullDay = Annotated[date, BeforeValidator(full_day)]


def _quantity(dimension: str) -> PlainValidator:
    def read(text: Any) -> Quantity:
        if not isinstance(text, str):
            raise QuantityError("a list or a mapping", f"a {dimension}")
        return read_quantity(text.strip(), dimension)

    return PlainValidator(read)


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


Riders = Literal["passengers", "crew", "nobody"]
Miles = Annotated[Quantity, _quantity("distance")]
Speed = Annotated[Quantity, _quantity("speed")]
Several = Annotated[tuple[Text, ...], BeforeValidator(_several)]
SeveralAccesses = Annotated[tuple[Access, ...], BeforeValidator(_several)]
Whole = Annotated[int, BeforeValidator(_whole_number)]
YesOrNo = Annotated[Literal["yes", "no"], BeforeValidator(_yes_or_no)]


class PersonEntry(Structure):
    role: Text
    full_name: Free = ""
    accepted_by: Several = ()
    until: FullDay | None = None


class GaugeEntry(Structure):
    kind: Text
    reads_to: Free = ""
    uncertainty: Free = ""
    checked: FullDay | None = None
    due: FullDay | None = None


class SheetHead(Structure):
    on: FullDay
    by: Text
    gauge: Free = ""
    access: SeveralAccesses = ()
    car: Free = ""
    paper: Free = ""
    after: Several = ()


class WorkHead(Structure):
    id: Text
    on: FullDay
    name: Text = Field(alias="did")
    at: Several = ()
    by: Free = ""
    after: Several = ()
    paper: Free = ""
    off: Free = ""
    fitted: Free = ""
    end_for_end: YesOrNo = "no"


class EventHead(Structure):
    id: Text
    on: FullDay
    name: Text = Field(alias="happened")
    at: Several = ()
    by: Free = ""
    after: Several = ()
    paper: Free = ""


class TestHead(Structure):
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


class PaperHead(Structure):
    paper: Text
    on: FullDay | None = None
    from_day: FullDay | None = Field(default=None, alias="from")
    until: FullDay | None = None
    by: Free = ""


class SpareHead(Structure):
    spare: Text
    serial: Free = ""
    carried: Whole = 0
    shelf: Whole = 0


class LeaveLeaves(Structure):
    speed: Speed | None = None
    place: Free = ""
    riders: Riders | None = None
    tag: Free = ""


class LeaveEntry(Structure):
    id: Text
    host: Text
    criterion: Text
    of: Free = ""
    at: Several = ()
    from_day: FullDay = Field(alias="from")
    until: FullDay
    for_what: Literal["move", "repair"] = Field(alias="for")
    signed_by: Text
    paper: Free = ""
    leaves: LeaveLeaves | None = None


class MoveMadeEntry(Structure):
    from_day: FullDay = Field(alias="from")
    to: FullDay
    miles: Miles
    host: Text
    remarks: Free = ""


class MoveHead(Structure):
    host: Text
    train: Literal["passenger", "freight", "excursion"]
    out: FullDay
    back: FullDay
    rides: Riders
    circular: Literal["none"] | None = None
    editions: dict[str, Text] = Field(default_factory=dict)


class LegHead(Structure):
    from_place: Text = Field(alias="from")
    to: Text
    miles: Miles
    on: FullDay | None = None
    until: FullDay | None = None
