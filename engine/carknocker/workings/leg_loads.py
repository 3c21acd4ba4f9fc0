"""Loads of the car against the limits that a leg of the move has."""

from collections.abc import Callable
from fractions import Fraction
from functools import partial

from msgspec.structs import replace

from carknocker.record.model import Part
from carknocker.record.values import Figure
from carknocker.workings.inputs import Input, derived, figure
from carknocker.workings.loads import car_weight_per_foot, greatest_axle_load
from carknocker.workings.model import Candidate, Missing, OutOfRange, Readings, Worked
from carknocker.workings.result import Result, result, written
from carknocker.workings.uncertainty import scaled


def share_of_limit(load: Fraction, limit: Fraction) -> Result:
    """s = W/W₀: a load over a leg's limit for it; over 100 % it is too heavy. Both in lb, or both in lb per foot; load
    0 or more, limit over 0. The limit is the host's figure. Raises OutOfRange."""
    if load < 0 or limit <= 0:
        raise OutOfRange("a load is 0 lb or more, and a leg's limit is over 0 lb")
    found = result("ratio", load / limit, f"s = W/W₀ = {written('weight', load)}/{written('weight', limit)}")
    return found if load <= limit else Result(found.dimension, found.amount, f"{found.line}: OVER THE LIMIT")


def gross_of_limit(readings: Readings, part: Part) -> Worked | Missing:
    """Gross weight of the car over the leg's greatest gross weight."""
    limit = figure(readings, part.key, "gross_limit")
    if isinstance(limit, Missing):
        return limit
    gross = figure(readings, "car", "gross_weight")
    if isinstance(gross, Missing):
        return gross
    return derived(part.key, "gross_limit", (gross, limit), lambda: share_of_limit(gross.amount, limit.amount))


def axle_load_of_limit(readings: Readings, part: Part) -> Worked | Missing:
    """The greater axle load of the car's trucks over the leg's greatest load on an axle."""
    limit = figure(readings, part.key, "axle_load_limit")
    return limit if isinstance(limit, Missing) else _of(greatest_axle_load(readings, part), limit, part)


def weight_per_foot_of_limit(readings: Readings, part: Part) -> Worked | Missing:
    """Weight of the car per foot over couplers over the leg's greatest weight per foot."""
    limit = figure(readings, part.key, "weight_per_foot_limit")
    return limit if isinstance(limit, Missing) else _of(car_weight_per_foot(readings, part), limit, part)


def _of(load: Worked | Missing, limit: Input, leg: Part) -> Worked | Missing:
    if isinstance(load, Missing) or not isinstance(load.value, Figure):
        return load
    amount = load.value.quantity.amount

    def work() -> Result:
        found = share_of_limit(amount, limit.amount)
        return Result(found.dimension, found.amount, f"{load.line}; {found.line}")

    found = derived(leg.key, limit.evidence.attribute, (*load.used, limit.evidence), work)
    if isinstance(found, Missing) or load.candidates is None:
        return found
    return replace(found, candidates=partial(_over_limit, load.candidates, limit.amount))


def _over_limit(loads: Callable[[], tuple[Candidate, ...]], limit: Fraction) -> tuple[Candidate, ...]:
    return scaled(loads(), 1 / limit)  # a leg's limit is its owner's figure, not a reading
