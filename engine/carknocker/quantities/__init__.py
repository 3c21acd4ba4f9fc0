"""Exact quantities: lengths, weights, pressures, temperatures, speeds, periods … with their units."""

from carknocker.quantities.curve import read_curve
from carknocker.quantities.period import Period, read_period
from carknocker.quantities.quantity import Quantity, QuantityError
from carknocker.quantities.reading import read_quantity
from carknocker.quantities.units import DIMENSIONS
from carknocker.quantities.writing import write_quantity

__all__ = [
    "DIMENSIONS", "Period", "Quantity", "QuantityError", "read_curve", "read_period", "read_quantity", "write_quantity",
]  # fmt: skip
