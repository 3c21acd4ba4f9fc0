"""The parts of a wheelset: the wheelset, its wheels, bearings and steel axle, fitted at an axle or not."""

from carknocker.documents.node import Location
from carknocker.record.model import Part

_SIDES = (("left", "L"), ("right", "R"))


def wheelset_parts(serial: str, axle: int | None, end_for_end: bool, where: Location) -> tuple[Part, ...]:
    """All parts of a wheelset. At an axle, its left side stands on the car's left, unless it is end for end."""
    fitted = axle is not None
    wheelset = f"wheelset {serial}"
    container = f"axle position {axle}" if fitted else None
    parts = [Part(wheelset, "wheelset", serial, wheelset, container, fitted, where)]
    for side, letter in _SIDES:
        turned = {"L": "R", "R": "L"}[letter] if end_for_end else letter
        position = f"{turned}{axle}" if fitted else f"{serial} {side}"
        for kind in ("wheel", "bearing"):
            parts.append(Part(f"{kind} {serial} {side}", kind, position, f"{kind} {position}", wheelset, fitted, where))
    label = f"steel axle of {serial}"
    parts.append(Part(f"axle of {serial}", "axle", serial, label, wheelset, fitted, where))
    return tuple(parts)


def thing_key_of_wheelset(key: str) -> str | None:
    """The serial of the wheelset that a part belongs to, None for a place."""
    for beginning in ("wheelset ", "axle of "):
        if key.startswith(beginning):
            return key.removeprefix(beginning)
    for kind in ("wheel ", "bearing "):
        if key.startswith(kind) and key.endswith((" left", " right")):
            return key.removeprefix(kind).rsplit(" ", 1)[0]
    return None
