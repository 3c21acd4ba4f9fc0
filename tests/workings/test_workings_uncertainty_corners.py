"""The worst case of what gauges leave open, for every working: each reading at its low and at its high end, in every
combination, against what the working says of itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction
from itertools import product

import pytest
from example_counts import examples
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from random_worlds import NOWHERE
from workings_world import READ_ON, VOCABULARY, World, made, reading_of, value_of, world

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Bound, Figure, Word
from carknocker.workings import WORKINGS, Worked
from carknocker.workings.uncertainty import candidates_of, uncertainty_of

Reading = tuple[str, str]
"""A part and an attribute of it that is read."""

AXLES = range(1, 7)
WHEELS = [f"wheel W-{axle} {side}" for axle in AXLES for side in ("left", "right")]
BEFORE = date(2028, 6, 1)
_LENGTH, _64TH = "length", Fraction(1, 64)

# Groups of readings that work together, each with its dimension and the values that are tried.
GROUPS: Mapping[str, Mapping[Reading, tuple[str, list[Fraction]]]] = {
    "sizes by tape": {(wheel, "tape_size"): ("tapes", [Fraction(n, 2) for n in range(20, 29)]) for wheel in WHEELS},
    "rims and cuts": {
        **{(wheel, "rim_thickness"): (_LENGTH, [n * _64TH for n in range(64, 140, 5)]) for wheel in WHEELS[:2]},
        **{(wheel, "turning_allowance"): (_LENGTH, [n * _64TH for n in range(4, 20, 2)]) for wheel in WHEELS[:2]},
    },
    "weights and forces": {
        ("car", "weight_on_truck_B"): ("weight", [Fraction(n) for n in range(80_000, 84_001, 500)]),
        ("car", "weight_on_truck_A"): ("weight", [Fraction(n) for n in range(80_000, 84_001, 500)]),
        ("car", "gross_weight"): ("weight", [Fraction(n) for n in range(160_000, 168_001, 1_000)]),
        ("car", "tank_and_store_weight"): ("weight", [Fraction(n) for n in range(58_000, 62_001, 1_000)]),
        ("brake system", "net_shoe_force_at_50_psi"): ("weight", [Fraction(11_000), Fraction(40_000)]),
        ("hand brake B", "shoe_force"): ("weight", [Fraction(9_000), Fraction(40_000)]),
    },
    "heat": {
        ("bearing W-1 left", "running_temperature"): ("temperature", [Fraction(n) for n in range(100, 111)]),
        ("bearing W-1 right", "running_temperature"): ("temperature", [Fraction(n) for n in range(100, 111)]),
        ("bearing W-1 left", "ambient_temperature"): ("temperature", [Fraction(68)]),
        ("bearing W-1 right", "ambient_temperature"): ("temperature", [Fraction(n) for n in range(66, 71)]),
    },
    "side bearings": {
        (f"side bearing {corner}", "clearance"): (_LENGTH, [Fraction(n, 16) for n in range(9)])
        for corner in ("BL", "BR", "AL", "AR")
    },
    "heights": {
        **{(f"coupler {end}", "coupler_height"): (_LENGTH, [33 + Fraction(n, 8) for n in range(9)]) for end in "BA"},
        **{
            (f"spring {number}", f"{place}_spring_height"): (_LENGTH, [10 + Fraction(n, 8) for n in range(9)])
            for place in ("bolster", "equalizer") for number in (1, 2)
        },
        ("body", "lowest_part_over_rail"): (_LENGTH, [5 + Fraction(n, 8) for n in range(9)]),
        ("rear marker", "height"): (_LENGTH, [Fraction(n) for n in range(150, 171, 5)]),
        ("brake rigging B", "pin_diameter"): (_LENGTH, [1 - n * _64TH for n in range(9)]),
    },
    "wheelset and diameters": {
        ("wheelset W-1", "back_to_back"): (_LENGTH, [53 + n * _64TH for n in range(4)]),
        ("wheelset W-1", "back_to_back_largest"): (_LENGTH, [53 + n * _64TH for n in range(3, 9)]),
        (WHEELS[2], "measured_diameter"): (_LENGTH, [Fraction(71, 2)]),
        (WHEELS[3], "measured_circumference"): (_LENGTH, [Fraction(113)]),
        (WHEELS[5], "measured_diameter"): (_LENGTH, [36 + n * _64TH for n in range(3)]),
        (WHEELS[5], "measured_circumference"): (_LENGTH, [113 + n * _64TH for n in range(3)]),
        (WHEELS[5], "tape_base"): (_LENGTH, [Fraction(112)]),
        **{(wheel, "flange_thickness"): (_LENGTH, [1 + n * _64TH for n in range(9)]) for wheel in WHEELS[:2]},
        (WHEELS[0], "flange_height"): (_LENGTH, [1 + n * _64TH for n in range(9)]),
        (WHEELS[0], "tread_hollow"): (_LENGTH, [n * _64TH for n in range(9)]),
        (WHEELS[4], "tape_base"): (_LENGTH, [Fraction(112)]),
        (WHEELS[4], "tape_size"): ("tapes", [Fraction(12)]),
    },
}  # fmt: skip
STEPS: Mapping[str, list[Fraction]] = {
    "length": [_64TH, Fraction(1, 32), Fraction(1, 16), Fraction(1, 4)],
    "tapes": [Fraction(1, 4), Fraction(1), Fraction(2)],
    "weight": [Fraction(20), Fraction(100), Fraction(2_000)],
    "temperature": [Fraction(1), Fraction(5)],
}
DIMENSIONS = {reading: dimension for group in GROUPS.values() for reading, (dimension, _) in group.items()}

_CAR_LENGTHS = {"truck_centers": "59 ft 6 in", "length_over_couplers": "85 ft", "coupler_length": "36 in"}
DESCRIBED = {
    "car": {**_CAR_LENGTHS, "extreme_width": "10 ft", "light_weight": "100,000 lb", "built_on": "1927",
        "brake_cylinders": "2", "length_over_buffers": "84 ft", "height_over_rail": "14 ft",
        "overhang_at_far_end": "13 ft", "lowest_part_outboard_height": "9 in", "far_end_lowest_part": "8 in"},
    "truck B": {
        "axle_spacing": "66 in", "truck_kind": "three-axle", "built_on": "1931", "takes_journal_centers": "77 in",
        "truck_weight": "25,000 lb",
    },
    "truck A": {"axle_spacing": "60 in", "truck_kind": "three-axle", "truck_weight": "25,000 lb"},
    "brake system": {
        "lever_ratio": "8", "brake_beams": "4", "control_valves": "2", "control_valves_operative": "1",
    },
    **{
        f"brake cylinder {one}": {
            "mounting": "body", "diameter": "12 in", "nominal_stroke": "12 in", "badge_plate_least_travel": "7 in",
            "badge_plate_travel": "9 in",
        }
        for one in (1, 2)
    },
    "brake lever 1": {"effort_arm": "8 in", "load_arm": "24 in"},
    "hand brake B": {"shoe_friction": "12 %"},
    "wheelset W-1": {
        "axle_class": "D", "journal_centers": "77 in", "axle_length": "88 in", "mounted_on": "2027",
        "last_turned_on": "2027-01-01",
    },
    "side bearing BL": {"springs_broken": "1", "springs_in_nest": "4"},
    **{f"bearing W-1 {side}": {"reconditioned_on": "2027-01-01"} for side in ("left", "right")},
    **{f"axle position {axle}": {"braked": "yes", "brake_applies": "yes"} for axle in AXLES},
    "brake rigging B": {"pin_nominal_diameter": "1 in"},
    **{wheel: {"tape_id": "T-1", "nominal_diameter": "36 in"} for wheel in WHEELS},
}  # fmt: skip
_LEG = {
        "miles": "90 mi", "sharpest_curve": "8°", "steepest_grade": "2 %", "clearance": "plate B",
        "clearance_truck_centers": "41 ft", "gross_limit": "220,000 lb", "axle_load_limit": "40,000 lb",
        "weight_per_foot_limit": "2,500 lb",
}  # fmt: skip
LEGS = [_LEG, {**_LEG, "miles": "80 mi", "from": "Place 2", "to": "Place 1"}]
FITTINGS = [
    *(
        Part(
            f"brake cylinder {one}", "brake cylinder", str(one), f"brake cylinder {one}", "brake system", True, NOWHERE
        )
        for one in (1, 2)
    ),
    Part("brake lever 1", "brake lever", "1", "brake lever 1", "brake system", True, NOWHERE),
    Part("hand brake B", "hand brake", "B", "hand brake B", "end B", True, NOWHERE),
    Part("body", "body", "", "body", "car", True, NOWHERE),
    Part("rear marker", "rear marker", "", "rear marker", "car", True, NOWHERE),
    Part("brake rigging B", "brake rigging", "B", "brake rigging B", "truck B", True, NOWHERE),
    *(Part(f"spring {one}", "spring", str(one), f"spring {one}", "truck B", True, NOWHERE) for one in (1, 2)),
]
KINDS = {part: world({}, axles=6, more_parts=FITTINGS).standing.parts[part].kind for part, _ in DIMENSIONS}


def car(values: Mapping[Reading, Fraction], steps: Mapping[Reading, Fraction]) -> World:
    """The car with those readings, each by a gauge that resolves the step; 0 where none is given."""
    evidence = [
        read(reading, READ_ON, amount, steps.get(reading, Fraction(0))) for reading, amount in values.items()
    ]  # fmt: skip
    evidence.append(read((WHEELS[0], "rim_thickness"), BEFORE, Fraction(5, 2), Fraction(0)))
    lengths = {name: value_of("car", name, text) for name, text in _CAR_LENGTHS.items()}
    return world(
        DESCRIBED, axles=6, legs=LEGS, more_parts=FITTINGS, more_evidence=evidence,
        moves_made=(made("2029-05-01", "2029-05-03", 12_000),),
        train_facts={
            "speed": value_of("train", "speed", "80 mph"),
            "rear_pressure": value_of("train", "rear_pressure", "80 psi"),
            "brake_pipe_pressure": value_of("train", "brake_pipe_pressure", "90 psi"),
        },
        facts={"requested_on": value_of("move", "requested_on", "2030-05-16")}, neighbors={"ahead": lengths},
    )  # fmt: skip


def read(reading: Reading, on: date, amount: Fraction, step: Fraction) -> Evidence:
    part, name = reading
    value = Figure(Quantity.of(DIMENSIONS[reading], amount))
    found = reading_of(part, KINDS[part], name, value, on)
    return replace(found, resolution=Quantity.of(DIMENSIONS[reading], step))


def figures(here: World) -> Iterator[tuple[str, str, Worked]]:
    """Every derived figure of the car: the part, the attribute, the working's answer."""
    for kind, parts in here.standing.by_kind.items():
        for attribute in VOCABULARY.kinds[kind].attributes.values():
            if not attribute.derived:
                continue
            for part in parts:
                found = WORKINGS[attribute.derived](here, part)
                if isinstance(found, Worked):
                    yield part.key, attribute.name, found


