"""Values as criteria hold them: the exact figure ready to be compared, beside the evidence it comes from."""

from datetime import date

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Bound, Count, Figure, PressureDrop, Value


class Held:
    """One value, with what the comparison needs laid out. A plain slotted class, since it is hot.

    n/d is the figure in the base unit; d is 0 where the value is no exact figure. reso_d is 0 where the
    resolution is not known. `on` is the day of the reading, None for a description.
    """

    __slots__ = ("d", "evidence", "n", "on", "reso_d", "reso_n", "value")

    def __init__(self, value: Value, evidence: Evidence | None) -> None:
        self.value = value
        self.evidence = evidence
        quantity = exact(value)
        self.n, self.d = (0, 0) if quantity is None else (quantity.n, quantity.d)
        self.reso_n = self.reso_d = 0
        self.on: date | None = None
        if evidence is not None:
            if evidence.sort == "reading":
                self.on = evidence.on
            if evidence.resolution is not None:
                self.reso_n, self.reso_d = evidence.resolution.n, evidence.resolution.d


def exact(value: Value) -> Quantity | None:
    """The exact figure of a value: a figure, a count, a rate of leakage; None for anything else."""
    if isinstance(value, Figure):
        return value.quantity
    if isinstance(value, PressureDrop):
        return value.per_minute
    if isinstance(value, Count):
        return Quantity("count", value.number, 1)
    if isinstance(value, Bound) and value.low is not None and value.low == value.high:
        return value.low
    return None
