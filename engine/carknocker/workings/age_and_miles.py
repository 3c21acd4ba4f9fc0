"""Ages, the dates of a move, and miles. A car has no odometer: a part's miles are those of the moves made while it was
under the car."""

from collections.abc import Sequence, Set
from datetime import date
from fractions import Fraction

from carknocker.quantities import Period, Quantity, write_quantity
from carknocker.record.model import CarRecord, Evidence, Part
from carknocker.record.values import Bound, Day, Figure, Interval
from carknocker.workings.inputs import SIDES, bearing_of, day, serial_of, wheel_of
from carknocker.workings.model import Missing, Readings, Worked


def car_age(readings: Readings, part: Part) -> Worked | Missing:
    """The day a car was built: its age on a day is the time since then. Missing where `built_on:` is not recorded."""
    evidence = readings.newest("car", "built_on")
    if evidence is None or not isinstance(evidence.value, Day):
        return Missing("car", "built_on", "not recorded")
    return Worked(evidence.value, f"age = day of the move - day built ({evidence.value.written})", (evidence,))


def truck_age(readings: Readings, part: Part) -> Worked | Missing:
    """The day a truck was built: truck age is not car age. Missing where the truck's `built_on:` is not recorded."""
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
    line = f"days = {move.back} - {move.out} + 1 = {days:,} {'day' if days == 1 else 'days'}"
    return Worked(Interval(Period(days)), line)


def move_notice(readings: Readings, part: Part) -> Worked | Missing:
    """Days from the request to departure."""
    requested = readings.newest("move", "requested_on")
    move = readings.standing.move
    if move is None or requested is None or not isinstance(requested.value, Day):
        return Missing("move", "requested_on", "not recorded")
    days = (move.out - requested.value.last).days
    line = f"notice = {move.out} - {requested.value.written} = {days:,} {'day' if days == 1 else 'days'}"
    return Worked(Interval(Period(days)), line, (requested,))


NOT_RECORDED = "not recorded"
Start = tuple[Day, tuple[Evidence, ...]]
"""A day from which miles are counted, and the evidence of it."""


def log_is_complete_since(car: CarRecord, since: date) -> bool:
    """Whether the record says that its log has every move made from that day on. Else the miles since then are only a
    lower bound: a move may be missing."""
    return car.log is not None and car.log.complete_since <= since


def miles_of_car_since(car: CarRecord, since: date, until: date) -> Fraction:
    """Miles of the moves made that ended after `since` and began by `until`. A move that was under way on `since`
    counts whole: no log says where on the road it was that day."""
    return sum((m.miles.amount for m in car.moves_made if m.back > since and m.out <= until), Fraction(0))


def miles_of_wheelset_since(car: CarRecord, serial: str, since: date, until: date) -> Fraction:
    """Miles of the moves made after `since` while the wheelset was fitted.

    The reader refuses a change of wheelset inside a move, so that each move lies wholly inside a fitting or outside.
    """
    fitted = car.fittings_of(serial)
    total = Fraction(0)
    for move in car.moves_made:
        if move.back <= since or move.out > until:
            continue
        if any(
            (fitting.first is None or fitting.first <= move.out) and (fitting.last is None or move.back <= fitting.last)
            for fitting in fitted
        ):
            total += move.miles.amount
    return total


def move_miles(readings: Readings, part: Part) -> Worked | Missing:
    """Miles of the whole move: the sum of its legs."""
    move = readings.standing.move
    if move is None or not move.legs:
        return Missing("move", "legs", "no legs are given")
    total = Quantity.of("distance", sum((leg.miles.amount for leg in move.legs), Fraction(0)), "miles")
    sums = " + ".join(write_quantity(leg.miles) for leg in move.legs)
    return Worked(Figure(total), f"miles = {sums} = {write_quantity(total)}")