def ends(worked: Worked) -> tuple[Fraction, Fraction] | None:
    if isinstance(worked.value, Figure):
        return worked.value.quantity.amount, worked.value.quantity.amount
    if isinstance(worked.value, Bound) and worked.value.low is not None and worked.value.high is not None:
        return worked.value.low.amount, worked.value.high.amount
    return None


def stated(here: World, part: str, name: str, worked: Worked) -> Fraction:
    where = here.standing.parts[part]
    attribute = VOCABULARY.attribute(where.kind, name)
    assert attribute is not None
    return uncertainty_of(candidates_of(here, where, WORKINGS[attribute.derived], worked))


USUAL = {reading: values[0] for group in GROUPS.values() for reading, (_, values) in group.items()}


def test_the_car_of_these_tests_has_every_working_of_the_registry() -> None:
    here = car(USUAL, {})
    yielded = set()
    for part, name, _ in figures(here):
        attribute = VOCABULARY.attribute(here.standing.parts[part].kind, name)
        assert attribute is not None
        yielded.add(attribute.derived)
    assert set(WORKINGS) == yielded | {"later trucks of gross"}  # here all is weighed on one day


def test_exact_readings_leave_nothing_open() -> None:
    here = car(USUAL, {})
    assert not any(stated(here, part, name, worked) for part, name, worked in figures(here))


