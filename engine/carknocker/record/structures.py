"""The fixed shapes of entries: people, gauges, heads of sheets, work, tests, papers, spares, leaves, moves."""

from collections.abc import Callable
from datetime import date
from typing import Annotated, Any, Literal, get_args

from pydantic import Field, GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from carknocker.documents.structure import Structure
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.value_text import full_day
from carknocker.vocabulary.model import Access


class _Ready:
    """What pydantic validates a type with, given at once: it takes long to derive it, and start-up is felt at every
    check."""

    def __init__(self, schema: CoreSchema) -> None:
        self._schema = schema

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return self._schema


def _before(read: Callable[[Any], Any], schema: CoreSchema) -> _Ready:
    return _Ready(core_schema.no_info_before_validator_function(read, schema))


def _quantity(dimension: str) -> _Ready:
    def read(text: Any) -> Quantity:
        if not isinstance(text, str):
            raise QuantityError("a list or a mapping", f"a {dimension}")
        return read_quantity(text.strip(), dimension)

    return _Ready(core_schema.no_info_plain_validator_function(read))


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


_TEXT = core_schema.str_schema(strip_whitespace=True, min_length=1, max_length=2000)
_SEVERAL = core_schema.tuple_variable_schema(_TEXT)
_ACCESSES = core_schema.tuple_variable_schema(core_schema.literal_schema(list(get_args(Access))))

Text = Annotated[str, _Ready(_TEXT)]
Free = Annotated[str, _Ready(core_schema.str_schema(strip_whitespace=True, max_length=2000))]
FullDay = Annotated[date, _before(full_day, core_schema.date_schema())]
Riders = Literal["passengers", "crew", "nobody"]
Miles = Annotated[Quantity, _quantity("distance")]
Speed = Annotated[Quantity, _quantity("speed")]
Several = Annotated[tuple[str, ...], _before(_several, _SEVERAL)]
SeveralAccesses = Annotated[tuple[Access, ...], _before(_several, _ACCESSES)]
Whole = Annotated[int, _before(_whole_number, core_schema.int_schema())]
YesOrNo = Annotated[Literal["yes", "no"], _before(_yes_or_no, core_schema.literal_schema(["yes", "no"]))]


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
