"""The nearest reading with which a finding would be met: written down and judged, it is met; a step less is not."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from counterfactual_samples import car_text, checked, finding_of, library_in, verdict_with
from example_counts import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Finding, Judgement
from carknocker.quantities import Quantity
from carknocker.record.model import CarRecord
from carknocker.record.values import Count, Day, Figure, Value, Word
from carknocker.rulebook import Library
from carknocker.rulebook.check.boundaries import STEPS
from carknocker.whatif.model import Change, Way
from carknocker.whatif.nearest_values import nearest
from carknocker.whatif.way_words import way_words

sys.path.insert(0, str(Path(__file__).parents[1] / "cases"))
import case_list

EXPECTED = {
    ("flange", "wheel L1"): ["flange thickness 15/16 in or more; 1/8 in short"],
    ("rim", "wheel L1"): ["rim thickness 1-1/16 in or more; 1/8 in short; at exactly 1 in borderline"],
    ("height", "wheel L1"): ["flange height 1-7/16 in or less; 1/16 in over"],
    ("hollow", "wheel L1"): ["tread hollow 3/16 in or less; 3/16 in over; at exactly 1/4 in borderline"],
    ("coupler", "coupler B"): [
        "coupler height from 31-9/16 in to 34-7/16 in; 9/16 in away; at exactly 31-1/2 in borderline"
    ],
    ("coupler", "coupler A"): [
        "coupler height from 34-7/16 in to 31-9/16 in; 9/16 in away; at exactly 34-1/2 in borderline"
    ],
    ("class", "bearing L1"): ["class of bearing: grease-lubricated roller or oil-lubricated roller"],
    ("not-plain", "bearing L1"): [
        "class of bearing: sealed tapered cartridge, grease-lubricated roller, oil-lubricated roller or cartridge plain"
    ],
    ("centers", "wheelset W-1"): [
        "journal centers of exactly 6 ft 5 in; 1 in away",
        "journal centers that the truck takes of truck B of exactly 6 ft 4 in; 1 in away",
    ],
    ("mates", "wheelset W-1"): [
        "tape size of wheel L1 from 104 tapes to 106 tapes; 4 tapes away",
        "tape size of wheel R1 from 101 tapes to 99 tapes; 4 tapes away; at exactly 103 tapes borderline",
    ],
    ("either", "wheel L1"): [
        "flange thickness 1-1/16 in or more; 1/4 in short",
        "rim thickness 2-1/16 in or more; 1-1/8 in short; at exactly 2 in borderline",
    ],
    ("both", "wheel L1"): [
        "flange thickness 1-1/16 in or more; 1/4 in short and rim thickness 2-1/16 in or more; 1-1/8 in short"
    ],
    ("each", "truck B"): ["flange thickness of wheel L1 15/16 in or more; 1/8 in short"],
    ("at-most-one", "truck B"): [
        f"rim thickness of wheel {one} 1 in or more; {much} in short and rim thickness of wheel {other} 1 in or more; "
        f"{more} in short"
        for one, much, other, more in (
            ("L1", "1/16", "R1", "1/8"), ("L1", "1/16", "L2", "1/4"), ("R1", "1/8", "L2", "1/4"),
        )
    ],
    ("travel", "brake cylinder 1"): [
        "piston travel 7-7/8 in or less; 1-1/8 in over; at exactly 8 in borderline",
        "most travel by plate 9-1/8 in or more; 1-1/8 in short; at exactly 9 in borderline",
    ],
    ("table", "brake system"): [
        "brake pipe leakage 4 psi/min or less; 6 psi/min over; at exactly 6 psi/min borderline"
    ],
    ("test", "brake system"): ["single-car brake test made on or after 2029-06-15; 5 days too early"],
    ("device", "brake system"): ["code of tests of the single-car brake test: passenger"],
    ("insured", "the car"): ["liability insurance in force until 2030-06-15 or later; 5 days too early"],
    ("young", "the car"): ["built on or after 1980-06-15; 17,973 days too early"],
    ("built", "the car"): ["built on or after 2000-01-01; 25,112 days too early"],
    ("bearing-age", "bearing L1"): ["reconditioned on or after 2020-06-15; 1,992 days too early"],
    ("leakage", "brake system"): [
        "brake pipe leakage 2 psi/min or less; 8 psi/min over; at exactly 5 psi/min borderline"
    ],
    ("open", "wheel L1"): [
        "flange thickness 29/32 in or more; 3/32 in short (then it is no longer breached, but not shown for want of "
        "something else)"
    ],
    ("fresh", "wheel R1"): [
        "flange height read on or after 2030-04-06; 5 days too early and tread hollow read on or after 2030-04-06; "
        "5 days too early"
    ],
    ("gauged", "wheel L3"): [
        "flange thickness: over 15/16 in by go/no-go gauge", "flange thickness 1 in or more",
    ],
}  # fmt: skip


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("other-law"))


@pytest.fixture(scope="module")
def judgement(library: Library) -> Judgement:
    return checked(car_text(), library).judgement


@pytest.mark.parametrize(("criterion", "part"), EXPECTED)
def test_the_nearest_in_words(judgement: Judgement, criterion: str, part: str) -> None:
    finding = finding_of(judgement, criterion, part.removeprefix("the "))
    ways = nearest(finding, JudgementIndex(judgement))
    assert [way_words(way, finding.part) for way in ways] == EXPECTED[criterion, part]


@pytest.mark.parametrize(
    ("tested", "words", "verdict"),
    [
        ("2030-03-01", "single-car brake test: passed", "met"),
        ("2029-06-10", "single-car brake test: passed (then it lapses before the return)", "lapses"),
    ],
)
def test_a_failed_test_would_have_to_be_passed(library: Library, tested: str, words: str, verdict: str) -> None:
    judgement = checked(car_text(result="failed", tested=tested), library).judgement
    finding = finding_of(judgement, "test", "brake system")
    assert finding.verdict == "breached"
    (way,) = nearest(finding, JudgementIndex(judgement))
    assert (way_words(way, finding.part), way.verdict) == (words, verdict)
    assert verdict_with(judgement, finding, way) == verdict


def test_what_is_not_breached_has_no_nearest_reading(judgement: Judgement) -> None:
    others = [one for one in judgement.findings if one.verdict not in ("breached", "lapses")]
    assert {one.verdict for one in others} >= {"met", "not shown"}
    assert all(nearest(one, JudgementIndex(judgement)) == () for one in others)


def all_ways(judgement: Judgement) -> Iterator[tuple[Finding, Way]]:
    index = JudgementIndex(judgement)
    for finding in judgement.findings:
        for way in nearest(finding, index):
            yield finding, way


def step_of(judgement: Judgement, change: Change) -> Fraction:
    """What the gauge of the reading reads to, else its usual tool, else the trade's usual step."""
    evidence = judgement.situation.standing.by_id(change.replaces)[0]
    attribute = change.fact or change.attribute
    if attribute.type == "count":
        return Fraction(1)
    reads_to = evidence.resolution or attribute.reads_to
    return STEPS[attribute.type] if reads_to is None else reads_to.amount


