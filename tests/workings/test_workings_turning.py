"""Turning plans and wear: nobody cuts more than needed, all limits hold, and no rate is invented."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.workings import OutOfRange
from carknocker.workings.enclosure import Enclosure
from carknocker.workings.turning import Matching, WornWheel, turning_plan
from carknocker.workings.wear import RimReading, miles_left, wear_rate
from carknocker.workings.wheels import diameter_from_tape

eighths = st.integers(0, 16).map(lambda n: Fraction(n, 64))
sizes = st.integers(32 * 33, 32 * 36).map(lambda n: Fraction(n, 32))


@st.composite
def cars(draw: st.DrawFn) -> list[WornWheel]:
    axles = draw(st.integers(1, 4))
    return [
        WornWheel(f"{side}{axle}", "BA"[axle // 2], str(axle), draw(sizes), Fraction(2), draw(eighths))
        for axle in range(axles)
        for side in "LR"
    ]


@given(cars(), eighths, eighths, eighths)
def test_a_plan_keeps_every_limit_and_cuts_no_more_than_one_needs(
    wheels: list[WornWheel], axle: Fraction, truck: Fraction, car: Fraction
) -> None:
    plan = turning_plan(wheels, Matching(axle, truck, car), Fraction(1))
    cut = {(one.wheel.truck, one.wheel.axle) for one in plan.wheels if one.cut.high > 0}

    def limit_between(one: WornWheel, other: WornWheel) -> Fraction:
        if one.truck != other.truck:
            return car
        if one.axle != other.axle:
            return min(car, truck)
        return Fraction(0) if (one.truck, one.axle) in cut else min(car, truck, axle)

    for one in plan.wheels:
        assert one.cut.low >= one.wheel.finger
        assert one.rim.low == one.wheel.rim - one.cut.low
        assert one.works == (one.rim.low >= 1)
        assert one.diameter is not None
        for other in plan.wheels:
            assert other.diameter is not None
            if one is not other:
                assert one.diameter.low - other.diameter.low <= limit_between(one.wheel, other.wheel)
        # each wheel is as large as the one that governs it lets it be
        governor = next(other.wheel for other in plan.wheels if other.wheel.name == one.governs)
        allowed = Fraction(0) if governor is one.wheel else limit_between(one.wheel, governor)
        assert governor.diameter is not None
        assert one.diameter.low == Enclosure.of(governor.diameter).low - 2 * governor.finger + allowed


@given(sizes, eighths, eighths)
def test_of_wheels_that_were_alike_the_deeper_cut_governs_both(size: Fraction, one: Fraction, other: Fraction) -> None:
    wheels = [
        WornWheel("L1", "B", "1", size, Fraction(2), one),
        WornWheel("R1", "B", "1", size, Fraction(2), other),
    ]
    plan = turning_plan(wheels, Matching(Fraction(1, 8)), Fraction(1))
    assert [wheel.cut.low for wheel in plan.wheels] == [max(one, other)] * 2
    unknown = [WornWheel(wheel.name, "B", "1", None, wheel.rim, wheel.finger) for wheel in wheels]
    alike = turning_plan(unknown, Matching(Fraction(1, 8)), Fraction(1))
    assert [wheel.rim for wheel in alike.wheels] == [wheel.rim for wheel in plan.wheels]
    assert [wheel.diameter for wheel in alike.wheels] == [None, None]


def test_mates_within_their_limit_are_left_as_they_are() -> None:
    wheels = [
        WornWheel("L1", "B", "1", Fraction(36), Fraction(2), Fraction(0)),
        WornWheel("R1", "B", "1", Fraction(36) - Fraction(1, 16), Fraction(2), Fraction(0)),
    ]
    kept, turned = (turning_plan(wheels, Matching(Fraction(1, limit)), Fraction(1)) for limit in (16, 32))
    assert [one.cut.high for one in kept.wheels] == [0, 0]
    assert [one.cut.high for one in turned.wheels] == [Fraction(1, 32), 0]  # on the lathe they come off alike


def test_equal_sound_wheels_need_no_cut() -> None:
    wheels = [WornWheel(name, "B", "1", Fraction(36), Fraction(2), Fraction(0)) for name in ("L1", "R1")]
    plan = turning_plan(wheels, Matching(Fraction(0)), Fraction(1))
    assert [one.cut.high for one in plan.wheels] == [0, 0]
    assert plan.works


def test_a_plan_that_leaves_too_little_rim_does_not_work() -> None:
    wheels = [
        WornWheel("L1", "B", "1", Fraction(36), Fraction(5, 4), Fraction(1, 2)),
        WornWheel("R1", "B", "1", Fraction(36), Fraction(2), Fraction(0)),
    ]
    plan = turning_plan(wheels, Matching(Fraction(0)), Fraction(1))
    assert [one.works for one in plan.wheels] == [False, True]
    assert not plan.works
    assert plan.wheels[1].line == "R1: cut 1/2 in (governed by L1), rim 2 in - 1/2 in = 1-1/2 in, diameter 35 in"


def test_sizes_from_tapes_are_matched_within_their_enclosure() -> None:
    base = Fraction(112)
    wheels = [
        WornWheel(f"{n}", "B", "1", diameter_from_tape(base, Fraction(n)).amount, Fraction(2), Fraction(0))
        for n in (8, 16)
    ]
    plan = turning_plan(wheels, Matching(Fraction(0)), Fraction(1))
    large = plan.wheels[1]
    assert plan.wheels[0].cut.high == 0
    # eight tapes are one inch of circumference, so half of 1/π in comes off the radius
    assert float(large.cut.middle) == pytest.approx(0.159154943)
    assert large.cut.high - large.cut.low < Fraction(1, 10**40)


@pytest.mark.parametrize(
    ("wheels", "matching"),
    [
        ([], Matching(Fraction(0))),
        ([WornWheel("L1", "B", "1", Fraction(36), Fraction(2), Fraction(0))], Matching(Fraction(-1))),
        ([WornWheel("L1", "B", "1", Fraction(36), Fraction(1, 4), Fraction(1, 2))], Matching(Fraction(0))),
        ([WornWheel(n, "B", n, None, Fraction(2), Fraction(0)) for n in "12"], Matching(Fraction(0))),
    ],
)
def test_plans_that_make_no_sense_are_refused(wheels: list[WornWheel], matching: Matching) -> None:
    with pytest.raises(OutOfRange):
        turning_plan(wheels, matching, Fraction(1))


def at(miles: int, rim: str) -> RimReading:
    return RimReading(Fraction(miles), Fraction(rim), Fraction(1, 16))


def straight(miles: int, rim: str) -> list[RimReading]:
    """Four readings on a line from a rim of 2 in."""
    return [RimReading(Fraction(miles * n, 3), 2 - (2 - Fraction(rim)) * n / 3, Fraction(1, 16)) for n in range(4)]


def unsure(readings: list[RimReading]) -> Enclosure:
    found = wear_rate(readings).uncertainty
    assert found is not None
    return found


@given(st.integers(1_000, 200_000), st.integers(1, 8), st.integers(1, 5))
def test_more_miles_make_a_wear_rate_surer(miles: int, worn: int, times: int) -> None:
    near = straight(miles, str(Fraction(2) - Fraction(worn, 16)))
    rate = wear_rate(near)
    assert rate.rate == Fraction(worn, 16) / miles
    far = straight(miles * (times + 1), str(Fraction(2) - Fraction(worn, 16)))
    longer = wear_rate(far)
    assert unsure(far).high < unsure(near).low
    assert longer.rate < rate.rate


def test_miles_and_dates_left_with_their_uncertainty() -> None:
    rate = wear_rate(straight(40_000, "3/2"))
    left = miles_left(Fraction(3, 2), Fraction(1), rate)
    assert rate.shown
    assert left.miles == 40_000
    assert left.most is not None
    assert left.least is not None
    assert left.least.high < 40_000 < left.most.low
    earliest, latest = left.dates(date(2030, 1, 1), Fraction(100))
    assert earliest is not None
    assert latest is not None
    assert date(2030, 1, 1) < earliest < date(2031, 2, 5) < latest
    with pytest.raises(OutOfRange):
        left.dates(date(2030, 1, 1), Fraction(0))


def test_the_uncertainty_of_the_last_reading_shortens_and_lengthens_what_is_left() -> None:
    rate = wear_rate(straight(40_000, "3/2"))
    sure, wide = (
        miles_left(Fraction(3, 2), Fraction(1), rate, uncertainty) for uncertainty in (Fraction(0), Fraction(1, 16))
    )
    assert wide.miles == sure.miles
    assert sure.least is not None
    assert wide.least is not None
    assert wide.least.high < sure.least.low
    assert sure.most is not None
    assert wide.most is not None
    assert sure.most.high < wide.most.low
    assert "rim ± 1/16 in: between" in wide.line
    gone = miles_left(Fraction(33, 32), Fraction(1), rate, Fraction(1, 16)).least
    assert gone is not None
    assert gone.high == 0


@given(st.integers(1, 8), st.integers(1, 8))
def test_a_less_certain_gauge_makes_a_less_certain_rate(worn: int, stated: int) -> None:
    readings = straight(40_000, str(2 - Fraction(worn, 16)))
    wider = [RimReading(one.miles, one.rim, one.resolution, Fraction(stated, 64)) for one in readings]
    assert unsure(wider).low > unsure(readings).high
    assert wear_rate(wider).rate == wear_rate(readings).rate


def test_wear_within_the_gauges_uncertainty_has_no_upper_bound() -> None:
    rate = wear_rate(straight(40_000, "63/32"))
    left = miles_left(Fraction(63, 32), Fraction(1), rate)
    assert not rate.shown
    assert left.most is None
    assert "no upper bound" in left.line
    assert left.dates(date(2030, 1, 1), Fraction(100))[1] is None


@pytest.mark.parametrize("readings", [[at(0, "2")], [at(5, "2"), at(5, "1")], [at(0, "1"), at(5, "2")]])
def test_no_rate_is_invented(readings: list[RimReading]) -> None:
    with pytest.raises(OutOfRange):
        wear_rate(readings)
    flat = wear_rate([at(0, "2"), at(5, "2")])
    with pytest.raises(OutOfRange, match="no wear"):
        miles_left(Fraction(2), Fraction(1), flat)
