"""Figures as a drawing shows them: lengths of the car, values, and the worst finding on each value."""

from collections.abc import Iterator
from fractions import Fraction

import msgspec

from carknocker.judgement.explanation import figure_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.page.drawings.marks import Mark, mark_of
from carknocker.quantities import Quantity, write_quantity
from carknocker.quantities.writing import write_inches
from carknocker.record.values import Bound, Value
from carknocker.vocabulary.program_names import (
    EXTREME_WIDTH,
    HEIGHT_OVER_RAIL,
    LENGTH_OVER_COUPLERS,
    LOWEST_PART_OVER_RAIL,
    TRUCK_CENTERS,
)


def figure_amount(index: JudgementIndex, key: str, attribute: str) -> Fraction | None:
    """The figure of a value in its base unit (inches, pounds, tapes); None if it is not a figure."""
    value = index.value(key, attribute)
    return None if value is None else figure_of(ObservedValue(value, None))


def deciding_attribute(index: JudgementIndex, finding: Finding) -> str:
    """The attribute of the part itself that decides a finding; empty if it is none of the part's own."""
    paths = index.explain(finding).attributes
    return paths[0].attribute.name if paths and not paths[0].owner else ""


def marks_on(index: JudgementIndex, key: str) -> Iterator[tuple[Finding, Mark]]:
    """The findings on a part that have a mark."""
    for finding in index.findings_on(key):
        mark = mark_of(finding)
        if mark.line != "none":
            yield finding, mark


def short_figure(value: Value) -> str:
    """A value as it is written beside a wheel, inches without their unit: `1-1/8`, `7/8 or less`."""
    if isinstance(value, Bound):
        words = []
        if value.low is not None and value.high is not None and write_quantity(value.low) == write_quantity(value.high):
            return inches(value.low)
        if value.low is not None:
            words.append(f"over {inches(value.low)}" if value.low_open else f"{inches(value.low)} or more")
        if value.high is not None:
            words.append(f"under {inches(value.high)}" if value.high_open else f"{inches(value.high)} or less")
        return ", ".join(words)
    quantity = getattr(value, "quantity", None)
    return inches(quantity) if isinstance(quantity, Quantity) else ""


def inches(quantity: Quantity) -> str:
    """A length in inches without its unit; any other figure with its unit."""
    return write_inches(quantity.amount) if quantity.dimension == "length" else write_quantity(quantity)


def length_words(amount: Fraction) -> str:
    """A length of the car in words: in feet and inches from 6 ft up."""
    return write_quantity(Quantity.of("length", amount, "ft"))


def inch_words(amount: Fraction) -> str:
    """A small length in inches, with the unit."""
    return write_quantity(Quantity.of("length", amount, "in"))


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
