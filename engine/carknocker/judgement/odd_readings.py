"""Readings that can hardly be beside an earlier one of the same part, or beside their gauge: wear that got better and
damage that went, both without work, and a figure finer than the gauge reads."""

from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction
from functools import cache, lru_cache

import msgspec

from carknocker.judgement.figures import ends
from carknocker.judgement.observed_value import ObservedValue, text_of
from carknocker.judgement.odd_days import checked_when_mounted
from carknocker.judgement.situation import Situation
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Evidence, Part, Work
from carknocker.record.part_keys import kind_of_key
from carknocker.record.possible_values import NO_DAYS, in_range, is_within
from carknocker.record.values import Bound, Day, Figure, NotAccessible, Opinion, PressureDrop, Value
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import BUILT_ON, MOUNTED_ON, MOUNTING_CHECK, MOVE_KINDS

_NO_DAMAGE = frozenset({"no", "sound", "worn"})
_NO_WORD = frozenset({"none fitted", "other"})


class Unworn(msgspec.Struct, frozen=True):
    """A reading that is doubtful for itself or beside an earlier one. name: of the doubt; says: in a few words."""

    name: str
    part: Part
    later: Evidence
    earlier: tuple[Evidence, ...]
    says: str


@cache
def _watched() -> Mapping[str, Mapping[str, Attribute]]:
    """Kind → its attributes that wear or tell damage."""
    return {
        kind.name: {name: one for name, one in kind.attributes.items() if one.wears or one.defect}
        for kind in load_vocabulary().kinds.values()
    }


def unworn_readings(situation: Situation, *, of_move: bool) -> Iterator[Unworn]:
    """All of them, by part in walking order, of what is neither void nor set aside. of_move: those of the move, the
    train and its legs; else those of the car."""
    standing, watched = situation.standing, _watched()
    known = _asked(standing.car.file, standing.car.digest)
    work: dict[str, list[Work]] | None = None
    of_moves = {part.key for kind in MOVE_KINDS for part in standing.by_kind.get(kind, ())}
    asked = [key for key in standing.evidence if (key in of_moves) is of_move]
    for key in asked:
        part, attributes = standing.parts.get(key), standing.evidence[key]
        if part is None:
            continue
        own, values = watched[part.kind], situation.values[key]
        for name, value in values.items():
            later = value.evidence
            if later is None or later.sort not in ("reading", "description"):
                continue
            yield from _by_itself(later, part, situation, known)
            attribute = own.get(name)
            if attribute is None or len(attributes[name]) < 2:
                continue
            if work is None:
                work = _by_place(standing.work)
            jobs = _jobs_on(part, work, situation)
            for earlier in attributes[name]:
                if earlier is later:
                    break
                if earlier.id in situation.excluded or earlier.value.__class__ is NotAccessible:
                    continue
                if any(_between(job, earlier, later) for job in jobs):
                    continue
                says = _worn_back(attribute, earlier, later) if attribute.wears else _healed(attribute, earlier, later)
                if says:
                    name_of = "wear-only-goes-on" if attribute.wears else "damage-does-not-go"
                    yield Unworn(name_of, part, later, (earlier,), says)
                    break


_Asked = dict[int, tuple[Evidence, tuple[str, str]]]
"""Readings by identity, each with the doubt that it raises by itself: its name and what it says."""
_MOST_KEPT = 20_000


@lru_cache(maxsize=1)
def _asked(file: str, digest: str) -> _Asked:
    """What was asked of the readings of one record, and of what is assumed beside them; of one record only, so that a
    fleet holds no more than its last car."""
    return {}


class OddReading(msgspec.Struct, frozen=True):
    """A reading that could hardly be, and by which nothing is judged. says: what is odd, in a few words."""

    reading: Evidence
    says: str


def odd_older_readings(situation: Situation) -> Iterator[OddReading]:
    """The odd ones among the readings and descriptions that have a newer one, that are void, or that are of a thing
    which left the car."""
    standing, kinds = situation.standing, load_vocabulary().kinds
    for key, attributes in standing.car.by_part.items():
        kind = kind_of_key(key)
        own = situation.values_of(key) if key in standing.parts else {}
        for name, entries in attributes.items():
            if entries[-1].sort not in ("reading", "description") or kind not in kinds:
                continue
            held = own.get(name)
            used = None if held is None else held.evidence
            for entry in entries:
                if entry is not used and not entry.sure and (entry.on is None or entry.on <= standing.as_of):
                    says = _odd(entry, kind, key, situation, {})[1]
                    if says:
                        yield OddReading(entry, says)
        if key not in standing.parts and attributes.get(MOUNTED_ON) and attributes.get(MOUNTING_CHECK):
            mounted, check = attributes[MOUNTED_ON][-1], attributes[MOUNTING_CHECK][-1]
            says = "" if mounted.sure else checked_when_mounted(mounted, check)
            if says:
                yield OddReading(mounted, says)


