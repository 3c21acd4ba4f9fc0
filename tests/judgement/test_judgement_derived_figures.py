"""Derived figures in criteria: ranges on either side, what their readings leave open, and who read them."""

from datetime import timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_worlds import BACK, OUT, STRANGER, car_record, compare, criterion, inches, move, reading, rulebook

from carknocker.judgement.explanation import explain
from carknocker.judgement.figures import SIDES, against, equal, margin_of
from carknocker.judgement.judge import judge
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN
from carknocker.quantities import Period, Quantity, read_quantity
from carknocker.record.values import Bound, Figure, Word
from carknocker.wording.verdicts import finding_words

EIGHTHS = st.integers(-4, 12)


def held(low, high=None, low_open=False, high_open=False, uncertainty=None):
    if high is None:
        return ObservedValue(Figure(inches(low, 8)), None, uncertainty)
    bound = Bound(
        None if low is None else inches(low, 8), low_open, None if high == "none" else inches(high, 8), high_open
    )
    return ObservedValue(bound, None, uncertainty)


def ranges():
    """A range of eighths with both ends or one, each open or closed."""
    made = st.builds(
        lambda low, width, low_open, high_open: (low, low + width, low_open and width > 0, high_open and width > 0),
        EIGHTHS, st.integers(0, 3), st.booleans(), st.booleans(),
    )  # fmt: skip
    return made


def members(low, high, low_open, high_open):
    """What may be the value: the ends that count, and a point between."""
    if low == high:
        return [Fraction(low)]
    near = Fraction(1, 1000)
    return [low + near if low_open else Fraction(low), high - near if high_open else Fraction(high)]


@given(ranges(), ranges(), st.sampled_from(sorted(SIDES)))
def test_a_range_decides_as_all_its_members_do(value, limit, word):
    sign, strict = SIDES[word]
    answers = set()
    for ours in members(*value):
        for theirs in members(*limit):
            margin = (ours - theirs) * sign
            answers.add(margin > 0 or (margin == 0 and not strict))
    found = against(word)(held(*value), held(*limit))
    if found == UNKNOWN:
        assert len(answers) == 2
    else:
        assert answers == {found == HOLDS}


@pytest.mark.parametrize(("limit", "verdict"), [((9, 10), HOLDS), ((6, 7), FAILS), ((7, 9), UNKNOWN), ((8, 8), HOLDS)])
def test_a_derived_range_as_limit(limit, verdict):
    assert against("at_most")(held(8), held(*limit)) == verdict


def test_a_limit_that_is_open_on_one_side():
    assert against("at_most")(held(8), held(9, "none")) == HOLDS
    assert against("at_most")(held(8), held(8, "none", low_open=True)) == HOLDS
    assert against("at_most")(held(8), held(7, "none")) == UNKNOWN
    assert against("at_least")(held(8), held(9, "none")) == FAILS


def test_is_between_ranges():
    assert equal(held(8), held(9, 10)) == FAILS
    assert equal(held(8), held(7, 10)) == UNKNOWN
    assert equal(held(8), held(8)) == HOLDS


def test_no_number_is_undecided():
    assert against("at_most")(held(8), ObservedValue(Word("sound"), None)) == UNKNOWN
    assert against("at_most")(ObservedValue(Word("sound"), None), held(8)) == UNKNOWN


@pytest.mark.parametrize(
    ("uncertainty", "verdict"), [(Fraction(1, 8), HOLDS), (Fraction(9, 64), NEAR), (Fraction(0), HOLDS)]
)
@pytest.mark.parametrize("value", [(7,), (6, 7)])
def test_what_passes_by_less_than_its_readings_leave_open_is_near(value, uncertainty, verdict):
    """The margin is 1/8 in at the least, of a figure and of a range."""
    assert against("at_most")(held(*value, uncertainty=lambda: uncertainty), held(8)) == verdict


@pytest.mark.parametrize("derived", [False, True])
@pytest.mark.parametrize(
    ("own", "of_limit", "verdict"),
    [("0", "1/8", HOLDS), ("0", "9/64", NEAR), ("1/16", "1/16", HOLDS), ("1/16", "5/64", NEAR), ("9/64", "0", NEAR)],
)
def test_the_uncertainty_of_a_limit_that_is_read_is_added_in_full(derived, own, of_limit, verdict):
    """The margin is 1/8 in."""

    def read_to(eighths, uncertainty):
        if derived:
            return held(eighths, uncertainty=lambda: Fraction(uncertainty))
        value, step = Figure(inches(eighths, 8)), Quantity.of("length", Fraction(uncertainty), "in")
        return ObservedValue(value, reading("wheel W-1 left", "rim_thickness", value, OUT, resolution=step))

    assert against("at_most")(read_to(7, own), read_to(8, of_limit)) == verdict
    assert against("at_least")(read_to(8, own), read_to(7, of_limit)) == verdict


