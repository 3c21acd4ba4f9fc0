"""Which single re-measurement settles a borderline finding, and what its gauge must read to."""

from datetime import timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from random_worlds import NOWHERE, OUT, attribute, car_record, compare, criterion, inches, move, reading, rulebook

from carknocker.judgement.finer_gauge import SettlingReadings, settling_of, step_within
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.quantities import Quantity, read_quantity
from carknocker.record.model import NO_END, Gauge, Leg
from carknocker.record.values import Figure, Word
from carknocker.rulebook.clauses import AttributePath, Comparison, FromPart
from carknocker.wording.limits import settling_words
from carknocker.workings import Candidate, OutOfRange, Share
from carknocker.workings.uncertainty import resolutions_that_settle, uncertainty_of

COARSE = Gauge("G-1", "finger gauge", read_quantity("1/16 in", "length"), OUT - timedelta(days=9), NO_END, NOWHERE)
FINE = Gauge("G-7", "finger gauge", read_quantity("1/64 in", "length"), OUT - timedelta(days=9), NO_END, NOWHERE)
OTHER = Gauge("G-8", "taper gauge", read_quantity("1/64 in", "length"), OUT - timedelta(days=9), NO_END, NOWHERE)
DAY = OUT - timedelta(days=3)


def settled(evidence, rule, part, gauges=()):
    car = replace(car_record(evidence), gauges={gauge.name: gauge for gauge in gauges})
    judgement = judge(car, move(), rulebook([rule], []), OUT)
    finding = next(one for one in judgement.findings if one.part.key == part)
    index = JudgementIndex(judgement)
    found = settling_of(finding, index.compiled(rule), index.view(finding))
    return finding.verdict, found, () if found is None else settling_words(found, judgement.parts)


def rim(sixtyfourths, gauges=(COARSE,)):
    value = Figure(Quantity.of("length", Fraction(sixtyfourths, 64), "in"))
    evidence = reading("wheel W-1 left", "rim_thickness", value, DAY, gauge=COARSE, resolution=COARSE.reads_to)
    rule = criterion("rim", "wheel", compare("wheel", "rim_thickness", "at_least", Figure(inches(16))), effect="advise")
    return settled([evidence], rule, "wheel W-1 left", gauges)


def test_a_reading_is_settled_by_a_gauge_as_fine_as_its_margin():
    verdict, found, words = rim(66)
    assert verdict == "borderline"
    assert [one.needed.amount for one in found.readings] == [Fraction(1, 32)]
    assert words == ("to settle it, read again: rim thickness of wheel L1, to 1/32 in or finer",)


def test_a_gauge_on_record_of_the_same_kind_is_named():
    assert "(gauge G-7 reads to that)" in rim(66, (COARSE, OTHER, FINE))[2][0]
    assert "gauge" not in rim(66, (COARSE, OTHER))[2][0]


def test_exactly_at_the_limit_no_gauge_settles_it():
    verdict, found, words = rim(64)
    assert verdict == "borderline"
    assert found == SettlingReadings((), ())
    assert words == ("exactly at the limit: no finer gauge settles it, only another figure",)


@pytest.mark.parametrize("sixtyfourths", [60, 72])
def test_another_verdict_has_nothing_to_settle(sixtyfourths):
    verdict, found, _ = rim(sixtyfourths)
    assert verdict in ("met", "breached")
    assert found is None


def clearances(left, right, first="1/8 in", second="1/32 in"):
    evidence = [
        reading(f"side bearing B{side}", "clearance", Figure(read_quantity(value, "length")), DAY,
                resolution=read_quantity(resolution, "length"))
        for side, value, resolution in (("L", left, first), ("R", right, second))
    ]  # fmt: skip
    must = compare("truck", "side_bearing_total_clearance", "at_most", Figure(inches(12)))
    return settled(evidence, criterion("total", "truck", must, effect="advise"), "truck B")


def test_of_a_derived_figure_the_reading_of_greatest_uncertainty_settles_it():
    """3/4 in allowed; 11/16 in found: 1/16 in to spare against 5/32 in of uncertainty. With the right side as it is,
    the left read to 1/32 in settles it; the right one alone can't."""
    verdict, found, words = clearances("3/8 in", "5/16 in")
    assert verdict == "borderline"
    assert [(one.evidence.part, one.needed.amount) for one in found.readings] == [("side bearing BL", Fraction(1, 32))]
    assert len(words) == 1


def test_where_no_single_reading_is_enough_they_are_named_together():
    verdict, found, words = clearances("3/8 in", "5/16 in", "1/8 in", "1/8 in")
    assert verdict == "borderline"
    assert not found.readings
    assert "no single reading" in words[0]
    assert "BL" in words[0]
    assert "BR" in words[0]


def rim_left(right_cut, resolution):
    """A rim of 1-1/2 in and a left cut of 1/4 in, both to 1/64 in: 1 in must be left."""
    evidence = [
        reading(f"wheel W-1 {side}", name, Figure(read_quantity(value, "length")), DAY,
                resolution=read_quantity(step, "length"))
        for side, name, value, step in (
            ("left", "rim_thickness", "1-1/2 in", "1/64 in"), ("left", "turning_allowance", "1/4 in", "1/64 in"),
            ("right", "turning_allowance", right_cut, resolution),
        )
    ]  # fmt: skip
    must = compare("wheel", "rim_after_turning", "at_least", Figure(inches(16)))
    return settled(evidence, criterion("left", "wheel", must, effect="advise"), "wheel W-1 left")


