"""Random criteria of every form, and cars with something to say to them: readings by gauge and by go/no-go gauge, by
people whom the host accepts and by others, tests, papers, ages, work that makes readings void, a spare wheelset."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from hypothesis import strategies as st
from random_worlds import (
    INSPECTOR,
    NOWHERE,
    OUT,
    STRANGER,
    attribute,
    car_record,
    compare,
    criterion,
    inches,
    move,
    reading,
)

from carknocker.quantities import Period, Quantity
from carknocker.record.model import NO_END, CarRecord, Evidence, Gauge, Leg, Move, Work
from carknocker.record.values import Bound, Day, Figure, Interval, NotAccessible, Value, Word
from carknocker.rulebook.clauses import (
    AllOf,
    AnyOf,
    AttributePath,
    ByTable,
    Clause,
    Comparison,
    CountOf,
    EachOf,
    FromPart,
)
from carknocker.rulebook.model import Criterion, Renewal

LENGTHS = {
    "wheel": ("flange_thickness", "rim_thickness"),
    "wheelset": ("back_to_back", "back_to_back_largest"),
    "coupler": ("coupler_height",),
}
WORDS = {
    "wheel": (("plate_shape", ("straight", "curved")), ("loose_on_axle", ("yes", "no"))),
    "coupler": (("tight_lock", ("yes", "no")),),
    "truck": (("truck_kind", ("two-axle", "three-axle")),),
    "car": (("private_car", ("yes", "no")),),
    "brake system": (("cut_out", ("yes", "no")),),
}
INSIDE = {"end": "coupler", "truck": "wheel", "car": "coupler"}
KINDS = ("wheel", "wheelset", "coupler", "truck", "car", "brake system", "end")
TURNED = "wheels turned"
VOIDED = ("flange_thickness", "rim_thickness")
"""What turning a wheel makes void in these worlds."""

figures = st.integers(10, 18).map(lambda number: Figure(inches(number)))
spans = st.sampled_from([Period(days=3), Period(days=30), Period(months=1), Period(months=3)])


def path(kind: str, name: str, owner: str = "") -> AttributePath:
    return AttributePath(owner, attribute(owner or kind, name))


@st.composite
def comparisons(draw: st.DrawFn, kind: str, *, dated: bool = True) -> Comparison:
    forms = ["move"]
    forms += ["figure", "figure", "shown"] if kind in LENGTHS else []
    forms += ["from part", "table"] if kind == "wheel" else []
    forms += ["word"] if kind in WORDS else []
    forms += ["derived"] if kind in ("wheel", "wheelset") else []
    forms += ["truck"] if kind in ("wheel", "wheelset") else []
    if dated:
        forms += ["age"] if kind in ("car", "truck", "wheel") else []
        forms += ["test", "paper"] if kind in ("car", "brake system", "coupler") else []
        forms += ["day"] if kind == "brake system" else []
    side = draw(st.sampled_from(["over", "at_least", "under", "at_most"]))
    match draw(st.sampled_from(forms)):
        case "figure":
            return compare(kind, draw(st.sampled_from(LENGTHS[kind])), side, draw(figures))
        case "shown":
            return compare(kind, draw(st.sampled_from(LENGTHS[kind])), "shown", Word("yes"))
        case "from part":
            one, other = path(kind, "flange_thickness"), path(kind, "rim_thickness")
            return Comparison(one, side, FromPart(other), NOWHERE)
        case "table":
            rows: dict[str, Value] = {"straight": draw(figures)}
            otherwise = draw(st.none() | figures)
            limit = ByTable(path(kind, "plate_shape"), rows, otherwise)
            return Comparison(path(kind, "flange_thickness"), side, limit, NOWHERE)
        case "word":
            return _word(draw, kind, "")
        case "truck":
            return _word(draw, "truck", "truck")
        case "derived":
            owner = "" if kind == "wheelset" else "wheelset"
            steps = Figure(inches(draw(st.integers(0, 3))))
            return compare(kind, "back_to_back_variation", side, steps, owner=owner)
        case "age":
            owner = "" if kind in ("car", "truck") and draw(st.booleans()) else "car"
            years = Interval(Period(months=12 * draw(st.sampled_from([10, 50]))))
            return compare(kind, "age", side, years, owner="" if kind == owner else owner)
        case "test":
            name, owner = draw(st.sampled_from([("single_car_test", "brake system"), ("annual_inspection", "car")]))
            limits = draw(st.lists(spans, min_size=1, max_size=2))
            word = draw(st.sampled_from(["within", "within", "shown"]))
            values = [Interval(one) for one in limits] if word == "within" else [Word("yes")]
            return compare(kind, name, word, *values, owner="" if owner == kind else owner)
        case "paper":
            owner = "" if kind == "car" else "car"
            return compare(kind, "liability_insurance", "in_force", Word("yes"), owner=owner)
        case "day":
            miles = Figure(Quantity("distance", draw(st.sampled_from([100, 400])), 1))
            limits = [Interval(draw(spans)), *([miles] if draw(st.booleans()) else [])]
            return compare(kind, "brake_maintenance_done_on", "within", *limits)
        case _:
            return compare(kind, "train", "is", Word(draw(st.sampled_from(["passenger", "freight"]))), owner="move")


def _word(draw: st.DrawFn, kind: str, owner: str) -> Comparison:
    name, words = draw(st.sampled_from(WORDS[kind]))
    word = draw(st.sampled_from(["is", "is_not", "one_of", "none_of"]))
    chosen = words if word in ("one_of", "none_of") and draw(st.booleans()) else words[:1]
    return compare(kind, name, word, *[Word(one) for one in chosen], owner=owner)


@st.composite
def clauses(draw: st.DrawFn, kind: str, *, dated: bool = True) -> Clause:
    one = comparisons(kind, dated=dated)
    still = comparisons(kind, dated=False)
    match draw(st.sampled_from(["one", "one", "all", "any", "deep", "count", "each"])):
        case "all":
            return AllOf((draw(one), draw(still)))
        case "any":
            return AnyOf((draw(still), draw(one)))
        case "deep":
            return AllOf((draw(still), AnyOf((draw(one), draw(still)))))
        case "count" if kind in INSIDE:
            inside = INSIDE[kind]
            word = draw(st.sampled_from(["over", "at_least", "under", "at_most", "is"]))
            when = draw(st.none() | clauses_on_part(inside))
            return CountOf(inside, when, word, draw(st.integers(0, 3)), NOWHERE)
        case "each" if kind in INSIDE:
            inside = INSIDE[kind]
            return EachOf(inside, draw(st.none() | clauses_on_part(inside)), draw(clauses_on_part(inside)), NOWHERE)
        case _:
            return draw(one)


def clauses_on_part(kind: str) -> st.SearchStrategy[Clause]:
    return comparisons(kind, dated=False)


@st.composite
def criteria(draw: st.DrawFn) -> list[Criterion]:
    """Ten criteria. At most one thing in each condition changes with the days: what is true on only some days
    of the move is told by one day."""
    found = []
    for number in range(10):
        kind = draw(st.sampled_from(KINDS))
        turns = draw(st.sampled_from(["when", "unless", "neither"]))
        found.append(
            criterion(
                f"c{number}", kind, draw(clauses(kind)),
                when=draw(st.none() | clauses(kind, dated=turns == "when")),
                unless=draw(st.none() | st.none() | clauses(kind, dated=turns == "unless")),
                effect="advise",
                read_within=draw(st.none() | st.none() | spans),
                shown_by=draw(st.sampled_from(["owner before the move", "accepted shop", "host on the day"])),
                borderline=draw(st.sampled_from(["advise", "refuse"])),
                renewal=draw(st.none() | st.none() | st.just(Renewal("crew", None, True))),
            )
        )  # fmt: skip
    return found


GAUGES = [
    None,
    Gauge("G-1", "gauge", inches(1), OUT - timedelta(days=9000), NO_END, NOWHERE),
    Gauge("G-2", "gauge", inches(1), OUT - timedelta(days=400), OUT - timedelta(days=40), NOWHERE),
]


@st.composite
def evidence_of(draw: st.DrawFn, part: str, name: str, value: Value, number: int) -> Evidence:
    gauge = draw(st.sampled_from(GAUGES))
    more: dict[str, Any] = {"gauge": gauge, "resolution": None if gauge is None else gauge.reads_to}
    if draw(st.booleans()):
        more["gauge_uncertainty"] = inches(1, 64)
    ago = draw(st.sampled_from([0, 1, 2, 25, 29, 31, 60, 89, 200]))
    by = draw(st.sampled_from([INSPECTOR, INSPECTOR, STRANGER]))
    return reading(part, name, value, OUT - timedelta(days=ago), number, by=by, **more)


@st.composite
def lengths(draw: st.DrawFn) -> Value:
    exact = draw(figures)
    match draw(st.sampled_from(["exact", "exact", "exact", "range", "out of sight"])):
        case "range":
            low, high = draw(st.sampled_from([(exact.quantity, None), (None, exact.quantity)]))
            return Bound(low, draw(st.booleans()), high, draw(st.booleans()))
        case "out of sight":
            return NotAccessible("pit")
    return exact


@st.composite
def cars(draw: st.DrawFn) -> CarRecord:
    found: list[Evidence] = []
    wheels = [f"wheel W-{n} {side}" for n in (1, 2, 9) for side in ("left", "right")]
    places = {
        "wheel": wheels, "wheelset": ["wheelset W-1", "wheelset W-2", "wheelset W-9"],
        "coupler": ["coupler B", "coupler A"], "truck": ["truck B", "truck A"], "car": ["car"],
        "brake system": ["brake system"],
    }  # fmt: skip
    for kind, names in LENGTHS.items():
        for part in places[kind]:
            for name in names:
                for value in draw(st.lists(lengths(), max_size=2)):
                    found.append(draw(evidence_of(part, name, value, len(found))))
    for kind, own in WORDS.items():
        for part in places[kind]:
            for name, words in own:
                if draw(st.booleans()):
                    value = Word(draw(st.sampled_from(words)))
                    told = attribute(kind, name).description
                    number = len(found)
                    one = draw(evidence_of(part, name, value, number))
                    found.append(described(part, name, value) if told else one)
    for part, name in (("car", "built_on"), ("truck B", "built_on")):
        years, days = draw(st.sampled_from([10, 50])), draw(st.integers(-12, 3))
        if draw(st.booleans()):
            built = OUT.replace(year=OUT.year - years) - timedelta(days=days)
            found.append(described(part, name, _day(built)))
    for part, name in (("brake system", "single_car_test"), ("car", "annual_inspection")):
        for number in range(draw(st.integers(0, 2))):
            result = Word(draw(st.sampled_from(["passed", "passed", "failed"])))
            until = draw(st.none() | st.integers(-2, 12).map(lambda days: OUT + timedelta(days=days)))
            ago = OUT - timedelta(days=draw(st.sampled_from([1, 25, 29, 80])))
            by = draw(st.sampled_from([INSPECTOR, INSPECTOR, STRANGER]))
            found.append(reading(part, name, result, ago, number, sort="test", by=by, until=until))
    for number in range(draw(st.integers(0, 2))):
        first = OUT + timedelta(days=draw(st.sampled_from([-9, -1, 4, 5])))
        until = draw(st.none() | st.integers(0, 12).map(lambda days, first=first: first + timedelta(days=days)))
        found.append(
            Evidence(
                f"paper {number}", "liability_insurance", "car", "car", Word("yes"), "paper", None, NOWHERE, until,
                facts={"from": _day(first)},
            )
        )  # fmt: skip
    if draw(st.booleans()):
        done = OUT - timedelta(days=draw(st.sampled_from([1, 2, 29, 85])))
        found.append(draw(evidence_of("brake system", "brake_maintenance_done_on", _day(done), len(found))))
    work = [
        Work(f"J-{number}", False, TURNED, OUT - timedelta(days=draw(st.sampled_from([1, 30]))), (wheel,), NOWHERE)
        for number, wheel in enumerate(draw(st.lists(st.sampled_from(wheels), max_size=2, unique=True)))
    ]
    return car_record(found, axles=2, work=work, spare_wheelsets=("W-9",))


def described(part: str, name: str, value: Value) -> Evidence:
    return Evidence(f"{part} {name}", name, part, part, value, "description", None, NOWHERE)


def _day(day: Any) -> Day:
    return Day(day, day, day.isoformat())


@st.composite
def moves(draw: st.DrawFn) -> Move:
    miles = Quantity("distance", draw(st.sampled_from([50, 200, 500])), 1)
    legs = (Leg(1, "here", "there", miles, {}, NOWHERE),) if draw(st.booleans()) else ()
    back = OUT + timedelta(days=draw(st.sampled_from([0, 1, 10])))
    return move(train=draw(st.sampled_from(["passenger", "freight"])), back=back, legs=legs)
