"""What a criterion finds, worked out a second time: plainly, slowly, straight from docs/judgement.md.

Every figure is a Fraction, every day of the move is asked about in turn, every comparison is one line of arithmetic.
Nothing of the judgement is used: only the record, the move and the clauses as they are read.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from typing import Any, NamedTuple

from carknocker.record.model import CarRecord, Evidence, Move
from carknocker.record.values import Bound, Day, Figure, Interval, NotAccessible, Word
from carknocker.rulebook.clauses import AllOf, AnyOf, ByTable, Comparison, CountOf, EachOf, Fixed
from carknocker.rulebook.model import Criterion

FAILS, UNKNOWN, NEAR, HOLDS = 0, 1, 2, 3
_DAY = timedelta(days=1)


class Found(NamedTuple):
    verdict: str
    unmet: bool
    lapses_on: date | None


class Value(NamedTuple):
    """What is known of an attribute: `open_by`, how far its gauges leave a figure open; `read_on`, the day of the
    reading, of several the oldest."""

    value: Any
    open_by: Fraction = Fraction(0)
    read_on: date | None = None
    evidence: Evidence | None = None


class World(NamedTuple):
    """A car, its move, and the ids of the evidence that is set aside."""

    car: CarRecord
    move: Move
    as_of: date
    aside: frozenset[str]

    def container(self, key: str) -> str | None:
        return next((part.container for part in self.car.parts if part.key == key), None)

    def kind(self, key: str) -> str:
        return next(part.kind for part in self.car.parts if part.key == key)

    def owner(self, key: str, kind: str) -> str | None:
        if kind in ("car", "move", "train"):
            return kind
        here: str | None = key
        while here is not None and self.kind(here) != kind:
            here = self.container(here)
        return here

    def inside(self, key: str, kind: str) -> list[str]:
        found = []
        for part in self.car.parts:
            here = part.container
            while here is not None and here != key:
                here = self.container(here)
            if here == key and part.kind == kind:
                found.append(part.key)
        return found


class Terms(NamedTuple):
    """On what terms a part is looked at. oldest: readings before that day are too old."""

    day: date
    shop: bool = False
    oldest: date | None = None
    arriving: bool = False


def accepted(world: World, evidence: Evidence) -> bool:
    by, on = evidence.by, evidence.on
    if by is None or on is None or world.move.host not in by.accepted_by:
        return False
    return by.until is None or on <= by.until


def counts(world: World, evidence: Evidence, shop: bool) -> bool:
    if evidence.id in world.aside or isinstance(evidence.value, NotAccessible):
        return False
    if evidence.sort == "test" and evidence.value != Word("passed"):
        return True
    return accepted(world, evidence) if evidence.sort == "test" or (shop and evidence.sort == "reading") else True


def on_record(world: World, key: str, name: str) -> list[Evidence]:
    own = [one for one in world.car.evidence if one.part == key and one.attribute == name]
    return [one for one in own if one.on is None or one.on <= world.as_of]


def newest(world: World, key: str, name: str, terms: Terms) -> Evidence | None:
    for one in reversed(on_record(world, key, name)):
        if counts(world, one, terms.shop):
            return one
        if one.sort == "reading" and one.id in world.aside:
            return None
    return None


def value_at(world: World, key: str, attribute: Any, terms: Terms) -> Value | None:
    if key in ("move", "train"):
        told = {"train": Word(world.move.train)} if key == "move" else world.move.train_facts
        return Value(told[attribute.name]) if attribute.name in told else None
    if attribute.derived == "back to back variation":
        found = _variation(world, key, terms)
    elif attribute.derived in ("car age", "truck age"):
        built = newest(world, key, "built_on", terms)
        found = None if built is None else Value(built.value)
    else:
        one = newest(world, key, attribute.name, terms)
        found = None if one is None else Value(one.value, _open_by(one), one.on if one.sort == "reading" else None, one)
    if found is not None and terms.oldest is not None and found.read_on is not None and found.read_on < terms.oldest:
        return None
    return found


def _open_by(one: Evidence) -> Fraction:
    gauges = [quantity for quantity in (one.resolution, one.gauge_uncertainty) if quantity is not None]
    return sum((Fraction(quantity.n, quantity.d) for quantity in gauges), Fraction(0))


def _variation(world: World, key: str, terms: Terms) -> Value | None:
    places = [newest(world, key, name, terms) for name in ("back_to_back", "back_to_back_largest")]
    if any(one is None or not isinstance(one.value, Figure) for one in places):
        return None
    smallest, largest = (figure(one.value) for one in places)
    if largest < smallest:
        return None
    return Value(largest - smallest, sum(map(_open_by, places), Fraction(0)), min(one.on for one in places))


def figure(value: Any) -> Fraction | None:
    if isinstance(value, Fraction):
        return value
    return Fraction(value.quantity.n, value.quantity.d) if isinstance(value, Figure) else None


def limit_of(world: World, key: str, comparison: Comparison, terms: Terms) -> tuple[Value | None, bool]:
    """The limit, and whether it is asked of a container that the part hasn't got."""
    limit = comparison.limit
    if isinstance(limit, Fixed):
        return Value(limit.values[0]), False
    there = world.owner(key, limit.path.owner) if limit.path.owner else key
    if there is None:
        return None, True
    found = value_at(world, there, limit.path.attribute, terms)
    if found is None or not isinstance(limit, ByTable):
        return found, False
    chosen = limit.rows.get(found.value.text, limit.otherwise)
    return (None if chosen is None else Value(chosen)), False