def test_a_cut_by_a_coarse_gauge_may_be_the_deeper_one_and_is_the_one_to_read_again():
    """1/4 in too much is left. The right cut, 1/4 in too, may be 1/2 in by its gauge, and then all of it is gone."""
    verdict, found, words = rim_left("1/4 in", "1/4 in")
    assert verdict == "borderline"
    assert [(one.evidence.part, one.needed.amount) for one in found.readings] == [("wheel W-1 right", Fraction(1, 8))]
    assert words == (
        "to settle it, read again: metal to take off to restore the contour of wheel R1, to 1/8 in or finer",
    )
    assert rim_left("1/4 in", "1/64 in")[0] == "met"
    assert rim_left("0 in", "1/4 in")[0] == "met"  # at most 1/4 in, as deep as the left one


@pytest.mark.parametrize(
    ("weight", "verdict", "needed"),
    [(219_900, "met", None), (219_950, "borderline", [50]), (220_000, "borderline", []), (220_001, "breached", None)],
)
def test_a_reading_that_is_the_limit_settles_it_too(weight, verdict, needed):
    """A leg allows 220,000 lb; the gross weight, which it must be at least, is read to 100 lb."""
    gross = AttributePath("car", attribute("car", "gross_weight"))
    must = Comparison(AttributePath("", attribute("leg", "gross_limit")), "at_least", FromPart(gross), NOWHERE)
    rule = criterion("leg-weight", "leg", must, effect="advise")
    value, step = Figure(Quantity.of("weight", weight)), Quantity.of("weight", 100)
    car = car_record([reading("car", "gross_weight", value, DAY, resolution=step)])
    limit = {"gross_limit": Figure(Quantity.of("weight", 220_000))}
    leg = Leg(1, "One", "Two", read_quantity("9 miles", "distance"), limit, NOWHERE)
    judgement = judge(car, move(legs=(leg,)), rulebook([rule], []), OUT)
    finding = next(one for one in judgement.findings if one.part.key == "leg 1")
    index = JudgementIndex(judgement)
    found = settling_of(finding, index.compiled(rule), index.view(finding))
    assert finding.verdict == verdict
    assert (None if found is None else [one.needed.amount for one in found.readings]) == needed


def test_a_gauge_whose_uncertainty_is_too_wide_is_not_named():
    unsure = replace(FINE, uncertainty=read_quantity("1/32 in", "length"))
    assert "gauge" not in rim(66, (COARSE, unsure))[2][0]


AMOUNTS = st.fractions(Fraction(0), Fraction(2), max_denominator=64)


def shares(*readings):
    """A share of each reading: what its gauge resolves, and how far the figure moves per inch of it."""
    return tuple(
        Share(
            reading(f"wheel W-{number} left", "rim_thickness", Figure(inches(16)), DAY,
                    resolution=Quantity.of("length", resolution)),
            slope,
        )
        for number, (resolution, slope) in enumerate(readings, start=1)
    )  # fmt: skip


@given(AMOUNTS, st.lists(st.tuples(AMOUNTS, AMOUNTS), min_size=1, max_size=4))
def test_what_is_said_to_settle_it_does_and_what_is_not_said_does_not(margin, readings):
    given_ = shares(*readings)
    uncertainty = sum((one.uncertainty for one in given_), Fraction(0))
    found = {evidence.id: needed for evidence, needed in resolutions_that_settle(margin, [Candidate(given_)])}
    for one in given_:
        others = uncertainty - one.uncertainty
        if one.evidence.id in found:
            assert others + abs(one.sensitivity) * found[one.evidence.id] == margin
            assert found[one.evidence.id] < one.evidence.resolution.amount
        elif uncertainty > margin and one.uncertainty:
            assert others >= margin


@given(AMOUNTS, st.lists(st.tuples(AMOUNTS, AMOUNTS), min_size=2, max_size=4))
def test_of_several_that_may_govern_the_others_still_do_when_one_is_read_again(margin, readings):
    """The deepest of several cuts: a finer gauge on one settles it only if no other cut may then be too deep."""
    deepest = max(amount for _, amount in readings)
    rivals = [
        Candidate((share,), amount - deepest)
        for share, (_, amount) in zip(
            shares(*((resolution, Fraction(1)) for resolution, _ in readings)), readings, strict=True
        )
    ]
    found = {evidence.id: needed for evidence, needed in resolutions_that_settle(margin, rivals)}
    for one in rivals:
        name = one.shares[0].evidence.id
        others = max((other.uncertainty for other in rivals if other is not one), default=Fraction(0))
        if name in found:
            assert others <= margin < uncertainty_of(rivals)
            assert found[name] + one.beyond == margin
        elif uncertainty_of(rivals) > margin and one.uncertainty > margin:
            assert others > margin or margin == one.beyond


def test_a_figure_past_its_limit_is_refused():
    with pytest.raises(OutOfRange):
        resolutions_that_settle(Fraction(-1), [Candidate(shares((Fraction(1), Fraction(1))))])


@pytest.mark.parametrize(
    ("needed", "dimension", "step"),
    [("3/64", "length", "1/32"), ("1/128", "length", "1/200"), ("5", "length", "1"), ("7/10", "pressure", "1/2"),
     ("250", "weight", "200"), ("3/2", "tapes", "1")],
)  # fmt: skip
def test_steps_are_such_as_gauges_have(needed, dimension, step):
    assert step_within(Fraction(needed), dimension) == Fraction(step)


def test_tapes_that_differ_are_settled_by_no_word():
    rule = criterion("shape", "wheel", compare("wheel", "plate_shape", "is", Word("curved")), effect="advise")
    evidence = reading("wheel W-1 left", "plate_shape", Word("curved"), DAY)
    assert settled([evidence], rule, "wheel W-1 left")[1] is None
