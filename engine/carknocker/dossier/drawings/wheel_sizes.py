"""Sizes of the wheels along each truck, as diameters; as tape sizes where no diameter is known."""

from collections.abc import Iterator
from fractions import Fraction

import msgspec

from carknocker.dossier.drawings.seen import Seen, inch_words
from carknocker.record.model import Part
from carknocker.workings.diameter import diameter_of_tapes

_MOST_AXLES = 4


class WheelSize(msgspec.Struct, frozen=True):
    """One wheel. over: inches of diameter, or where only tapes are known, of the size taken as diameter; None: not
    shown. words: as read."""

    label: str
    axle: str
    over: Fraction | None
    words: str


class TruckSizes(msgspec.Struct, frozen=True):
    """The wheels of a truck, axle by axle, L before R."""

    truck: Part
    axles: tuple[tuple[WheelSize, ...], ...]

    @property
    def step(self) -> Fraction | None:
        """Mean of the middle axle less the mean of the end axles, inches; None unless all of three axles are known."""
        over = [[one.over for one in axle if one.over is not None] for axle in self.axles]
        if len(over) != 3 or any(len(one) != 2 for one in over):
            return None
        return sum(over[1], Fraction(0)) / 2 - sum(over[0] + over[2], Fraction(0)) / 4

    @property
    def spread(self) -> Fraction | None:
        """The largest less the smallest, inches; None unless all wheels are known."""
        over = [one.over for axle in self.axles for one in axle]
        known = [one for one in over if one is not None]
        return max(known) - min(known) if known and len(known) == len(over) else None


def wheel_sizes(seen: Seen) -> tuple[list[TruckSizes], bool]:
    """The trucks, that of the B end first; and whether only tape sizes are known."""
    by_tape = not any(_known(seen, "diameter"))
    return [_sizes(seen, truck, by_tape) for truck in seen.trucks()], by_tape


def _known(seen: Seen, attribute: str) -> Iterator[Part]:
    for wheel in seen.standing.by_kind.get("wheel", ()):
        if wheel.fitted and seen.amount(wheel.key, attribute) is not None:
            yield wheel


def _sizes(seen: Seen, truck: Part, by_tape: bool) -> TruckSizes:
    axles = []
    for axle in seen.axles(truck)[:_MOST_AXLES]:
        wheelset = seen.wheelset(axle)
        wheels = [None if wheelset is None else seen.side(wheelset, "wheel", letter) for letter in "LR"]
        pairs = zip("LR", wheels, strict=True)
        axles.append(tuple(_size(seen, wheel, f"{letter}{axle.position}", axle, by_tape) for letter, wheel in pairs))
    return TruckSizes(truck, tuple(axles))


def _size(seen: Seen, wheel: Part | None, label: str, axle: Part, by_tape: bool) -> WheelSize:
    if wheel is None:
        return WheelSize(label, axle.label, None, "not shown")
    tapes = seen.amount(wheel.key, "tape_size")
    if by_tape:
        over = None if tapes is None else diameter_of_tapes(tapes).amount.middle
        return WheelSize(label, axle.label, over, "not shown" if tapes is None else f"tape {value_of(tapes)}")
    amount = seen.amount(wheel.key, "diameter")
    return WheelSize(
        label, axle.label, amount, "not shown" if amount is None else inch_words(amount).removesuffix(" in")
    )


def value_of(amount: Fraction) -> str:
    """A number of tapes."""
    return str(amount.numerator) if amount.denominator == 1 else str(float(amount))
