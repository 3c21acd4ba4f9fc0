"""What work does to a record: the log entry, which wheelset is where, and the figures that follow from a cut."""

from collections.abc import Container, Iterable
from datetime import date
from fractions import Fraction
from math import floor

from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.model import Judgement
from carknocker.judgement.situation import Situation
from carknocker.quantities import Quantity
from carknocker.record.model import CarRecord, Evidence, Work
from carknocker.record.part_keys import wheelset_parts
from carknocker.record.values import Figure, Value, Word, Words
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import (
    ACTS_ON,
    AXLE_POSITION,
    HAND_BRAKE,
    RIM_THICKNESS,
    TAPE_ID,
    TAPE_SIZE,
    TURNING_ALLOWANCE,
)
from carknocker.whatif.hypothetical_car import NOWHERE, fitted_now, with_wheelsets, with_work
from carknocker.whatif.work.model import Job
from carknocker.workings.enclosure import PI
from carknocker.workings.inputs import Input, figure, figures

_LIKE = ("one of", "yes or no", "list of", "length")
_SHOP_FACTS = ("on_shop_track", "jacked")
_FINEST = 64  # calculated rims are rounded down to this part of an inch


def new_serial(job: Job) -> str:
    """The name of a wheelset to be bought, until it has a serial."""
    return f"new for axle {job.at[0].rsplit(' ', 1)[-1]}" if job.bought else job.serial


def after_work(
    car: CarRecord, judgement: Judgement, jobs: Iterable[Job], day: date
) -> tuple[CarRecord, tuple[Evidence, ...]]:
    """The car after the jobs, with the figures that follow from a cut, worked out from its readings. Wheelsets are
    fitted after all other work; a lifted car is jacked up on a shop track."""
    ordered = sorted(jobs, key=lambda job: (bool(job.serial), job))
    known = load_vocabulary().work
    entries: list[Work] = []
    ids: list[str] = []
    at: dict[int, str] = {}
    names: dict[int, str] = {}
    readings: list[Evidence] = []
    there = fitted_now(car)
    for number, job in enumerate(ordered, start=1):
        name = f"plan-{number}"
        facts: dict[str, Value] = {fact: Word("yes") for fact in _SHOP_FACTS if fact in known[job.work].facts}
        axle: int | None = None
        off = ""
        if known[job.work].does == "roll a truck out":
            facts.update(_hand_brake(judgement, job.at[0]))
        if job.serial:
            axle = int(judgement.parts[job.at[0]].position)
            off = there.get(axle, "")
            at[axle], names[axle] = new_serial(job), name
        entries.append(
            Work(
                name,
                False,
                job.work,
                day,
                job.at,
                NOWHERE,
                after=frozenset(ids),
                facts=facts,
                axle=axle,
                off=off,
                fitted="" if axle is None else at[axle],
            )  # fmt: skip
        )
        ids.append(name)
        if known[job.work].does == "turn wheels":
            readings.extend(_after_turning(judgement.situation, job, day))
    after = frozenset(ids)
    changed = with_work(with_wheelsets(car, at, day, names), entries)
    return changed, tuple(replace(one, after=after) for one in readings)


def _hand_brake(judgement: Judgement, truck: str) -> dict[str, Value]:
    """Whether the hand brake acts on the truck, if the record says on which axles it acts."""
    standing = judgement.situation.standing
    axles = {one.position for one in standing.by_kind.get(AXLE_POSITION, ()) if one.container == truck}
    told = [
        held.value
        for part in standing.by_kind.get(HAND_BRAKE, ())
        if (held := judgement.situation.values_of(part.key).get(ACTS_ON)) is not None
    ]
    acts_on = {text for value in told if isinstance(value, Words) for text in value.texts}
    return {"hand_brake_on_this_truck": Word("yes" if axles & acts_on else "no")} if told else {}


def _after_turning(situation: Situation, job: Job, day: date) -> list[Evidence]:
    """Rims and tape sizes after turning. The deeper cut governs both wheels of the axle; if both sizes are known, both
    wheels are turned to the smaller. Rims are rounded down; tape sizes go down by whole tapes."""
    wheels = job.at
    cuts = figures(situation, *((wheel, TURNING_ALLOWANCE) for wheel in wheels))
    if not isinstance(cuts, list):
        return []
    cut = max(one.amount for one in cuts)
    found = [_reading(wheel, TURNING_ALLOWANCE, Quantity.of("length", 0, "in"), day, None) for wheel in wheels]
    sizes = figures(situation, *((wheel, TAPE_SIZE) for wheel in wheels))
    deeper = dict.fromkeys(wheels, cut)
    if isinstance(sizes, list):
        smallest = min(one.amount for one in sizes)
        left = Quantity.of("tapes", max(floor(smallest - 16 * PI.high * cut), 0))
        for wheel, size in zip(wheels, sizes, strict=True):
            deeper[wheel] = cut + (size.amount - smallest) / (16 * PI.low)
            found.append(_reading(wheel, TAPE_SIZE, left, day, size))
            tape = situation.newest(wheel, TAPE_ID)
            if tape is not None and tape.on == size.evidence.on:
                found.append(_evidence(wheel, TAPE_ID, tape.value, day, None))
    for wheel in wheels:
        rim = figure(situation, wheel, RIM_THICKNESS)
        if isinstance(rim, Input):
            thick = Fraction(floor(max(rim.amount - deeper[wheel], Fraction(0)) * _FINEST), _FINEST)
            found.append(_reading(wheel, RIM_THICKNESS, Quantity.of("length", thick, "in"), day, None))
    return found


def _reading(wheel: str, attribute: str, quantity: Quantity, day: date, like: Input | None) -> Evidence:
    """A figure that follows from the cut. like: the earlier tape size, read with the same tape."""
    return _evidence(wheel, attribute, Figure(quantity), day, like)


def _evidence(key: str, attribute: str, value: Value, day: date, like: Input | None) -> Evidence:
    gauge = None if like is None or like.evidence.gauge is None else like.evidence.gauge.always_in_date()
    name = f"planned {key} {attribute}"
    return Evidence(name, attribute, key, key, value, "reading", day, NOWHERE, gauge=gauge)


_OF_BUILD = frozenset({"diameter to fit", "journal centers off"})
"""Workings that tell whether a part is built for its place."""


def looks_at_descriptions(criterion: Criterion) -> bool:
    """Whether a criterion is about how the part is built, not about its wear."""
    attributes = [one.path.attribute for one in comparisons_in(criterion.must)]
    return any(one.description or one.derived in _OF_BUILD for one in attributes)


def like_the_replaced(judgement: Judgement, job: Job, refused: Container[str], day: date) -> list[Evidence]:
    """The assumed description of a wheelset to be bought: built like the one it replaces, part by part. Left out are
    parts whose build is refused. Dates and marks are not copied."""
    kinds = load_vocabulary().kinds
    axle = int(judgement.parts[job.at[0]].position)
    off = fitted_now(judgement.car).get(axle, "")
    found: list[Evidence] = []
    for part in wheelset_parts(off, None, False, NOWHERE):
        if part.key in refused:
            continue
        new = part.key.replace(off, new_serial(job), 1)
        for name, entries in judgement.situation.standing.evidence.get(part.key, {}).items():
            attribute = kinds[part.kind].attributes[name]
            if attribute.description and attribute.type in _LIKE:
                one = entries[-1]
                found.append(replace(one, id=f"planned {new} {name}", part=new, place=new, where=NOWHERE))
    return found
