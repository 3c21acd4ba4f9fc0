"""How far an event excuses what was found: only with it, on the wheelset and at the place where it happened."""

from datetime import date

from carknocker.judgement.facts import EventFact, Fact, SeenFact
from carknocker.record.part_keys import serial_of
from carknocker.record.standing import Standing


def excuses(relief: Fact, cause: Fact, found_on: date | None, standing: Standing) -> bool:
    """Whether the cause of a relief reaches a cause of a consequence, or a finding. found_on: the day on which that was
    found.

    An event (wheels slid, with the hand brake left on) excuses what was found on its own day: a later reading may show
    damage that came later. Of a wheelset it excuses that wheelset alone. Any other relief has no day of its own.
    """
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
