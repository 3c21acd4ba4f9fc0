"""`lift`: the sheet for lifting one end of a car. Nothing is computed while a weight or a rating is missing."""

from datetime import date
from typing import Literal

import msgspec
from msgspec.structs import replace

from carknocker.documents import InputRefused, Location, Problem
from carknocker.judgement.record_readings import RecordReadings
from carknocker.questions.lift.standing_end import Holding, holding_of
from carknocker.questions.lift.weight_checks import WeightCheck, heavier_on, weight_checks
from carknocker.record.model import CarRecord, Evidence, Work
from carknocker.record.part_keys import truck_key
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import (
    COUPLER,
    FAR_END_LOWEST_THING,
    GROSS_WEIGHT,
    GROSS_WEIGHT_ESTIMATED,
    LIFTING_POINT_RATING,
    LIFTING_POINTS_RATED_BY,
    LOWEST_PART_OUTBOARD_OF_TRUCK,
    TRUCK_WEIGHT,
)
from carknocker.workings import Missing, OutOfRange
from carknocker.workings.inputs import word
from carknocker.workings.lift_sheet import LiftPlan, LiftRefused, LiftRequest, LiftSheet, lift_request, lift_sheet

End = Literal["A", "B"]


class LaterWork(msgspec.Struct, frozen=True):
    """Work or an event after a weighing. at: labels of its parts; weights: those read before it."""

    entry: Work
    at: tuple[str, ...]
    weights: tuple[Evidence, ...]

    @property
    def weighed(self) -> tuple[tuple[str, str], ...]:
        """The (part, attribute) pair of each of these weights."""
        return tuple((one.part, one.attribute) for one in self.weights)


class LiftAnswer(msgspec.Struct, frozen=True):
    """A sheet with the data it was made from.

    weights: the evidence of each weight, newest on the day. since: work and events after a weighing. No rules are read
    for a lift, so a person must say whether the weight still holds. outboard_thing, far_end_thing: the lowest parts,
    empty if not on record. estimated: the gross weight is on record as an estimate. checks: the weights against each
    other. holding: what may hold the end that stands.
    """

    car: CarRecord
    day: date
    end: End
    plan: LiftPlan
    plan_file: str
    request: LiftRequest
    sheet: LiftSheet
    weights: tuple[Evidence, ...]
    since: tuple[LaterWork, ...]
    checks: tuple[WeightCheck, ...]
    holding: Holding
    outboard_thing: str = ""
    far_end_thing: str = ""
    estimated: bool = False

    @property
    def halves_equal(self) -> bool:
        """Whether neither truck was weighed by itself, so that the body's weight is taken as halved between the
        ends."""
        return self.request.weights.on_near is None


def lift(car: CarRecord, end: End, plan: LiftPlan, plan_file: str, day: date) -> LiftAnswer:
    """The sheet of a lift. Raises InputRefused with everything that is missing, each with where to record it; also for
    figures with which no lift is possible, and weights that contradict each other."""
    readings = RecordReadings(car, day)
    checks = weight_checks(readings)
    _refuse_contradictions(checks, car)
    try:
        request = lift_request(readings, end, plan)
        heavier = heavier_on(readings, end)
        if isinstance(request, LiftRequest) and heavier is not None:
            request = replace(request, weights=replace(request.weights, on_near=heavier))
        sheet = request if isinstance(request, LiftRefused) else lift_sheet(request)
    except OutOfRange as error:
        where = Location(plan_file or car.file, 1, 1)
        raise InputRefused(
            (Problem(where, f"the figures make no lift: {error}", "weights, lengths, ratings"),)
        ) from None
    if isinstance(sheet, LiftRefused) or isinstance(request, LiftRefused):
        missing = sheet.missing if isinstance(sheet, LiftRefused) else ()
        raise InputRefused(tuple(_problem(one, car, readings) for one in missing))
    weighed = [("car", GROSS_WEIGHT), *((truck_key(one), TRUCK_WEIGHT) for one in "BA")]
    weighed.append(("car", f"weight_on_truck_{end}"))
    taken = tuple(found for part, name in weighed if (found := readings.newest(part, name)) is not None)
    outboard, far_end, estimated = (_word(readings, name) for name in _WORDS)
    since = _since(readings, taken)
    return LiftAnswer(
        car, day, end, plan, plan_file, request, sheet, taken, since, checks, holding_of(readings, end), outboard,
        far_end, estimated == "yes",
    )  # fmt: skip