@pytest.mark.parametrize("group", GROUPS)
@given(data=st.data())
@settings(max_examples=examples(5), phases=[Phase.explicit, Phase.generate])
def test_no_corner_lies_outside_what_a_working_says_and_one_lies_at_its_edge(group: str, data: st.DataObject) -> None:
    members = GROUPS[group]
    values = {reading: data.draw(st.sampled_from(tried)) for reading, (_, tried) in members.items()}
    gauged = data.draw(st.permutations(list(members)))[:5]
    steps = {reading: data.draw(st.sampled_from(STEPS[DIMENSIONS[reading]])) for reading in gauged}
    check_corners({**USUAL, **values}, steps)


def check_corners(values: Mapping[Reading, Fraction], steps: Mapping[Reading, Fraction]) -> None:
    here = car(values, steps)
    found = {(part, name): worked for part, name, worked in figures(here)}
    furthest: dict[tuple[str, str], Fraction] = dict.fromkeys(found, Fraction(0))
    cut_short: set[tuple[str, str]] = set()
    for signs in product((-1, 1), repeat=len(steps)):
        moved = dict(values)
        for sign, (reading, step) in zip(signs, steps.items(), strict=True):
            moved[reading] += sign * step
        there = {(part, name): worked for part, name, worked in figures(car(moved, steps))}
        for key, worked in found.items():
            before, after = ends(worked), ends(there[key]) if key in there else None
            if before is None or after is None:
                cut_short.add(key)  # out of the range of its formula at this corner
                continue
            if not after[1]:
                cut_short.add(key)  # no rim is less than nothing
            furthest[key] = max(furthest[key], *(abs(one - other) for one, other in zip(before, after, strict=True)))
    hair = Fraction(1, 10**30)  # π and roots
    for (part, name), worst in furthest.items():
        said = stated(here, part, name, found[part, name])
        assert said >= worst - hair, (part, name)
        if (part, name) not in cut_short:
            assert said <= worst * Fraction(21, 20) + hair, (part, name)  # a quotient adds a little more