def moved(judgement: Judgement, change: Change, value: Value, steps: int) -> Value:
    """A value some steps further up (or down)."""
    if isinstance(value, Day):
        day = value.first + timedelta(days=steps)
        return Day(day, day, day.isoformat())
    if isinstance(value, Count):
        return Count(value.number + steps)
    assert isinstance(value, Figure)
    amount = value.quantity.amount + steps * step_of(judgement, change)
    return Figure(Quantity.of(value.quantity.dimension, amount, value.quantity.unit))


def check_way(judgement: Judgement, finding: Finding, way: Way) -> None:
    """Written down it is what it says; a step nearer to what is on record, it is not."""
    assert verdict_with(judgement, finding, way) == way.verdict
    for number, change in enumerate(way.changes):
        for value in other_values(judgement, change):
            values = [one.values[0] for one in way.changes]
            values[number] = value
            assert verdict_with(judgement, finding, way, tuple(values)) != way.verdict
    if len(way.changes) > 1:
        return
    (change,) = way.changes
    for value in (*change.values, *further_values(judgement, change)):
        assert verdict_with(judgement, finding, way, (value,)) == way.verdict


def further_values(judgement: Judgement, change: Change) -> Iterator[Value]:
    """What lies beyond the nearest and does as well."""
    if change.side in ("or more", "until"):
        yield moved(judgement, change, change.values[0], 2)
    elif change.side in ("or less", "on or before"):
        further = moved(judgement, change, change.values[0], -1)
        if not isinstance(further, Figure) or further.quantity.n >= 0:
            yield further