def _refuse_contradictions(checks: tuple[WeightCheck, ...], car: CarRecord) -> None:
    found = tuple(
        Problem(
            Location(car.file, 1, 1),
            f"the weights contradict each other: {one.words}; nothing is computed by them",
            remedy="look at the scale tickets, or weigh again",
        )
        for one in checks
        if one.verdict == "contradict"
    )
    if found:
        raise InputRefused(found)


_WORDS = (LOWEST_PART_OUTBOARD_OF_TRUCK, FAR_END_LOWEST_THING, GROSS_WEIGHT_ESTIMATED)


def _word(readings: RecordReadings, attribute: str) -> str:
    found = word(readings, "car", attribute)
    return "" if isinstance(found, Missing) else found[0]


def _since(readings: RecordReadings, weighed: tuple[Evidence, ...]) -> tuple[LaterWork, ...]:
    """Work and events after a weighing. On the same day, a reading counts as taken before the work unless it says that
    it was taken after it."""
    parts = readings.standing.parts
    found: list[LaterWork] = []
    for entry in readings.standing.work:
        before = tuple(
            one
            for one in weighed
            if one.on is not None and (one.on < entry.on or (one.on == entry.on and entry.id not in one.after))
        )
        if before:
            at = tuple(parts[key].label for key in entry.at if key in parts)
            found.append(LaterWork(entry, at, before))
    return tuple(found)


def _problem(missing: Missing, car: CarRecord, readings: RecordReadings) -> Problem:
    """A missing figure in plain words, with where to record it."""
    where = Location(car.file, 1, 1)
    if missing.part == COUPLER:
        unrated = missing.attribute == LIFTING_POINT_RATING
        lacking = "no rating of the coupler" if unrated else "nobody who rates the coupler"
        remedy = "give both, `--coupler-rating` and `--coupler-by`, or `coupler: {rating: …, by: …}` in the plan"
        return Problem(where, f"{lacking} for this lift; nothing is computed without it", remedy=remedy)
    part = readings.standing.parts.get(missing.part)
    attribute = None if part is None else load_vocabulary().attribute(part.kind, missing.attribute)
    if part is None or attribute is None:
        words = missing.attribute.replace("_", " ")
        return Problem(where, f"{words}: {missing.reason}; nothing is computed without it", remedy=_GEAR)
    named = attribute.label if part.key == "car" else f"{part.label}: {attribute.label}"
    section = load_vocabulary().kinds[part.kind].section
    at = (
        f"{section}: {{{part.position}: {{{attribute.name}: …}}}}"
        if part.position
        else f"{section}: {{{attribute.name}: …}}"
    )
    remedy = f"record it as `{at}`" if attribute.description else f"put it on a dated sheet as `{at}`"
    if attribute.name.startswith("weight_on_truck"):
        remedy += ", or say `halves_equal: yes` in the plan"
    if attribute.name in (LIFTING_POINT_RATING, LIFTING_POINTS_RATED_BY):
        remedy += ": a competent person gives it"
    reason = "" if missing.never_read else f" ({missing.reason})"
    return Problem(where, f"no {named}{reason}; nothing is computed without it", remedy=remedy)


_GEAR = "give its rating in the plan (`crane: {rating: …}`, `sling: {rating: …}`) or under `lifting_gear` in the record"
