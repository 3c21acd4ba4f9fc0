"""Measurement: from resolution to uncertainty to a guard band, and which one re-measurement would settle a limit."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.workings.enclosure import Enclosure, Number, root
from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, inches, number

Side = Literal["least", "greatest"]
"""Which kind of limit: `least` is a lower limit (rim, flange thickness), `greatest` an upper one (height, gap)."""
Decision = Literal["passes", "borderline", "fails"]


def standard_uncertainty(resolution: Fraction) -> Result:
    """u = d/√12: of a reading whose gauge resolves d, inches, 0 or more. Source: ILAC-G8:09/2019. Raises OutOfRange."""
    if resolution < 0:
        raise OutOfRange("a gauge resolves 0 in or more")
    found = root(resolution * resolution / 12)
    return Result("length", found, f"u = d/√12 = {inches(resolution)}/√12 = {number(found)} in")


def combined_uncertainty(uncertainties: Sequence[Number]) -> Enclosure:
    """U = 2·√Σu²: expanded (k = 2) uncertainty of independent parts, in their unit. Source: ILAC-G8:09/2019."""
    total = Enclosure.of(0)
    for one in uncertainties:
        total = total + Enclosure.of(one) * one
    return root(total) * 2


def acceptance_limit(limit: Fraction, side: Side, guard: Number) -> Enclosure:
    """A = T ± w: limit of acceptance. T: tolerance limit; w: guard band, 0 for simple acceptance, U for guarded. Lower
    limits add w, upper limits subtract it. Source: ILAC-G8:09/2019. Raises OutOfRange for w below 0."""
    width = Enclosure.of(guard)
    if width.low < 0:
        raise OutOfRange("a guard band is 0 or more")
    return Enclosure.of(limit) + width if side == "least" else Enclosure.of(limit) - width


class Guarded(msgspec.Struct, frozen=True):
    """A decision with its guard band: passes, fails, or borderline (passes by the simple rule only)."""

    decision: Decision
    line: str


def decide(reading: Fraction, limit: Fraction, side: Side, guard: Number, *, limit_passes: bool = True) -> Guarded:
    """Decides a reading by the simple rule and by the guarded one.

    limit_passes: whether exactly the limit passes by the rule's words (at least, at most). A reading that passes the
    simple rule and not the guarded one is borderline: a conditional pass in ILAC-G8:09/2019.
    """
    guarded = acceptance_limit(limit, side, guard)
    sign = 1 if side == "least" else -1
    margin = (reading - limit) * sign
    fails = margin < 0 or (margin == 0 and not limit_passes)
    edge = guarded.high if side == "least" else guarded.low
    safe = (reading - edge) * sign >= 0
    decision: Decision = "fails" if fails else ("passes" if safe else "borderline")
    plus = "+" if side == "least" else "-"
    line = (
        f"A = T {plus} w = {number(limit)} {plus} {number(guard)} = {number(guarded)}; reading {number(reading)}: "
        f"{'fails' if fails else 'passes'} the simple rule, {'passes' if safe else 'does not pass'} the guarded one"
    )
    return Guarded(decision, line)


class Contribution(msgspec.Struct, frozen=True):
    """One reading that a figure depends on. sensitivity: how much the figure moves per unit of the reading.

    finer: resolution of the best gauge that could read it again, in the same unit; None where none is at hand.
    """

    name: str
    resolution: Fraction
    sensitivity: Fraction = Fraction(1)
    finer: Fraction | None = None

    @property
    def share(self) -> Fraction:
        """How far the figure may be off because of this reading."""
        return abs(self.sensitivity) * self.resolution


def settling_remeasurement(margin: Fraction, contributions: Sequence[Contribution]) -> tuple[str, ...]:
    """Which single re-measurement would settle whether a figure with this margin (0 or more, to its limit) passes:
    names, the one that leaves the least doubt first; empty where the margin is settled already, or where no single one
    is enough. Doubts are added in full, the worst case. Raises OutOfRange for a margin below 0, which has failed."""
    if margin < 0:
        raise OutOfRange("a figure past its limit has failed; a re-measurement is then a new reading")
    doubt = sum((one.share for one in contributions), Fraction(0))
    if doubt <= margin:
        return ()
    settling: list[tuple[Fraction, str]] = []
    for one in contributions:
        if one.finer is None:
            continue
        left = doubt - one.share + abs(one.sensitivity) * one.finer
        if left <= margin:
            settling.append((left, one.name))
    return tuple(name for _, name in sorted(settling))


def resolution_that_settles(
    margin: Fraction, contributions: Sequence[Contribution]
) -> tuple[tuple[str, Fraction], ...]:
    """What a gauge must resolve so that one re-measurement alone settles a figure with this margin (0 or more): name
    and greatest resolution, in the unit of that reading, the one that asks least of its gauge first, compared with what
    was used. Empty where the margin is settled already or no single one is enough: exactly at the limit, or with too
    much doubt in the others. Raises OutOfRange for a margin below 0, which has failed."""
    if margin < 0:
        raise OutOfRange("a figure past its limit has failed; a re-measurement is then a new reading")
    doubt = sum((one.share for one in contributions), Fraction(0))
    if doubt <= margin:
        return ()
    found: list[tuple[Fraction, str, Fraction]] = []
    for one in contributions:
        left = margin - (doubt - one.share)
        if one.share and left > 0:
            needed = left / abs(one.sensitivity)
            found.append((one.resolution / needed, one.name, needed))
    return tuple((name, needed) for _, name, needed in sorted(found))