TWO_CUTS = {(WHEELS[0], "turning_allowance"): Fraction(1, 4), (WHEELS[1], "turning_allowance"): Fraction(1, 4)}
CUT_STEPS = {
    (WHEELS[0], "rim_thickness"): Fraction(1, 16),
    (WHEELS[0], "turning_allowance"): _64TH,
    (WHEELS[1], "turning_allowance"): Fraction(1, 4),
}


def uncertainty(values: Mapping[Reading, Fraction], steps: Mapping[Reading, Fraction], key: Reading) -> Fraction:
    here = car({**USUAL, **values}, steps)
    worked = {(part, name): worked for part, name, worked in figures(here)}[key]
    return stated(here, *key, worked)


def test_of_two_cuts_the_one_by_the_coarser_gauge_may_be_the_deeper() -> None:
    """1/4 in each, to 1/64 in and to 1/4 in: the second may be 1/2 in, and the rim is read to 1/16 in."""
    assert uncertainty(TWO_CUTS, CUT_STEPS, (WHEELS[0], "rim_after_turning")) == Fraction(5, 16)
    shallow = {**TWO_CUTS, (WHEELS[1], "turning_allowance"): Fraction(1, 8)}  # at most 3/8 in: 1/8 in deeper
    assert uncertainty(shallow, CUT_STEPS, (WHEELS[0], "rim_after_turning")) == Fraction(3, 16)
    far = {**TWO_CUTS, (WHEELS[1], "turning_allowance"): Fraction(0)}  # at most 1/4 in, which the other is already
    assert uncertainty(far, CUT_STEPS, (WHEELS[0], "rim_after_turning")) == Fraction(5, 64)


def test_a_size_that_is_neither_largest_nor_smallest_may_be_either() -> None:
    """24 tapes and 20 tapes to 1/4 tape; one of 23 tapes to 2 tapes may be 25."""
    sizes = {(wheel, "tape_size"): Fraction(20) for wheel in WHEELS}
    sizes[WHEELS[0], "tape_size"], sizes[WHEELS[1], "tape_size"] = Fraction(24), Fraction(23)
    steps = {(wheel, "tape_size"): Fraction(1, 4) for wheel in WHEELS} | {(WHEELS[1], "tape_size"): Fraction(2)}
    assert uncertainty(sizes, steps, ("car", "spread")) == Fraction(5, 4)  # 25 - 19-3/4, against 4 as read
    assert uncertainty(sizes, steps, ("wheelset W-1", "step_to_neighbor")) == Fraction(5, 4)
    assert uncertainty(sizes, steps, ("truck A", "spread")) == Fraction(1, 2)


