"""Turning plans of a car, its trucks and its wheelsets, within the limits of the rules that bind the move."""

from collections.abc import Callable, Iterator
from fractions import Fraction

import msgspec

from carknocker.judgement.model import Judgement
from carknocker.quantities import write_quantity
from carknocker.questions.why.words import part_words
from carknocker.record.model import Part
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.workings import Missing, OutOfRange
from carknocker.workings.diameter import diameter_of_tapes
from carknocker.workings.turning import Matching, TurningPlan, turning_plan
from carknocker.workings.turning_record import Outlook, rim_outlook, worn_wheels


class Bounding(msgspec.Struct, frozen=True):
    """A limit that a plan keeps to, inches, and the rule that sets it: in its own words."""

    limit: Fraction
    rule: str
    words: str


class Turning(msgspec.Struct, frozen=True):
    """The least cuts for a wheelset, a truck or the car, or what is missing for them."""

    of: Part
    label: str
    plan: TurningPlan | None
    missing: Missing | None
    limits: tuple[Bounding, ...]


_PAST = Fraction(1, 64)  # smallest step that a limit which does not pass itself asks for
_LEAST = frozenset({"at_least", "over"})
_MOST = frozenset({"at_most", "under"})


def turnings_of(judgement: Judgement) -> tuple[Turning, ...]:
    """Plans for the car, each truck and each fitted wheelset, where rules that apply to this car set a limit between
    mates and one for the rim. Where they set none there is nothing to keep to, and no plan."""
    axle = _limit(judgement, "wheelset", ("mate_difference", "mate_difference_in_diameter"), _MOST, min)
    truck = _limit(judgement, "truck", ("spread", "spread_in_diameter"), _MOST, min)
    car = _limit(judgement, "car", ("spread", "spread_in_diameter"), _MOST, min)
    rim = _limit(judgement, "wheel", ("rim_thickness", "rim_after_turning"), _LEAST, max)
    if axle is None or rim is None:
        return ()
    matching = Matching(axle.limit, None if truck is None else truck.limit, None if car is None else car.limit)
    limits = tuple(one for one in (axle, truck, car, rim) if one is not None)
    return tuple(_plans(judgement, matching, rim.limit, limits))


class RimOutlook(msgspec.Struct, frozen=True):
    """When the rim of a wheel comes to its limit, at the wheel's own wear rate."""

    wheel: Part
    outlook: Outlook
    limit: Bounding


def outlooks_of(judgement: Judgement) -> tuple[RimOutlook, ...]:
    """For each fitted wheel whose own history gives a wear rate: miles and dates to the rules' strictest rim limit. A
    wheel without such a history has none; no rate is taken from elsewhere."""
    rim = _limit(judgement, "wheel", ("rim_thickness",), _LEAST, max)
    if rim is None:
        return ()
    wheels = judgement.situation.standing.by_kind.get("wheel", ())
    found = ((wheel, rim_outlook(judgement.situation, wheel.key, rim.limit)) for wheel in wheels if wheel.fitted)
    return tuple(RimOutlook(wheel, one, rim) for wheel, one in found if isinstance(one, Outlook))


def _plans(judgement: Judgement, matching: Matching, rim: Fraction, limits: tuple[Bounding, ...]) -> Iterator[Turning]:
    readings = judgement.situation
    by_kind = readings.standing.by_kind
    containers = (*by_kind.get("car", ()), *by_kind.get("truck", ()), *by_kind.get("wheelset", ()))
    for one in containers:
        if not one.fitted:
            continue
        wheels = worn_wheels(readings, one.key)
        if isinstance(wheels, Missing):
            yield Turning(one, part_words(one), None, wheels, limits)
            continue
        try:
            yield Turning(one, part_words(one), turning_plan(wheels, matching, rim), None, limits)
        except OutOfRange as error:
            missing = Missing(one.key, "turning_allowance", f"out of range: {error}")
            yield Turning(one, part_words(one), None, missing, limits)


def _limit(
    judgement: Judgement,
    of: str,
    attributes: tuple[str, ...],
    words: frozenset[str],
    strictest: Callable[[Fraction, Fraction], Fraction],
) -> Bounding | None:
    """The strictest limit of the criteria that apply to some fitted part. Tapes are taken as inches of diameter, cut
    on the safe side; a limit that does not itself pass, a 64th short of it."""
    applying = {
        finding.criterion.id: finding.criterion
        for finding in judgement.findings
        if finding.part.fitted and finding.verdict != "not applicable" and finding.criterion.of == of
    }
    best: Bounding | None = None
    for criterion in applying.values():
        must = criterion.must
        if not isinstance(must, Comparison) or must.path.owner or must.word not in words:
            continue
        if must.path.attribute.name not in attributes or not isinstance(must.limit, Fixed):
            continue
        value = must.limit.values[0]
        if not isinstance(value, Figure):
            continue
        amount = value.quantity.amount
        if value.quantity.dimension == "tapes":
            amount = diameter_of_tapes(amount).amount.low
        if must.word in ("over", "under"):
            amount += _PAST if must.word == "over" else -min(_PAST, amount)
        if best is None or (strictest(amount, best.limit) == amount and amount != best.limit):
            said = f"{must.path.attribute.label} {must.word.replace('_', ' ')} {write_quantity(value.quantity)}"
            best = Bounding(amount, criterion.id, said)
    return best
