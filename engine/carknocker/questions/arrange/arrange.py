"""`arrange`: which wheelset at which axle, from those that are fitted, carried and on the shelf."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product

from carknocker.judgement.model import Finding
from carknocker.questions.arrange.after import after_change
from carknocker.questions.arrange.conflicts import conflicts_of
from carknocker.questions.arrange.levels import Failing, Levels, holds
from carknocker.questions.arrange.model import Arranged, Arrangement, Place
from carknocker.questions.arrange.wheelsets import usable_wheelsets
from carknocker.questions.as_it_stood import as_it_stood
from carknocker.questions.check import CheckAnswer

MOST_SHOWN = 6
_MOST_BEST = 200_000


def arrange(check: CheckAnswer) -> Arranged:
    """The arrangement in which every refusing criterion about wheelsets holds, with the fewest wheelsets moved, then
    the most miles to the first limit. Where none is wholly shown, those that only lack readings count. Raises
    CannotJudge if the changed car can't be judged."""
    judgement = check.judgement
    car = as_it_stood(judgement.car, check.day)
    wheelsets = usable_wheelsets(judgement, car)
    levels = Levels(judgement, car, tuple(one.serial for one in wheelsets))
    miles = {one.serial: one.miles for one in wheelsets}
    use_miles = all(one is not None for one in miles.values())
    strict = True
    best = _best(levels, miles, use_miles, strict=True)
    if not best:
        strict = False
        best = _best(levels, miles, use_miles, strict=False)
    arrangements = [_arrangement(levels, way, miles) for way in best[: MOST_SHOWN + 1]]
    first = arrangements[0] if arrangements else None
    void, tests, still = after_change(check, car, levels, first) if first is not None and first.moved else ((), (), ())
    notes: list[str] = []
    if not use_miles:
        unknown = ", ".join(one.serial for one in wheelsets if one.miles is None)
        notes.append(f"The miles to the first limit did not decide: no wear rate is known of {unknown}.")
    if check.other is not None:
        notes.append("Only the stricter of the two rulebooks was asked.")
    return Arranged(
        check, tuple((axle, car.axle_trucks[axle]) for axle in levels.axles), wheelsets,
        tuple(Place(axle, serial, _reasons(failing)) for (axle, serial), failing in sorted(levels.places.items())),
        first, tuple(arrangements[1:]), max(len(best) - 1 - MOST_SHOWN, 0), strict, use_miles,
        () if first is not None else conflicts_of(levels), void, tests, still, tuple(notes), levels.tested,
    )  # fmt: skip


def _best(
    levels: Levels, miles: dict[str, Fraction | None], use_miles: bool, *, strict: bool
) -> list[tuple[str, ...]]:  # fmt: skip
    """The arrangements that hold with the fewest moved and, of those, the most miles; in order of their serials."""
    usable = {
        axle: frozenset(s for s in levels.serials if holds(levels.places[axle, s], strict)) for axle in levels.axles
    }
    ways = {truck: levels.orders(truck, usable) for truck in levels.trucks}
    for moved in range(len(levels.axles) + 1):
        found: list[tuple[str, ...]] = []
        best: Fraction | None = None
        for way in sorted(_ways(levels, ways, moved)):
            if use_miles:
                least = min(miles[serial] or Fraction(0) for serial in way)
                if best is not None and least < best:
                    continue
            if not _way_holds(levels, way, strict):
                continue
            if use_miles and (best is None or least > best):
                best, found = least, []
            if len(found) < _MOST_BEST:
                found.append(way)
        if found:
            return found
    return []


def _ways(
    levels: Levels, ways: dict[str, dict[int, list[tuple[str, ...]]]], moved: int
) -> Iterator[tuple[str, ...]]:  # fmt: skip
    """Every way to fill all trucks with that many axles changed, no wheelset twice, axle by axle."""
    for split in product(*(sorted(ways[truck]) for truck in levels.trucks)):
        if sum(split) != moved:
            continue
        for parts in product(*(ways[truck][number] for truck, number in zip(levels.trucks, split, strict=True))):
            way = tuple(serial for part in parts for serial in part)
            if len(set(way)) == len(way):
                yield way


def _way_holds(levels: Levels, way: tuple[str, ...], strict: bool) -> bool:
    place = 0
    for truck in levels.trucks:
        number = len(levels.axles_of(truck))
        if not holds(levels.in_truck(truck, way[place : place + number]), strict):
            return False
        place += number
    return holds(levels.in_car(way), strict)


def _arrangement(levels: Levels, way: tuple[str, ...], miles: dict[str, Fraction | None]) -> Arrangement:
    failing: list[Finding] = []
    place = 0
    for axle, serial in zip(levels.axles, way, strict=True):
        failing.extend(levels.places[axle, serial])
    for truck in levels.trucks:
        number = len(levels.axles_of(truck))
        failing.extend(levels.in_truck(truck, way[place : place + number]))
        place += number
    failing.extend(levels.in_car(way))
    known = [miles[serial] for serial in way]
    moved = tuple(axle for axle, serial in zip(levels.axles, way, strict=True) if levels.now[axle] != serial)
    told = [one for one in known if one is not None]
    return Arrangement(way, moved, min(told) if len(told) == len(known) else None, _reasons(tuple(failing)))


def _reasons(failing: Failing) -> tuple[str, ...]:
    return tuple(dict.fromkeys(f"{one.part.label}: {one.criterion.title} ({one.verdict})" for one in failing))
