"""Workable order: which step waits for which, on which days they fall, and which of them decide the day."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

import msgspec

STAGES = (
    "read first",
    "lift and roll out",
    "wheels, bearings and boxes",
    "trucks",
    "wheelsets put in",
    "roll back and lower",
    "body, couplers and draft gear",
    "brakes",
    "adjust heights, clearances and travel",
    "read anew",
    "tests of parts",
    "tests of the whole car",
    "papers",
    "spares that ride along",
)
"""In the order in which a shop can work: the lift before the roll-out before the wheels, tests last."""
ROLL_OUT = STAGES[1]
FREE = frozenset({"read first", "papers", "spares that ride along"})
"""Stages that wait for nothing, and nothing for them."""

_WHEELS = frozenset({"wheel", "wheelset", "bearing", "axle", "box"})
_TRUCKS = frozenset({
    "truck", "spring", "equalizer", "shock absorber", "center plate", "center pin", "bolster", "side bearing",
})  # fmt: skip
_BRAKES = frozenset({
    "brake system", "brake cylinder", "brake rigging", "brake shoe", "reservoir", "air hose", "cock", "hand brake",
})  # fmt: skip
_ADJUST = frozenset({"coupler height adjusted", "side bearings adjusted", "piston travel adjusted", "shims changed"})
_BRAKES_BY_NAME = frozenset({"brake shoes renewed", "truck air line disconnected and reconnected"})


def stage_of_work(name: str, kind: str, *, moves_wheelsets: bool) -> str:
    """The stage of a work that stands on a kind of part."""
    if name in _ADJUST:
        return "adjust heights, clearances and travel"
    if moves_wheelsets:
        return "wheelsets put in"
    if name in _BRAKES_BY_NAME or kind in _BRAKES:
        return "brakes"
    if kind in _WHEELS:
        return "wheels, bearings and boxes"
    return "trucks" if kind in _TRUCKS or kind == "axle position" else "body, couplers and draft gear"


class Draft(msgspec.Struct, frozen=True):
    """A step before it has its days. truck: key of the truck that it is about, empty for the whole car.
    ready_from: the first day on which it can begin (a part is there, evidence is not too old)."""

    name: str
    stage: str
    truck: str
    days: int
    ready_from: date


class Dated(msgspec.Struct, frozen=True):
    """A step with its days. after: the steps that it waits for, none that another of them waits for already."""

    after: tuple[int, ...]
    first: date
    last: date
    critical: bool


def waits_for(drafts: Sequence[Draft]) -> tuple[tuple[int, ...], ...]:
    """For each step the earlier ones that it waits for: of an earlier stage, in the same truck or about the car."""
    rank = {stage: number for number, stage in enumerate(STAGES)}
    closed: list[frozenset[int]] = []
    direct: list[tuple[int, ...]] = []
    for step in drafts:
        before = [
            number
            for number, other in enumerate(drafts[: len(closed)])
            if step.stage not in FREE
            and other.stage not in FREE
            and rank[other.stage] < rank[step.stage]
            and (not step.truck or not other.truck or step.truck == other.truck)
        ]
        implied = {one for number in before for one in closed[number]}
        direct.append(tuple(number for number in before if number not in implied))
        closed.append(frozenset(before) | implied)
    return tuple(direct)


def dated(drafts: Sequence[Draft], start: date) -> tuple[Dated, ...]:
    """Each step with its days, as early as can be, as if there were hands for all that can be done at once; only a
    truck rolls out as late as can be. drafts: in the order of their stages. start: the first day of work."""
    after = waits_for(drafts)
    first: list[date] = []
    last: list[date] = []
    for step, before in zip(drafts, after, strict=True):
        begin = max([start, step.ready_from, *(last[number] + timedelta(days=1) for number in before)])
        first.append(begin)
        last.append(begin + timedelta(days=max(step.days, 1) - 1))
    for number, step in enumerate(drafts):
        if step.stage == ROLL_OUT:  # no body stands on trestles longer than the work needs
            _just_before(number, drafts, after, first, last)
    end = max(last, default=start)
    latest = [end] * len(drafts)
    for number in range(len(drafts) - 1, -1, -1):
        must_end = latest[number] - timedelta(days=max(drafts[number].days, 1))
        for earlier in after[number]:
            latest[earlier] = min(latest[earlier], must_end)
    return tuple(
        Dated(after[number], first[number], last[number], last[number] == latest[number])
        for number in range(len(drafts))
    )


def _just_before(
    number: int, drafts: Sequence[Draft], after: Sequence[tuple[int, ...]], first: list[date], last: list[date]
) -> None:
    """Moves a step to the days just before the first of those that wait for it."""
    waiting = [first[one] for one in range(len(drafts)) if number in after[one]]
    if waiting:
        last[number] = min(waiting) - timedelta(days=1)
        first[number] = last[number] - timedelta(days=max(drafts[number].days, 1) - 1)


def in_stages(drafts: Mapping[str, Draft]) -> list[Draft]:
    """The steps in the order of their stages; within one, by truck (B first) and by name."""
    rank = {stage: number for number, stage in enumerate(STAGES)}
    return sorted(drafts.values(), key=lambda one: (rank[one.stage], one.truck != "truck B", one.truck, one.name))
