"""Silence is never better than speech: over random cars, moves and rulebooks, no entry can be left out to gain by it,
but for what the table of exceptions names."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import criteria_worlds
import pytest
from example_counts import examples
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from left_out import EXCEPTIONS, better, exceptions, gone
from msgspec.structs import replace
from random_worlds import (
    HOST,
    INSPECTOR,
    NOWHERE,
    OUT,
    REACH,
    car_record,
    cause,
    compare,
    consequence,
    criterion,
    inches,
    move,
    reading,
    requires,
    rulebook,
    worlds,
)

from carknocker.judgement.judge import judge
from carknocker.quantities import Quantity
from carknocker.record.model import CarRecord, Evidence, Gauge, LogStatement, Move, MoveMade, Work
from carknocker.record.values import Day, Figure, Word
from carknocker.rulebook.model import Criterion, Restriction, Restricts, Rulebook, Voids

FIELDS = ("evidence", "work", "spares", "leaves", "moves_made")


UNSAID: dict[str, dict[str, Any]] = {
    "signed_on": {"signed_on": None},
    "at": {"at": ()},
    "speed": {"speed": None, "unsaid": ("speed",)},
    "riders": {"riders": "", "unsaid": ("riders",)},
}
"""A host's written permission without one thing that it said."""


@st.composite
def cars_without(draw: st.DrawFn, car: CarRecord) -> CarRecord:
    """The car with one entry left out: evidence, work, a spare, a host's written permission; or one thing said."""
    fields = [name for name in FIELDS if getattr(car, name)]
    assume(fields)
    name = draw(st.sampled_from(fields))
    entries: tuple[Any, ...] = getattr(car, name)
    chosen = draw(st.sampled_from(entries))
    kept: list[Any] = [one for one in entries if one is not chosen]
    if name == "evidence":
        said = [field for field in ("until", "by", "gauge", "resolution") if getattr(chosen, field) is not None]
        field = draw(st.sampled_from(["", *said]))
        if field in ("until", "by"):
            kept = [replace(one, **{field: None}) if one is chosen else one for one in entries]
    if name == "leaves":
        field = draw(st.sampled_from(["", *UNSAID]))
        if field:
            kept = [replace(one, **UNSAID[field]) if one is chosen else one for one in entries]
    return replace(car, **{name: tuple(kept)})


@st.composite
def worlds_of_every_clause(draw: st.DrawFn) -> tuple[CarRecord, Move, Rulebook]:
    """Criteria of every form that refuse or restrict, trips of some days, papers, tests, ages, a spare wheelset; states
    that burden, and what a frame or a valve that is not on record may be."""
    found = [
        replace(
            one,
            effect=(effect := draw(st.sampled_from(["refuse", "refuse", "restrict"]))),
            restrictions=SLOW if effect == "restrict" else (),
        )
        for one in draw(criteria_worlds.criteria())
    ]
    states = [
        consequence(
            f"state-{number}",
            [cause("state", of=kind, when=draw(criteria_worlds.clauses(kind, dated=False)))],
            draw(st.sampled_from([Restricts(SLOW), requires("brake system", test="single-car brake test")])),
        )
        for number, kind in enumerate(draw(st.lists(st.sampled_from(["wheel", "truck", "coupler"]), max_size=2)))
    ]
    return draw(criteria_worlds.cars()), draw(criteria_worlds.moves()), rulebook(found, [*REACH, *states])


SLOW = (Restriction("speed", quantity=Quantity("speed", 40, 1)),)


@settings(max_examples=examples(25))
@given(worlds() | worlds_of_every_clause(), st.data())
def test_an_entry_left_out_makes_nothing_better(world: Any, data: st.DataObject) -> None:
    car, one_move, book = world
    changed = data.draw(cars_without(car))
    before, after = judge(car, one_move, book, OUT), judge(changed, one_move, book, OUT)
    lost = gone(before, after)
    if better(after, before) or lost:
        gone_from = [one for name in FIELDS for one in getattr(car, name) if one not in getattr(changed, name)]
        rules = {name.partition(":")[0] for _, name, _ in lost}
        named = [one for one in (*book.criteria, *book.consequences) if one.id in rules]
        assert exceptions(before, changed), (before.outcome, after.outcome, lost, gone_from, named)


