"""Why no arrangement holds: the criteria that conflict, from the smallest place up."""

from collections.abc import Iterator
from itertools import combinations, product

from carknocker.judgement.model import Finding
from carknocker.questions.arrange.levels import Levels, counts_against, holds
from carknocker.questions.arrange.model import Conflict


def conflicts_of(levels: Levels) -> tuple[Conflict, ...]:
    """Why nothing holds, from the smallest place up: an axle, too few wheelsets for some axles, a truck, the car."""
    usable = {
        axle: frozenset(s for s in levels.serials if holds(levels.places[axle, s], False)) for axle in levels.axles
    }
    short = _too_few(usable)
    if short:
        axles = ", ".join(map(str, short))
        against = {
            finding.criterion.id
            for axle in short
            for serial in levels.serials
            for finding in levels.places[axle, serial]
            if counts_against(finding, False)
        }
        left = sorted(frozenset().union(*(usable[axle] for axle in short)))
        beginning = f"axle{'' if len(short) == 1 else 's'} {axles}"
        words = f"{beginning}: {len(left)} of {len(levels.serials)} wheelsets can stand there"
        return (Conflict(beginning, tuple(sorted(against)), words + (f" ({', '.join(left)})" if left else "")),)
    conflicts: list[Conflict] = []
    for truck in levels.trucks:
        orders = [way for ways in levels.orders(truck, usable).values() for way in ways]
        failing = [
            frozenset(f.criterion.id for f in levels.in_truck(truck, way) if counts_against(f, False))
            for way in orders
        ]  # fmt: skip
        if orders and all(failing):
            words = f"truck {truck}: each of the {len(orders):,} ways to fill it breaks one of these"
            conflicts.append(Conflict(f"truck {truck}", smallest_cover(failing), words))
    if conflicts:
        return tuple(conflicts)
    all_ways = [
        frozenset(finding.criterion.id for finding in levels.in_car(way) if counts_against(finding, False))
        for way in _whole_ways(levels, usable)
    ]
    if all_ways:
        words = f"the car: each of the {len(all_ways):,} ways in which both trucks hold breaks one of these"
        return (Conflict("the car", smallest_cover(all_ways), words),)
    criteria = sorted({f.criterion.id for truck in levels.trucks for f in _of_truck(levels, truck, usable)})
    words = "each truck can be filled by itself, but not all of them at once with the wheelsets that there are"
    return (Conflict("the car", tuple(criteria), words),)


def _of_truck(levels: Levels, truck: str, usable: dict[int, frozenset[str]]) -> Iterator[Finding]:
    for ways in levels.orders(truck, usable).values():
        for way in ways:
            yield from (one for one in levels.in_truck(truck, way) if counts_against(one, False))


def _whole_ways(levels: Levels, usable: dict[int, frozenset[str]]) -> Iterator[tuple[str, ...]]:
    """One way for each set of wheelsets with which every truck holds."""
    good = [
        [
            way
            for ways in levels.orders(truck, usable).values()
            for way in ways
            if holds(levels.in_truck(truck, way), False)
        ]
        for truck in levels.trucks
    ]  # fmt: skip
    seen: set[frozenset[str]] = set()
    for parts in product(*good):
        way = tuple(serial for part in parts for serial in part)
        if len(set(way)) == len(way) and frozenset(way) not in seen:
            seen.add(frozenset(way))
            yield way


def _too_few(usable: dict[int, frozenset[str]]) -> tuple[int, ...]:
    """The fewest axles for which fewer wheelsets are usable than they are many."""
    for number in range(1, len(usable) + 1):
        for axles in combinations(sorted(usable), number):
            if len(frozenset().union(*(usable[axle] for axle in axles))) < number:
                return axles
    return ()


def smallest_cover(failing: list[frozenset[str]]) -> tuple[str, ...]:
    """The fewest criteria of which every way breaks one; the first such in order of their names."""
    names = sorted(frozenset().union(*failing))
    for number in range(1, len(names) + 1):
        for chosen in combinations(names, number):
            if all(one & set(chosen) for one in failing):
                return chosen
    return tuple(names)
