"""The lengths of the car that set the scale of drawings."""

from fractions import Fraction

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.figures import figure_amount
from carknocker.vocabulary.program_names import (
    EXTREME_WIDTH,
    HEIGHT_OVER_RAIL,
    LENGTH_OVER_COUPLERS,
    LOWEST_PART_OVER_RAIL,
    TRUCK_CENTERS,
)


class Lengths(msgspec.Struct, frozen=True):
    """The lengths of a car, inches; None for what is not on record. length: over couplers."""

    length: Fraction | None
    centers: Fraction | None
    width: Fraction | None
    height: Fraction | None
    lowest: Fraction | None

    @property
    def whole(self) -> Fraction:
        """The length that the width of the drawing stands for, inches; above 0."""
        return max(self.length or Fraction(0), self.centers or Fraction(0))


def lengths_of(index: JudgementIndex) -> Lengths:
    """The lengths on record."""
    names = (LENGTH_OVER_COUPLERS, TRUCK_CENTERS, EXTREME_WIDTH, HEIGHT_OVER_RAIL)
    length, centers, width, height = (figure_amount(index, "car", name) for name in names)
    return Lengths(length, centers, width, height, figure_amount(index, "body", LOWEST_PART_OVER_RAIL))