def compared(world: World, key: str, comparison: Comparison, terms: Terms) -> tuple[int, bool]:
    """The truth of one comparison, and whether it asks for a container that the part hasn't got."""
    path, word = comparison.path, comparison.word
    there = world.owner(key, path.owner) if path.owner else key
    if word == "in_force":
        return _in_force(world, there, path.attribute.name, terms.day), False
    if there is None:
        return UNKNOWN, True
    found = value_at(world, there, path.attribute, terms)
    if found is None:
        return UNKNOWN, False
    if path.attribute.type == "test":
        ended = found.evidence.until is not None and found.evidence.until < terms.day
        if found.value != Word("passed") or ended:
            return FAILS, False
    if word == "shown":
        return HOLDS, False
    if word == "within":
        return min(_within(world, key, found, limit, terms) for limit in comparison.limit.values), False
    if path.attribute.type == "period":
        return _age(found.value, word, comparison.limit.values[0], terms.day), False
    if word in ("is", "is_not", "one_of", "none_of"):
        told = found.value.text in {value.text for value in comparison.limit.values}
        return (HOLDS if told is (word in ("is", "one_of")) else FAILS), False
    limit, lacks = limit_of(world, key, comparison, terms)
    return (UNKNOWN if limit is None else _against(found, word, limit)), lacks


def _against(found: Value, word: str, limit: Value) -> int:
    """A range decides where all that may be in it decides alike."""
    (low, low_open), (high, high_open) = _ends(found.value)
    (least, least_open), (most, most_open) = _ends(limit.value)
    upward = word in ("over", "at_least")
    worst, hardest, edge = (low, most, low_open or most_open) if upward else (high, least, high_open or least_open)
    best, easiest, far = (high, least, high_open or least_open) if upward else (low, most, low_open or most_open)
    sign = 1 if upward else -1
    strict = word in ("over", "under")
    if worst is not None and hardest is not None:
        margin = (worst - hardest) * sign
        if margin > 0 or (margin == 0 and (edge or not strict)):
            open_by = sum((one.open_by for one in (found, limit)), Fraction(0))
            return NEAR if margin < open_by else HOLDS
    if best is not None and easiest is not None:
        margin = (best - easiest) * sign
        if margin < 0 or (margin == 0 and (far or strict)):
            return FAILS
    return UNKNOWN


