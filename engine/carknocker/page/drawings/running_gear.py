"""The axles of a truck with what stands on them, as the drawings show them."""

from collections.abc import Iterator
from fractions import Fraction

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.figures import figure_amount
from carknocker.record.model import Part
from carknocker.vocabulary.program_names import AXLE, AXLE_SPACING, BEARING, BOX, WHEEL

USUAL_WHEEL = Fraction(36)  # inches, as wheels are drawn whose diameter nobody measured
USUAL_SPACING = {2: Fraction(102), 3: Fraction(66)}  # inches, by the number of axles
_OTHER_SPACING = Fraction(66)


class AxleSide(msgspec.Struct, frozen=True):
    """One side, L or R, of an axle. parts: wheel, bearing, box; None where the record has none."""

    letter: str
    position: str
    wheel: Part | None
    bearing: Part | None
    box: Part | None

    @property
    def label(self) -> str:
        """`R5`."""
        return f"{self.letter}{self.position}"


class AxleInPlace(msgspec.Struct, frozen=True):
    """An axle position of a truck. steel: the axle of its wheelset."""

    place: Part
    wheelset: Part | None
    steel: Part | None
    left: AxleSide
    right: AxleSide

    @property
    def sides(self) -> tuple[AxleSide, AxleSide]:
        return self.left, self.right

    def side(self, letter: str) -> AxleSide:
        return self.left if letter == "L" else self.right

    @property
    def parts(self) -> Iterator[Part]:
        """All parts of it that there are."""
        sided = (part for one in self.sides for part in (one.wheel, one.bearing, one.box))
        return (part for part in (self.place, self.wheelset, self.steel, *sided) if part is not None)


def axles_of(index: JudgementIndex, truck: Part) -> tuple[AxleInPlace, ...]:
    """The axles of a truck, the one nearest to the B end first."""
    return tuple(_axle(index, place) for place in index.axles(truck))


def _axle(index: JudgementIndex, place: Part) -> AxleInPlace:
    wheelset = index.wheelset_at(place)
    steel = None if wheelset is None else next(iter(index.of_kind(wheelset.key, AXLE)), None)
    boxes = {one.position[:1]: one for one in index.of_kind(place.key, BOX)}

    def side(letter: str) -> AxleSide:
        wheel, bearing = (
            (None, None)
            if wheelset is None
            else (index.on_side(wheelset, WHEEL, letter), index.on_side(wheelset, BEARING, letter))
        )
        return AxleSide(letter, place.position, wheel, bearing, boxes.get(letter))

    return AxleInPlace(place, wheelset, steel, side("L"), side("R"))


def spacing_of(index: JudgementIndex, truck: Part, axles: int) -> Fraction:
    """From one axle of a truck to the next, inches; as usual where the record does not say."""
    return figure_amount(index, truck.key, AXLE_SPACING) or USUAL_SPACING.get(axles, _OTHER_SPACING)


def numbers_on(
    faults: FaultNumbers, index: JudgementIndex, parts: Iterator[Part] | tuple[Part | None, ...]
) -> set[int]:
    """The numbers of the faults on any of some parts."""
    return {number for part in parts for number in faults.on(index, part)}
