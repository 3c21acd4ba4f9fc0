"""The smallest set that leaves nothing in the way, found best first: no set is tried before a smaller one."""

from collections.abc import Callable
from heapq import heappop, heappush
from typing import Any

import msgspec

from carknocker.questions.plan.model import Job, Need

Needs = tuple[tuple[Need, tuple[Job, ...]], ...]
"""What is in the way, each with every job that may clear it."""
Jobs = frozenset[Job]


class Tried(msgspec.Struct, frozen=True):
    """A set of jobs tried, and what it leaves in the way. result: whatever the trial made."""

    jobs: Jobs
    left: Needs
    result: Any


class Found(msgspec.Struct, frozen=True):
    """best: the first set that leaves nothing, or (`complete` false) the one that leaves least. others: sets of the
    same weight. proven: nothing lighter was left untried."""

    best: Tried
    complete: bool
    others: tuple[Jobs, ...]
    tried: int
    proven: bool


def smallest(
    weight: Callable[[Jobs], tuple[Any, ...]],
    trial: Callable[[Jobs], Tried],
    *,
    most_trials: int = 400,
    most_others: int = 5,
) -> Found:
    """The lightest set of jobs that leaves nothing in the way.

    weight: of a set; a further job must not make it lighter. trial: judges a set. Each need has to be answered by one
    of its jobs, so that a set that answers every need met so far is the only kind worth a trial. The last part of a
    weight only orders sets that are as good as each other.
    """
    best: Tried | None = None
    found: Tried | None = None
    others: list[Jobs] = []
    queue: list[tuple[tuple[Any, ...], int, Jobs, Needs]] = [(weight(frozenset()), 0, frozenset(), ())]
    seen: set[Jobs] = {frozenset()}
    count = tried = 0
    while queue:
        heavy, _, jobs, needs = heappop(queue)
        if found is not None and (heavy[:-1] > weight(found.jobs)[:-1] or len(others) >= most_others):
            break
        open_need = next(((need, options) for need, options in needs if jobs.isdisjoint(options)), None)
        if open_need is None:
            if tried >= most_trials:
                return Found(found or best or trial(frozenset()), found is not None, tuple(others), tried, False)
            tried += 1
            result = trial(jobs)
            if not result.left:
                if found is None:
                    found = result
                else:
                    others.append(jobs)
                continue
            if best is None or len(result.left) < len(best.left):
                best = result
            needs = (*needs, *result.left)
            open_need = result.left[0]
        for job in open_need[1]:
            wider = jobs | {job}
            if wider in seen or any(job.clashes_with(other) for other in jobs):
                continue
            seen.add(wider)
            count += 1
            heappush(queue, (weight(wider), count, wider, needs))
    return Found(found or best or trial(frozenset()), found is not None, tuple(others), tried, True)
