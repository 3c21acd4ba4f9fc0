"""How far an event or a permission excuses what was found: an event only what was found with it, on the wheelset and at
the place where it happened; a permission only what was there when it was signed."""

from datetime import date

from carknocker.judgement.facts import EventFact, Fact, LeaveFact, SeenFact
from carknocker.record.part_keys import serial_of
from carknocker.record.standing import Standing


def excuses(relief: Fact, cause: Fact, found_on: date | None, standing: Standing) -> bool:
    """Whether the cause of a relief reaches a cause of a consequence, or a finding. found_on: the day on which that was
    found.

    An event (wheels slid, with the hand brake left on) excuses what was found on its own day: a later reading may show
    damage that came later. Of a wheelset it excuses that wheelset alone. A host's written permission stops what began
    by the day on which he signed it. Any other relief has no day of its own.
    """
    if isinstance(relief, LeaveFact):
        leave = next((one for one in standing.car.leaves if one.id == relief.leave), None)
        signed = None if leave is None else leave.signed_on
        return found_on is None or (signed is not None and found_on <= signed)
    if not isinstance(relief, EventFact):
        return True
    if found_on != relief.since:
        return False
    serial = serial_of(relief.about)
    if serial is None:
        return True
    part = cause.part
    if isinstance(cause, SeenFact):
        part = standing.by_id((cause.evidence,))[0].part
    return serial_of(part) in (None, serial)