def _ends(value: Any) -> tuple[tuple[Fraction | None, bool], tuple[Fraction | None, bool]]:
    if isinstance(value, Bound):
        low, high = (None if one is None else Fraction(one.n, one.d) for one in (value.low, value.high))
        return (low, value.low_open), (high, value.high_open)
    exact = figure(value)
    return (exact, False), (exact, False)


def _within(world: World, key: str, found: Value, limit: Any, terms: Terms) -> int:
    told = found.value
    if isinstance(told, Day):
        first, last = told.first, told.last
    elif found.evidence is not None and found.evidence.on is not None:
        first = last = found.evidence.on
    else:
        return UNKNOWN
    if first > world.as_of:
        return UNKNOWN
    if isinstance(limit, Interval):
        if terms.day <= limit.period.after(first):
            return HOLDS
        return FAILS if terms.day > limit.period.after(last) else UNKNOWN
    # the cars of these worlds have made no move: only the planned one counts, from its second day on
    planned = sum((Fraction(leg.miles.n, leg.miles.d) for leg in world.move.legs), Fraction(0))
    miles = planned if terms.arriving or terms.day > world.move.out else Fraction(0)
    return HOLDS if miles <= figure(limit) else FAILS


def _age(told: Any, word: str, limit: Interval, day: date) -> int:
    def decided(began: date) -> bool:
        reached = limit.period.after(began)
        return {
            "over": day > reached, "at_least": day >= reached, "under": day < reached, "at_most": day <= reached,
        }[word]  # fmt: skip

    if not isinstance(told, Day) or decided(told.first) != decided(told.last):
        return UNKNOWN
    return HOLDS if decided(told.first) else FAILS


def _in_force(world: World, key: str | None, name: str, day: date) -> int:
    papers = [] if key is None else [one for one in on_record(world, key, name) if counts(world, one, False)]
    dated = [one for one in papers if one.until is not None]
    if not dated:
        return UNKNOWN
    asked = world.move.out
    while asked <= day:
        if not any(one.facts["from"].first <= asked <= one.until for one in dated):
            return FAILS
        asked += _DAY
    return HOLDS


def truth(world: World, key: str, clause: Any, terms: Terms) -> int:
    match clause:
        case Comparison():
            return compared(world, key, clause, terms)[0]
        case AllOf(clauses):
            return min(truth(world, key, one, terms) for one in clauses)
        case AnyOf(clauses):
            return max(truth(world, key, one, terms) for one in clauses)
        case CountOf(kind, when, word, number):
            each = [truth(world, part, when, terms) if when else HOLDS for part in world.inside(key, kind)]
            surely = sum(one >= NEAR for one in each)
            may_be = range(surely, surely + each.count(UNKNOWN) + 1)
            asked = {
                "over": lambda n: n > number, "at_least": lambda n: n >= number, "under": lambda n: n < number,
                "at_most": lambda n: n <= number, "is": lambda n: n == number,
            }[word]  # fmt: skip
            answers = {asked(n) for n in may_be}
            return UNKNOWN if len(answers) == 2 else HOLDS if answers == {True} else FAILS
        case EachOf(kind, when, must):
            worst = HOLDS
            for part in world.inside(key, kind):
                under = truth(world, part, when, terms) if when else HOLDS
                if under == FAILS:
                    continue
                own = truth(world, part, must, terms)
                worst = min(worst, UNKNOWN if under == UNKNOWN and own < NEAR else own)
            return worst
    raise AssertionError(clause)


def leaves(clause: Any) -> list[Comparison]:
    """The comparisons that a clause makes on the part itself."""
    if isinstance(clause, (AllOf, AnyOf)):
        return [leaf for one in clause.clauses for leaf in leaves(one)]
    return [clause] if isinstance(clause, Comparison) else []


def lacks_place(world: World, key: str, clauses: list[Any], terms: Terms) -> bool:
    return any(compared(world, key, leaf, terms)[1] for clause in clauses for leaf in leaves(clause))


