"""Workable order: which step waits for which, on which days they fall, and which of them decide the day."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import get_args

import msgspec

from carknocker.vocabulary.model import Stage

STAGES = get_args(Stage)
"""In the order in which a shop can work: the lift before the roll-out before the wheels, tests last."""
ROLL_OUT: Stage = "lift and roll out"
FREE: frozenset[Stage] = frozenset({"read first", "papers", "spares that ride along"})
"""Stages that wait for nothing, and nothing for them."""


class Draft(msgspec.Struct, frozen=True):
    """A step before it has its days. truck: key of the truck that it is about, empty for the whole car.
    ready_from: the first day on which it can begin (a part is there, evidence is not too old)."""

    name: str
    stage: Stage
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
