"""What runs out is said as a fact: which reading or test, of which day, good for how long; once for each fact."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from case_list import answer, names
from random_worlds import NOWHERE, OUT, REACH, attribute, car_record, criterion, inches, move, reading, rulebook

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.quantities import Period
from carknocker.record.values import Day, Figure, Interval, Word
from carknocker.rulebook.clauses import AttributePath, Comparison, Fixed
from carknocker.rulebook.model import Criterion
from carknocker.wording.lapses import LapseLine, lapse_lines

MADE = OUT - timedelta(days=3)


def within(kind: str, name: str, period: Period) -> Comparison:
    return Comparison(AttributePath("", attribute(kind, name)), "within", Fixed((Interval(period),)), NOWHERE)


def over(kind: str, name: str, sixteenths: int) -> Comparison:
    limit = Fixed((Figure(inches(sixteenths)),))
    return Comparison(AttributePath("", attribute(kind, name)), "over", limit, NOWHERE)


def lines(criteria: list[Criterion], evidence: list) -> list[tuple[date, str, LapseLine]]:
    index = JudgementIndex(judge(car_record(evidence), move(), rulebook(criteria, REACH), OUT))
    lapsing = [(one, last) for one in index.judgement.findings if (last := index.last_day(one)) is not None]
    return [(day, line.text(index), line) for day, line in lapse_lines(lapsing, index)]


MONTHS = [
    (within("brake system", "single_car_test", Period(days=30)), "single_car_test", Word("passed"), "test",
     f"The brake system: single-car brake test last made {MADE}, good for 30 days"),
    (within("brake system", "brake_maintenance_done_on", Period(days=30)), "brake_maintenance_done_on",
     Day(MADE, MADE, MADE.isoformat()), "reading",
     f"The brake system: brake maintenance done {MADE}, good for 30 days"),
]  # fmt: skip


@pytest.mark.parametrize(("must", "name", "value", "sort", "said"), MONTHS)
def test_a_test_and_a_day_say_when_and_for_how_long(must, name, value, sort, said) -> None:
    found = lines([criterion("brake", "brake system", must)], [reading("brake system", name, value, MADE, sort=sort)])
    assert [(day, text) for day, text, _ in found] == [(MADE + timedelta(days=30), said)]


def test_readings_of_one_day_are_one_line_and_those_of_another_are_not() -> None:
    rule = criterion("rim", "wheel", over("wheel", "rim_thickness", 16), read_within=Period(days=90))
    on = {"W-1": MADE, "W-2": MADE, "W-3": MADE - timedelta(days=1)}
    rims = [
        reading(f"wheel {serial} {side}", "rim_thickness", Figure(inches(24)), day)
        for serial, day in on.items()
        for side in ("left", "right")
    ]
    assert [(day, text) for day, text, _ in lines([rule], rims)] == [
        (MADE + timedelta(days=89),
         f"Wheels L3, R3: rim thickness last measured {MADE - timedelta(days=1)}, good for 90 days"),
        (MADE + timedelta(days=90), f"Wheels L1, L2, R1, R2: rim thickness last measured {MADE}, good for 90 days"),
    ]  # fmt: skip


def test_two_rules_that_ask_for_one_test_are_one_line_with_both_sources() -> None:
    both = [
        criterion(name, "brake system", within("brake system", "single_car_test", Period(days=30)), source=source)
        for name, source in (("law", "a"), ("host", "b"))
    ]
    ((_, _, line),) = lines(both, [reading("brake system", "single_car_test", Word("passed"), MADE, sort="test")])
    assert line.sources == ("a", "b")
    assert line.in_brief == "single-car brake test of the brake system"


def test_what_lasts_for_good_runs_out_never() -> None:
    lasting = criterion("rim", "wheel", over("wheel", "rim_thickness", 16))
    assert lines([lasting], [reading("wheel W-1 left", "rim_thickness", Figure(inches(24)), MADE)]) == []


@pytest.mark.parametrize("name", names())
def test_no_line_of_a_demo_is_the_title_of_a_requirement(name: str) -> None:
    index = JudgementIndex(answer(name).judgement)
    lapsing = [(one, last) for one in index.judgement.findings if (last := index.last_day(one)) is not None]
    titles = {one.criterion.title for one, _ in lapsing}
    said = [line for _, line in lapse_lines(lapsing, index)]
    assert not [line.said for line in said if any(title in line.said for title in titles)]
    assert {one.part.key for one, _ in lapsing} == {part.key for line in said for part in line.parts}
