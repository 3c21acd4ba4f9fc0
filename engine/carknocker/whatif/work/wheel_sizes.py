"""Tape sizes of wheelsets whose size is still open: which ones meet the rules that compare wheels. All are taken as
read with the tape of the other wheels."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date
from itertools import product

from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.findings import judge_part
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.situation import PartValues, Situation
from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.part_keys import serial_of, wheel_key, wheelset_key
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import Fixed
from carknocker.vocabulary import work_to
from carknocker.vocabulary.program_names import (
    MEASURED_CIRCUMFERENCE,
    MEASURED_DIAMETER,
    TAPE_BASE,
    TAPE_ID,
    TAPE_SIZE,
    WHEEL,
)
from carknocker.whatif.hypothetical_car import NOWHERE
from carknocker.whatif.wheelset_fit import ACROSS
from carknocker.whatif.work.model import Job
from carknocker.whatif.work.offers import truck_of
from carknocker.whatif.work.record_after import new_serial

_OWN_SIZES = (TAPE_SIZE, TAPE_ID, TAPE_BASE, MEASURED_CIRCUMFERENCE, MEASURED_DIAMETER)
_WITH_IT = (TAPE_SIZE, TAPE_ID, TAPE_BASE)


def compares(one: CompiledCriterion, workings: Collection[str]) -> bool:
    """Whether a criterion uses one of these workings."""
    return any(found.path.attribute.derived in workings for found in comparisons_in(one.criterion.must))


def tape_size_of(view: PartValues) -> int | None:
    """The tape size in a view of a wheel."""
    held = view.get(TAPE_SIZE)
    return int(held.value.quantity.amount) if held is not None and isinstance(held.value, Figure) else None


def taped_wheels(situation: Situation, but_for: Collection[str] = ()) -> dict[str, PartValues]:
    """The views of the fitted wheels whose tape size is known."""
    parts = situation.standing.by_kind.get(WHEEL, ())
    views = {part.key: situation.values[part.key] for part in parts if part.fitted and part.key not in but_for}
    return {key: view for key, view in views.items() if tape_size_of(view) is not None}


def with_sizes(known: Situation, sizes: Mapping[str, int], donor: PartValues) -> Situation:
    """The situation with these tape sizes on these wheels. donor: view of the wheel whose tape the readings name."""
    situation = Situation(known.standing, known.move, known.excluded, known)
    for wheel, size in sizes.items():
        view = {name: held for name, held in situation.values[wheel].items() if name not in _OWN_SIZES}
        for name in _WITH_IT:
            held = donor.get(name)
            if held is not None and held.evidence is not None:
                value = Figure(Quantity.of("tapes", size)) if name == TAPE_SIZE else held.value
                view[name] = ObservedValue(value, replace(held.evidence, part=wheel, value=value))
        situation.values[wheel] = view
    return situation


def unmet_with(rules: Collection[CompiledCriterion], situation: Situation) -> list[Finding]:
    """The findings of these criteria on fitted parts that are unmet, without those that for want of a fact advise."""
    by_kind = situation.standing.by_kind
    findings = (
        judge_part(one, part, situation, lambda: None)
        for one in rules
        for part in by_kind.get(one.criterion.of, ())
        if part.fitted
    )
    return [finding for finding in findings if finding.unmet and finding.effect == finding.criterion.effect]


_MOST = 400
Sizes = Mapping[str, int]


def new_sizes(start: Judgement, after: Judgement, jobs: Iterable[Job], day: date) -> list[Evidence]:
    """Readings of the sizes of the wheelsets whose size is open. start: the car before the work; after: the car after
    it, with those wheels not yet taped. Empty if no refusing rule compares wheels, or no other wheel is taped."""
    rules = [
        one for one in prepare(after.rulebook).criteria if one.criterion.effect == "refuse" and compares(one, ACROSS)
    ]
    most = _open(start, after, jobs)
    if not rules or not most:
        return []
    taped = taped_wheels(after.situation, {wheel for serial in most for wheel in _wheels(serial)})
    if not taped:
        return []
    donor = next(iter(taped.values()))
    found = _sizes(after.situation, rules, most, taped, donor)
    return [one for wheel, size in found.items() for one in _readings(wheel, size, donor, day)]


def _open(start: Judgement, after: Judgement, jobs: Iterable[Job]) -> dict[str, int | None]:
    """The wheelsets whose size is open, each with the largest size it may have: a cut makes no wheel larger."""
    most: dict[str, int | None] = {}
    turned = work_to("turn wheels")
    for job in sorted(jobs):
        if job.bought:
            most[new_serial(job)] = None
        elif job.work == turned and any(tape_size_of(after.situation.values[wheel]) is None for wheel in job.at):
            sizes = [tape_size_of(start.situation.values[wheel]) for wheel in job.at]
            serial = serial_of(job.at[0])
            if serial is not None and None not in sizes:
                most[serial] = min(size for size in sizes if size is not None)
    return most


def _wheels(serial: str) -> tuple[str, str]:
    return wheel_key(serial, "left"), wheel_key(serial, "right")


def _sizes(
    situation: Situation,
    rules: list[CompiledCriterion],
    most: Mapping[str, int | None],
    taped: Mapping[str, PartValues],
    donor: PartValues,
) -> Sizes:
    """The sizes, chosen truck by truck, since most rules compare the wheels of one truck; then one size for all, if the
    car still breaks a rule."""
    standing = situation.standing
    chosen: dict[str, int] = {}
    by_truck: dict[str, list[str]] = {}
    for serial in most:
        by_truck.setdefault(truck_of(wheelset_key(serial), standing) or "", []).append(serial)
    for truck, own in by_truck.items():
        near = {key: view for key, view in taped.items() if truck in standing.containers(key)} or taped
        ways = (_of_wheels(own, way, most) for way in _assignments(_candidates(near, rules), len(own)))
        chosen.update(_least_broken(situation, rules, ways, donor, chosen))
    together = (_of_wheels(most, (size,) * len(most), most) for size in _candidates(taped, rules))
    return _least_broken(situation, rules, (chosen, *together), donor, {})


def _of_wheels(serials: Iterable[str], sizes: Iterable[int], most: Mapping[str, int | None]) -> dict[str, int]:
    """One size on both wheels of each wheelset, none larger than it may be."""
    found: dict[str, int] = {}
    for serial, size in zip(serials, sizes, strict=True):
        greatest = most[serial]
        found.update(dict.fromkeys(_wheels(serial), size if greatest is None else min(size, greatest)))
    return found


def _least_broken(
    situation: Situation, rules: list[CompiledCriterion], ways: Iterable[Sizes], donor: PartValues, fixed: Sizes
) -> Sizes:  # fmt: skip
    """The first way that breaks no rule, else the first that breaks the fewest."""
    best: Sizes = {}
    least: int | None = None
    for number, way in enumerate(ways):
        broken = sum(
            one.verdict == "breached" for one in unmet_with(rules, with_sizes(situation, {**fixed, **way}, donor))
        )
        if least is None or broken < least:
            best, least = way, broken
        if not broken or number >= _MOST:
            break
    return best


def _assignments(sizes: list[int], number: int) -> Iterator[tuple[int, ...]]:
    """One size for all first, then a size for each."""
    yield from ((size,) * number for size in sizes)
    yield from (way for way in product(sizes, repeat=number) if len(set(way)) > 1)


def _candidates(taped: Mapping[str, PartValues], rules: list[CompiledCriterion]) -> list[int]:
    """The sizes of the wheels that stay, then those that the limits allow beside them, from the middle out."""
    there = sorted({size for view in taped.values() if (size := tape_size_of(view)) is not None})
    middle = there[len(there) // 2]
    limits = {
        int(value.quantity.amount)
        for one in rules
        for comparison in comparisons_in(one.criterion.must)
        if isinstance(comparison.limit, Fixed)
        for value in comparison.limit.values
        if isinstance(value, Figure) and value.quantity.dimension == "tapes"
    }
    further = {size + sign * limit for size in there for limit in limits for sign in (-1, 1)} - set(there)
    nearest = sorted(there, key=lambda size: (abs(size - middle), size))
    return [*nearest, *sorted((one for one in further if one >= 0), key=lambda size: (abs(size - middle), size))]


def _readings(wheel: str, size: int, donor: PartValues, day: date) -> Iterator[Evidence]:
    """The size as readings, with the tape of the donor wheel."""
    for name in (TAPE_SIZE, TAPE_ID, TAPE_BASE):
        held = donor.get(name)
        if held is None or held.evidence is None:
            continue
        value = Figure(Quantity.of("tapes", size)) if name == TAPE_SIZE else held.value
        gauge = None if held.evidence.gauge is None else held.evidence.gauge.always_in_date()
        yield Evidence(
            f"planned {wheel} {name}", name, wheel, wheel, value, held.evidence.sort, day, NOWHERE, gauge=gauge
        )
