"""Wear rate of a rim from the car's own readings and miles, with its uncertainty, and what is left to a limit.

No rate per mile has an authority behind it; only the wheel's own history gives one.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction

import msgspec

from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.enclosure import Enclosure, root
from carknocker.workings.inputs import Input, derived, wheelset_of
from carknocker.workings.miles import last_turning, miles_of_wheelset_since
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked
from carknocker.workings.result import Result, inches, number, written

PER_MILES = 10_000
"""Rates are given in inches per this many miles."""
_COVERAGE = 2  # k = 2, about 95 % (ILAC-G8:09/2019)


class RimReading(msgspec.Struct, frozen=True):
    """A rim at a number of miles. resolution: what the gauge reads to, inches."""

    miles: Fraction
    rim: Fraction
    resolution: Fraction


class WearRate(msgspec.Struct, frozen=True):
    """Inches per mile. uncertainty: expanded (k = 2), from the resolution of the gauges alone, inches per mile."""

    rate: Fraction
    uncertainty: Enclosure
    line: str

    @property
    def shown(self) -> bool:
        """Whether the wear is more than the gauges' uncertainty, so that there is a rate at all."""
        return self.uncertainty.under(self.rate)

    @property
    def result(self) -> Result:
        """The rate in inches per 10,000 miles."""
        return Result("length", Enclosure.of(self.rate * PER_MILES), self.line)


def wear_rate(readings: Sequence[RimReading]) -> WearRate:
    """w = -Σ(m - m̄)(rim - r̄)/Σ(m - m̄)²: least squares; with two readings (rim₁ - rim₂)/(m₂ - m₁).

    U = 2·√Σ((m - m̄)·d/√12)²/Σ(m - m̄)², d: resolution of each reading (ILAC-G8:09/2019, k = 2). Raises OutOfRange
    for fewer than two readings, readings at the same miles, or a rim that grows.
    """
    if len(readings) < 2:
        raise OutOfRange("a wear rate wants two readings of the rim or more")
    middle = sum((one.miles for one in readings), Fraction(0)) / len(readings)
    mean = sum((one.rim for one in readings), Fraction(0)) / len(readings)
    spread = sum(((one.miles - middle) ** 2 for one in readings), Fraction(0))
    if not spread:
        raise OutOfRange("no miles were made between the readings of the rim")
    rate = -sum(((one.miles - middle) * (one.rim - mean) for one in readings), Fraction(0)) / spread
    if rate < 0:
        raise OutOfRange("the rim grew from reading to reading: a reading is wrong, or the wheel is another one")
    variance = sum(((one.miles - middle) ** 2 * one.resolution**2 / 12 for one in readings), Fraction(0))
    uncertainty = root(variance) * _COVERAGE / spread
    first, last = min(readings, key=lambda one: one.miles), max(readings, key=lambda one: one.miles)
    if len(readings) == 2:
        symbols = f"(rim₁ - rim₂)/miles = ({inches(first.rim)} - {inches(last.rim)})"
    else:
        symbols = f"least squares of {len(readings)} readings from {inches(first.rim)} to {inches(last.rim)}"
    each, unsure = number(rate * PER_MILES), number(uncertainty * PER_MILES)
    over = written("distance", last.miles - first.miles)
    line = f"w = {symbols} over {over} = {each} ± {unsure} in per {PER_MILES:,} miles"
    return WearRate(rate, uncertainty, line)


class MilesLeft(msgspec.Struct, frozen=True):
    """Miles to a limit: by the rate itself, and by the rate with its uncertainty. most is None where the wear may be
    nothing. A date follows from the miles that the car makes in a day."""

    miles: Fraction
    least: Enclosure
    most: Enclosure | None
    line: str

    def dates(self, since: date, miles_per_day: Fraction) -> tuple[date, date | None]:
        """Earliest and latest day on which the limit is reached, at the car's own miles per day since the last
        reading. Raises OutOfRange where the car made no miles."""
        if miles_per_day <= 0:
            raise OutOfRange("the car made no miles, so that no date follows from them")
        earliest = _later(since, self.least.low / miles_per_day)
        latest = None if self.most is None else _later(since, self.most.high / miles_per_day)
        return earliest, latest


def _later(day: date, days: Fraction) -> date:
    whole = int(days)
    return date.max if whole > (date.max - day).days else day + timedelta(days=whole)


def miles_left(rim: Fraction, limit: Fraction, rate: WearRate) -> MilesLeft:
    """(rim - limit)/w, with w ± U. rim, limit: inches. 0 at or past the limit. Raises OutOfRange for a rate of 0."""
    if rate.rate <= 0:
        raise OutOfRange("no wear is shown between the readings, so that no miles follow from it")
    left = max(rim - limit, Fraction(0))
    least = Enclosure.of(left) / (Enclosure.of(rate.rate) + rate.uncertainty)
    slowest = Enclosure.of(rate.rate) - rate.uncertainty
    most = Enclosure.of(left) / slowest if slowest.low > 0 else None
    nominal = left / rate.rate
    end = "no upper bound" if most is None else written("distance", most)
    line = (
        f"miles left = (rim - limit)/w = ({inches(rim)} - {inches(limit)})/w = {written('distance', nominal)} "
        f"(between {written('distance', least)} and {end})"
    )
    return MilesLeft(nominal, least, most, line)


def rim_history(readings: Readings, wheel: str) -> list[tuple[RimReading, Evidence]] | Missing:
    """The valid readings of a rim since it was last turned, with the wheelset's miles at each."""
    wheelset = wheelset_of(readings, wheel)
    if wheelset is None:
        return Missing(wheel, "wheelset", "not known")
    found: list[tuple[RimReading, Evidence]] = []
    standing = readings.standing
    turning = last_turning(readings, wheelset)
    first: date | None = None
    for evidence in readings.counted(wheel, "rim_thickness"):
        if not isinstance(evidence.value, Figure) or evidence.on is None:
            continue
        if turning is not None and evidence.on <= turning[0].last and not evidence.after:
            continue
        if evidence.resolution is None:
            return Missing(wheel, "rim_thickness", f"what the gauge of {evidence.on.isoformat()} reads to is not known")
        first = first or evidence.on
        serial = wheelset.removeprefix("wheelset ")
        miles = miles_of_wheelset_since(standing.car, serial, first, evidence.on)
        found.append((RimReading(miles, evidence.value.quantity.amount, evidence.resolution.amount), evidence))
    if len(found) < 2:
        return Missing(wheel, "rim_thickness", "not read twice since the wheel was turned")
    return found


def rim_wear(readings: Readings, part: Part) -> Worked | Missing:
    """Rim worn off in 10,000 miles, in inches, from the wheel's own dated readings and the moves made."""
    history = rim_history(readings, part.key)
    if isinstance(history, Missing):
        return history
    return derived(
        part.key,
        "rim_thickness",
        [Input(one.value.quantity, one) for _, one in history if isinstance(one.value, Figure)],
        lambda: wear_rate([reading for reading, _ in history]).result,
    )
