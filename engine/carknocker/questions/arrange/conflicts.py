"""Why no arrangement holds: the least sets of criteria that can't all hold with the wheelsets that there are."""

from collections.abc import Mapping
from itertools import combinations

from carknocker.questions.arrange.levels import Failing, Levels, counts_against
from carknocker.questions.arrange.model import Conflict
from carknocker.questions.arrange.search import Way, by_set, holding

Usable = Mapping[int, frozenset[str]]
Criteria = frozenset[str]


def conflicts_of(levels: Levels) -> tuple[Conflict, ...]:
    """Sets of criteria that conflict, none of which can lose a member and still conflict, and no two of which share
    one: each has to be dealt with. First those of one criterion by itself."""
    ranked = _ranked(levels)
    found: list[tuple[str, ...]] = [(name,) for name in ranked if not possible(levels, frozenset((name,)))]
    left = [name for name in ranked if (name,) not in found]
    while not possible(levels, frozenset(left)):
        conflict = _least(levels, left)
        found.append(conflict)
        left = [name for name in left if name not in conflict]
    return tuple(_told(levels, criteria) for criteria in found)


def possible(levels: Levels, criteria: Criteria) -> bool:
    """Whether some arrangement breaks none of these criteria, whatever else it breaks."""
    usable = _usable(levels, criteria)
    if _too_few(usable):
        return False
    if criteria.isdisjoint(levels.across):
        return True  # as many wheelsets as axles for any choice of axles: one can be given to each
    trucks = [by_set(_orders(levels, truck, usable)) for truck in levels.trucks]
    found = holding(
        levels,
        trucks,
        in_truck=lambda truck, way: not _breaks_in_truck(levels, truck, way, criteria),
        in_car=lambda way: criteria.isdisjoint(levels.in_car_names) or not _breaks(levels.in_car(way), criteria),
    )
    return next(found, None) is not None


def _ranked(levels: Levels) -> list[str]:
    """The criteria that may have a part in it: those about one wheelset, of a truck, of the car; by name."""
    single = {f.criterion.id for failing in levels.places.values() for f in failing if counts_against(f, False)}
    return [*sorted(single), *sorted(levels.in_truck_names), *sorted(levels.in_car_names)]


def _least(levels: Levels, ranked: list[str]) -> tuple[str, ...]:
    """The criteria that are left when each that is not needed for the conflict is taken out: the widest first, so that
    it is told at the smallest place where it shows."""
    kept = list(ranked)
    for name in reversed(ranked):
        fewer = [one for one in kept if one != name]
        if not possible(levels, frozenset(fewer)):
            kept = fewer
    return tuple(kept)


def _breaks(failing: Failing, criteria: Criteria) -> bool:
    return any(counts_against(one, False) and one.criterion.id in criteria for one in failing)


def _usable(levels: Levels, criteria: Criteria) -> Usable:
    return {
        axle: frozenset(serial for serial in levels.serials if not _breaks(levels.places[axle, serial], criteria))
        for axle in levels.axles
    }


def _orders(levels: Levels, truck: str, usable: Usable) -> list[Way]:
    return [way for same in levels.orders(truck, usable).values() for way in same]


def _breaks_in_truck(levels: Levels, truck: str, way: Way, criteria: Criteria) -> bool:
    return not criteria.isdisjoint(levels.in_truck_names) and _breaks(levels.in_truck(truck, way), criteria)


def _too_few(usable: Usable) -> tuple[int, ...]:
    """The fewest axles for which fewer wheelsets are usable than they are many."""
    for number in range(1, len(usable) + 1):
        for axles in combinations(sorted(usable), number):
            if len(frozenset().union(*(usable[axle] for axle in axles))) < number:
                return axles
    return ()


def _told(levels: Levels, criteria: tuple[str, ...]) -> Conflict:
    """A conflict at the smallest place where it shows: axles with too few wheelsets, a truck, the car."""
    names = frozenset(criteria)
    usable = _usable(levels, names)
    short = _too_few(usable)
    if short:
        left = sorted(frozenset().union(*(usable[axle] for axle in short)))
        everywhere = len(set(usable.values())) == 1
        axles = levels.axles if everywhere else short
        where = f"axle{'' if len(axles) == 1 else 's'} {', '.join(map(str, axles))}"
        some = f"{len(left)} of {len(levels.serials)} wheelsets can stand there"
        return Conflict(where, criteria, f"{where}: {some}" + (f" ({', '.join(left)})" if left else ""))
    for truck in levels.trucks:
        orders = _orders(levels, truck, usable)
        if all(_breaks_in_truck(levels, truck, way, names) for way in orders):
            words = f"truck {truck}: each of the {len(orders):,} ways to fill it breaks one of these"
            return Conflict(f"truck {truck}", criteria, words)
    words = "the car: each way to fill all of its axles breaks one of these"
    return Conflict("the car", criteria, words)
