"""Where on the walk round the car a part is, and in which order one comes to it."""

import re

from carknocker.record.model import Part
from carknocker.record.standing import Standing
from carknocker.record.wheelset_parts import thing_key_of_wheelset

_SIDES = {"L": "left side", "R": "right side"}
_ENDS = {"B": "B end", "A": "A end"}
_SIDE_OF_AXLE = re.compile(r"([LR])\d+")
_SIDE_OF_TRUCK = re.compile(r"[AB]([LR])")


def station_of(part: Part, access: str, standing: Standing) -> str:
    """The station of a reading: by what one must have access to, else by where the part is.

    A truck, an axle or what is in the middle of one is come to on the left side, which is walked first.
    """
    if not part.fitted:
        return "carried spares"
    if access == "inside":
        return "inside"
    if access != "walking round":
        return "underneath"
    for key in (part.key, *standing.containers(part.key)):
        own = standing.parts[key]
        side = _SIDE_OF_AXLE.fullmatch(own.position) or _SIDE_OF_TRUCK.fullmatch(own.position)
        if side is not None:
            return _SIDES[side[1]]
        if own.kind in ("truck", "axle position", "wheelset", "axle"):
            return "left side"
        if own.position in _ENDS:
            return _ENDS[own.position]
    return "the car as a whole"


def place_along(part: Part, station: str, standing: Standing) -> int:
    """How far along the walk a part is: from the B end to the A end, on the right side the other way round."""
    numbers = [_number(standing.parts[key], standing) for key in (part.key, *standing.containers(part.key))]
    number = next((one for one in numbers if one is not None), 0)
    return -number if station == "right side" else number


def _number(part: Part, standing: Standing) -> int | None:
    """Twice the number of an axle; for a truck and what is on it one less than its first axle's."""
    axles = standing.car.axle_trucks
    digits = re.fullmatch(r"[LR]?(\d+)", part.position)
    if part.kind in ("wheel", "bearing", "box", "brake shoe", "axle position") and digits is not None:
        return 2 * int(digits[1])
    if part.kind == "truck" or _SIDE_OF_TRUCK.fullmatch(part.position):
        return min((2 * axle - 1 for axle, truck in axles.items() if truck == part.position[:1]), default=0)
    return None


def name_on_a_form(part: Part, standing: Standing) -> str:
    """The kind and the position by which a sheet finds the part: `wheel L3`, `axle 3`, `wheelset W-31`, `body`."""
    if part.kind == "axle" and part.fitted:
        axle = next((key for key in standing.containers(part.key) if key.startswith("axle position ")), "")
        return f"axle {axle.removeprefix('axle position ')}"
    if part.kind == "axle":
        return f"axle {thing_key_of_wheelset(part.key)}"
    return f"{part.kind} {part.position}".strip()
