"""Readings that can hardly be beside an earlier one of the same part: wear that got better, damage that went, a figure
that moved, all without work; a wheel that did not lose what was cut; wear too fast for the miles."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from functools import cache

import msgspec

from carknocker.judgement.figures import ends
from carknocker.judgement.long_ago import LongAgo
from carknocker.judgement.mending import NO_RULES, Mending
from carknocker.judgement.observed_value import ObservedValue, text_of
from carknocker.judgement.oddities import GotBetter, Moved, NotAsCut, Oddity, WornTooFast
from carknocker.judgement.part_view import view_of
from carknocker.judgement.set_aside import MadeVoidBy, SetAside
from carknocker.judgement.situation import Situation
from carknocker.judgement.work_between import WorkBetween, between
from carknocker.record.model import Evidence, Part, Work
from carknocker.record.part_keys import serial_of
from carknocker.record.value_reader import says_nothing
from carknocker.record.values import Figure, NotAccessible, Opinion, Word
from carknocker.vocabulary import does_of, load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import RIM_THICKNESS, TAPE_ID, TAPE_SIZE, WHEEL
from carknocker.workings.age_and_miles import log_is_complete_since, miles_of_wheelset_since
from carknocker.workings.enclosure import PI
from carknocker.workings.wheels import INCH_PER_TAPE

_YES = Word("yes")
_NO_DAMAGE = frozenset({"no", "sound", "worn"})
_NO_WORD = frozenset({"none fitted", "other"})


@cache
def _watched() -> Mapping[str, Mapping[str, Attribute]]:
    """Kind → its attributes that wear or tell damage."""
    return {
        kind.name: {
            name: one
            for name, one in kind.attributes.items()
            if one.wears or one.defect or (kind.name == WHEEL and name == TAPE_SIZE)
        }
        for kind in load_vocabulary().kinds.values()
    }


class OddWear(msgspec.Struct, frozen=True):
    """What is odd about a reading beside an earlier one. name: of the doubt."""

    name: str
    earlier: Evidence
    odd: Oddity


class BesideEarlier:
    """Holds the readings of a situation against the earlier ones of their parts."""

    def __init__(self, situation: Situation, mending: Mending) -> None:
        self._situation = situation
        self._mending = mending
        self.work = WorkBetween(situation, mending)
        self._long_ago = LongAgo(situation)

    def odd(self, part: Part, later: Evidence) -> OddWear | None:
        """What is odd about a reading beside an earlier one of its attribute; None where nothing is."""
        attribute = _watched()[part.kind].get(later.attribute)
        if attribute is None:
            return None
        entries = self._situation.standing.evidence[part.key][later.attribute]
        damage = attribute.defect and not attribute.wears
        if len(entries) < 2:
            return None
        jobs = () if damage else self.work.jobs_on(part)
        before = entries[: next(place for place, one in enumerate(entries) if one is later)]
        for number, earlier in enumerate(before, start=1):
            aside = self._situation.excluded.get(earlier.id)
            if earlier.value.__class__ is NotAccessible or not (aside is None or (damage and _is_void(aside))):
                continue
            if any(between(job, earlier, later) for job in jobs):
                continue
            found = self._healed(attribute, earlier, later) if damage else self._unworn(part, attribute, earlier, later)
            if found is None or self.work.mends(part, attribute, earlier, later):
                continue
            if self._long_ago.answered(part, earlier, later):
                continue
            if not (damage and any(self._calls_none(attribute, earlier, one) for one in (*before[number:], later))):
                return found
        return _not_as_cut(attribute, entries, later, jobs, self._situation)

    def _unworn(self, part: Part, attribute: Attribute, earlier: Evidence, later: Evidence) -> OddWear | None:
        """What is odd about two figures between which no work was done on the part, and nothing took the wear up."""
        found = _without_work(attribute, earlier, later)
        return None if found is None or self._taken_up(part, attribute) else found

    def _taken_up(self, part: Part, attribute: Attribute) -> bool:
        """Whether such wear is taken up by itself, as a slack adjuster takes up the travel of a piston."""
        if attribute.taken_up_by is None:
            return False
        kind, name = attribute.taken_up_by
        told = (self._situation.newest(key, name) for key in self._situation.standing.reach(part.key, kind))
        return any(one is not None and one.value == _YES for one in told)

    def _healed(self, attribute: Attribute, earlier: Evidence, later: Evidence) -> OddWear | None:
        """Damage that went, or that came down to what the rules allow; of what they allow nothing hangs on it."""
        if not _is_damage(attribute, earlier) or self._allows(attribute, earlier):
            return None
        if not self._is_good(attribute, later):
            return None
        jobs = self.work.jobs_for(attribute, earlier)
        return OddWear("damage-does-not-go", earlier, GotBetter(attribute, earlier, later, jobs))

    def _is_good(self, attribute: Attribute, evidence: Evidence) -> bool:
        return _is_sound(attribute, evidence) or (_is_damage(attribute, evidence) and self._allows(attribute, evidence))

    def _allows(self, attribute: Attribute, evidence: Evidence) -> bool:
        anywhere = view_of(self._situation, "car", self._situation.move.out)
        return self._mending.allows(attribute, evidence, anywhere)

    def _calls_none(self, attribute: Attribute, earlier: Evidence, later: Evidence) -> bool:
        """Whether a person says what the damage was that somebody found: of what a person found whom the host accepts,
        only such a person."""
        said = later.confirmed or (isinstance(later.value, Opinion) and not says_nothing(later.value.text))
        if not said or not self._is_good(attribute, later) or earlier.on is None or later.on is None:
            return False
        accepts = self._situation.accepts
        return accepts(later.by, later.on) or not accepts(earlier.by, earlier.on)


def _is_void(aside: SetAside) -> bool:
    return isinstance(aside, MadeVoidBy)


def _without_work(attribute: Attribute, earlier: Evidence, later: Evidence) -> OddWear | None:
    """What is odd about two readings between which no work was done."""
    if attribute.wears == "stays":
        moved = apart(earlier, later) > _MOVES_BY + left_open(earlier, later)
        return OddWear("moved-without-work", earlier, Moved(attribute, earlier, later)) if moved else None
    if attribute.wears and _worn_back(attribute, earlier, later):
        return OddWear("wear-only-goes-on", earlier, GotBetter(attribute, earlier, later))
    return None


_CUT = "cut"
"""The fact of a turning: how deep."""
_MOVES_BY = Fraction(1, 16)
"""Inches. Common practice: three places are read, and not quite the same ones again."""
_CUT_OFF_BY, _TAPES_OFF_BY = Fraction(1, 8), Fraction(4)
"""Inches of rim and tapes. Common practice: the cut that is written down is the deeper of the two wheels."""
_AT_THE_LATHE = timedelta(days=31)
"""A wheel read so near to its turning lost nothing else. Read longer before or after, it may have worn besides, by what
its miles wear off."""
_WORN_BY_MILES = Fraction(3, 8) / 10_000
"""Inches a mile. Common practice: more is worn off by no honest wheel."""
_WORN_AT_ALL = Fraction(1, 16)
_TAPES_OF_AN_INCH = 2 * PI.middle / INCH_PER_TAPE
"""Tape sizes that an inch of cut takes off."""


def _not_as_cut(
    attribute: Attribute, entries: tuple[Evidence, ...], later: Evidence, jobs: Sequence[Work], situation: Situation
) -> OddWear | None:
    """A rim or a tape size before and after a turning, where nothing else was done between, beside its cut."""
    if attribute.kind != WHEEL or attribute.name not in (RIM_THICKNESS, TAPE_SIZE):
        return None
    before = [
        one for one in entries[: entries.index(later)] if isinstance(one.value, Figure) and _known(one, situation)
    ]
    if not before or not isinstance(later.value, Figure) or later.on is None:
        return None
    earlier = before[-1]
    done = list({job.id: job for job in jobs if between(job, earlier, later)}.values())
    cut = done[0].facts.get(_CUT) if len(done) == 1 and does_of(done[0].name) == "turn wheels" else None
    if earlier.on is None or not isinstance(cut, Figure) or not isinstance(earlier.value, Figure):
        return None
    if attribute.name == TAPE_SIZE and not _of_one_tape(earlier, later, situation):
        return None
    (job,), by_tape = done, attribute.name == TAPE_SIZE
    lost = earlier.value.quantity.amount - later.value.quantity.amount
    wanted = cut.quantity.amount * (_TAPES_OF_AN_INCH if by_tape else 1)
    room = (_TAPES_OFF_BY if by_tape else _CUT_OFF_BY) + left_open(earlier, later)
    worn = _worn_beside(job, earlier, later, situation)
    most = None if worn is None else wanted + room + worn * (_TAPES_OF_AN_INCH if by_tape else 1)
    if lost < wanted - room or (most is not None and lost > most):
        return OddWear("turned-as-cut", earlier, NotAsCut(attribute, earlier, later, job, cut.quantity))
    return None


def _worn_beside(job: Work, earlier: Evidence, later: Evidence, situation: Situation) -> Fraction | None:
    """Inches that a wheel may have worn besides its turning, at most; None where nobody knows how far it ran."""
    if earlier.on is None or later.on is None:
        return None
    if job.on - earlier.on <= _AT_THE_LATHE and later.on - job.on <= _AT_THE_LATHE:
        return Fraction(0)
    miles = _milesbetween(situation.standing.parts[later.part], earlier.on, later.on, situation)
    return None if miles is None else _WORN_AT_ALL + _WORN_BY_MILES * miles


def _known(reading: Evidence, situation: Situation) -> bool:
    """Whether a reading stands, or stood until work made it void."""
    aside = situation.excluded.get(reading.id)
    return aside is None or _is_void(aside)


def _of_one_tape(earlier: Evidence, later: Evidence, situation: Situation) -> bool:
    """Whether two sizes were read with one tape: only such are compared."""
    told = situation.standing.evidence.get(later.part, {}).get(TAPE_ID, ())
    first, second = (next((one.value for one in told if one.on == size.on), None) for size in (earlier, later))
    return first is not None and first == second


def worn_too_fast(situation: Situation) -> Iterator[WornTooFast]:
    """The wheels that lost more between two readings than their miles wear off, as far as the log is complete. The
    newer reading is the worse one and counts; the older one is odd beside it, or work or miles are missing."""
    beside, standing = BesideEarlier(situation, NO_RULES), situation.standing
    for part in standing.by_kind.get(WHEEL, ()):
        for name, attribute in _watched()[WHEEL].items():
            held = situation.values_of(part.key).get(name) if attribute.wears == "down" else None
            later = None if held is None else held.evidence
            entries = standing.evidence.get(part.key, {}).get(name, ())
            older = (
                [] if later is None else [one for one in entries if one is not later and isinstance(one.value, Figure)]
            )
            if later is None or not older or older[-1].on is None or later.on is None or older[-1].on >= later.on:
                continue
            earlier = older[-1]
            miles = _milesbetween(part, earlier.on, later.on, situation)
            if miles is None or any(between(job, earlier, later) for job in beside.work.jobs_on(part)):
                continue
            if apart(earlier, later) > _WORN_AT_ALL + _WORN_BY_MILES * miles + left_open(earlier, later):
                yield WornTooFast(attribute, earlier, later, miles)


def _milesbetween(part: Part, since: date | None, until: date, situation: Situation) -> Fraction | None:
    """The miles of a wheel between two days; None where the log does not say that it has them all."""
    car, serial = situation.standing.car, serial_of(part.key)
    if since is None or serial is None or not log_is_complete_since(car, since):
        return None
    return miles_of_wheelset_since(car, serial, since, until)


def apart(earlier: Evidence, later: Evidence) -> Fraction:
    """How far two figures lie apart; nothing where one of them is no figure."""
    if not isinstance(earlier.value, Figure) or not isinstance(later.value, Figure):
        return Fraction(0)
    return abs(earlier.value.quantity.amount - later.value.quantity.amount)


def left_open(earlier: Evidence, later: Evidence) -> Fraction:
    """What the gauges of two readings leave open, added."""
    stated = (one.stated_uncertainty for one in (earlier, later))
    return sum((one.amount for one in stated if one is not None), Fraction(0))


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
    back_by = 0 if attribute.back_by is None else attribute.back_by.amount
    return gained > left_open(earlier, later) + back_by


def worn_on(attribute: Attribute, earlier: Evidence, later: Evidence) -> bool:
    """Whether a figure went the way in which such a thing wears: a coupler too high that sank."""
    if attribute.wears not in ("up", "down") or not isinstance(earlier.value, Figure):
        return False
    if not isinstance(later.value, Figure):
        return False
    first, last = earlier.value.quantity.amount, later.value.quantity.amount
    return last < first if attribute.wears == "down" else last > first


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


class GoneLongAgo(msgspec.Struct, frozen=True):
    """Damage of before the log of work begins, of which a reading since says nothing bad."""

    part: Part
    earlier: Evidence
    later: Evidence


def damage_gone_long_ago(situation: Situation) -> Iterator[GoneLongAgo]:
    """Where nothing but the age of the finding stands between damage and no damage, by part in walking order."""
    watched, long_ago, beside = _watched(), LongAgo(situation), BesideEarlier(situation, NO_RULES)
    for key, attributes in situation.standing.evidence.items():
        part = situation.standing.parts.get(key)
        for name, attribute in {} if part is None else watched[part.kind].items():
            held = situation.values[key].get(name) if attribute.defect and not attribute.wears else None
            later = None if held is None else held.evidence
            if part is None or later is None or not _is_sound(attribute, later):
                continue
            earlier = next((one for one in reversed(attributes[name]) if _is_damage(attribute, one)), None)
            if (
                earlier is not None and long_ago.before_the_log(part, earlier, later)
                and not long_ago.of_another_part(part, earlier)
                and not beside.work.mends(part, attribute, earlier, later)
            ):  # fmt: skip
                yield GoneLongAgo(part, earlier, later)
