"""Turning plans of a car, its trucks and its wheelsets, within the limits of the rules that bind the move."""

from collections.abc import Callable, Iterator
from fractions import Fraction

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement
from carknocker.judgement.part_view import limit_getter
from carknocker.quantities import write_quantity
from carknocker.record.model import Part
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import Comparison, all_of
from carknocker.vocabulary.program_names import (
    MATE_DIFFERENCE,
    MATE_DIFFERENCE_IN_DIAMETER,
    RIM_AFTER_TURNING,
    RIM_THICKNESS,
    SPREAD_IN_DIAMETER,
    TRUCK,
    TURNING_ALLOWANCE,
    WHEEL,
    WHEELSET,
)
from carknocker.wording.parts import part_words
from carknocker.wording.sources import place_words
from carknocker.workings import Missing, OutOfRange
from carknocker.workings.turning import Matching, Turned, TurningPlan, turning_plan, worn_wheels
from carknocker.workings.wear import Outlook, rim_outlook
from carknocker.workings.wheels import diameter_of_tapes


class Bounding(msgspec.Struct, frozen=True):
    """A limit that a plan keeps to, inches, and the rule that sets it: in its own words. place: where that stands."""

    limit: Fraction
    rule: str
    words: str
    place: str


class Turning(msgspec.Struct, frozen=True):
    """The least cuts for a wheelset, a truck or the car, or what is missing for them. taken: what was taken for
    granted, empty where nothing was."""

    of: Part
    label: str
    plan: TurningPlan | None
    missing: Missing | None
    limits: tuple[Bounding, ...]
    taken: str = ""

    @property
    def wheels(self) -> tuple[Turned, ...]:
        """What is taken off each wheel; nothing where there is no plan."""
        return () if self.plan is None else self.plan.wheels


ALIKE = "Sizes are not known: the two wheels are taken as alike, so that the deeper cut governs both."
_PAST = Fraction(1, 64)  # smallest step that a limit which does not pass itself asks for
_LEAST = frozenset({"at_least", "over"})
_MOST = frozenset({"at_most", "under"})


def turnings_of(judgement: Judgement) -> tuple[Turning, ...]:
    """Plans for the car, each truck and each fitted wheelset, where rules that apply to this car set a limit between
    mates and one for the rim. Where they set none there is nothing to keep to, and no plan."""
    axle = _limit(judgement, WHEELSET, (MATE_DIFFERENCE, MATE_DIFFERENCE_IN_DIAMETER), _MOST, min)
    truck = _limit(judgement, TRUCK, ("spread", SPREAD_IN_DIAMETER), _MOST, min)
    car = _limit(judgement, "car", ("spread", SPREAD_IN_DIAMETER), _MOST, min)
    rim = _limit(judgement, WHEEL, (RIM_THICKNESS, RIM_AFTER_TURNING), _LEAST, max)
    if axle is None or rim is None:
        return ()
    matching = Matching(axle.limit, None if truck is None else truck.limit, None if car is None else car.limit)
    limits = tuple(one for one in (axle, truck, car, rim) if one is not None)
    return tuple(_plans(judgement, matching, rim.limit, limits))


class RimOutlook(msgspec.Struct, frozen=True):
    """When the rim of a wheel comes to a limit, at the wheel's own wear rate."""

    wheel: Part
    outlook: Outlook
    limit: Bounding


def outlooks_of(judgement: Judgement) -> tuple[RimOutlook, ...]:
    """For each fitted wheel whose own history gives a wear rate: miles and dates to each rim limit that rules set for
    it, the first it comes to first. A wheel without such a history has none; no rate is taken from elsewhere."""
    limits: dict[str, dict[Fraction, Bounding]] = {}
    for key, one in _boundings(judgement, WHEEL, (RIM_THICKNESS,), _LEAST):
        limits.setdefault(key, {}).setdefault(one.limit, one)
    found: list[RimOutlook] = []
    for key, own in limits.items():
        for _, limit in sorted(own.items(), reverse=True):
            outlook = rim_outlook(judgement.situation, key, limit.limit)
            if isinstance(outlook, Outlook):
                found.append(RimOutlook(judgement.parts[key], outlook, limit))
    return tuple(found)


def _plans(judgement: Judgement, matching: Matching, rim: Fraction, limits: tuple[Bounding, ...]) -> Iterator[Turning]:
    readings = judgement.situation
    by_kind = readings.standing.by_kind
    containers = (*by_kind.get("car", ()), *by_kind.get(TRUCK, ()), *by_kind.get(WHEELSET, ()))
    for one in containers:
        if not one.fitted:
            continue
        wheels = worn_wheels(readings, one.key)
        taken = ""
        if isinstance(wheels, Missing) and one.kind == WHEELSET:
            bare = worn_wheels(readings, one.key, sized=False)
            wheels, taken = (wheels, "") if isinstance(bare, Missing) else (bare, ALIKE)
        if isinstance(wheels, Missing):
            yield Turning(one, part_words(one), None, wheels, limits)
            continue
        try:
            yield Turning(one, part_words(one), turning_plan(wheels, matching, rim), None, limits, taken)
        except OutOfRange as error:
            missing = Missing(one.key, TURNING_ALLOWANCE, f"out of range: {error}")
            yield Turning(one, part_words(one), None, missing, limits)


def _limit(
    judgement: Judgement,
    of: str,
    attributes: tuple[str, ...],
    words: frozenset[str],
    strictest: Callable[[Fraction, Fraction], Fraction],
) -> Bounding | None:
    """The strictest of the limits that criteria set for fitted parts."""
    best: Bounding | None = None
    for _, one in _boundings(judgement, of, attributes, words):
        if best is None or (strictest(one.limit, best.limit) == one.limit and one.limit != best.limit):
            best = one
    return best


def _boundings(
    judgement: Judgement, of: str, attributes: tuple[str, ...], words: frozenset[str]
) -> Iterator[tuple[str, Bounding]]:
    """Every limit that a criterion which applies sets for a fitted part, with the part's key. Tapes are taken as inches
    of diameter, cut on the safe side; a limit that does not itself pass, a 64th short of it."""
    index = JudgementIndex(judgement)
    for finding in judgement.findings:
        criterion = finding.criterion
        if criterion.of != of or not finding.part.fitted or finding.verdict == "not applicable":
            continue
        for must in all_of(criterion.must):
            if (
                not isinstance(must, Comparison)
                or must.path.owner
                or must.word not in words
                or must.path.attribute.name not in attributes
            ):
                continue
            held = limit_getter(must)(index.view(finding))
            value = None if held is None else held.value
            if not isinstance(value, Figure):
                continue
            amount = value.quantity.amount
            if value.quantity.dimension == "tapes":
                amount = diameter_of_tapes(amount).amount.low
            if must.word in ("over", "under"):
                amount += _PAST if must.word == "over" else -min(_PAST, amount)
            said = f"{must.path.attribute.label} {must.word.replace('_', ' ')} {write_quantity(value.quantity)}"
            yield finding.part.key, Bounding(amount, criterion.id, said, place_words(criterion.source))
