"""The record as it could have been written on an earlier day: what is dated later left out."""

from datetime import date

from msgspec.structs import replace

from carknocker.record.model import CarRecord
from carknocker.record.standing import parts_on


def as_it_stood(car: CarRecord, day: date) -> CarRecord:
    """The car with nothing on record that is dated after the day; the car itself where nothing is."""
    later = (
        car.last_day > day
        or any(one.on > day for one in car.work)
        or any(one.out > day for one in car.moves_made)
        or any(one.first is not None and one.first > day for one in car.fittings)
    )
    if not later:
        return car
    fittings = tuple(
        replace(one, last=None, ended_with="") if one.last is not None and one.last > day else one
        for one in car.fittings
        if one.first is None or one.first <= day
    )
    return replace(
        car,
        parts=parts_on(car, day),
        fittings=fittings,
        evidence=tuple(one for one in car.evidence if one.on is None or one.on <= day),
        work=tuple(one for one in car.work if one.on <= day),
        moves_made=tuple(one for one in car.moves_made if one.out <= day),
        by_part={},
        last_day=date.min,
    )
