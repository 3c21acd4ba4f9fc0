"""Wear of a rim: its rate from the wheel's own readings and miles, with its uncertainty, and what is left to a limit.

No rate per mile has an authority behind it; only the wheel's own history gives one.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction

import msgspec

from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.age_and_miles import last_turning, log_is_complete_since, log_words, miles_of_wheelset_since
from carknocker.workings.enclosure import Enclosure, root
from carknocker.workings.formula import Result, inches, number, written
from carknocker.workings.inputs import Input, derived, wheelset_of
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked

PER_MILES = 10_000
"""Rates are given in inches per this many miles."""
_COVERAGE = 2  # k = 2, about 95 %, of what a gauge's paper states (ILAC-G8:09/2019)
FEWEST = 4
"""Readings of a line that has an interval: two degrees of freedom are the fewest that say anything."""
# Student's t for 95 %, by degrees of freedom: JCGM 100:2008 (GUM), table G.2.
_STUDENT = {
    2: "4.30", 3: "3.18", 4: "2.78", 5: "2.57", 6: "2.45", 7: "2.36", 8: "2.31", 9: "2.26", 10: "2.23", 11: "2.20",
    12: "2.18", 13: "2.16", 14: "2.14", 15: "2.13", 16: "2.12", 17: "2.11", 18: "2.10", 19: "2.09", 20: "2.09",
    25: "2.06", 30: "2.04", 35: "2.03", 40: "2.02", 45: "2.01", 50: "2.01",
}  # fmt: skip


def coverage_factor(degrees: int) -> Fraction:
    """Student's t for 95 %, of two degrees of freedom or more; between rows of the table that of the row before."""
    return Fraction(_STUDENT[max(row for row in _STUDENT if row <= degrees)])


class RimReading(msgspec.Struct, frozen=True):
    """A rim at a number of miles. resolution: what the gauge reads to; gauge_uncertainty: of the gauge itself,
    expanded (k = 2), where it is stated; inches."""

    miles: Fraction
    rim: Fraction
    resolution: Fraction
    gauge_uncertainty: Fraction = Fraction(0)

    @property
    def uncertainty(self) -> Fraction:
        """How far the reading may be off, the worst case."""
        return self.resolution + self.gauge_uncertainty

    @property
    def variance(self) -> Fraction:
        """u² = d²/12 + (U/2)²: the square of the standard uncertainty."""
        return self.resolution**2 / 12 + (self.gauge_uncertainty / _COVERAGE) ** 2


class WearRate(msgspec.Struct, frozen=True):
    """Inches per mile. uncertainty: expanded, for 95 %, from the gauges or from the scatter of the readings about their
    line, whichever is greater, inches per mile; None of fewer than four readings, which are too few to say."""

    rate: Fraction
    uncertainty: Enclosure | None
    line: str

    @property
    def shown(self) -> bool:
        """Whether the wear is more than the gauges' uncertainty, so that there is a rate at all."""
        return self.uncertainty is not None and self.uncertainty.under(self.rate)

    @property
    def result(self) -> Result:
        """The rate in inches per 10,000 miles."""
        return Result("length", Enclosure.of(self.rate * PER_MILES), self.line)


