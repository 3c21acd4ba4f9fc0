"""What was found bad before the log of work begins, so that no job which put it right can be on record; or on a part
that is no longer there."""

from datetime import date

from carknocker.judgement.situation import Situation
from carknocker.quantities.period import Period
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Day
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.workings.age_and_miles import log_is_complete_since

_A_YEAR = Period(months=12)
"""Common practice: what was found last month is not forgotten because the log is complete only since then."""


class LongAgo:
    """Asked of one situation."""

    def __init__(self, situation: Situation) -> None:
        self._situation = situation

    def answered(self, part: Part, earlier: Evidence, later: Evidence) -> bool:
        """Whether a good reading or a passed test needs no job between itself and a bad one of long ago."""
        return self.of_another_part(part, earlier) or self.before_the_log(part, earlier, later)

    def of_another_part(self, part: Part, earlier: Evidence) -> bool:
        """Whether the part has a mark that is newer than what was found."""
        for one in load_vocabulary().marked.get(part.kind, ()):
            key = self._situation.owner(part.key, one.kind)
            mark = None if key is None else self._situation.newest(key, one.attribute)
            if mark is not None and isinstance(mark.value, Day) and earlier.on and mark.value.first > earlier.on:
                return True
        return False

    def before_the_log(self, part: Part, earlier: Evidence, later: Evidence) -> bool:
        """Whether it was found before the log of work is complete, over a year before the day, and found good since: of
        what a person found whom the host accepts, by such a person. Not where a job of between the finding and that
        day is on record: the one that put it right would be, too. Not of a wheelset, whose wheels and axle are marked.
        """
        situation, on, good = self._situation, earlier.on, later.on
        if on is None or good is None or self._situation.owner(part.key, WHEELSET) is not None:
            return False
        car, as_of = situation.standing.car, situation.standing.as_of
        if log_is_complete_since(car, on) or not log_is_complete_since(car, min(good, as_of)):
            return False
        if _A_YEAR.after(on) >= as_of or any(not job.event and self._between(on, job.on) for job in car.work):
            return False
        return situation.accepts(later.by, good) or not situation.accepts(earlier.by, on)

    def _between(self, found: date, job: date) -> bool:
        """Whether a job was done on or after the day of a finding and before the log is complete."""
        log = self._situation.standing.car.log
        return log is not None and found <= job < log.complete_since
