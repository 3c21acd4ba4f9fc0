"""A finding asked again: what lapses however fresh it is, and what work can still clear."""

from __future__ import annotations

from datetime import timedelta

import pytest
from random_worlds import OUT, REACH, car_record, compare, criterion, inches, move, reading, rulebook

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.quantities import Period
from carknocker.record.model import Evidence
from carknocker.record.values import Day, Figure, Interval, Word
from carknocker.rulebook.clauses import AllOf, Clause
from carknocker.whatif.hypothetical_finding import lapses_however_fresh

WHEEL = "wheel W-1 left"
THICK = compare("wheel", "flange_thickness", "over", Figure(inches(14)))


def lapses(evidence: list[Evidence], of: str, must: Clause, days: int, part: str, **more: object) -> bool:
    """Whether the one finding on the part, which lapses on a move of so many days, lapses however fresh it is."""
    journey = move(back=OUT + timedelta(days=days))
    judgement = judge(car_record(evidence), journey, rulebook([criterion("rule", of, must, **more)], REACH), OUT)
    (finding,) = [one for one in judgement.findings if one.part.key == part]
    assert finding.verdict == "lapses"
    return lapses_however_fresh(JudgementIndex(judgement), finding, OUT)


def ago(days: int) -> Day:
    day = OUT - timedelta(days=days)
    return Day(day, day, day.isoformat())


@pytest.mark.parametrize(("days", "certain"), [(90, False), (91, True), (3653, True)])
def test_a_reading_of_ninety_days_does_not_last_a_longer_move(days: int, certain: bool) -> None:
    old = reading(WHEEL, "flange_thickness", Figure(inches(16)), OUT - timedelta(days=60))
    assert lapses([old], "wheel", THICK, days, WHEEL, read_within=Period(days=90)) is certain


@pytest.mark.parametrize(("days", "certain"), [(365, False), (366, True)])
def test_a_test_and_a_day_that_is_told_are_renewed_too(days: int, certain: bool) -> None:
    passed = reading("brake system", "single_car_test", Word("passed"), OUT - timedelta(days=300), sort="test")
    recent = compare("brake system", "single_car_test", "within", Interval(Period(days=365)))
    assert lapses([passed], "brake system", recent, days, "brake system") is certain
    told = reading("bearing W-1 left", "reconditioned_on", ago(300), OUT, sort="description")
    fresh = compare("bearing", "reconditioned_on", "within", Interval(Period(days=365)))
    assert lapses([told], "bearing", fresh, days, "bearing W-1 left") is certain


def test_a_paper_can_be_issued_for_as_long_as_it_takes() -> None:
    end = OUT + timedelta(days=5)
    paper = reading("car", "liability_insurance", Word("yes"), OUT, sort="paper", until=end)
    asked = compare("car", "liability_insurance", "in_force", Word("yes"))
    assert not lapses([paper], "car", asked, 3653, "car")


def test_where_a_condition_may_change_nothing_is_certain() -> None:
    read = [
        reading(WHEEL, "flange_thickness", Figure(inches(16)), OUT),
        reading(WHEEL, "rim_thickness", Figure(inches(20)), OUT),
    ]
    when = compare("wheel", "rim_thickness", "over", Figure(inches(16)))
    assert not lapses(read, "wheel", THICK, 3653, WHEEL, read_within=Period(days=90), when=when)
    both = AllOf((THICK, compare("wheel", "rim_thickness", "over", Figure(inches(16)))))
    assert lapses(read, "wheel", both, 3653, WHEEL, read_within=Period(days=90))
