"""Loads: per axle, wheel and foot, the share of each truck when the weight is uneven, and the limits of a leg."""

from collections.abc import Callable
from fractions import Fraction
from functools import partial

import msgspec
from msgspec.structs import replace

from carknocker.record.model import Evidence, Part
from carknocker.record.part_keys import wheelset_key
from carknocker.record.values import Figure, Word
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.workings.formula import Result, feet, result, written
from carknocker.workings.inputs import Input, axles_of_truck, derived, figure, figures, word
from carknocker.workings.model import Candidate, Missing, OutOfRange, Readings, Share, Worked
from carknocker.workings.uncertainty import candidates_of_largest, scaled


def axle_load(weight: Fraction, axles: int) -> Result:
    """P = W/n: load on the rail per axle, lb. W: weight on those axles (a truck's, or the gross of an even car), lb;
    n: 1 or more. Source: practice, `axle = gross / axles`. Raises OutOfRange."""
    if axles < 1 or weight < 0:
        raise OutOfRange("a load is shared by one axle or more, and no weight is below 0 lb")
    return result("weight", weight / axles, f"P = W/n = {written('weight', weight)}/{axles}")


def wheel_load(weight: Fraction, axles: int) -> Result:
    """Q = W/2n: load on the rail per wheel, lb, each axle's shared evenly. Same inputs as `axle_load`."""
    per_axle = axle_load(weight, axles)
    return result("weight", per_axle.amount / 2, f"Q = W/(2n) = {written('weight', weight)}/{2 * axles}")


def weight_per_foot(gross: Fraction, length: Fraction) -> Result:
    """q = W/L: weight per foot over couplers, lb. W: gross, lb; L: length over couplers, inches, over 0.

    Bridges are rated on axle groups; q is the usual first look. Raises OutOfRange.
    """
    if length <= 0 or gross < 0:
        raise OutOfRange("a car is longer than 0 in, and no weight is below 0 lb")
    found = result("weight", gross * 12 / length, f"q = W/L = {written('weight', gross)}/{feet(length)}")
    return Result(found.dimension, found.amount, f"{found.line} per ft")


def share(own: Fraction, whole: Fraction) -> Result:
    """s = W₁/W: share of one truck in the whole weight. Both in lb; 0 ≤ W₁ ≤ W, W over 0. Raises OutOfRange."""
    if whole <= 0 or not 0 <= own <= whole:
        raise OutOfRange("a truck's weight lies between 0 lb and the gross weight")
    return result("ratio", own / whole, f"s = W₁/W = {written('weight', own)}/{written('weight', whole)}")


class Weighed(msgspec.Struct, frozen=True):
    """The weight of the car with the wheelsets that it carries, lb, the sum it is, and what shows it."""

    amount: Fraction
    sum: str
    used: tuple[Evidence, ...]


def carried_wheelsets(readings: Readings) -> tuple[str, ...]:
    """The keys of the wheelsets that the car carries."""
    spares = (one for one in readings.standing.car.spares if one.name == WHEELSET and one.carried)
    return tuple(wheelset_key(one.serial) for one in spares)


def wheelset_carried(readings: Readings, part: Part) -> Worked:
    """Whether the car carries a spare wheelset."""
    carried = carried_wheelsets(readings)
    return Worked(Word("yes"), f"carried: {', '.join(carried)}") if carried else Worked(Word("no"), "none is carried")


def carried_unweighed(readings: Readings, weighing: Evidence) -> tuple[tuple[str, ...], tuple[Evidence, ...]] | Missing:
    """The carried wheelsets that were not on the scale at a weighing, and what says so; nothing where none is carried.
    Only wheelsets: of any other spare the scale leaves more open than it weighs. Common practice."""
    carried = carried_wheelsets(readings)
    if not carried:
        return (), ()
    aboard = word(readings, "car", "spare_wheelset_aboard")
    if isinstance(aboard, Missing):
        return aboard
    said, told = aboard
    if weighing.on is not None and told.on is not None and told.on < weighing.on:
        return Missing("car", "spare_wheelset_aboard", f"not said of the weighing of {weighing.on}")
    return () if said == "yes" else carried, (told,)


def weighed_with_carried(readings: Readings) -> Weighed | Missing:
    """W = G + ΣW₁: the gross weight with the carried wheelsets. G: gross, as the scale gave it; W₁: weight of each of
    them that was not on the scale."""
    gross = figure(readings, "car", "gross_weight")
    if isinstance(gross, Missing):
        return gross
    carried = carried_unweighed(readings, gross.evidence)
    if isinstance(carried, Missing):
        return carried
    unweighed, told = carried
    own = figures(readings, *((key, "weight") for key in unweighed))
    if isinstance(own, Missing):
        return own
    total = gross.amount + sum((one.amount for one in own), Fraction(0))
    sums = "G + ΣW₁ = " + " + ".join(written("weight", one.amount) for one in (gross, *own)) if own else "G"
    return Weighed(total, sums, (gross.evidence, *told, *(one.evidence for one in own)))


def gross_weight_with_carried_wheelsets(readings: Readings, part: Part) -> Worked | Missing:
    """The gross weight of the car with the wheelsets that it carries."""
    weighed = weighed_with_carried(readings)
    if isinstance(weighed, Missing):
        return weighed
    return derived("car", "gross_weight", weighed.used, lambda: result("weight", weighed.amount, f"W = {weighed.sum}"))


