"""Computed and quoted figures of lifting one end, and the balance against scipy.

Tags: P published, and read · S read in a secondary source · C computed from the stated formula · CP common practice, no
source.
"""

from fractions import Fraction

import numpy as np
import pytest
from scipy.linalg import solve
from shapely import LineString
from shapely.affinity import rotate

from carknocker.quantities import read_quantity
from carknocker.workings.lift_sheet import CAUTIONS
from carknocker.workings.lift_statics import (
    LiftWeights,
    TiltingCar,
    body_weight,
    crib_capacity,
    crib_height_limit,
    lifted_load,
    sling_tension,
    standing_end,
    standing_reaction,
)
from carknocker.workings.model import OutOfRange

CENTERS = read_quantity("59 ft 6 in", "length").amount
END_SILL = Fraction("72.25") * 12


@pytest.mark.transcription
def test_half_the_gross_less_a_truck() -> None:
    # common practice, no source [CP]: a car of 180,000 lb gross on two trucks of 30,000 lb, halves equal, trucks
    # released, needs 60,000 lb lifted at one end's bolster
    weights = LiftWeights(Fraction(180_000), Fraction(30_000), Fraction(30_000))
    found = lifted_load(weights, CENTERS, CENTERS, "released")
    assert (found.amount.low, found.amount.high) == (60_000, 60_000)
    assert body_weight(weights).amount.low == 120_000
    assert found.amount.low == weights.gross / 2 - weights.near
    assert "halves taken as equal" in found.line


@pytest.mark.transcription
def test_example_at_the_bolster_and_at_the_end_sill() -> None:
    # practice, lifting: 160,000 lb car, trucks 23,000 lb, L 59.5 ft: at the bolster 57,000 lb; at the end sill,
    # x = 72.25 ft, 46,941 lb; with the truck locked on, add its weight [C]
    weights = LiftWeights(Fraction(160_000), Fraction(23_000), Fraction(23_000))
    assert lifted_load(weights, CENTERS, CENTERS, "released").amount.low == 57_000
    assert round(lifted_load(weights, CENTERS, END_SILL, "released").amount.low) == 46_941
    assert lifted_load(weights, CENTERS, CENTERS, "locked on").amount.low == 80_000
    assert round(lifted_load(weights, CENTERS, END_SILL, "locked on").amount.low) == 46_941 + 23_000


@pytest.mark.parametrize("distance", [714, 760, 867, 900])
@pytest.mark.parametrize("on_near", [70_000, 80_000, 95_000])
@pytest.mark.parametrize("hung", [False, True])
def test_loads_agree_with_statics(distance: int, on_near: int, hung: bool) -> None:
    # independent reference: forces and moments of the body on the far center plate and the hook, solved by scipy
    gross, near, far = 160_000.0, 23_000.0, 21_000.0
    weights = LiftWeights(Fraction(160_000), Fraction(23_000), Fraction(21_000), Fraction(on_near))
    at_near = on_near - near
    body = gross - near - far
    extra = near if hung else 0.0
    right = np.array([body + extra, (at_near + extra) * 714.0])
    reaction, hook = solve(np.array([[1.0, 1.0], [0.0, float(distance)]]), right)
    truck = "locked on" if hung else "released"
    found = lifted_load(weights, Fraction(714), Fraction(distance), truck).amount.low
    if hung:
        assert float(found) >= hook - 1e-6  # on the safe side beyond the bolster, equal at it
        assert float(found) == pytest.approx(at_near * 714 / distance + near)
        if distance == 714:
            assert float(found) == pytest.approx(hook)
    else:
        assert float(found) == pytest.approx(hook)
    assert float(standing_reaction(weights, Fraction(714), Fraction(distance), truck).amount.low) == pytest.approx(
        reaction + far
    )


@pytest.mark.parametrize(("angle", "tension"), [(90, 5_000), (60, 5_775), (45, 7_070), (30, 10_000)])
def test_sling_tensions(angle: int, tension: int) -> None:
    # sling makers' tables: 10,000 lb on two legs; published rounded, to 5 lb here [S]
    assert float(sling_tension(Fraction(10_000), 2, Fraction(angle)).amount.middle) == pytest.approx(tension, abs=5)


@pytest.mark.parametrize(("angle", "factor"), [(60, "1.155"), (45, "1.414"), (30, "2.000")])
def test_sling_factors(angle: int, factor: str) -> None:
    # sling makers' tables: factors [S]
    found = sling_tension(Fraction(1), 1, Fraction(angle)).amount
    assert f"{float(found.low):.3f}" == f"{float(found.high):.3f}" == factor


@pytest.mark.transcription
def test_sling_below_thirty_degrees_is_refused() -> None:
    # below 30° is not recommended [S]
    with pytest.raises(OutOfRange, match="30°"):
        sling_tension(Fraction(10_000), 2, Fraction(29))


@pytest.mark.transcription
@pytest.mark.parametrize(
    ("timbers", "pattern", "capacity"), [("4×4", "2×2", 24_000), ("4×4", "3×3", 54_000), ("6×6", "2×2", 60_000)]
)
def test_cribs(timbers: str, pattern: str, capacity: int) -> None:
    # practice, lifting: crib capacities; height at most three times the base [S]
    assert crib_capacity(timbers, pattern) == capacity
    assert crib_height_limit(Fraction(30)).amount.low == 90


def test_the_standing_end_dips() -> None:
    # with L the truck centers and o the overhang, by about rise × o/(L + o) [CP]; drawn by shapely as a tilting line
    overhang, rise = Fraction(153), Fraction(24)
    car = TiltingCar(CENTERS, Fraction(30), Fraction(40), overhang, Fraction(28))
    whole = CENTERS + overhang
    found = standing_end(car, rise, whole).dip.amount.low
    assert found == rise * overhang / (CENTERS + overhang)
    line = LineString([(-float(overhang), 0), (float(whole), 0)])
    angle = float(np.arcsin(float(rise) / float(whole)))
    tilted = rotate(line, angle, origin=(0, 0), use_radians=True)
    assert tilted.bounds[3] == pytest.approx(float(rise))
    assert -tilted.bounds[1] == pytest.approx(float(found))


@pytest.mark.transcription
def test_cautions() -> None:
    # common practice; the crib is 29 CFR 1910.244(a)(2)(iii): "it shall be cribbed, blocked, or otherwise secured at
    # once" [P]
    together = " ".join(CAUTIONS)
    for words in (
        "Blue-signal protection", "held by chocks on both sides of a wheel", "never by air", "no rated lifting point",
        "holds little against rolling", "under a suspended load", "secured at once", "licensed crane operator",
    ):  # fmt: skip
        assert words.casefold() in together.casefold()
