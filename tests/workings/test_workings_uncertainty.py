"""What the readings of a derived figure leave open: the formula's sensitivity times what the gauges resolve."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from workings_world import VOCABULARY, World, reading_of, world

from carknocker.quantities import read_quantity
from carknocker.record.values import Figure, Word
from carknocker.workings import WORKINGS, Worked
from carknocker.workings.uncertainty import amount_of, candidates_of, uncertainty_of


def with_readings(*readings: tuple[str, str, str, str]) -> World:
    """part, attribute, text and resolution of each."""
    probe = world({})
    evidence = []
    for part, name, text, resolution in readings:
        kind = probe.standing.parts[part].kind
        attribute = VOCABULARY.attribute(kind, name)
        assert attribute is not None
        value = Word(text) if attribute.type == "identity" else Figure(read_quantity(text, attribute.type))
        evidence.append(reading_of(part, kind, name, value, resolution=resolution))
    return world({}, more_evidence=evidence)


def uncertainty(here: World, part: str, attribute: str) -> Fraction:
    kind = here.standing.parts[part]
    found = VOCABULARY.attribute(kind.kind, attribute)
    assert found is not None
    working = WORKINGS[found.derived]
    worked = working(here, kind)
    assert isinstance(worked, Worked), worked
    return uncertainty_of(candidates_of(here, kind, working, worked))


def taped(sizes: dict[str, str]) -> World:
    return with_readings(
        *((wheel, "tape_size", size, "1 tape") for wheel, size in sizes.items()),
        *((wheel, "tape_id", "T-1", "") for wheel in sizes),
    )


ALL = {f"wheel W-{axle} {side}": "10 tapes" for axle in (1, 2, 3, 4) for side in ("left", "right")}


def test_a_difference_adds_both_readings() -> None:
    here = with_readings(
        ("wheelset W-1", "back_to_back", "53-1/8 in", "1/32 in"),
        ("wheelset W-1", "back_to_back_largest", "53-1/4 in", "1/32 in"),
    )
    assert uncertainty(here, "wheelset W-1", "back_to_back_variation") == Fraction(1, 16)


def test_a_spread_hangs_on_two_sizes() -> None:
    assert uncertainty(taped(ALL), "car", "spread") == 2
    assert uncertainty(taped(ALL), "truck B", "spread") == 2


def test_a_spread_in_diameter_leaves_as_many_eighths_over_pi() -> None:
    found = uncertainty(taped(ALL), "car", "spread_in_diameter")
    assert abs(found - Fraction(2, 8) / Fraction(314159265, 100000000)) < Fraction(1, 10**8)


def test_diameters_that_are_compared_leave_open_what_each_of_their_gauges_does() -> None:
    """36 and 35 in to 1/32 in each; the mean of two wheels less the mean of four, each to 1/32 in."""
    two = [
        (f"wheel W-1 {side}", "measured_diameter", read, "1/32 in")
        for side, read in (("left", "36 in"), ("right", "35 in"))
    ]
    assert uncertainty(with_readings(*two), "wheelset W-1", "mate_difference_in_diameter") == Fraction(1, 16)
    four = [
        (f"wheel W-{axle} {side}", "measured_diameter", f"{37 - axle} in", "1/32 in")
        for axle in (1, 2) for side in ("left", "right")
    ]  # fmt: skip
    assert uncertainty(with_readings(*four), "truck B", "spread_in_diameter") == Fraction(1, 16)


def test_a_quotient_moves_by_the_part_of_its_resolution() -> None:
    here = with_readings(("car", "weight_on_truck_B", "60,000 lb", "100 lb"))
    assert uncertainty(here, "truck B", "axle_load") == 50  # two axles


def test_the_deeper_cut_alone_is_in_uncertainty() -> None:
    here = with_readings(
        ("wheel W-1 left", "rim_thickness", "1-1/2 in", "1/16 in"),
        ("wheel W-1 left", "turning_allowance", "1/8 in", "1/16 in"),
        ("wheel W-1 right", "turning_allowance", "1/8 in", "1/16 in"),
    )
    assert uncertainty(here, "wheel W-1 left", "rim_after_turning") == Fraction(1, 8)


def test_a_root_is_uncertain_by_its_slope() -> None:
    here = with_readings(("wheel W-1 left", "measured_circumference", "113 in", "1/8 in"))
    found = uncertainty(here, "wheel W-1 left", "diameter")
    assert abs(found - Fraction(1, 8) / Fraction(314159265, 100000000)) < Fraction(1, 10**8)


@pytest.mark.parametrize("resolution", ["", "0 in"])
def test_what_is_not_known_or_nothing_adds_no_uncertainty(resolution: str) -> None:
    here = with_readings(
        ("wheelset W-1", "back_to_back", "53-1/8 in", resolution),
        ("wheelset W-1", "back_to_back_largest", "53-1/4 in", "1/32 in"),
    )
    assert uncertainty(here, "wheelset W-1", "back_to_back_variation") == Fraction(1, 32)


@given(st.integers(1, 64), st.integers(1, 64))
def test_a_sum_adds_both(first: int, second: int) -> None:
    here = with_readings(
        ("side bearing BL", "clearance", "5/16 in", f"{first}/64 in"),
        ("side bearing BR", "clearance", "3/16 in", f"{second}/64 in"),
    )
    assert uncertainty(here, "truck B", "side_bearing_total_clearance") == Fraction(first + second, 64)


def test_a_word_has_no_amount() -> None:
    word: Any = Word("yes")
    assert amount_of(word) is None
