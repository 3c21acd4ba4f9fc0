"""The work on record between two readings or tests of a part, and whether it takes away what the earlier one tells."""

from datetime import date

from carknocker.judgement.mending import Mending
from carknocker.judgement.observed_value import text_of
from carknocker.judgement.situation import Situation
from carknocker.record.model import Evidence, Part, Work
from carknocker.record.part_keys import serial_of
from carknocker.vocabulary import does_of, load_vocabulary
from carknocker.vocabulary.model import Attribute


class WorkBetween:
    """Asked of one situation, by the rules that bind. Events are no work."""

    def __init__(self, situation: Situation, mending: Mending) -> None:
        self._standing = situation.standing
        self._mending = mending
        self._work: dict[str, list[Work]] | None = None

    def mends(self, part: Part, attribute: Attribute, earlier: Evidence, later: Evidence) -> bool:
        """Whether some job between the two takes away what the earlier one tells of the part."""
        was = text_of(earlier.value) or ""
        return any(
            between(job, earlier, later) and self._mending.mends(job.name, attribute, was) and self._is_about(job, part)
            for job in self._standing.work
            if not job.event
        )

    def _anything(self, part: Part, earlier: Evidence, later: Evidence) -> bool:
        """Whether any job that can have made a reading of the part better was done between the two."""
        return any(between(job, earlier, later) for job in self.jobs_on(part))

    def puts_right(self, part: Part, attribute: Attribute, earlier: Evidence, later: Evidence) -> bool:
        """Whether a job between the two can have made what the earlier one tells better: one that is named for it, or,
        where nobody names any, whatever was done to the part."""
        if self._mending.work_for(attribute):
            return self.mends(part, attribute, earlier, later)
        return self._anything(part, earlier, later)

    def jobs_for(self, attribute: Attribute, earlier: Evidence) -> tuple[str, ...]:
        """The jobs that take away what an earlier reading or test tells."""
        was = text_of(earlier.value) or ""
        named = self._mending.work_for(attribute).items()
        return tuple(job for job, words in named if not words or not was or was in words)

    def jobs_since(self, day: date, part: Part) -> list[Work]:
        """The jobs of later days that were done on a part, on what it is in, or on what stands beside it."""
        return [job for job in self._standing.work if not job.event and job.on > day and self._is_about(job, part)]

    def _is_about(self, job: Work, part: Part) -> bool:
        """Whether a job that mends such damage was done on this part: on it, on what it is in, on what is in it, or on
        what stands beside it. Other trucks mend nothing but what is in them."""
        if _only_moves(job, part):
            return False
        if does_of(job.name) == "exchange trucks":
            containers = self._standing.containers(part.key)
            return any(place == part.key or place in containers for place in job.at)
        return any(part.key in self._standing.reach(place, part.kind) for place in job.at or ("car",))

    def jobs_on(self, part: Part) -> list[Work]:
        """The jobs that can have made a reading of a part better: on the part, on what it is in up to the car (of a
        thing only on the thing that it is in), and on what is in it; on the mate, since wheels are turned in pairs."""
        if self._work is None:
            self._work = _by_place(self._standing.work)
        standing, kinds = self._standing, load_vocabulary().kinds
        places, thing = [part.key], kinds[part.kind].thing
        for container in standing.containers(part.key):
            kind = kinds[standing.parts[container].kind]
            if not kind.inside or (thing and not kind.thing):
                break
            places.append(container)
            if kind.thing:
                places.extend(standing.inside_of(container, part.kind))
        for name in kinds:
            places.extend(standing.inside_of(part.key, name))
        found = (job for place in dict.fromkeys(places) for job in self._work.get(place, ()))
        return [job for job in found if not _only_moves(job, part)]


def _only_moves(job: Work, part: Part) -> bool:
    """Whether a job only brings a thing to another place, as a wheelset that is fitted or goes with its truck: what was
    found of the steel goes with it."""
    moves = bool(job.fitted or job.off) or does_of(job.name) == "exchange trucks"
    return moves and serial_of(part.key) is not None


def _by_place(work: tuple[Work, ...]) -> dict[str, list[Work]]:
    found: dict[str, list[Work]] = {}
    for job in work:
        if not job.event:
            for place in job.at:
                found.setdefault(place, []).append(job)
    return found


def between(job: Work, earlier: Evidence, later: Evidence) -> bool:
    """Whether a job was done after one reading and before the other. A reading of the day of a job was taken before it,
    unless it says otherwise."""
    if earlier.on is None or later.on is None:
        return False
    before = earlier.on < job.on or (earlier.on == job.on and job.id not in earlier.after)
    return before and (later.on > job.on or (later.on == job.on and job.id in later.after))
