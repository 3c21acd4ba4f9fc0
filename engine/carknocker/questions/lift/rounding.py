"""Figures as a crane or a rule can show them, rounded to the safe side; the exact ones stand in the workings."""

import math
from fractions import Fraction

from carknocker.quantities import Quantity, write_quantity
from carknocker.quantities.writing import write_inches
from carknocker.workings.formula import Result

_POUNDS, _INCHES = Fraction(10), Fraction(1, 16)


def load_words(found: Result) -> str:
    """`49,310 lb`: up to the next 10 lb."""
    return write_quantity(Quantity.of("weight", math.ceil(found.amount.high / _POUNDS) * _POUNDS))


def share_words(found: Result) -> str:
    """`99 %`: up to the next whole percent."""
    return f"{math.ceil(found.amount.high * 100):,} %"


def travel_words(found: Result) -> str:
    """`3-5/16 in`, of a way to go: up to the next 1/16 in."""
    return _inches(math.ceil(found.amount.high / _INCHES) * _INCHES)


def clearance_words(found: Result) -> str:
    """`16-11/16 in`, of what is left: down to the next 1/16 in."""
    return _inches(math.floor(found.amount.low / _INCHES) * _INCHES)


def _inches(amount: Fraction) -> str:
    return f"{write_inches(amount)} in"