def miles(number: int) -> Quantity:
    return Quantity("distance", number, 1, "mi")


def flange(sixteenths: int, ago: int, number: int, **more: Any) -> Evidence:
    return reading(
        "wheel W-1 left", "flange_thickness", Figure(inches(sixteenths)), OUT - timedelta(days=ago), number, **more
    )


def overdue() -> Evidence:
    """A good flange, by a gauge that was due for its check before."""
    gauge = Gauge("G-1", "finger gauge", inches(1), OUT - timedelta(days=400), OUT - timedelta(days=40), NOWHERE)
    return replace(flange(20, 3, 2), gauge=gauge)


def thick(sixteenths: int = 14) -> list[Criterion]:
    """A flange of at least so much, asked of the wheels that have a reading on record."""
    asked = compare("wheel", "flange_thickness", "at_least", Figure(inches(sixteenths)))
    return [criterion("thick", "wheel", asked, when=compare("wheel", "serial", "is", Word("1")))]


def serials() -> list[Evidence]:
    """The wheel that is asked about, and all others."""
    return [
        Evidence(
            f"{key} serial",
            "serial",
            key,
            key,
            Word("1" if key == "wheel W-1 left" else "2"),
            "description",
            None,
            NOWHERE,
        )
        for axle in range(1, 5)
        for key in (f"wheel W-{axle} left", f"wheel W-{axle} right")
    ]


MADE = MoveMade(date(2029, 5, 1), date(2029, 5, 9), miles(640), HOST, NOWHERE)
OPENED = Day(date(2028, 3, 1), date(2028, 3, 1), "2028-03-01")
OLD = [
    reading(f"bearing W-{axle} {side}", "reconditioned_on", OPENED, OUT - timedelta(days=9))
    for axle in range(1, 5)
    for side in ("left", "right")
]
TURNED = Work("J-1", False, "wheels turned", OUT - timedelta(days=2), ("wheel W-1 left",), NOWHERE)
VOIDS = consequence("voids", [cause("work", names=("wheels turned",))], Voids("", ("flange_thickness",), "wheel"))
FAR = criterion("far", "bearing", compare("bearing", "reconditioned_on", "within", Figure(miles(639))))


@pytest.mark.parametrize(
    ("exception", "book", "record", "entry"),
    [
        ("bad news", rulebook(thick(), REACH), [flange(20, 9, 1), flange(12, 3, 2)], "evidence"),
        ("says nothing good", rulebook(thick(), REACH), [flange(20, 9, 1), overdue()], "evidence"),
        ("contradiction", rulebook(thick(), REACH), [flange(15, 9, 1), flange(24, 3, 2)], "evidence"),
        ("work", rulebook(thick(), [*REACH, VOIDS]), [flange(20, 9, 1), TURNED], "work"),
        ("a move made", rulebook([FAR], REACH), [*OLD, MADE], "moves_made"),
    ],
)
def test_each_exception_can_come_about(exception: str, book: Rulebook, record: list[Any], entry: str) -> None:
    """With its last entry the car is not ready, without it it is."""
    evidence = [one for one in record if isinstance(one, Evidence)]
    log = LogStatement(date(2020, 1, 1), INSPECTOR, NOWHERE)
    car = replace(
        car_record([*serials(), *evidence], log=log),
        work=tuple(one for one in record if isinstance(one, Work)),
        moves_made=tuple(one for one in record if isinstance(one, MoveMade)),
    )
    changed = replace(car, **{entry: tuple(one for one in getattr(car, entry) if one is not record[-1])})
    before, after = judge(car, move(), book, OUT), judge(changed, move(), book, OUT)
    assert (before.outcome, after.outcome) == ("not ready", "ready")
    assert exception in exceptions(before, changed)


def test_the_table_of_exceptions_names_each_of_them() -> None:
    assert set(EXCEPTIONS) == {
        "bad news", "says nothing good", "contradiction", "work", "a move made",
        "a permission that nothing needs",
    }  # fmt: skip
