"""Arrangements tried level by level: a wheelset at its axle, the wheelsets of a truck together, the whole car.

What fails at one level fails in every arrangement that holds it, so that most are never tried. Each answer is kept.
"""

from collections.abc import Iterable, Mapping
from functools import cached_property
from itertools import permutations

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.situation import Situation
from carknocker.questions.fit import Fit, fit_of, stays_refused, unmet_of
from carknocker.questions.hypothetical.hypothetical import fitted_now
from carknocker.questions.hypothetical.rearranged import rearranged
from carknocker.questions.measures import as_finding, measured
from carknocker.record.model import CarRecord
from carknocker.record.standing import stand
from carknocker.record.wheelset_parts import thing_key_of_wheelset
from carknocker.rulebook.model import Criterion

Failing = tuple[Finding, ...]


class Levels:
    """The levels for one car and its wheelsets. serials: all that may be used. tested: situations looked at."""

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
                serial = thing_key_of_wheelset(finding.part.key)
                if serial is not None:
                    failing.setdefault(serial, []).append(finding)
            for axle, serial in at.items():
                own = failing.get(serial, [])
                found[axle, serial] = (*own, *self._misfits(axle, serial, own))
        return found

    def _misfits(self, axle: int, serial: str, failing: list[Finding]) -> Failing:
        """The measures by which a wheelset is not shown to go into the truck, but for those of which a rule speaks."""
        told = {one.path.attribute.name for finding in failing for one in comparisons_in(finding.criterion.must)}
        truck = f"truck {self._judgement.car.axle_trucks[axle]}"
        part = self._judgement.parts[f"wheelset {serial}"]
        wrong = measured(self._judgement, truck, serial)
        return tuple(as_finding(misfit, part) for misfit in wrong if misfit.attribute not in told)

    def in_truck(self, truck: str, serials: tuple[str, ...]) -> Failing:
        """What fails of the wheelsets of a truck together."""
        if not self._fit.in_truck:
            return ()
        asked = (truck, serials)
        if asked not in self._in_truck:
            situation = self._situation(dict(zip(self.axles_of(truck), serials, strict=True)))
            self._in_truck[asked] = tuple(unmet_of(self._fit.in_truck, situation, f"truck {truck}"))
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
    return any(one.path.owner in ("axle position", "truck") for clause in clauses for one in comparisons_in(clause))


def counts_against(finding: Finding, strict: bool) -> bool:
    """Whether a finding excludes an arrangement: any unmet one, or (not strict) only what is known to be wrong."""
    return strict or finding.verdict == "borderline" or stays_refused(finding)


def holds(failing: Failing, strict: bool) -> bool:
    """Whether nothing of it excludes an arrangement."""
    return not any(counts_against(finding, strict) for finding in failing)
