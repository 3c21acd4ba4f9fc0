"""Arrangements tried level by level: a wheelset at its axle, the wheelsets of a truck together, the whole car.

What fails at one level fails in every arrangement that holds it, so that most are never tried. Each answer is kept.
"""

from collections.abc import Iterable, Mapping
from functools import cached_property
from itertools import permutations

from msgspec.structs import replace

from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.situation import Situation
from carknocker.questions.fit import Fit, fit_of, situation_with, unmet_of
from carknocker.questions.hypothetical.hypothetical import NOWHERE, fitted_now
from carknocker.record.model import CarRecord
from carknocker.record.wheelset_parts import thing_key_of_wheelset, wheelset_parts

Failing = tuple[Finding, ...]


class Levels:
    """The levels for one car and its wheelsets. serials: all that may be used. tested: situations looked at."""

    def __init__(self, judgement: Judgement, car: CarRecord, serials: tuple[str, ...]) -> None:
        self._judgement, self._car = judgement, car
        self.serials = serials
        self.now = fitted_now(car)
        self.axles = tuple(sorted(self.now))
        self.trucks = tuple(dict.fromkeys(car.axle_trucks[axle] for axle in self.axles))
        self._fit: Fit = fit_of(judgement.rulebook)
        self._excluded = judgement.situation.excluded
        self._in_truck: dict[tuple[str, tuple[str, ...]], Failing] = {}
        self._in_car: dict[frozenset[str], Failing] = {}
        self._truck_cars: dict[str, CarRecord] = {}
        self.tested = 0

    def axles_of(self, truck: str) -> tuple[int, ...]:
        """The axles of a truck, from the B end."""
        return tuple(axle for axle in self.axles if self._car.axle_trucks[axle] == truck)

    def _situation(self, car: CarRecord, at: Mapping[int, str]) -> Situation:
        self.tested += 1
        return situation_with(car, self._judgement.move, at, self._judgement.as_of, self._excluded)

    @cached_property
    def places(self) -> dict[tuple[int, str], Failing]:
        """What fails of each wheelset at each axle by itself. Each wheelset is at every axle once if all move on by
        one place from turn to turn, so that there are as many situations as wheelsets."""
        found: dict[tuple[int, str], Failing] = {}
        number = len(self.serials)
        for turn in range(number):
            at = {axle: self.serials[(turn + place) % number] for place, axle in enumerate(self.axles)}
            failing: dict[str, list[Finding]] = {}
            for finding in unmet_of(self._fit.single, self._situation(self._car, at)):
                serial = thing_key_of_wheelset(finding.part.key)
                if serial is not None:
                    failing.setdefault(serial, []).append(finding)
            found.update({(axle, serial): tuple(failing.get(serial, ())) for axle, serial in at.items()})
        return found

    def in_truck(self, truck: str, serials: tuple[str, ...]) -> Failing:
        """What fails of the wheelsets of a truck together."""
        if not self._fit.in_truck:
            return ()
        asked = (truck, serials)
        if asked not in self._in_truck:
            axles = self.axles_of(truck)
            car = self._truck_car(truck)
            situation = self._situation(car, dict(zip(axles, serials, strict=True)))
            self._in_truck[asked] = tuple(unmet_of(self._fit.in_truck, situation, f"truck {truck}"))
        return self._in_truck[asked]

    def in_car(self, serials: Iterable[str]) -> Failing:
        """What fails of all wheelsets together, whichever their axles."""
        if not self._fit.in_car:
            return ()
        asked = tuple(serials)
        key = frozenset(asked)
        if key not in self._in_car:
            situation = self._situation(self._car, dict(zip(self.axles, asked, strict=True)))
            self._in_car[key] = tuple(unmet_of(self._fit.in_car, situation))
        return self._in_car[key]

    def orders(self, truck: str, usable: Mapping[int, frozenset[str]]) -> dict[int, list[tuple[str, ...]]]:
        """The ways to fill a truck from what is usable at each axle, by how many of its axles change."""
        axles = self.axles_of(truck)
        ways: dict[int, list[tuple[str, ...]]] = {}
        for way in permutations(self.serials, len(axles)):
            if all(serial in usable[axle] for axle, serial in zip(axles, way, strict=True)):
                moved = sum(self.now[axle] != serial for axle, serial in zip(axles, way, strict=True))
                ways.setdefault(moved, []).append(way)
        return ways

    def _truck_car(self, truck: str) -> CarRecord:
        """The car with only this truck and the wheelsets: what a truck's own figures look at."""
        if truck not in self._truck_cars:
            axles = self.axles_of(truck)
            kept = {"car", f"truck {truck}", *(f"axle position {axle}" for axle in axles)}
            here = {self.now[axle] for axle in axles}
            parts = [
                part
                for part in self._car.parts
                if part.key in kept or part.container in kept or thing_key_of_wheelset(part.key) in here
            ]
            for serial in self.serials:
                if serial not in here:
                    parts.extend(wheelset_parts(serial, None, False, NOWHERE))
            keys = {part.key for part in parts}
            self._truck_cars[truck] = replace(
                self._car,
                parts=tuple(part for part in parts if part.key in kept or part.container in keys or not part.fitted),
                fittings=tuple(one for one in self._car.fittings if one.last is not None or one.axle in axles),
                evidence=tuple(one for one in self._car.evidence if one.part in keys),
                by_part={},
            )
        return self._truck_cars[truck]


def counts_against(finding: Finding, strict: bool) -> bool:
    """Whether a finding excludes an arrangement: any unmet one, or (not strict) only what is known to be wrong."""
    return strict or finding.verdict in ("breached", "borderline")


def holds(failing: Failing, strict: bool) -> bool:
    """Whether nothing of it excludes an arrangement."""
    return not any(counts_against(finding, strict) for finding in failing)