def _by_itself(reading: Evidence, part: Part, situation: Situation, asked: _Asked) -> Iterator[Unworn]:
    """A reading that is finer than its gauge, or outside of what is usual."""
    name, says = _odd(reading, part.kind, part.key, situation, asked)
    if name:
        yield Unworn(name, part, reading, (), says)


def _odd(reading: Evidence, kind: str, key: str, situation: Situation, asked: _Asked) -> tuple[str, str]:
    """The name of the doubt and what is odd; both empty where nothing is. What does not count from a day is asked once
    for each reading, since one question judges it many times."""
    kept = asked.get(id(reading))
    if kept is not None and kept[0] is reading:
        name, says = kept[1]
    else:
        attribute = load_vocabulary().kinds[kind].attributes.get(reading.attribute)
        usual = None if attribute is None or attribute.ranges is None else attribute.ranges.usual
        name, says = "", ""
        if reading.gauge is not None and _too_fine(reading):
            name, says = "finer-than-the-gauge", _too_fine_words(reading)
        elif attribute is not None and usual is not None:
            days = _days(reading, key, situation) if usual.anchors else NO_DAYS
            if reading.value.__class__ is PressureDrop and _too_long(reading.value):
                name, says = "long-drop", f"{attribute.short_label} taken over {_minutes(reading.value)}; one is usual"
            elif not is_within(reading.value, usual, days) or _says_nothing(reading.value, attribute):
                name, says = "unusual", f"{attribute.short_label} {_words(reading)}; usual is {in_range(usual, days)}"
        if not name and reading.gauge is None and attribute is not None and _finer_than_any_tool(reading, attribute):
            name, says = "finer-than-the-usual-tool", _finer_words(reading, attribute)
        if usual is None or not usual.anchors:
            if len(asked) >= _MOST_KEPT:
                asked.clear()
            asked[id(reading)] = (reading, (name, says))
    return name, says


_LONGEST_DROP = Fraction(5)
"""Minutes. Common practice: a leakage is taken over one minute, at a cylinder over three."""


def _too_long(value: Value) -> bool:
    return isinstance(value, PressureDrop) and value.minutes.amount > _LONGEST_DROP


def _minutes(value: Value) -> str:
    return f"{write_quantity(value.minutes)}" if isinstance(value, PressureDrop) else ""


def _says_nothing(value: Value, attribute: Attribute) -> bool:
    """Whether a bound lies where no such figure can be: a go or no-go gauge of 8-3/4 in at a flange."""
    possible = None if attribute.ranges is None else attribute.ranges.possible
    if possible is None or not isinstance(value, Bound):
        return False
    return any(end is not None and not possible.holds(end) for end in (value.low, value.high))


def _days(reading: Evidence, key: str, situation: Situation) -> dict[str, tuple[date, date]]:
    """What the ends of a range of days count from, as far as it is known."""
    day = situation.standing.as_of
    found = {"as-of": (day, day)}
    if reading.on is not None:
        found["read"] = (reading.on, reading.on)
    for name, place, attribute in (("built", "car", BUILT_ON), ("mounted", key, MOUNTED_ON)):
        told = situation.newest(place, attribute)
        if told is not None and isinstance(told.value, Day):
            found[name] = (told.value.first, told.value.last)
    return found


def _by_place(work: tuple[Work, ...]) -> dict[str, list[Work]]:
    found: dict[str, list[Work]] = {}
    for job in work:
        if not job.event:
            for place in job.at:
                found.setdefault(place, []).append(job)
    return found


def _jobs_on(part: Part, work: Mapping[str, list[Work]], situation: Situation) -> list[Work]:
    """The jobs that can have made a reading of a part better: on the part, on what it is in up to the car (of a thing
    only on the thing that it is in), and on what is in it; on the mate, since wheels are turned in pairs."""
    standing, kinds = situation.standing, load_vocabulary().kinds
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
    return [job for place in dict.fromkeys(places) for job in work.get(place, ())]


