"""Readings that can hardly be beside an earlier one of the same part: wear that got better and damage that went, both
without work."""

from collections.abc import Mapping
from fractions import Fraction
from functools import cache

import msgspec

from carknocker.judgement.figures import ends
from carknocker.judgement.observed_value import ObservedValue, text_of
from carknocker.judgement.oddities import GotBetter, Oddity
from carknocker.judgement.situation import Situation
from carknocker.record.model import Evidence, Part, Work
from carknocker.record.values import NotAccessible, Opinion
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute

_NO_DAMAGE = frozenset({"no", "sound", "worn"})
_NO_WORD = frozenset({"none fitted", "other"})


@cache
def _watched() -> Mapping[str, Mapping[str, Attribute]]:
    """Kind → its attributes that wear or tell damage."""
    return {
        kind.name: {name: one for name, one in kind.attributes.items() if one.wears or one.defect}
        for kind in load_vocabulary().kinds.values()
    }


class OddWear(msgspec.Struct, frozen=True):
    """What is odd about a reading beside an earlier one. name: of the doubt."""

    name: str
    earlier: Evidence
    odd: Oddity


class BesideEarlier:
    """Holds the readings of a situation against the earlier ones of their parts."""

    def __init__(self, situation: Situation) -> None:
        self._situation = situation
        self._work: dict[str, list[Work]] | None = None

    def odd(self, part: Part, later: Evidence) -> OddWear | None:
        """What is odd about a reading beside an earlier one of its attribute; None where nothing is."""
        attribute = _watched()[part.kind].get(later.attribute)
        if attribute is None:
            return None
        entries = self._situation.standing.evidence[part.key][later.attribute]
        if len(entries) < 2:
            return None
        jobs = self._jobs_on(part)
        for earlier in entries:
            if earlier is later:
                break
            if earlier.id in self._situation.excluded or earlier.value.__class__ is NotAccessible:
                continue
            if any(_between(job, earlier, later) for job in jobs):
                continue
            if _worn_back(attribute, earlier, later) if attribute.wears else _healed(earlier, later):
                name = "wear-only-goes-on" if attribute.wears else "damage-does-not-go"
                return OddWear(name, earlier, GotBetter(attribute, earlier, later))
        return None

    def _jobs_on(self, part: Part) -> list[Work]:
        """The jobs that can have made a reading of a part better: on the part, on what it is in up to the car (of a
        thing only on the thing that it is in), and on what is in it; on the mate, since wheels are turned in pairs."""
        if self._work is None:
            self._work = _by_place(self._situation.standing.work)
        standing, kinds = self._situation.standing, load_vocabulary().kinds
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
        return [job for place in dict.fromkeys(places) for job in self._work.get(place, ())]


def _by_place(work: tuple[Work, ...]) -> dict[str, list[Work]]:
    found: dict[str, list[Work]] = {}
    for job in work:
        if not job.event:
            for place in job.at:
                found.setdefault(place, []).append(job)
    return found


def _between(job: Work, earlier: Evidence, later: Evidence) -> bool:
    """Whether a job was done after one reading and before the other. A reading of the day of a job was taken before it,
    unless it says otherwise."""
    if earlier.on is None or later.on is None:
        return False
    before = earlier.on < job.on or (earlier.on == job.on and job.id not in earlier.after)
    return before and (later.on > job.on or (later.on == job.on and job.id in later.after))


def _worn_back(attribute: Attribute, earlier: Evidence, later: Evidence) -> bool:
    """Whether a figure got better by more than both gauges leave open."""
    first, last = ObservedValue(earlier.value, earlier), ObservedValue(later.value, later)
    (first_least, first_most), (last_least, last_most) = ends(first), ends(last)
    if attribute.wears == "down":
        at_least, at_most = last_least, first_most
    else:
        at_least, at_most = first_least, last_most
    if at_least is None or at_most is None:
        return False
    gained = Fraction(at_least[0], at_least[1])
    if attribute.wears == "up, runs off":
        gained /= 2
    gained -= Fraction(at_most[0], at_most[1])
    open_ = sum((one.uncertainty.amount for one in (earlier, later) if one.uncertainty is not None), Fraction(0))
    return gained > open_


def _healed(earlier: Evidence, later: Evidence) -> bool:
    """Whether damage went. What a named person found and said is no slip of the pen."""
    was, now = text_of(earlier.value), text_of(later.value)
    if was is None or now is None or isinstance(later.value, Opinion):
        return False
    return was not in _NO_DAMAGE and was not in _NO_WORD and now in _NO_DAMAGE
