"""The arrangements that hold with the fewest axles changed: sets of wheelsets for the trucks, then their order in each.

There are far fewer sets of wheelsets than orders of them. So what asks only which wheelsets are under the car is asked
first, and a truck is looked at only where that holds.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from itertools import combinations, islice, permutations, product

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.situation import Situation
from carknocker.questions.place_wheels.model import Conflict
from carknocker.record.model import CarRecord
from carknocker.record.part_keys import serial_of, truck_key
from carknocker.record.standing import stand
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary.program_names import AXLE_POSITION, TRUCK
from carknocker.whatif.hypothetical_car import fitted_now, rearranged
from carknocker.whatif.wheelset_fit import Fit, fit_of, judgement_in, stays_refused, unmet_of

Failing = tuple[Finding, ...]
Way = tuple[str, ...]


class Levels:
    """The levels for one car and its wheelsets. serials: all that may be used. tested: alternatives tried."""

    def __init__(self, judgement: Judgement, car: CarRecord, serials: tuple[str, ...]) -> None:
        self.serials = serials
        self._judgement = judgement
        self.now = fitted_now(car)
        self.axles = tuple(sorted(self.now))
        self.trucks = tuple(dict.fromkeys(car.axle_trucks[axle] for axle in self.axles))
        self._fit: Fit = fit_of(judgement.rulebook)
        standing = stand(car, judgement.move, judgement.as_of)
        self._before = Situation(standing, judgement.move, judgement.situation.excluded)
        self.in_truck_names = frozenset(one.criterion.id for one in self._fit.in_truck)
        self.in_car_names = frozenset(one.criterion.id for one in self._fit.in_car)
        self.order_counts = any(_asks_where(one.criterion) for one in self._fit.in_car)
        self._in_truck: dict[tuple[str, tuple[str, ...]], Failing] = {}
        self._in_car: dict[object, Failing] = {}
        self._axles_of = {
            truck: tuple(axle for axle in self.axles if car.axle_trucks[axle] == truck) for truck in self.trucks
        }
        self._indexes: dict[Way, JudgementIndex] = {}
        self.tested = 0

    @property
    def across(self) -> frozenset[str]:
        """The criteria that compare or count wheelsets, of a truck or of the car."""
        return self.in_truck_names | self.in_car_names

    def axles_of(self, truck: str) -> tuple[int, ...]:
        """The axles of a truck, from the B end."""
        return self._axles_of[truck]

    def _situation(self, at: Mapping[int, str]) -> Situation:
        self.tested += 1
        return rearranged(self._before, at)

    @cached_property
    def places(self) -> dict[tuple[int, str], Failing]:
        """What fails of each wheelset at each axle by itself. Each wheelset is at every axle once if all move on by
        one place from turn to turn, so that there are as many situations as wheelsets."""
        found: dict[tuple[int, str], Failing] = {}
        number = len(self.serials)
        for turn in range(number):
            at = {axle: self.serials[(turn + place) % number] for place, axle in enumerate(self.axles)}
            failing: dict[str, list[Finding]] = {}
            for finding in unmet_of(self._fit.single, self._situation(at)):
                serial = serial_of(finding.part.key)
                if serial is not None:
                    failing.setdefault(serial, []).append(finding)
            for axle, serial in at.items():
                found[axle, serial] = tuple(failing.get(serial, ()))
        return found

    def index_at(self, axle: int, serial: str) -> JudgementIndex:
        """The car with a wheelset at an axle, as `places` looked at it there."""
        number = len(self.serials)
        turn = self.serials.index(serial) - self.axles.index(axle)
        return self.index_of(tuple(self.serials[(turn + place) % number] for place in range(len(self.axles))))

    def index_of(self, way: Way) -> JudgementIndex:
        """The car with these wheelsets, by axle, to say in words what fails of them there."""
        if way not in self._indexes:
            situation = rearranged(self._before, dict(zip(self.axles, way, strict=True)))
            self._indexes[way] = JudgementIndex(judgement_in(self._judgement, situation, ()))
        return self._indexes[way]

    def in_truck(self, truck: str, serials: tuple[str, ...]) -> Failing:
        """What fails of the wheelsets of a truck together."""
        if not self._fit.in_truck:
            return ()
        asked = (truck, serials)
        if asked not in self._in_truck:
            situation = self._situation(dict(zip(self.axles_of(truck), serials, strict=True)))
            self._in_truck[asked] = tuple(unmet_of(self._fit.in_truck, situation, truck_key(truck)))
        return self._in_truck[asked]

    def in_car(self, serials: Iterable[str]) -> Failing:
        """What fails of all wheelsets together, by axle. Sizes under the car don't ask which wheelset is where; what
        counts wheelsets may."""
        if not self._fit.in_car:
            return ()
        asked = tuple(serials)
        key: object = asked if self.order_counts else frozenset(asked)
        if key not in self._in_car:
            situation = self._situation(dict(zip(self.axles, asked, strict=True)))
            self._in_car[key] = tuple(unmet_of(self._fit.in_car, situation))
        return self._in_car[key]

    @property
    def lacks_readings(self) -> bool:
        """Whether anything that was looked at is merely not shown: else nothing holds that was not found to."""
        looked_at = (*self.places.values(), *self._in_truck.values(), *self._in_car.values())
        return any(not counts_against(one, strict=False) for failing in looked_at for one in failing)

    def orders(self, truck: str, usable: Mapping[int, frozenset[str]]) -> dict[int, list[tuple[str, ...]]]:
        """The ways to fill a truck from what is usable at each axle, by how many of its axles change."""
        axles = self.axles_of(truck)
        ways: dict[int, list[tuple[str, ...]]] = {}
        for way in permutations(self.serials, len(axles)):
            if all(serial in usable[axle] for axle, serial in zip(axles, way, strict=True)):
                moved = sum(self.now[axle] != serial for axle, serial in zip(axles, way, strict=True))
                ways.setdefault(moved, []).append(way)
        return ways


def _asks_where(criterion: Criterion) -> bool:
    """Whether a criterion looks at the axle or the truck in which a wheelset is."""
    clauses = (criterion.must, criterion.when, criterion.unless)
    return any(one.path.owner in (AXLE_POSITION, TRUCK) for clause in clauses for one in comparisons_in(clause))


def counts_against(finding: Finding, strict: bool) -> bool:
    """Whether a finding excludes an arrangement: any unmet one, or (not strict) only what is known to be wrong."""
    return strict or finding.verdict == "borderline" or stays_refused(finding)


def holds(failing: Failing, strict: bool) -> bool:
    """Whether nothing of it excludes an arrangement."""
    return not any(counts_against(finding, strict) for finding in failing)


_MOST = 200_000
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