def wear_rate(readings: Sequence[RimReading]) -> WearRate:
    """w = -Σ(m - m̄)(rim - r̄)/Σ(m - m̄)²: least squares; with two readings (rim₁ - rim₂)/(m₂ - m₁).

    From four readings on U = 2·√Σ((m - m̄)·u)²/Σ(m - m̄)², u: standard uncertainty of each reading by its gauge
    (ILAC-G8:09/2019, k = 2); or, where it is greater, U = t·√(Σ(rim - line)²/((n - 2)·Σ(m - m̄)²)), the standard error
    of the slope times Student's t for 95 % and n - 2 degrees of freedom. Raises OutOfRange for fewer than two readings,
    readings at the same miles, or a rim that grows.
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
    by_gauges = sum(((one.miles - middle) ** 2 * one.variance for one in readings), Fraction(0)) / spread**2
    uncertainty: Enclosure | None = None
    if len(readings) >= FEWEST:
        off = sum(((one.rim - mean + rate * (one.miles - middle)) ** 2 for one in readings), Fraction(0))
        degrees = len(readings) - 2
        by_scatter = off / degrees / spread * coverage_factor(degrees) ** 2
        uncertainty = root(max(by_gauges * _COVERAGE**2, by_scatter))
    first, last = min(readings, key=lambda one: one.miles), max(readings, key=lambda one: one.miles)
    if len(readings) == 2:
        symbols = f"(rim₁ - rim₂)/miles = ({inches(first.rim)} - {inches(last.rim)})"
    else:
        symbols = f"least squares of {len(readings)} readings from {inches(first.rim)} to {inches(last.rim)}"
    over, each = written("distance", last.miles - first.miles), number(rate * PER_MILES)
    line = f"w = {symbols} over {over} = {each}"
    if uncertainty is None:
        line += f" in per {PER_MILES:,} miles ({few_words(len(readings))})"
    else:
        line += f" ± {number(uncertainty * PER_MILES)} in per {PER_MILES:,} miles"
    return WearRate(rate, uncertainty, line)


def few_words(count: int) -> str:
    """Why a rate of wear has no interval."""
    return f"too few readings to say by how much it may be off: {count}, of at least {FEWEST}"


class MilesLeft(msgspec.Struct, frozen=True):
    """Miles to a limit: by the rate itself, and by the rate with its uncertainty. most is None where the wear may be
    nothing; least too where the readings are too few to say. A date follows from the miles that the car makes in a
    day."""

    miles: Fraction
    least: Enclosure | None
    most: Enclosure | None
    line: str

    def dates(self, since: date, miles_per_day: Fraction) -> tuple[date | None, date | None]:
        """Earliest and latest day on which the limit is reached, at the car's own miles per day since the last
        reading; None where nothing says it. Raises OutOfRange where the car made no miles."""
        if miles_per_day <= 0:
            raise OutOfRange("the car made no miles, so that no date follows from them")
        earliest = None if self.least is None else _later(since, self.least.low / miles_per_day)
        latest = None if self.most is None else _later(since, self.most.high / miles_per_day)
        return earliest, latest


def _later(day: date, days: Fraction) -> date:
    whole = int(days)
    return date.max if whole > (date.max - day).days else day + timedelta(days=whole)


def miles_left(rim: Fraction, limit: Fraction, rate: WearRate, uncertainty: Fraction = Fraction(0)) -> MilesLeft:
    """(rim - limit)/w, between what a thinner rim that wears faster and a thicker one that wears slower have left:
    rim ± uncertainty, w ± U. rim, limit, uncertainty: inches. 0 at or past the limit. Raises OutOfRange for a rate of
    0."""
    if rate.rate <= 0:
        raise OutOfRange("no wear is shown between the readings, so that no miles follow from it")
    left = max(rim - limit, Fraction(0))
    nominal = left / rate.rate
    worked = f"miles left = (rim - limit)/w = ({inches(rim)} - {inches(limit)})/w = {written('distance', nominal)}"
    if rate.uncertainty is None:
        return MilesLeft(nominal, None, None, f"{worked} (too few readings to say between what)")
    thinnest, thickest = (max(rim + off - limit, Fraction(0)) for off in (-uncertainty, uncertainty))
    least = Enclosure.of(thinnest) / (Enclosure.of(rate.rate) + rate.uncertainty)
    slowest = Enclosure.of(rate.rate) - rate.uncertainty
    most = Enclosure.of(thickest) / slowest if slowest.low > 0 else None
    end = "no upper bound" if most is None else written("distance", most)
    line = (
        f"{worked} "
        f"({f'rim ± {inches(uncertainty)}: ' if uncertainty else ''}between {written('distance', least)} and {end})"
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
        if not log_is_complete_since(standing.car, first):
            reason = f"the miles between its readings are only a lower bound, {log_words(standing.car)}"
            return Missing(wheel, "rim_thickness", reason)
        serial = wheelset.removeprefix("wheelset ")
        miles = miles_of_wheelset_since(standing.car, serial, first, evidence.on)
        unsure = Fraction(0) if evidence.gauge_uncertainty is None else evidence.gauge_uncertainty.amount
        found.append((RimReading(miles, evidence.value.quantity.amount, evidence.resolution.amount, unsure), evidence))
    if len(found) < 2:
        return Missing(wheel, "rim_thickness", "not read twice since the wheel was turned", unread=True)
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


class Outlook(msgspec.Struct, frozen=True):
    """When a rim comes to a limit, if the car goes on as it did. left: miles; earliest, latest: days (latest None where
    the wear may be nothing, both where the readings are too few to say); lines: worked."""

    left: MilesLeft
    earliest: date | None
    latest: date | None
    lines: tuple[str, ...]


def rim_outlook(readings: Readings, wheel: str, limit: Fraction) -> Outlook | Missing:
    """Miles and days until a rim is at a limit (inches; a rule's figure), at the wheel's own wear rate and at the miles
    per day that its wheelset made between the first and the last reading of the rim."""
    history = rim_history(readings, wheel)
    if isinstance(history, Missing):
        return history
    (first, first_read), (last, last_read) = history[0], history[-1]
    if first_read.on is None or last_read.on is None or first_read.on == last_read.on:
        return Missing(wheel, "rim_thickness", "not read on two days", unread=True)
    per_day = (last.miles - first.miles) / (last_read.on - first_read.on).days
    try:
        rate = wear_rate([reading for reading, _ in history])
        left = miles_left(last.rim, limit, rate, last.uncertainty)
        earliest, latest = left.dates(last_read.on, per_day)
    except OutOfRange as error:
        return Missing(wheel, "rim_thickness", f"out of range: {error}")
    return Outlook(left, earliest, latest, (rate.line, left.line))