def applies(world: World, key: str, one: Criterion, terms: Terms) -> int:
    """Whether the criterion applies; met by less than the gauge resolves is enough to apply, not to be exempt."""
    found = HOLDS if one.when is None else truth(world, key, one.when, terms)
    if one.unless is not None:
        exempt = truth(world, key, one.unless, terms)
        found = min(found, {FAILS: HOLDS, HOLDS: FAILS}.get(exempt, UNKNOWN))
    return HOLDS if found == NEAR else found


def find(world: World, unvoided: World, key: str, fitted: bool, one: Criterion) -> Found:
    """What a criterion finds on a part. unvoided: the same world as if nothing were void."""
    move = world.move
    days = [move.out + _DAY * number for number in range((move.back - move.out).days + 1)]
    asked_on = [Terms(day) for day in days]
    asked_on.append(Terms(move.back, arriving=True))
    under = [terms for terms in asked_on if applies(world, key, one, terms) != FAILS]
    if not under:
        return Found("not applicable", False, None)
    asked = under[0]
    known = applies(world, key, one, asked)

    def looked(day: date, arriving: bool = False) -> Terms:
        oldest = None if one.read_within is None else _oldest(one.read_within, day)
        return Terms(day, one.shown_by == "accepted shop", oldest, arriving)

    here = looked(move.out)
    met = truth(world, key, one.must, here)
    if met == UNKNOWN and truth(world, key, one.must, here._replace(oldest=None)) == FAILS:
        met = FAILS  # a reading that is too old is bad news all the same
    if not fitted and met == UNKNOWN and lacks_place(world, key, [one.must], here):
        return Found("not applicable", False, None)
    if met == FAILS:
        conditions = [clause for clause in (one.when, one.unless) if clause is not None]
        if known != UNKNOWN or (not fitted and lacks_place(world, key, conditions, asked)):
            return Found("breached", True, None)
    if met < NEAR:
        if one.shown_by == "host on the day" and met == UNKNOWN:
            return Found("for the day", False, None)
        was_met = truth(unvoided, key, one.must, here) >= NEAR and applies(unvoided, key, one, Terms(move.out)) != FAILS
        return Found("void" if was_met and _void_seen(world, unvoided, key, one, here) else "not shown", True, None)
    if one.shown_by == "accepted shop" and truth(world, key, one.must, Terms(move.out)) == FAILS:
        return Found("breached", True, None)
    lapses_on = None
    for day in days[1:]:
        if truth(world, key, one.must, looked(day)) < NEAR:
            lapses_on = day - _DAY
            break
    if lapses_on is None and truth(world, key, one.must, looked(move.back, arriving=True)) < NEAR:
        lapses_on = max(move.back - _DAY, move.out) if move.back > move.out else move.out
    if lapses_on is not None and one.renewal is None:
        on_return = truth(world, key, one.must, looked(move.back, arriving=True))
        if one.shown_by == "host on the day" and on_return == UNKNOWN:
            return Found("for the day", False, None)
        return Found("lapses", True, lapses_on)
    if met == NEAR:
        return Found("borderline", one.borderline == "refuse", lapses_on)
    return Found("met", False, lapses_on)


WORST_FIRST = ("breached", "void", "not shown", "lapses", "for the day", "borderline", "met", "not applicable")


def worse(one: Found, other: Found) -> Found:
    """Of what is found with and without what counts only against the car, the worse; the first if they are alike."""
    return min(one, other, key=lambda found: WORST_FIRST.index(found.verdict))


def _oldest(period: Any, day: date) -> date:
    """The first day from which the period reaches a day."""
    first = day
    while period.after(first - _DAY) >= day:
        first -= _DAY
    return first


def _void_seen(world: World, unvoided: World, key: str, one: Criterion, terms: Terms) -> bool:
    for leaf in leaves(one.must):
        there = unvoided.owner(key, leaf.path.owner) if leaf.path.owner else key
        found = None if there is None else value_at(unvoided, there, leaf.path.attribute, terms)
        if found is not None and found.evidence is not None and found.evidence.id in world.aside:
            return True
    return False
