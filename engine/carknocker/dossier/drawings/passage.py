"""What passes on the leg with the sharpest curve."""

from fractions import Fraction

import msgspec

from carknocker.dossier.drawings.curve_view import OnCurve
from carknocker.dossier.drawings.lengths import Lengths
from carknocker.dossier.drawings.seen import Seen
from carknocker.record.model import Leg, Part
from carknocker.record.values import Word
from carknocker.workings import OutOfRange
from carknocker.workings.clearance import PLATES


class Passage(msgspec.Struct, frozen=True):
    """A leg with its sharpest curve, degrees, and what passes there, inches; None for what is not stated.

    limit_name: `plate B`, or empty. narrowed: width that is left for this car.
    """

    leg: Leg
    part: Part
    degree: Fraction
    limit_name: str
    width: Fraction | None
    height: Fraction | None
    narrowed: Fraction | None

    @property
    def name(self) -> str:
        return f"leg {self.leg.number}, {self.leg.start} to {self.leg.end}"


def sharpest(seen: Seen) -> Passage | None:
    """The leg with the sharpest curve; of equals the one that leaves the car the least width."""
    found = [one for leg in seen.judgement.move.legs if (one := _passage(seen, leg)) is not None]
    return max(found, key=lambda one: (one.degree, -(one.narrowed or one.width or 10**6)), default=None)


def _passage(seen: Seen, leg: Leg) -> Passage | None:
    key = f"leg {leg.number}"
    degree = seen.amount(key, "sharpest_curve")
    part = seen.standing.parts.get(key)
    if degree is None or part is None:
        return None
    plate = seen.value(key, "clearance")
    name = plate.text if isinstance(plate, Word) and plate.text in PLATES else ""
    width, height = seen.amount(key, "clearance_width"), seen.amount(key, "clearance_height")
    if name:
        width = PLATES[name].width if width is None else width
        height = PLATES[name].height if height is None else height
    return Passage(leg, part, degree, name, width, height, seen.amount(key, "allowed_width"))


def on_curve(seen: Seen, passage: Passage, lengths: Lengths) -> OnCurve | None:
    """The car on that curve; None on straight track, and where a length is not on record or makes no car."""
    if lengths.centers is None or lengths.length is None or lengths.width is None or passage.degree <= 0:
        return None
    bases = [_wheelbase(seen, truck) for truck in seen.trucks()]
    base = max((one for one in bases if one is not None), default=Fraction(0)) if None not in bases else Fraction(0)
    try:
        car = OnCurve.of(passage.degree, lengths.centers, lengths.length, lengths.width, base)
    except OutOfRange:
        return None
    return car if car.radius > car.length > 0 else None


def _wheelbase(seen: Seen, truck: Part) -> Fraction | None:
    spacing = seen.amount(truck.key, "axle_spacing")
    return None if spacing is None else spacing * max(len(seen.axles(truck)) - 1, 0)