@given(st.integers(0, 64), st.integers(0, 64), st.integers(0, 32), st.sampled_from(sorted(SIDES)))
def test_borderline_is_the_guard_band_of_the_handbook(value, limit, uncertainty, word):
    """ILAC-G8:09/2019: a reading that passes the limit T passes for good within A = T ± w only, else it is a
    conditional pass; w is the uncertainty, and lower limits add it."""
    sign, strict = SIDES[word]
    fails = (value - limit) * sign < 0 or (strict and value == limit)
    acceptance = limit + uncertainty * sign
    expected = FAILS if fails else HOLDS if (value - acceptance) * sign >= 0 else NEAR
    figure = ObservedValue(Figure(inches(value, 64)), None, lambda: Fraction(uncertainty, 64))
    found = against(word)(figure, ObservedValue(Figure(inches(limit, 64)), None))
    assert found == expected


def test_the_uncertainty_of_a_gauge_widens_the_guard_band():
    """1/32 in to spare, read to 1/32 in; with 1/64 in of uncertainty besides that is not enough."""
    step, unsure = (Quantity.of("length", Fraction(1, parts), "in") for parts in (32, 64))
    rule = criterion("rim", "wheel", compare("wheel", "rim_thickness", "at_least", Figure(inches(16))), effect="advise")
    key, value = "wheel W-1 left", Figure(inches(33, 32))
    verdicts = []
    for uncertainty in (None, unsure):
        read = reading(key, "rim_thickness", value, OUT, resolution=step, gauge_uncertainty=uncertainty)
        verdicts.append(finding_of([read], rule, key)[1].verdict)
    assert verdicts == ["met", "borderline"]


def test_the_uncertainty_is_asked_only_where_the_figure_passes():
    asked = []
    figure = held(9, uncertainty=lambda: asked.append(1) or Fraction(1))
    assert against("at_most")(figure, held(8)) == FAILS
    assert not asked
    assert against("at_most")(figure, held(10)) == NEAR
    assert against("at_most")(figure, held(17)) == HOLDS
    assert asked == [1]


def test_the_margin_of_ranges_is_the_least():
    assert margin_of(held(6, 7), held(8, 9), "at_most") == Fraction(1, 8)
    assert margin_of(held(6, "none"), held(8), "at_most") is None


TAPE = {"resolution": read_quantity("1 tape", "tapes")}


def taped(left, right, **more):
    on = more.pop("on", OUT - timedelta(days=10))
    evidence = []
    for side, size in (("left", left), ("right", right)):
        key = f"wheel W-1 {side}"
        evidence.append(reading(key, "tape_size", Figure(Quantity.of("tapes", size)), on, **TAPE, **more))
        evidence.append(reading(key, "tape_id", Word("T-1"), on, **more))
    return evidence


MUST = compare("wheelset", "mate_difference", "at_most", Figure(Quantity.of("tapes", 4)))
MATES = criterion("mates", "wheelset", MUST, effect="advise")


def finding_of(evidence, rule=MATES, part="wheelset W-1"):
    judgement = judge(car_record(evidence), move(), rulebook([rule], []), OUT)
    finding = next(one for one in judgement.findings if one.part.key == part)
    return judgement, finding


@pytest.mark.parametrize(
    ("right", "verdict"), [(10, "met"), (12, "met"), (13, "borderline"), (14, "borderline"), (15, "breached")]
)
def test_a_derived_figure_is_borderline_by_the_sum_of_its_readings(right, verdict):
    """Two sizes to one tape each: a margin under two tapes is too little."""
    assert finding_of(taped(10, right))[1].verdict == verdict


def test_the_margin_of_a_range_that_reads_as_one_figure_is_shown():
    must = compare("wheelset", "mate_difference_in_diameter", "at_most", Figure(inches(1, 4)))
    rule = criterion("mates-in-inches", "wheelset", must, effect="advise")
    judgement, finding = finding_of(taped(10, 12), rule)
    assert finding.verdict == "met"
    explained = explain(judgement, finding)
    assert finding_words(explained).margin == "0.170 in to spare"
    assert any("ΔD" in line for line in explained.worked)


SHOP = criterion("shop", "wheelset", MUST, shown_by="accepted shop", effect="advise")


def test_for_an_accepted_shop_only_what_accepted_persons_read_is_worked_with():
    assert finding_of(taped(10, 12), SHOP)[1].verdict == "met"
    judgement, finding = finding_of(taped(10, 12, by=STRANGER), SHOP)
    assert finding.verdict == "not shown"
    assert "accepted by" in finding_words(explain(judgement, finding)).reason
    assert finding_of(taped(10, 12, by=STRANGER))[1].verdict == "met"


def test_for_an_accepted_shop_an_older_reading_of_an_accepted_person_counts():
    old = taped(10, 16, on=OUT - timedelta(days=90))
    new = taped(10, 11, by=STRANGER, number=1)
    assert finding_of([*old, *new], SHOP)[1].verdict == "breached"
    assert finding_of([*old, *new])[1].verdict == "met"


@pytest.mark.parametrize(("age", "verdict"), [(40, "not shown"), (30, "lapses"), (5, "met")])
def test_a_derived_figure_is_as_old_as_its_oldest_reading(age, verdict):
    rule = criterion("fresh", "wheelset", MUST, read_within=Period(30), effect="advise")
    assert (BACK - OUT).days == 10
    judgement, finding = finding_of(taped(10, 12, on=OUT - timedelta(days=age)), rule)
    assert finding.verdict == verdict
    if verdict == "not shown":
        assert "too old" in finding_words(explain(judgement, finding)).reason