def other_values(judgement: Judgement, change: Change) -> Iterator[Value]:
    """What lies next to the values of a change and must not do: for words, every other word."""
    first, last = change.values[0], change.values[-1]
    if change.side == "one of":
        texts = (change.fact or change.attribute).one_of
        yield from (word for text in texts if (word := Word(text)) not in change.values and len(texts) > 1)
        return
    if change.side == "to":
        upwards = _amount(first) < _amount(last)
        yield moved(judgement, change, first, -1 if upwards else 1)
        yield moved(judgement, change, last, 1 if upwards else -1)
        return
    if change.side == "exactly":
        yield moved(judgement, change, first, 1)
    if change.side != "or less" and change.side != "on or before":
        yield moved(judgement, change, first, -1)
    else:
        yield moved(judgement, change, first, 1)


def _amount(value: Value) -> Fraction:
    assert isinstance(value, Figure)
    return value.quantity.amount


def test_each_way_of_the_sample_car_is_met_and_a_step_less_is_not(judgement: Judgement) -> None:
    ways = list(all_ways(judgement))
    assert len(ways) > 30
    for finding, way in ways:
        check_way(judgement, finding, way)


@pytest.mark.parametrize("name", case_list.names())
def test_each_way_of_the_demo_cases_is_met_and_a_step_less_is_not(name: str) -> None:
    judgement = case_list.answer(name).judgement
    asked = [one for one in judgement.findings if one.verdict in ("breached", "lapses")]
    ways = list(all_ways(judgement))
    assert {id(one) for one, _ in ways} == {id(one) for one in asked}
    seen = set()
    for finding, way in ways:
        alike = finding.criterion.id, way.changes[0].now, way.changes[0].values
        if alike not in seen:
            check_way(judgement, finding, way)
        seen.add(alike)


FIGURED = ("flange_thickness", "rim_thickness", "flange_height", "tread_hollow", "flat_spot_length",
           "shelled_spot_length", "coupler_height", "shoe_thickness", "piston_travel", "side_bearing_clearance",
           "liner_thickness", "brake_pipe_leakage")  # fmt: skip


def with_reading(car: CarRecord, number: int, amount: Fraction) -> CarRecord:
    """The car with one of its figures read otherwise."""
    figures = [one for one in car.evidence if one.attribute in FIGURED and isinstance(one.value, Figure)]
    chosen = figures[number % len(figures)]
    assert isinstance(chosen.value, Figure)
    quantity = chosen.value.quantity
    value = Figure(Quantity.of(quantity.dimension, quantity.amount * amount, quantity.unit))
    evidence = tuple(replace(one, value=value) if one is chosen else one for one in car.evidence)
    return replace(car, evidence=evidence, by_part={})


@settings(max_examples=examples(15))
@given(
    st.sampled_from(["two-nations/north", "two-nations/south"]),
    st.integers(0, 400), st.fractions(0, 3, max_denominator=16), st.integers(0, 30),
)  # fmt: skip
def test_whatever_a_gauge_reads_on_a_demo_car(name: str, number: int, amount: Fraction, which: int) -> None:
    answer = case_list.answer(name)
    before = answer.judgement
    judgement = judge(with_reading(before.car, number, amount), before.move, before.rulebook, answer.day)
    ways = [(finding, way) for finding, way in all_ways(judgement) if finding.evidence is not None]
    if ways:
        check_way(judgement, *ways[which % len(ways)])
