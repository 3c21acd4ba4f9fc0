"""A quantity: an exact rational amount with a dimension."""

from fractions import Fraction
from functools import lru_cache

import msgspec


class QuantityError(ValueError):
    """A text is not a quantity: what was found, what was expected, the nearest right word, what to do."""

    def __init__(self, found: str, expected: str, nearest: str = "", remedy: str = "") -> None:
        self.found = found
        self.expected = expected
        self.nearest = nearest
        self.remedy = remedy
        super().__init__(f"{found}; expected {expected}" if expected else found)


# the same few figures are asked for their amounts over and over, and a fraction costs more to make than to find
_fraction = lru_cache(maxsize=4096)(Fraction)


class Quantity(msgspec.Struct, frozen=True):
    """An exact amount n/d (lowest terms, d > 0) in the base unit of its dimension.

    Base units: inch, pound, psi, psi/min, °F, mph, mile, US gallon, ohm, degree, tape; a ratio has none.
    `unit` is the unit it was written in; it takes no part in comparing, so 26.9875 mm equals 1 1/16 in.
    """

    dimension: str
    n: int
    d: int
    unit: str = ""

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Quantity):
            return NotImplemented
        return (self.n, self.d, self.dimension) == (other.n, other.d, other.dimension)

    def __hash__(self) -> int:
        return hash((self.n, self.d, self.dimension))

    @classmethod
    def of(cls, dimension: str, amount: Fraction | int, unit: str = "") -> "Quantity":
        """The quantity of an exact amount in the base unit."""
        exact = amount if amount.__class__ is Fraction else Fraction(amount)
        return cls(dimension, exact.numerator, exact.denominator, unit)

    @property
    def amount(self) -> Fraction:
        """The exact amount in the base unit."""
        return _fraction(self.n, self.d)

    def _cross(self, other: "Quantity") -> tuple[int, int]:
        if self.dimension != other.dimension:
            raise TypeError(f"a {self.dimension} can't be compared with a {other.dimension}")
        return self.n * other.d, other.n * self.d

    def __lt__(self, other: "Quantity") -> bool:
        left, right = self._cross(other)
        return left < right

    def __le__(self, other: "Quantity") -> bool:
        left, right = self._cross(other)
        return left <= right

    def __gt__(self, other: "Quantity") -> bool:
        left, right = self._cross(other)
        return left > right

    def __ge__(self, other: "Quantity") -> bool:
        left, right = self._cross(other)
        return left >= right

    def plus(self, other: "Quantity") -> "Quantity":
        """The sum, written in this quantity's unit."""
        self._cross(other)
        return Quantity.of(self.dimension, self.amount + other.amount, self.unit)

    def minus(self, other: "Quantity") -> "Quantity":
        """The difference, written in this quantity's unit. A difference of temperatures is a temperature difference."""
        self._cross(other)
        dimension = "temperature difference" if self.dimension == "temperature" else self.dimension
        return Quantity.of(dimension, self.amount - other.amount, self.unit)
