"""Readings that can hardly be beside an earlier one of the same part: wear that got better and damage that went, both
without work."""

from collections.abc import Iterator, Mapping
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
_MENDED_WITH_THEIR_WHEELSET = frozenset({"wheel", "axle"})
"""Kinds of part whose damage goes with any work on them or on their wheelset. Of every other part only work that makes
void what was read before takes damage away: grease in a bearing mends no truck frame."""


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
        jobs = self._jobs_on(part) if attribute.wears or part.kind in _MENDED_WITH_THEIR_WHEELSET else ()
        for earlier in entries:
            if earlier is later:
                break
            if earlier.id in self._situation.excluded or earlier.value.__class__ is NotAccessible:
                continue
            if any(_between(job, earlier, later) for job in jobs):
                continue
            if _worn_back(attribute, earlier, later) if attribute.wears else _healed(attribute, earlier, later):
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


def _healed(attribute: Attribute, earlier: Evidence, later: Evidence) -> bool:
    """Whether damage went. What a named person found and said is no slip of the pen."""
    return (
        not isinstance(later.value, Opinion) and _is_damage(attribute, earlier) and _is_sound(attribute, later)
    )  # fmt: skip


def _is_damage(attribute: Attribute, evidence: Evidence) -> bool:
    """Whether it says a word that the vocabulary knows as bad; where it knows none, any word but that of no damage."""
    word = text_of(evidence.value)
    if word is None:
        return False
    return word in attribute.bad if attribute.bad else word not in _NO_DAMAGE and word not in _NO_WORD


def _is_sound(attribute: Attribute, evidence: Evidence) -> bool:
    word = text_of(evidence.value)
    if word is None or word in _NO_WORD:
        return False
    return word not in attribute.bad if attribute.bad else word in _NO_DAMAGE


class CalledNone(msgspec.Struct, frozen=True):
    """Damage on record that a named person later found to be none. opinion: what he says of it."""

    part: Part
    earlier: Evidence
    later: Evidence
    opinion: Opinion


def damage_called_none(situation: Situation) -> Iterator[CalledNone]:
    """Where nothing but a person's opinion stands between damage and no damage, by part in walking order."""
    watched = _watched()
    for key, attributes in situation.standing.evidence.items():
        part = situation.standing.parts.get(key)
        if part is None:
            continue
        for name, attribute in watched[part.kind].items():
            held = situation.values[key].get(name) if attribute.defect else None
            later = None if held is None else held.evidence
            if later is None or not isinstance(later.value, Opinion) or not _is_sound(attribute, later):
                continue
            earlier = next((one for one in reversed(attributes[name]) if _is_damage(attribute, one)), None)
            if earlier is not None and earlier.id not in situation.excluded:
                yield CalledNone(part, earlier, later, later.value)
