"""The keys by which parts are known, and the parts that a wheelset is made of, fitted at an axle or not."""

from functools import lru_cache

from carknocker.documents.node import Location
from carknocker.record.model import Part
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import AXLE, AXLE_POSITION, BEARING, TRUCK, WHEEL, WHEELSET

SIDES = ("left", "right")
_BEGINNINGS = (f"{WHEELSET} ", f"{AXLE} of ")
_SIDED = (f"{WHEEL} ", f"{BEARING} ")
_LETTERS = {"left": "L", "right": "R"}


def wheelset_key(serial: str) -> str:
    """The key of a wheelset."""
    return f"{WHEELSET} {serial}"


def wheel_key(serial: str, side: str) -> str:
    """The key of a wheel by its wheelset and its side there, left or right."""
    return f"{WHEEL} {serial} {side}"


def bearing_key(serial: str, side: str) -> str:
    """The key of a bearing by its wheelset and its side there, left or right."""
    return f"{BEARING} {serial} {side}"


def axle_key(serial: str) -> str:
    """The key of the steel axle of a wheelset."""
    return f"{AXLE} of {serial}"


def axle_position_key(number: int | str) -> str:
    """The key of the place of an axle, counted from the B end."""
    return f"{AXLE_POSITION} {number}"


def truck_key(letter: str) -> str:
    """The key of a truck, B or A."""
    return f"{TRUCK} {letter}"


def leg_key(number: int) -> str:
    """The key of a leg of the move."""
    return f"leg {number}"


@lru_cache(maxsize=1024)
def serial_of(key: str) -> str | None:
    """The serial of the wheelset that a part belongs to, None for a place."""
    for beginning in _BEGINNINGS:
        if key.startswith(beginning):
            return key.removeprefix(beginning)
    for beginning in _SIDED:
        if key.startswith(beginning) and key.endswith((" left", " right")):
            return key.removeprefix(beginning).rsplit(" ", 1)[0]
    return None


def side_of(key: str) -> str:
    """The side on its wheelset, left or right, of a wheel or a bearing; empty for any other part."""
    return next((side for side in SIDES if key.endswith(f" {side}")), "")


@lru_cache(maxsize=1024)
def kind_of_key(key: str) -> str:
    """The kind of a part by its key, for parts that the car has not got: `axle position` of `axle position 3`."""
    kinds = load_vocabulary().kinds
    named = [kind for kind in kinds if key == kind or key.startswith(f"{kind} ")]
    return max(named, key=len, default="")


def wheelset_parts(serial: str, axle: int | None, end_for_end: bool, where: Location) -> tuple[Part, ...]:
    """All parts of a wheelset. At an axle, its left side stands on the car's left, unless it is end for end."""
    fitted = axle is not None
    wheelset = wheelset_key(serial)
    container = None if axle is None else axle_position_key(axle)
    parts = [Part(wheelset, WHEELSET, serial, wheelset, container, fitted, where)]
    for side, letter in _LETTERS.items():
        turned = {"L": "R", "R": "L"}[letter] if end_for_end else letter
        position = f"{turned}{axle}" if fitted else f"{serial} {side}"
        for kind, key in ((WHEEL, wheel_key(serial, side)), (BEARING, bearing_key(serial, side))):
            parts.append(Part(key, kind, position, f"{kind} {position}", wheelset, fitted, where))
    parts.append(Part(axle_key(serial), AXLE, serial, f"axle of {serial}", wheelset, fitted, where))
    return tuple(parts)