def test_the_lighter_truck_may_be_the_heavier_one() -> None:
    """84,000 lb to 20 lb and 83,000 lb to 2,000 lb on three axles each: 85,000 lb may stand on the second."""
    weights = {("car", "weight_on_truck_B"): Fraction(84_000), ("car", "weight_on_truck_A"): Fraction(83_000)}
    steps = {("car", "weight_on_truck_B"): Fraction(20), ("car", "weight_on_truck_A"): Fraction(2_000)}
    assert uncertainty(weights, steps, ("car", "greatest_axle_load")) == Fraction(1_000, 3)
    assert uncertainty(weights, steps, ("leg 1", "share_of_axle_load_limit")) == Fraction(1_000, 3 * 40_000)


def test_the_other_diagonal_may_be_the_larger() -> None:
    """5/16 + 5/16 in to 1/64 in each; 1/4 + 5/16 in to 1/16 in each may be 1/16 in more."""
    corner = {one: (f"side bearing {one}", "clearance") for one in ("BL", "BR", "AL", "AR")}
    clearances = dict.fromkeys(corner.values(), Fraction(5, 16)) | {corner["BR"]: Fraction(1, 4)}
    steps = {corner["BL"]: _64TH, corner["AR"]: _64TH, corner["BR"]: Fraction(1, 16), corner["AL"]: Fraction(1, 16)}
    assert uncertainty(clearances, steps, ("car", "side_bearing_diagonal_clearance")) == Fraction(1, 16)


def test_a_sum_with_a_go_gauge_leaves_open_what_its_other_reading_does() -> None:
    """At most 1/4 in by a go/no-go gauge, and 3/8 in to 1/16 in: at most 5/8 in, give or take 1/16 in."""
    gauged = reading_of(
        "side bearing BL", "side bearing", "clearance",
        Bound(None, False, Quantity.of("length", Fraction(1, 4), "in"), False, go_or_no_go=True), date(2030, 6, 2),
    )  # fmt: skip
    read_ = read(("side bearing BR", "clearance"), READ_ON, Fraction(3, 8), Fraction(1, 16))
    here = world({}, more_evidence=[gauged, read_])
    worked = {(part, name): worked for part, name, worked in figures(here)}["truck B", "side_bearing_total_clearance"]
    assert stated(here, "truck B", "side_bearing_total_clearance", worked) == Fraction(1, 16)


def test_a_sum_with_a_bound_that_a_gauge_measures_leaves_open_what_both_do() -> None:
    """At most 1/4 in to 1/32 in, and 3/8 in to 1/16 in: at most 5/8 in, give or take 3/32 in."""
    measured = reading_of(
        "side bearing BL", "side bearing", "clearance",
        Bound(None, False, Quantity.of("length", Fraction(1, 4), "in"), False), date(2030, 6, 2), "1/32 in",
    )  # fmt: skip
    read_ = read(("side bearing BR", "clearance"), READ_ON, Fraction(3, 8), Fraction(1, 16))
    here = world({}, more_evidence=[measured, read_])
    worked = {(part, name): worked for part, name, worked in figures(here)}["truck B", "side_bearing_total_clearance"]
    assert stated(here, "truck B", "side_bearing_total_clearance", worked) == Fraction(3, 32)
    assert "told as a bound" in worked.line


def test_a_quotient_of_two_readings_counts_both_at_their_worst_together() -> None:
    """60,000 lb ± 2,000 of 100,000 lb ± 2,000: at most 62,000/98,000."""
    weights = {("car", "weight_on_truck_B"): Fraction(60_000), ("car", "gross_weight"): Fraction(100_000)}
    evidence = [read(one, READ_ON, amount, Fraction(2_000)) for one, amount in weights.items()]
    here = world({}, more_evidence=evidence)
    worked = {(part, name): worked for part, name, worked in figures(here)}["truck B", "share_of_gross"]
    assert stated(here, "truck B", "share_of_gross", worked) == Fraction(62, 98) - Fraction(60, 100)


def test_words_have_no_uncertainty() -> None:
    found = Worked(Word("yes"), "")
    here = world({})
    assert candidates_of(here, here.standing.parts["car"], lambda readings, part: found, found) == ()
