"""What is asked of a lift sheet: where the body is lifted, with which gear, and on what it is cribbed."""

from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.workings.lift_geometry import TiltingCar
from carknocker.workings.lift_statics import LiftWeights
from carknocker.workings.model import OutOfRange

PointName = Literal["bolster", "end sill", "coupler"]


class LiftPoint(msgspec.Struct, frozen=True):
    """Where the body is lifted. beyond: from the near truck center outwards, inches (0 at the bolster). rating: lb, by
    a competent person; rated_by: who says so."""

    name: PointName
    beyond: Fraction
    rating: Fraction | None = None
    rated_by: str = ""


class Sling(msgspec.Struct, frozen=True):
    """legs: of the sling; angle: from the horizontal, degrees; rating: of one leg upright, lb."""

    legs: int
    angle: Fraction
    rating: Fraction

    @property
    def carrying(self) -> int:
        """How many legs are taken to carry: of more than two on a stiff load, two (common practice, no source)."""
        return min(self.legs, 2)


class Crib(msgspec.Struct, frozen=True):
    """timbers: `4×4` or `6×6`; pattern: `2×2` or `3×3` in a layer; base: width, inches; height: inches; how many share
    the load (both sides of the end: 2)."""

    timbers: str
    pattern: str
    base: Fraction
    height: Fraction
    count: int = 2


class LiftRequest(msgspec.Struct, frozen=True):
    """One lift of one end. crane_rating: at the radius of this lift, lb. rigging: weight of hook block, slings and
    spreader, lb. margin: clearance wanted over the truck, inches."""

    end: Literal["A", "B"]
    weights: LiftWeights
    tilting: TiltingCar
    points: tuple[LiftPoint, ...]
    crane_rating: Fraction
    rigging: Fraction
    sling: Sling
    crib: Crib
    margin: Fraction = Fraction(0)


def check_request(request: LiftRequest) -> None:
    """Raises OutOfRange for gear and points of lifting that make no lift."""
    sling, crib = request.sling, request.crib
    if sling.legs == 1 and sling.angle != 90:
        raise OutOfRange("a single sling leg hangs upright, at 90° from the level")
    if crib.count < 1 or crib.height <= 0:
        raise OutOfRange("at least one crib, higher than 0 in, takes the body")
    if request.rigging < 0 or any(point.beyond < 0 for point in request.points):
        raise OutOfRange("rigging weighs 0 lb or more, and a point of lifting lies at the truck center or beyond it")
