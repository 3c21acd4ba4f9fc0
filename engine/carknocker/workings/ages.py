"""Ages and the dates of a move."""

from carknocker.quantities import Period
from carknocker.record.model import Part
from carknocker.record.values import Day, Interval
from carknocker.workings.model import Missing, Readings, Worked


def car_age(readings: Readings, part: Part) -> Worked | Missing:
    """The day a car was built: its age on a day is the time since then. Missing where `built_on` is not recorded."""
    evidence = readings.newest("car", "built_on")
    if evidence is None or not isinstance(evidence.value, Day):
        return Missing("car", "built_on", "not recorded")
    return Worked(evidence.value, f"age = day of the move - day built ({evidence.value.written})", (evidence,))


def truck_age(readings: Readings, part: Part) -> Worked | Missing:
    """The day a truck was built: truck age is not car age. Missing where the truck's `built_on` is not recorded."""
    evidence = readings.newest(part.key, "built_on")
    if evidence is None or not isinstance(evidence.value, Day):
        return Missing(part.key, "built_on", "not recorded")
    return Worked(evidence.value, f"age = day of the move - day built ({evidence.value.written})", (evidence,))


def move_days(readings: Readings, part: Part) -> Worked | Missing:
    """Days from departure to return, both included."""
    move = readings.standing.move
    if move is None:
        return Missing("move", "out", "no move is given")
    days = (move.back - move.out).days + 1
    return Worked(Interval(Period(days)), f"days = {move.back} - {move.out} + 1 = {days:,} days")


def move_notice(readings: Readings, part: Part) -> Worked | Missing:
    """Days from the request to departure."""
    requested = readings.newest("move", "requested_on")
    move = readings.standing.move
    if move is None or requested is None or not isinstance(requested.value, Day):
        return Missing("move", "requested_on", "not recorded")
    days = (move.out - requested.value.last).days
    line = f"notice = {move.out} - {requested.value.written} = {days:,} days"
    return Worked(Interval(Period(days)), line, (requested,))
