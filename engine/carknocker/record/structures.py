"""The fixed shapes of entries: people, gauges, heads of sheets, work, tests, papers, spares, leaves, moves."""

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from carknocker.documents.structure import Structure
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.value_text import full_day

Text = Annotated[str, Field(min_length=1, max_length=2000)]
FullDay = Annotated[date, BeforeValidator(full_day)]
Count = Annotated[int, Field(ge=0, le=100_000)]


def _quantity(dimension: str) -> BeforeValidator:
    def read(text: Any) -> Quantity:
        if not isinstance(text, str):
            raise QuantityError("a list or a mapping", f"a {dimension}")
        return read_quantity(text.strip(), dimension)

    return BeforeValidator(read)


def _several(value: Any) -> Any:
    return value if isinstance(value, list) else [value]


def _whole_number(value: Any) -> Any:
    if not isinstance(value, str) or not value.strip().isdigit():
        raise QuantityError("something else", "a whole number")
    return int(value)


Miles = Annotated[Quantity, _quantity("distance")]
Speed = Annotated[Quantity, _quantity("speed")]
Several = Annotated[tuple[Text, ...], BeforeValidator(_several)]
Whole = Annotated[Count, BeforeValidator(_whole_number)]


class PersonEntry(Structure):
    role: Text
    full_name: str = ""
    accepted_by: Several = ()
    until: FullDay | None = None


class GaugeEntry(Structure):
    kind: Text
    reads_to: str = ""
    checked: FullDay | None = None
    due: FullDay | None = None


class SheetHead(Structure):
    on: FullDay
    by: Text
    gauge: str = ""
    access: str = ""
    car: str = ""
    paper: str = ""
    after: Several = ()


class WorkHead(Structure):
    id: Text
    on: FullDay
    did: Text
    at: Several = ()
    by: str = ""
    after: Several = ()
    off: str = ""
    fitted: str = ""
    end_for_end: Literal["yes", "no"] = "no"


class EventHead(Structure):
    id: Text
    on: FullDay
    happened: Text
    at: Several = ()
    by: str = ""
    after: Several = ()


class TestHead(Structure):
    __test__ = False

    test: Text
    on: FullDay
    by: Text
    result: Literal["passed", "failed"]
    at: Several = ()
    after: Several = ()
    paper: str = ""
    until: FullDay | None = None
    gauge: str = ""


class PaperHead(Structure):
    paper: Text
    on: FullDay | None = None
    from_day: FullDay | None = Field(default=None, alias="from")
    until: FullDay | None = None
    by: str = ""


class SpareHead(Structure):
    spare: Text
    serial: str = ""
    carried: Whole = 0
    shelf: Whole = 0


class LeaveLeaves(Structure):
    speed: Speed | None = None
    place: str = ""
    riders: Literal["", "passengers", "crew", "nobody"] = ""
    tag: str = ""


class LeaveEntry(Structure):
    id: Text
    host: Text
    criterion: Text
    of: str = ""
    at: Several = ()
    from_day: FullDay = Field(alias="from")
    until: FullDay
    for_what: Literal["move", "repair"] = Field(alias="for")
    signed_by: Text
    paper: str = ""
    leaves: LeaveLeaves = LeaveLeaves()


class MoveMadeEntry(Structure):
    from_day: FullDay = Field(alias="from")
    to: FullDay
    miles: Miles
    host: Text
    remarks: str = ""


class MoveHead(Structure):
    host: Text
    train: Literal["passenger", "freight", "excursion"]
    out: FullDay
    back: FullDay
    rides: Literal["passengers", "crew", "nobody"]
    circular: Literal["none", ""] = ""
    editions: dict[str, str] = Field(default_factory=dict)


class LegHead(Structure):
    from_place: Text = Field(alias="from")
    to: Text
    miles: Miles
