"""`arrange`: which wheelset at which axle, from those that are fitted, carried and on the shelf."""

from fractions import Fraction

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Finding
from carknocker.questions.arrange.after import after_change
from carknocker.questions.arrange.conflicts import conflicts_of
from carknocker.questions.arrange.levels import Failing, Levels
from carknocker.questions.arrange.model import Arranged, Arrangement, Place
from carknocker.questions.arrange.search import fewest_moved
from carknocker.questions.arrange.wheelsets import usable_wheelsets
from carknocker.questions.as_it_stood import as_it_stood

MOST_SHOWN = 6


def arrange(check: CheckAnswer) -> Arranged:
    """The arrangement in which every refusing criterion about wheelsets holds, with the fewest wheelsets moved, then
    the most miles to the first limit. Where none is wholly shown, those that only lack readings count. Raises
    CannotJudge if the changed car can't be judged."""
    judgement = check.judgement
    car = as_it_stood(judgement.car, check.day)
    wheelsets = usable_wheelsets(judgement, car)
    levels = Levels(judgement, car, tuple(one.serial for one in wheelsets))
    miles = {one.serial: one.miles for one in wheelsets}
    strict = True
    ways = fewest_moved(levels, strict=True)
    if not ways and levels.lacks_readings:
        strict = False
        ways = fewest_moved(levels, strict=False)
    best, unknown = _most_miles(ways, miles)
    arrangements = [_arrangement(levels, way, miles) for way in best[: MOST_SHOWN + 1]]
    first = arrangements[0] if arrangements else None
    void, tests, still = after_change(check, car, levels, first) if first is not None and first.moved else ((), (), ())
    notes: list[str] = []
    if len(ways) > 1 and unknown:
        notes.append(f"The miles to the first limit did not decide: no wear rate is known of {', '.join(unknown)}.")
    if check.other is not None:
        notes.append("Only the stricter of the two rulebooks was asked.")
    return Arranged(
        check, tuple((axle, car.axle_trucks[axle]) for axle in levels.axles), wheelsets,
        tuple(Place(axle, serial, _reasons(failing)) for (axle, serial), failing in sorted(levels.places.items())),
        first, tuple(arrangements[1:]), max(len(best) - 1 - MOST_SHOWN, 0), strict, len(ways) > len(best),
        () if first is not None else conflicts_of(levels), void, tests, still, tuple(notes), levels.tested,
    )  # fmt: skip


def _most_miles(
    ways: list[tuple[str, ...]], miles: dict[str, Fraction | None]
) -> tuple[list[tuple[str, ...]], tuple[str, ...]]:
    """Those with the most miles to the first limit, and the wheelsets whose unknown rate keeps miles from deciding. A
    wheelset that all of them use hides nothing: whatever its miles, they shorten each alike."""
    every = frozenset[str]().union(*ways)
    common = every.intersection(*ways)
    unknown = tuple(sorted(serial for serial in every - common if miles[serial] is None))
    if unknown or len(ways) < 2:
        return ways, unknown
    least = [min((one for serial in way if (one := miles[serial]) is not None), default=Fraction(0)) for way in ways]
    return [way for way, one in zip(ways, least, strict=True) if one == max(least)], ()


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
