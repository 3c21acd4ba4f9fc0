"""`arrange`: which wheelset at which axle, from those that are fitted, carried and on the shelf."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations, product

from carknocker.judgement.figures import SIDES
from carknocker.judgement.model import Finding, Judgement
from carknocker.questions.arrange_after import after_change
from carknocker.questions.arrange_levels import Failing, Levels
from carknocker.questions.arrange_model import Arranged, Arrangement, Conflict, Place, Wheelset, Where
from carknocker.questions.as_it_stood import as_it_stood
from carknocker.questions.check import CheckAnswer
from carknocker.questions.plan_jobs import spare_wheelsets
from carknocker.record.model import CarRecord
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.workings import Missing
from carknocker.workings.turning_record import rim_outlook

MOST_SHOWN = 6
_MOST_BEST = 200_000


def arrange(check: CheckAnswer) -> Arranged:
    """The arrangement in which every refusing criterion about wheelsets holds, with the fewest wheelsets moved, then
    the most miles to the first limit. Where none is wholly shown, those that only lack readings count. Raises
    CannotJudge if the changed car can't be judged."""
    judgement = check.judgement
    car = as_it_stood(judgement.car, check.day)
    wheelsets = _wheelsets(judgement, car)
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
        () if first is not None else _conflicts(levels), void, tests, still, tuple(notes), levels.tested,
    )  # fmt: skip


def _wheelsets(judgement: Judgement, car: CarRecord) -> tuple[Wheelset, ...]:
    standing = judgement.situation.standing
    axles = {fitting.wheelset: fitting.axle for fitting in car.fittings if fitting.last is None}
    carried = {spare.serial for spare in car.spares if spare.carried > 0}
    found: list[Wheelset] = []
    for serial in (*sorted(axles, key=lambda one: axles[one]), *sorted(spare_wheelsets(standing))):
        if serial in {one.serial for one in found}:
            continue
        where: Where = "fitted" if serial in axles else "carried" if serial in carried else "on the shelf"
        miles, why_not = _miles(judgement, serial)
        found.append(Wheelset(serial, where, axles.get(serial), miles, why_not))
    return tuple(found)


def _miles(judgement: Judgement, serial: str) -> tuple[Fraction | None, str]:
    """Miles until the first rim of a wheelset is at its limit, at its own wear rate; None, and why there is none."""
    least: Fraction | None = None
    for side in ("left", "right"):
        wheel = f"wheel {serial} {side}"
        limit = _rim_limit(judgement, wheel)
        if limit is None:
            return None, "no limit of the rim applies"
        found = rim_outlook(judgement.situation, wheel, limit)
        if isinstance(found, Missing):
            return None, f"{found.attribute.replace('_', ' ')} of {found.part} {found.reason}"
        least = found.left.miles if least is None else min(least, found.left.miles)
    return least, ""


def _rim_limit(judgement: Judgement, wheel: str) -> Fraction | None:
    """The greatest least rim that a refusing criterion asks of the wheel, inches."""
    limits = [
        value.quantity.amount
        for finding in judgement.findings
        if finding.part.key == wheel
        and finding.verdict != "not applicable"
        and finding.criterion.effect == "refuse"
        and isinstance(must := finding.criterion.must, Comparison)
        and must.path.attribute.name == "rim_thickness"
        and not must.path.owner
        and must.word in SIDES
        and isinstance(must.limit, Fixed)
        for value in must.limit.values
        if isinstance(value, Figure)
    ]
    return max(limits, default=None)


def counts_against(finding: Finding, strict: bool) -> bool:
    """Whether a finding excludes an arrangement: any unmet one, or (not strict) only what is known to be wrong."""
    return strict or finding.verdict in ("breached", "borderline")


def _holds(failing: Failing, strict: bool) -> bool:
    return not any(counts_against(finding, strict) for finding in failing)


def _best(
    levels: Levels, miles: dict[str, Fraction | None], use_miles: bool, *, strict: bool
) -> list[tuple[str, ...]]:  # fmt: skip
    """The arrangements that hold with the fewest moved and, of those, the most miles; in order of their serials."""
    usable = {
        axle: frozenset(s for s in levels.serials if _holds(levels.places[axle, s], strict)) for axle in levels.axles
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
        if not _holds(levels.in_truck(truck, way[place : place + number]), strict):
            return False
        place += number
    return _holds(levels.in_car(way), strict)


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


def _conflicts(levels: Levels) -> tuple[Conflict, ...]:
    """Why nothing holds, from the smallest place up: an axle, too few wheelsets for some axles, a truck, the car."""
    usable = {
        axle: frozenset(s for s in levels.serials if _holds(levels.places[axle, s], False)) for axle in levels.axles
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
        words = f"axle{'' if len(short) == 1 else 's'} {axles}: {len(left)} of {len(levels.serials)} wheelsets can stand there"
        return (Conflict(f"axle {axles}", tuple(sorted(against)), words + (f" ({', '.join(left)})" if left else "")),)
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
            if _holds(levels.in_truck(truck, way), False)
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


__all__ = ["MOST_SHOWN", "arrange", "counts_against", "smallest_cover"]
