"""`place-wheels`: which wheelset at which axle, from those that are fitted, carried and on the shelf."""

from fractions import Fraction

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.figures import SIDES
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement
from carknocker.questions.place_wheels.model import Arranged, Arrangement, Place, Shortfall, Wheelset, Where
from carknocker.questions.place_wheels.search import Failing, Levels, conflicts_of, fewest_moved
from carknocker.record.model import CarRecord
from carknocker.record.part_keys import axle_position_key, wheel_key
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.vocabulary import load_vocabulary, work_to
from carknocker.vocabulary.program_names import RIM_THICKNESS
from carknocker.whatif.hypothetical_car import as_it_stood
from carknocker.whatif.work.model import Job
from carknocker.whatif.work.offers import spare_wheelsets
from carknocker.whatif.work.rows import lines_of, row_of
from carknocker.whatif.work.trial import Trials
from carknocker.wording.faults import fault_of_findings, faults_of
from carknocker.workings import Missing
from carknocker.workings.wear import rim_outlook


def after_change(
    check: CheckAnswer, car: CarRecord, levels: Levels, arrangement: Arrangement
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """What has to be read anew, what has to be tested, and what keeps the car from moving even then, in lines."""
    judged = check.judgement
    trials = Trials(car, judged.move, judged.rulebook, max(judged.move.out, check.day))
    fitted = set(levels.now.values())
    jobs = frozenset(
        Job(work_to("move a wheelset" if serial in fitted else "renew a wheelset"), (axle_position_key(axle),), serial)
        for axle, serial in zip(levels.axles, arrangement.serials, strict=True)
        if axle in arrangement.moved
    )
    before = {(one.evidence.part, one.evidence.attribute) for one in trials.trial(frozenset()).assumed}
    trial = trials.trial(jobs)
    rows = [
        row_of(one, trial.judgement)
        for one in trial.assumed
        if (one.evidence.part, one.evidence.attribute) not in before
    ]  # fmt: skip
    tests = tuple(f"{row.label}: {row.attribute.label}" for row in rows if row.attribute.type == "test")
    readings = tuple(map(str, lines_of(row for row in rows if row.attribute.type not in ("test", "paper"))))
    left = faults_of(trial.left, JudgementIndex(trial.judgement))
    return readings, tests, tuple(dict.fromkeys(one.text for one in left))


def usable_wheelsets(judgement: Judgement, car: CarRecord) -> tuple[Wheelset, ...]:
    """Every wheelset that is fitted, carried or on the shelf: the fitted ones by their axles, then the rest by name."""
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
        wheel = wheel_key(serial, side)
        limit = _rim_limit(judgement, wheel)
        if limit is None:
            return None, "no limit of the rim applies"
        found = rim_outlook(judgement.situation, wheel, limit)
        if isinstance(found, Missing):
            of = "" if found.part == wheel else f" of {found.part}"  # the wheelset is named beside it
            return None, f"{found.attribute.replace('_', ' ')}{of} {found.reason}"
        least = found.left.miles if least is None else min(least, found.left.miles)
    return least, ""


def _rim_limit(judgement: Judgement, wheel: str) -> Fraction | None:
    """The greatest least rim that a refusing criterion asks of the wheel, inches."""
    limits = [
        value.quantity.amount
        for finding in judgement.findings
        if finding.part.key == wheel
        and finding.verdict != "not applicable"
        and finding.effect == "refuse"
        and isinstance(must := finding.criterion.must, Comparison)
        and must.path.attribute.name == RIM_THICKNESS
        and not must.path.owner
        and must.word in SIDES
        and isinstance(must.limit, Fixed)
        for value in must.limit.values
        if isinstance(value, Figure)
    ]
    return max(limits, default=None)


MOST_SHOWN = 6


def place_wheels(check: CheckAnswer) -> Arranged:
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
        tuple(
            Place(axle, serial, _reasons(failing, levels.index_at(axle, serial)) if failing else ())
            for (axle, serial), failing in sorted(levels.places.items())
        ),
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
    return Arrangement(
        way, moved, min(told) if len(told) == len(known) else None, _reasons(tuple(failing), levels.index_of(way))
    )


def _reasons(failing: Failing, index: JudgementIndex) -> tuple[Shortfall, ...]:
    """index: of the car with these wheelsets."""
    return tuple(dict.fromkeys(_shortfall(one, index) for one in failing))


def _shortfall(finding: Finding, index: JudgementIndex) -> Shortfall:
    fault, label = fault_of_findings([finding], index), finding.part.label
    subject = fault.subject.removesuffix(f" of {label}")
    words = fault.words if fault.subject == label else f"{subject} {fault.words}"
    kind = load_vocabulary().kinds[finding.part.kind].label
    return Shortfall(label, kind, finding.criterion.id, finding.verdict, words)
