"""The result of a formula: the figure, enclosed where no fraction gives it exactly, its unit, and the worked line."""

from fractions import Fraction

import msgspec

from carknocker.quantities import Quantity, write_quantity
from carknocker.record.values import Bound, Figure
from carknocker.workings.enclosure import Enclosure, Number


class Result(msgspec.Struct, frozen=True):
    """A figure in the base unit of its dimension (inch, pound, psi, mile …) with the worked line.

    amount: encloses the true value; of no width where the arithmetic is exact.
    """

    dimension: str
    amount: Enclosure
    line: str

    @property
    def exact(self) -> bool:
        """Whether the figure is exact."""
        return self.amount.low == self.amount.high

    @property
    def quantity(self) -> Quantity:
        """The figure for writing: exact, or the middle of the enclosure."""
        return Quantity.of(self.dimension, self.amount.middle, "%" if self.dimension == "ratio" else "")

    @property
    def value(self) -> Figure | Bound:
        """The figure as a value that criteria compare: a range where it is enclosed, so that no rounding decides."""
        if self.exact:
            return Figure(self.quantity)
        low = Quantity.of(self.dimension, self.amount.low)
        high = Quantity.of(self.dimension, self.amount.high)
        return Bound(low, False, high, False)


def result(dimension: str, amount: Number, working: str) -> Result:
    """A result whose line ends with the figure: `working` is `symbols = numbers`."""
    enclosed = Enclosure.of(amount)
    unwritten = Result(dimension, enclosed, "")
    return Result(dimension, enclosed, f"{working} = {write_quantity(unwritten.quantity)}")


def inches(amount: Number) -> str:
    """A length in a worked line."""
    return written("length", amount)


def feet(amount: Number) -> str:
    """A length in a worked line, in feet and inches from 6 ft up."""
    return write_quantity(Quantity.of("length", Enclosure.of(amount).middle, "ft"))


def written(dimension: str, amount: Number) -> str:
    """A figure in a worked line, with its unit."""
    unit = "%" if dimension == "ratio" else ""
    return write_quantity(Quantity.of(dimension, Enclosure.of(amount).middle, unit))


def number(amount: Number, places: int = 4) -> str:
    """A plain number in a worked line, rounded half away from zero, without idle zeros."""
    scaled = Fraction(Enclosure.of(amount).middle) * 10**places
    whole, rest = divmod(abs(2 * scaled.numerator) + scaled.denominator, 2 * scaled.denominator)
    del rest
    before, after = divmod(whole, 10**places)
    text = f"{before:,}"
    if after:
        text += "." + f"{after:0{places}d}".rstrip("0")
    return f"-{text}" if scaled < 0 and whole else text
