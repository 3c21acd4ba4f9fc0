"""How far a derived figure may be off because of what the gauges of its readings resolve, and of their uncertainty.

Each reading is moved by its doubt, up and down, and the working is asked again: what the figure moves is the
formula's own sensitivity times the doubt, exactly where the formula is linear. The doubts are added in full, the
worst case, so that a guard band of that width decides as `borderline` does for a single reading.
"""

from collections.abc import Sequence
from fractions import Fraction

from msgspec.structs import replace

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.standing import Standing
from carknocker.record.values import Bound, Figure, Value
from carknocker.workings.model import Missing, Readings, Share, Worked, Working


class _Moved:
    """The same readings with one of them moved."""

    def __init__(self, readings: Readings, moved: Evidence) -> None:
        self.standing: Standing = readings.standing
        self._readings = readings
        self._moved = moved

    def newest(self, part: str, attribute: str) -> Evidence | None:
        found = self._readings.newest(part, attribute)
        return self._moved if found is not None and found.id == self._moved.id else found

    def counted(self, key: str, attribute: str) -> list[Evidence]:
        found = self._readings.counted(key, attribute)
        return [self._moved if one.id == self._moved.id else one for one in found]


def shares_of(readings: Readings, part: Part, working: Working, worked: Worked) -> tuple[Share, ...]:
    """What each reading of a figure adds to its doubt; the working's own words where it says so itself.

    Descriptions, go/no-go gauges and readings whose resolution is not known add nothing.
    """
    if worked.shares is not None:
        return worked.shares
    middle = amount_of(worked.value)
    if middle is None:
        return ()
    shares: list[Share] = []
    for evidence in {one.id: one for one in worked.used}.values():
        share = _share(readings, part, working, middle, evidence)
        if share is not None:
            shares.append(share)
    return tuple(shares)


def _share(readings: Readings, part: Part, working: Working, middle: Fraction, evidence: Evidence) -> Share | None:
    doubt, value = evidence.doubt, evidence.value
    if evidence.sort != "reading" or doubt is None or not doubt.n or not isinstance(value, Figure):
        return None
    furthest = Fraction(0)
    for step in (doubt.amount, -doubt.amount):
        quantity = value.quantity
        moved = Figure(Quantity.of(quantity.dimension, quantity.amount + step, quantity.unit))
        found = working(_Moved(readings, replace(evidence, value=moved)), part)
        amount = None if isinstance(found, Missing) else amount_of(found.value)
        if amount is not None:
            furthest = max(furthest, abs(amount - middle))
    return Share(evidence, furthest / doubt.amount) if furthest else None


def doubt_of(shares: Sequence[Share]) -> Fraction:
    """How far a figure may be off, in its own base unit."""
    return sum((share.doubt for share in shares), Fraction(0))


def amount_of(value: Value) -> Fraction | None:
    """The amount of a figure, or the middle of a range with both ends; None for anything else."""
    if isinstance(value, Figure):
        return value.quantity.amount
    if isinstance(value, Bound) and value.low is not None and value.high is not None:
        return (value.low.amount + value.high.amount) / 2
    return None