def _between(job: Work, earlier: Evidence, later: Evidence) -> bool:
    """Whether a job was done after one reading and before the other. A reading of the day of a job was taken before it,
    unless it says otherwise."""
    if earlier.on is None or later.on is None:
        return False
    before = earlier.on < job.on or (earlier.on == job.on and job.id not in earlier.after)
    return before and (later.on > job.on or (later.on == job.on and job.id in later.after))


def _worn_back(attribute: Attribute, earlier: Evidence, later: Evidence) -> str:
    """What is odd about a figure that got better by more than both gauges leave open; "" where it did not."""
    first, last = ObservedValue(earlier.value, earlier), ObservedValue(later.value, later)
    (first_least, first_most), (last_least, last_most) = ends(first), ends(last)
    if attribute.wears == "down":
        at_least, at_most = last_least, first_most
    else:
        at_least, at_most = first_least, last_most
    if at_least is None or at_most is None:
        return ""
    gained = Fraction(at_least[0], at_least[1])
    if attribute.wears == "up, runs off":
        gained /= 2
    gained -= Fraction(at_most[0], at_most[1])
    open_ = sum((one.uncertainty.amount for one in (earlier, later) if one.uncertainty is not None), Fraction(0))
    if gained <= open_:
        return ""
    return f"{attribute.short_label} was {_words(earlier)} and is {_words(later)}, with no work between"


def _healed(attribute: Attribute, earlier: Evidence, later: Evidence) -> str:
    """What is odd about damage that went. What a named person found and said is no slip of the pen."""
    was, now = text_of(earlier.value), text_of(later.value)
    if was is None or now is None or isinstance(later.value, Opinion):
        return ""
    if was in _NO_DAMAGE or was in _NO_WORD or now not in _NO_DAMAGE:
        return ""
    return f"{attribute.short_label} was `{_words(earlier)}` and is `{_words(later)}`, with no work between"


def _words(evidence: Evidence) -> str:
    """A value with its day: `1-1/4 in on 2025-09-01`."""
    value = evidence.value
    on = "" if evidence.on is None else f" on {evidence.on.isoformat()}"
    if isinstance(value, Figure):
        return f"{write_quantity(value.quantity)}{on}"
    least, most = ends(ObservedValue(value, evidence))
    text = text_of(value)
    if text is None:
        text = "within the gauge" if least is None and most is None else "what the gauge showed"
    return f"{text}{on}"


_LAST_PLACE = Fraction(1, 200)


def _too_fine(reading: Evidence) -> bool:
    """Whether a figure is finer than half a step of the gauge, which the eye can still tell."""
    return reading.gauge is not None and _finer(reading.value, reading.gauge.reads_to, 2)


def _finer_than_any_tool(reading: Evidence, attribute: Attribute) -> bool:
    """Whether a reading without a gauge is finer than a quarter of what the usual tool reads to."""
    return reading.sort == "reading" and _finer(reading.value, attribute.reads_to, 4)


def _finer(value: Value, step: Quantity | None, parts: int) -> bool:
    """Whether a figure is no whole number of parts of a step. A figure in other units than those of the step was
    converted; one in decimals may be rounded to hundredths."""
    if step is None or value.__class__ is not Figure:
        return False
    assert isinstance(value, Figure)
    quantity = value.quantity
    if step.dimension != quantity.dimension or (quantity.unit != step.unit and quantity.unit and step.unit):
        return False
    n, d = parts * quantity.n * step.d, quantity.d * step.n
    if n % d == 0:
        return False
    rest = Fraction(n, d) % 1
    off = min(rest, 1 - rest) * step.amount / parts
    decimal = quantity.d & (quantity.d - 1) != 0
    return not decimal or off > _LAST_PLACE


def _finer_words(reading: Evidence, attribute: Attribute) -> str:
    step = "" if attribute.reads_to is None else write_quantity(attribute.reads_to)
    figure = f"{attribute.short_label} {_words(reading)}"
    return f"{figure} is finer than is read without a gauge of its own, {step}: name the gauge"


def _too_fine_words(reading: Evidence) -> str:
    assert reading.gauge is not None
    assert reading.gauge.reads_to is not None
    step = write_quantity(reading.gauge.reads_to)
    label = reading.attribute.replace("_", " ")
    return f"{label} {_words(reading)} is finer than gauge {reading.gauge.name} reads, {step}"
