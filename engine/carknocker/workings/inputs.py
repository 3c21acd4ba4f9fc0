"""What workings take from the readings: a figure, a range, a day, a word; and the parts that belong together."""

from collections.abc import Callable, Sequence
from fractions import Fraction

import msgspec

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Bound, Count, Day, Figure, Value, Word
from carknocker.workings.formula import Result
from carknocker.workings.model import NO_FIGURE, NOT_READ, Missing, OutOfRange, Readings, Worked

SIDES = ("left", "right")


class Input(msgspec.Struct, frozen=True):
    """A figure with the evidence that shows it."""

    quantity: Quantity
    evidence: Evidence

    @property
    def amount(self) -> Fraction:
        """The exact amount in the base unit."""
        return self.quantity.amount


def figure(readings: Readings, part: str, attribute: str) -> Input | Missing:
    """The newest valid figure of an attribute. Missing where there is none, or where it is no exact figure."""
    evidence = readings.newest(part, attribute)
    if evidence is None:
        return Missing(part, attribute, NOT_READ, unread=True)
    match evidence.value:
        case Figure(quantity):
            return Input(quantity, evidence)
        case Count(number):
            return Input(Quantity("count", number, 1), evidence)
        case Bound(low, _, high, _) if low is not None and low == high:
            return Input(low, evidence)
        case Bound():
            return Missing(part, attribute, NO_FIGURE)
        case _:
            return Missing(part, attribute, "not a figure")


def figures(readings: Readings, *wanted: tuple[str, str]) -> list[Input] | Missing:
    """The figure of each wanted part and attribute, or the first that is missing."""
    found: list[Input] = []
    for part, attribute in wanted:
        one = figure(readings, part, attribute)
        if isinstance(one, Missing):
            return one
        found.append(one)
    return found


def derived(
    part: str, attribute: str, used: Sequence[Input | Evidence], work: Callable[[], Result]
) -> Worked | Missing:
    """The answer of a formula for a derived attribute. Outside the range of the formula the figure is missing, and the
    input that is out of range is named: `attribute` of `part`."""
    try:
        outcome = work()
    except OutOfRange as error:
        return Missing(part, attribute, f"out of range: {error}")
    evidence = tuple(one.evidence if isinstance(one, Input) else one for one in used)
    return Worked(outcome.value, outcome.line, evidence)


def as_range(value: Value) -> Bound | None:
    """A figure or a bound as a range; None for anything else."""
    if isinstance(value, Figure):
        return Bound(value.quantity, False, value.quantity, False)
    return value if isinstance(value, Bound) else None


def day(readings: Readings, part: str, attribute: str) -> tuple[Day, Evidence] | None:
    """The day that a date attribute tells, or None."""
    evidence = readings.newest(part, attribute)
    if evidence is None or not isinstance(evidence.value, Day):
        return None
    return evidence.value, evidence


def word(readings: Readings, part: str, attribute: str) -> tuple[str, Evidence] | Missing:
    """The word of an attribute (`yes`, one of a list). Missing where it is not recorded."""
    evidence = readings.newest(part, attribute)
    if evidence is None:
        return Missing(part, attribute, NOT_READ, unread=True)
    if not isinstance(evidence.value, Word):
        return Missing(part, attribute, "not one word")
    return evidence.value.text, evidence


def serial_of(wheelset: str) -> str:
    """The serial in the key of a wheelset."""
    return wheelset.removeprefix("wheelset ")


def wheel_of(wheelset: str, side: str) -> str:
    """The key of a wheel of a wheelset."""
    return f"wheel {serial_of(wheelset)} {side}"


def bearing_of(wheelset: str, side: str) -> str:
    """The key of a bearing of a wheelset."""
    return f"bearing {serial_of(wheelset)} {side}"


def wheelset_of(readings: Readings, key: str) -> str | None:
    """The wheelset that a wheel or bearing belongs to, fitted or not."""
    here = readings.standing.parts.get(key)
    if here is not None and here.container is not None:
        return here.container
    serial = key.partition(" ")[2].rpartition(" ")[0]
    return f"wheelset {serial}" if serial else None


def inside(readings: Readings, container: str, kind: str) -> list[str]:
    """The parts of a kind that are in the container, however deep, in walking order."""
    standing = readings.standing
    found: list[str] = []
    for key in standing.inside.get(container, ()):
        if standing.parts[key].kind == kind:
            found.append(key)
        found.extend(inside(readings, key, kind))
    return found


def axles_of_truck(readings: Readings, truck: str) -> list[str]:
    """The axle positions of a truck in the order of their numbers."""
    parts = readings.standing.parts
    found = [key for key in readings.standing.inside.get(truck, ()) if parts[key].kind == "axle position"]
    return sorted(found, key=lambda key: int(parts[key].position) if parts[key].position.isdigit() else 0)


def wheelset_at(readings: Readings, axle: str) -> str | None:
    """The wheelset fitted at an axle position, or None."""
    parts = readings.standing.parts
    return next((key for key in readings.standing.inside.get(axle, ()) if parts[key].kind == "wheelset"), None)
