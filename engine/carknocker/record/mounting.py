"""No wheelset was under the car before it was mounted: where one seems to have been, the log lacks the job."""

from collections.abc import Iterable, Mapping
from datetime import date

from carknocker.documents import Location
from carknocker.record.model import Evidence, Fitting, Work
from carknocker.record.notes import Notes
from carknocker.record.part_keys import wheelset_key
from carknocker.record.values import Day
from carknocker.vocabulary import work_to
from carknocker.vocabulary.program_names import MOUNTED_ON


def prove_mounted(
    fittings: Iterable[Fitting],
    met: Mapping[tuple[str, int, date], Location],
    descriptions: Iterable[Evidence],
    work: tuple[Work, ...],
    notes: Notes,
) -> None:
    """Notes what was said of a wheelset at its axle, and each job that fitted it, before the day it was mounted.

    met: wheelset, axle and day → where something is said of it. New wheels on the axle of a wheelset that was under the
    car before are no contradiction: it was off when it was mounted, or the log says that they were renewed.
    """
    mounted = {
        one.part.removeprefix("wheelset "): (one.value, one.where)
        for one in descriptions
        if one.attribute == MOUNTED_ON and one.on is None and isinstance(one.value, Day)
    }
    name = work_to("mount wheels")
    renewed = {
        serial: max((one.on for one in work if one.name == name and wheelset_key(serial) in one.at), default=None)
        for serial in mounted
    }
    jobs = {one.id: one.where for one in work if not one.event}
    for fitting in fittings:
        serial, axle = fitting.wheelset, fitting.axle
        day, written_at = mounted.get(serial, (None, None))
        if day is None or written_at is None or (fitting.last is not None and fitting.last <= day.last):
            continue
        last_renewed = renewed[serial]
        but = f"but it was mounted on {day.written} (line {written_at.line})"
        for (one, at, on), where in met.items():
            if (one, at) != (serial, axle) or not _within(on, fitting):
                continue
            if on < day.first and (last_renewed is None or last_renewed < on):
                notes.note(
                    where,
                    f"by the log wheelset {serial} was at axle {axle} on {on}, {but}",
                    f"a job that fitted {serial} at axle {axle}, of {day.written} or later",
                    remedy="write down the job that the log lacks, or correct the day, or `mounted_on`",
                )
        first, job = fitting.first, fitting.began_with
        if first is not None and first < day.first and (last_renewed is None or last_renewed < first):
            notes.note(
                jobs[job],
                f"{job} fitted wheelset {serial} on {first}, {but}",
                f"a day from {day.first} on",
                remedy=f"correct the day, or `mounted_on`; new wheels on its axle are a job: `{name}`",
            )


def _within(on: date, fitting: Fitting) -> bool:
    return (fitting.first is None or fitting.first <= on) and (fitting.last is None or on <= fitting.last)