def miles_since_mounted(readings: Readings, part: Part) -> Worked | Missing:
    """Miles of a wheelset since its wheels were mounted: attribute `mounted_on:`, or the log's “wheels renewed on the
    axle”, whichever is later."""
    start = latest_day(readings, [(part.key, "mounted_on")], {"wheels renewed on the axle"}, (part.key,))
    if start is None:
        return Missing(part.key, "mounted_on", NOT_RECORDED)
    return _miles_since(readings, serial_of(part.key), start, "wheels mounted")


def last_turning(readings: Readings, wheelset: str) -> Start | None:
    """When the wheels of a wheelset were last turned: attribute `last_turned_on`, or a logged `wheels turned`,
    whichever is later; None where neither is on record."""
    wheels = tuple(wheel_of(wheelset, side) for side in SIDES)
    return latest_day(readings, [(wheelset, "last_turned_on")], {"wheels turned"}, wheels)


def miles_since_turned(readings: Readings, part: Part) -> Worked | Missing:
    """Miles of a wheelset since its wheels were last turned. Wheels on one axle are turned together."""
    start = last_turning(readings, part.key)
    if start is None:
        return Missing(part.key, "last_turned_on", NOT_RECORDED)
    return _miles_since(readings, serial_of(part.key), start, "wheels turned")


_BEARING_WORK = {"bearing opened", "bearing renewed", "bearing reconditioned"}
_BEARING_DAYS = ("applied_on", "reconditioned_on", "last_opened_on")


def miles_since_bearing_work(readings: Readings, part: Part) -> Worked | Missing:
    """Miles of a wheelset since its bearings were applied, opened, renewed or reconditioned: of its two bearings, the
    one whose last work is longer ago."""
    starts = []
    for side in SIDES:
        bearing = bearing_of(part.key, side)
        days = [(part.key, "bearing_applied_on"), *((bearing, name) for name in _BEARING_DAYS)]
        start = latest_day(readings, days, _BEARING_WORK, (bearing,))
        if start is None:
            return Missing(bearing, "reconditioned_on", NOT_RECORDED)
        starts.append(start)
    oldest = min(starts, key=lambda start: start[0].first)
    return _miles_since(readings, serial_of(part.key), oldest, "bearing work")


def log_words(car: CarRecord) -> str:
    """Since when the log is complete, as a reason why miles are only a bound."""
    if car.log is None:
        return "since the record does not say from when on its log is complete"
    return f"since the log is complete only from {car.log.complete_since.isoformat()} on"


def latest_day(readings: Readings, days: Sequence[tuple[str, str]], work: Set[str], at: Sequence[str]) -> Start | None:
    """The latest of the days that the attributes (part, attribute) tell and of the logged work on those parts, with
    the evidence of it; None where nothing tells one."""
    found: list[Start] = []
    for part, attribute in days:
        told = day(readings, part, attribute)
        if told is not None:
            found.append((told[0], (told[1],)))
    for entry in readings.standing.work:
        if not entry.event and entry.name in work and not set(at).isdisjoint(entry.at):
            found.append((Day(entry.on, entry.on, entry.on.isoformat()), ()))
    return max(found, key=lambda start: start[0].last, default=None)


def _miles_since(readings: Readings, serial: str, start: Start, what: str) -> Worked:
    """Where only the month or the year of the start is known, the miles lie between those since its last day and
    those since its first day. Where the log is not complete from then on, they are at least the former."""
    span, used = start
    standing = readings.standing
    most = Quantity.of("distance", miles_of_wheelset_since(standing.car, serial, span.first, standing.as_of), "miles")
    least = Quantity.of("distance", miles_of_wheelset_since(standing.car, serial, span.last, standing.as_of), "miles")
    beginning = f"miles = moves made under the car since {what} on {span.written}"
    if not log_is_complete_since(standing.car, span.first):
        line = f"{beginning} = at least {write_quantity(least)}, {log_words(standing.car)}"
        return Worked(Bound(least, False, None, False), line, used)
    if most == least:
        return Worked(Figure(most), f"{beginning} = {write_quantity(most)}", used)
    line = f"{beginning} = between {write_quantity(least)} and {write_quantity(most)}"
    return Worked(Bound(least, False, most, False), line, used)
