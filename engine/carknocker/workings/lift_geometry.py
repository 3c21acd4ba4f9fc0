"""How high one end must rise for its truck to clear, and how far the standing end dips meanwhile.

The car is stiff and tilts about the far truck's center plate; heights of its parts rise and fall with their distance
from there. The tilt is small, so that what lies above or below the center plate shifts along the car and not in height;
the springs of the standing truck are taken as unmoved.
"""

from fractions import Fraction

import msgspec

from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, inches, result


class TiltingCar(msgspec.Struct, frozen=True):
    """Lengths and heights of a car whose one end is lifted, inches.

    outboard_part: from the far truck center to the lowest part that the leaving truck passes under; where that place is
    not measured, the near truck center, which asks for the highest lift. overhang: of the far end beyond its truck
    center. outer_wheels: of the standing truck, from its center outwards; over_wheels: clearance of the body there;
    None where it is not measured.
    """

    centers: Fraction
    outboard_height: Fraction
    truck_height: Fraction
    overhang: Fraction
    far_end_height: Fraction
    outboard_part: Fraction | None = None
    outer_wheels: Fraction | None = None
    over_wheels: Fraction | None = None

    def __post_init__(self) -> None:
        if self.centers <= 0 or self.overhang < 0 or min(self.outboard_height, self.truck_height) <= 0:
            raise OutOfRange("truck centers and heights are more than 0 in, an overhang is 0 in or more")
        if self.outboard_part is not None and self.outboard_part < self.centers:
            raise OutOfRange("a part outboard of the near truck is at least the truck centers from the far truck")

    @property
    def part_distance(self) -> Fraction:
        """From the far truck center to the part that must be cleared."""
        return self.centers if self.outboard_part is None else self.outboard_part


def rise_needed(car: TiltingCar, distance: Fraction, margin: Fraction) -> Result:
    """r = (H + m - h)·x/xₚ: rise of the point of lifting for the truck to pass, inches; 0 where it passes already.

    H: height of the truck over rail; h: height of the part outboard of it; m: clearance wanted, 0 or more; x: from the
    far truck center to the point of lifting, over 0; xₚ: to the part. Similar triangles. Raises OutOfRange, also for a
    tilt of more than one in ten, where the model does not hold.
    """
    if margin < 0 or distance <= 0:
        raise OutOfRange("the clearance wanted is 0 in or more, the distance to the point of lifting more than 0 in")
    at_part = max(car.truck_height + margin - car.outboard_height, Fraction(0))
    _flat(at_part, car.part_distance)
    numbers = f"({inches(car.truck_height)} + {inches(margin)} - {inches(car.outboard_height)})"
    return result(
        "length",
        at_part * distance / car.part_distance,
        f"r = (H + m - h) × x/xₚ = {numbers} × {inches(distance)}/{inches(car.part_distance)}",
    )


class StandingEnd(msgspec.Struct, frozen=True):
    """What the standing end does. dip: how far its end goes down; left: its height over rail then; over_wheels: the
    clearance then left between the body and the outer wheels of the standing truck, None where it is not known; inches.
    """

    dip: Result
    left: Result
    over_wheels: Result | None = None

    @property
    def touches(self) -> bool:
        """Whether the lowest part of the standing end comes down on the rail."""
        return self.left.amount.low <= 0

    @property
    def touches_wheels(self) -> bool:
        """Whether the body comes down on the outer wheels of the standing truck."""
        return self.over_wheels is not None and self.over_wheels.amount.low <= 0


def standing_end(car: TiltingCar, rise: Fraction, distance: Fraction) -> StandingEnd:
    """d = r·o/x: dip of the far end, o its overhang; at the lifted end, x = L + o, it is r·o/(L + o) (common practice).
    Over the outer wheels of the standing truck, w outside its center, r·w/x. Inches; rise 0 or more, x over 0. Raises
    OutOfRange."""
    if rise < 0 or distance <= 0:
        raise OutOfRange("a rise is 0 in or more, the distance to the point of lifting more than 0 in")
    _flat(rise, distance)
    dip = rise * car.overhang / distance
    return StandingEnd(
        result("length", dip, f"d = r × o/x = {inches(rise)} × {inches(car.overhang)}/{inches(distance)}"),
        result("length", car.far_end_height - dip, f"left = h - d = {inches(car.far_end_height)} - {inches(dip)}"),
        _over_wheels(car, rise, distance),
    )


def _over_wheels(car: TiltingCar, rise: Fraction, distance: Fraction) -> Result | None:
    if car.outer_wheels is None or car.over_wheels is None:
        return None
    numbers = f"{inches(car.over_wheels)} - {inches(rise)} × {inches(car.outer_wheels)}/{inches(distance)}"
    left = car.over_wheels - rise * car.outer_wheels / distance
    return result("length", left, f"left over the outer wheels = c - r × w/x = {numbers}")


def _flat(rise: Fraction, distance: Fraction) -> None:
    if rise * 10 > distance:
        raise OutOfRange("the car would tilt more than one in ten, where this model does not hold")
