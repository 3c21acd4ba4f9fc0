"""Which parts the car had on a day, and where the wheelsets were."""

from datetime import date

from carknocker.documents.node import Location
from carknocker.record.model import CarRecord, Fitting, Part
from carknocker.record.part_keys import axle_position_key, serial_of, wheelset_key, wheelset_parts


def was_fitted(fitting: Fitting, day: date, after: frozenset[str]) -> bool:
    """Whether a fitting holds for what was done on a day: work of the same day counts only if it was before."""
    if fitting.first is not None and (
        day < fitting.first or (day == fitting.first and fitting.began_with not in after)
    ):
        return False
    if fitting.last is None:
        return True
    return day < fitting.last or (day == fitting.last and fitting.ended_with not in after)


def parts_on(car: CarRecord, day: date) -> tuple[Part, ...]:
    """The parts on a day: as now, but with the wheelsets that were at the axles then."""
    now = {fitting.axle: fitting for fitting in car.fittings if fitting.last is None}
    then = {
        fitting.axle: fitting
        for fitting in car.fittings
        if (fitting.first is None or fitting.first <= day) and (fitting.last is None or fitting.last > day)
    }
    if now == then:
        return car.parts
    moved = {fitting.wheelset for fitting in (*now.values(), *then.values())}
    kept = [part for part in car.parts if serial_of(part.key) not in moved]
    for axle, fitting in sorted(then.items()):
        where = next((p.where for p in car.parts if p.key == axle_position_key(axle)), Location(car.file, 1, 1))
        kept.extend(wheelset_parts(fitting.wheelset, axle, fitting.end_for_end, where))
    known = {part.key for part in car.parts}
    fitted_then = {fitting.wheelset for fitting in then.values()}
    for serial in sorted(moved - fitted_then):
        if wheelset_key(serial) in known:
            where = next(p.where for p in car.parts if p.key == wheelset_key(serial))
            kept.extend(wheelset_parts(serial, None, False, where))
    return tuple(kept)