def car_weight_per_foot(readings: Readings, part: Part) -> Worked | Missing:
    """Weight per foot over couplers of the car with the wheelsets that it carries."""
    gross = weighed_with_carried(readings)
    if isinstance(gross, Missing):
        return gross
    length = figure(readings, "car", "length_over_couplers")
    if isinstance(length, Missing):
        return length
    used = (*gross.used, length.evidence)
    return derived("car", "length_over_couplers", used, lambda: weight_per_foot(gross.amount, length.amount))


def weight_on_truck(readings: Readings, truck: Part) -> Input | Missing:
    """The weight that stands on a truck, as the scale gave it: never half of the gross, since no car is even."""
    return figure(readings, "car", f"weight_on_truck_{truck.position}")


def weight_on_truck_on_the_move(readings: Readings, truck: Part) -> tuple[Input, tuple[Evidence, ...]] | Missing:
    """The weight on a truck, and what says that the carried wheelsets were on the scale: how much of another one bears
    on which truck nobody can tell."""
    own = weight_on_truck(readings, truck)
    if isinstance(own, Missing):
        return own
    carried = carried_unweighed(readings, own.evidence)
    if isinstance(carried, Missing):
        return carried
    unweighed, told = carried
    if unweighed:
        return Missing("car", own.evidence.attribute, "weighed without the spare wheelset that is carried")
    return own, told


def truck_share_of_gross(readings: Readings, part: Part) -> Worked | Missing:
    """Share of a truck in the gross weight. The gross is the sum of both trucks of the same weighing, if the other
    truck was weighed on the same day, else the gross weight on record."""
    own = weight_on_truck(readings, part)
    if isinstance(own, Missing):
        return own
    other = figure(readings, "car", f"weight_on_truck_{'A' if part.position == 'B' else 'B'}")
    if isinstance(other, Input) and other.evidence.on == own.evidence.on:
        return derived(part.key, "share_of_gross", (own, other), lambda: share(own.amount, own.amount + other.amount))
    gross = figure(readings, "car", "gross_weight")
    if isinstance(gross, Missing):
        return gross
    return derived("car", "gross_weight", (own, gross), lambda: share(own.amount, gross.amount))


def truck_axle_load(readings: Readings, part: Part) -> Worked | Missing:
    """Load on the rail per axle of a truck: what the scale gave for the truck, shared evenly by its axles."""
    return _shared_by_axles(readings, part, axle_load)


def truck_wheel_load(readings: Readings, part: Part) -> Worked | Missing:
    """Load on the rail per wheel of a truck: what the scale gave for the truck, shared evenly by its wheels."""
    return _shared_by_axles(readings, part, wheel_load)


def _shared_by_axles(readings: Readings, part: Part, shared: Callable[[Fraction, int], Result]) -> Worked | Missing:
    found = weight_on_truck_on_the_move(readings, part)
    if isinstance(found, Missing):
        return found
    own, told = found
    axles = len(axles_of_truck(readings, part.key))
    if not axles:
        return Missing(part.key, "axles", "not on record")
    return derived("car", own.evidence.attribute, (own, *told), lambda: shared(own.amount, axles))


def greatest_axle_load(readings: Readings, part: Part) -> Worked | Missing:
    """The greater of the axle loads of the car's trucks."""
    greatest: tuple[Fraction, Worked] | None = None
    loads: list[tuple[Fraction, tuple[Share, ...]]] = []
    used: dict[str, Evidence] = {}
    for truck in readings.standing.by_kind.get("truck", ()):
        load = truck_axle_load(readings, truck)
        if isinstance(load, Missing):
            return load
        if not isinstance(load.value, Figure):
            continue
        amount = load.value.quantity.amount
        used.update((one.id, one) for one in load.used)
        loads.append(
            (amount, tuple(Share(one, Fraction(1, len(axles_of_truck(readings, truck.key)))) for one in load.used))
        )
        if greatest is None or amount > greatest[0]:
            line = f"{truck.label}: {load.line}"
            greatest = amount, replace(load, line=line)
    if greatest is None:
        return Missing("car", "trucks", "not on record")
    # each truck's weight bears on which is the greater: the oldest of them ages the figure
    return replace(greatest[1], used=tuple(used.values()), candidates=partial(candidates_of_largest, tuple(loads)))


def share_of_limit(load: Fraction, limit: Fraction) -> Result:
    """s = W/W₀: a load over a leg's limit for it; over 100 % it is too heavy. Both in lb, or both in lb per foot; load
    0 or more, limit over 0. The limit is the host's figure. Raises OutOfRange."""
    if load < 0 or limit <= 0:
        raise OutOfRange("a load is 0 lb or more, and a leg's limit is over 0 lb")
    found = result("ratio", load / limit, f"s = W/W₀ = {written('weight', load)}/{written('weight', limit)}")
    return found if load <= limit else Result(found.dimension, found.amount, f"{found.line}: OVER THE LIMIT")


def gross_of_limit(readings: Readings, part: Part) -> Worked | Missing:
    """Gross weight of the car with the wheelsets that it carries over the leg's greatest gross weight."""
    limit = figure(readings, part.key, "gross_limit")
    if isinstance(limit, Missing):
        return limit
    gross = weighed_with_carried(readings)
    if isinstance(gross, Missing):
        return gross
    used = (*gross.used, limit.evidence)
    return derived(part.key, "gross_limit", used, lambda: share_of_limit(gross.amount, limit.amount))


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
