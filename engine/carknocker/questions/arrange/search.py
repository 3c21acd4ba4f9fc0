"""The arrangements that hold with the fewest axles changed: sets of wheelsets for the trucks, then their order in each.

There are far fewer sets of wheelsets than orders of them. So what asks only which wheelsets are under the car is asked
first, and a truck is looked at only where that holds.
"""

from collections.abc import Callable, Iterable, Iterator
from itertools import islice, product

from carknocker.questions.arrange.levels import Levels, holds

_MOST = 200_000
Way = tuple[str, ...]
BySet = dict[frozenset[str], list[Way]]
"""The orders of the wheelsets of a truck, by the wheelsets."""


def fewest_moved(levels: Levels, *, strict: bool) -> list[Way]:
    """The arrangements that hold with the fewest axles changed, in order of their serials; at most 200,000."""
    usable = {
        axle: frozenset(serial for serial in levels.serials if holds(levels.places[axle, serial], strict))
        for axle in levels.axles
    }
    trucks = [
        {moved: by_set(ways) for moved, ways in levels.orders(truck, usable).items()} for truck in levels.trucks
    ]  # fmt: skip
    for moved in range(len(levels.axles) + 1):
        ways = (
            way
            for split in product(*(sorted(own) for own in trucks))
            if sum(split) == moved
            for way in holding(
                levels,
                [own[number] for own, number in zip(trucks, split, strict=True)],
                in_truck=lambda truck, way: holds(levels.in_truck(truck, way), strict),
                in_car=lambda way: holds(levels.in_car(way), strict),
            )
        )
        found = sorted(islice(ways, _MOST))
        if found:
            return found
    return []


def by_set(ways: list[Way]) -> BySet:
    """Orders by the wheelsets that they order."""
    found: BySet = {}
    for way in ways:
        found.setdefault(frozenset(way), []).append(way)
    return found


def holding(
    levels: Levels,
    trucks: list[BySet],
    *,
    in_truck: Callable[[str, Way], bool],
    in_car: Callable[[Way], bool],
) -> Iterator[Way]:
    """The ways to fill all trucks, no wheelset twice, that hold in each truck and under the car."""
    for sets in _disjoint(trucks, frozenset()):
        orders = [own[chosen] for own, chosen in zip(trucks, sets, strict=True)]
        if not levels.order_counts and not in_car(_whole(order[0] for order in orders)):
            continue
        good = [
            [way for way in order if in_truck(truck, way)]
            for truck, order in zip(levels.trucks, orders, strict=True)
        ]  # fmt: skip
        whole = (_whole(parts) for parts in product(*good))
        yield from filter(in_car, whole) if levels.order_counts else whole


def _whole(parts: Iterable[Way]) -> Way:
    return tuple(serial for part in parts for serial in part)


def _disjoint(trucks: list[BySet], taken: frozenset[str]) -> Iterator[tuple[frozenset[str], ...]]:
    """One set of wheelsets for each truck, no wheelset twice."""
    if not trucks:
        yield ()
        return
    for chosen in trucks[0]:
        if taken.isdisjoint(chosen):
            for others in _disjoint(trucks[1:], taken | chosen):
                yield (chosen, *others)
