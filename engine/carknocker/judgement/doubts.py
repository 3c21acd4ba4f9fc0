"""Stage 1: which readings are doubtful. A doubt that fails touches all readings that it looks at, one that is unknown
touches none. What is `sure`, is shown by a photograph, or was read alike by a second person, is not touched."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from functools import cache, lru_cache, partial

import msgspec

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.condemned import NO_LIMITS, Limits, condemned_before
from carknocker.judgement.looks import Look, evidence_at, looks_of, seen_by
from carknocker.judgement.mending import NO_RULES, Mending
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.odd_days import OddDays, odd_days
from carknocker.judgement.odd_readings import OddOlderReading, OddReading, odd_readings
from carknocker.judgement.odd_wear import BesideEarlier
from carknocker.judgement.oddities import ClauseFails, Condemned, GotBetter, Oddity, PassedAfterFailed
from carknocker.judgement.part_view import PartView, PartViews, Test
from carknocker.judgement.second_reader import is_sure
from carknocker.judgement.set_aside import IsDoubtful, OlderThanDoubtful, SetAside
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.record.model import Evidence, Part
from carknocker.record.standing import CarOnDay
from carknocker.rulebook.clauses import AllOf, Clause, Comparison, comparisons, paths
from carknocker.rulebook.doubts import Doubt, load_doubts
from carknocker.vocabulary.program_names import MOVE_KINDS


class StandingDoubt(msgspec.Struct, frozen=True, eq=False):
    """A doubt that stands on a part of this car.

    name: of the doubt. touched: the readings on which it throws doubt, each of which counts only against the car.
    against: what else it looked at.
    """

    name: str
    part: Part
    odd: Oddity
    touched: tuple[Evidence, ...]
    against: tuple[Evidence, ...] = ()


class _CompiledDoubt(msgspec.Struct, frozen=True):
    """needs: attributes of the part itself without which nothing is asked. looks: gives at what it looks to throw doubt
    on it; most never fail, so that nobody asks."""

    doubt: Doubt
    when: Test | None
    must: Test
    needs: tuple[str, ...]
    looks: "Callable[[], tuple[Look, ...]]"


@cache
def _compiled() -> tuple[Mapping[str, tuple[_CompiledDoubt, ...]], Mapping[str, tuple[_CompiledDoubt, ...]]]:
    """The doubts by kind of part: about the car alone, and about a move."""
    found: tuple[dict[str, tuple[_CompiledDoubt, ...]], dict[str, tuple[_CompiledDoubt, ...]]] = ({}, {})
    for doubt in load_doubts():
        by_kind = found[_of_move(doubt)]
        by_kind[doubt.of] = (*by_kind.get(doubt.of, ()), _compile(doubt))
    return found


def _of_move(doubt: Doubt) -> bool:
    """Whether it looks at the move, so that it is asked anew for each."""
    looked_at = (path for clause in (doubt.must, doubt.when) for _, one in comparisons(clause) for path in paths(one))
    return doubt.of in MOVE_KINDS or any(path.owner in MOVE_KINDS for path in looked_at)


def _compile(doubt: Doubt) -> _CompiledDoubt:
    when = None if doubt.when is None else clause_test(doubt.when)
    needs = [name for clause in (doubt.must, doubt.when) for name in _needs(clause)]
    return _CompiledDoubt(doubt, when, clause_test(doubt.must), tuple(dict.fromkeys(needs)), partial(_looks, doubt))


def _looks(doubt: Doubt) -> tuple[Look, ...]:
    throws = {str(path) for path in doubt.throws}
    return tuple(look for look in looks_of(doubt.must, doubt.when) if not throws or str(look[1]) in throws)


def _needs(clause: Clause | None) -> Iterator[str]:
    """The attributes of the part itself without which a clause can't be decided."""
    for one in clause.clauses if isinstance(clause, AllOf) else (clause,):
        if isinstance(one, Comparison) and not one.path.owner and not one.path.attribute.derived:
            yield one.path.attribute.name


@lru_cache(maxsize=1)
def _kept(day: CarOnDay) -> dict[tuple[frozenset[str], Mending, str], tuple[StandingDoubt, ...]]:
    """What was found on a car's day, by what was set aside, by whose rules and for which host."""
    return {}


def doubts_of(situation: Situation, mending: Mending, limits: Limits = NO_LIMITS) -> tuple[StandingDoubt, ...]:
    """All doubts that stand, on what is neither void nor set aside. mending: which work takes damage away. limits: of
    the rules that bind."""
    return _all(doubts_without_move(situation, mending), situation, mending, limits)


def doubts_anew(situation: Situation, mending: Mending, limits: Limits) -> tuple[StandingDoubt, ...]:
    """The same, of a car of which something is supposed to be otherwise than on its day."""
    return _all(_found(situation, mending, of_move=False), situation, mending, limits)


def _all(
    of_the_car: tuple[StandingDoubt, ...], situation: Situation, mending: Mending, limits: Limits
) -> tuple[StandingDoubt, ...]:
    """Those about the car alone and those of the move. Wear that went back over a limit is one doubt and not two: that
    it was past its limit, which no look on the day settles."""
    of_the_move = (*_of_the_move(situation, mending, limits),)
    condemned = {entry.id for one in of_the_move if isinstance(one.odd, Condemned) for entry in one.touched}
    return (*(one for one in of_the_car if not _is_told_by(one, condemned)), *of_the_move)


def _is_told_by(doubt: StandingDoubt, condemned: Collection[str]) -> bool:
    got_better = isinstance(doubt.odd, GotBetter) and not went_by_itself(doubt.odd)
    return got_better and all(entry.id in condemned for entry in doubt.touched)


def _of_the_move(situation: Situation, mending: Mending, limits: Limits) -> Iterator[StandingDoubt]:
    """Those that rest on the move, or on the rules that bind it."""
    yield from _found(situation, mending, of_move=True)
    for part, odd in condemned_before(situation, mending, limits):
        yield StandingDoubt("good-after-condemned", part, odd, (odd.later,), (odd.earlier,))


def doubts_without_move(situation: Situation, mending: Mending) -> tuple[StandingDoubt, ...]:
    """Those about the car alone; of a car's day they are found once."""
    day = situation.standing.on_day
    if day is None:
        return _found(situation, mending, of_move=False)
    kept, key = _kept(day), (frozenset(situation.excluded), mending, situation.move.host)
    found = kept.get(key)
    if found is None:
        found = kept[key] = _found(situation, mending, of_move=False)
    return found


def _found(situation: Situation, mending: Mending, *, of_move: bool) -> tuple[StandingDoubt, ...]:
    by_kind = _compiled()[of_move]
    readings = [_of_reading(one, situation) for one in odd_readings(situation, mending, of_move=of_move)]
    days = () if of_move else (_of_days(one, situation) for one in odd_days(situation))
    found = [one for one in (*readings, *days) if one is not None]
    clauses = {(one.name, one.part.key): one for one in _of_clauses(situation, by_kind)}
    before = _before_it_got_better(found)
    if before:
        for one in _of_clauses(situation.with_values(before), by_kind):
            clauses.setdefault((one.name, one.part.key), one)
    return (*found, *clauses.values())


def _before_it_got_better(doubts: Iterable[StandingDoubt]) -> dict[tuple[str, str], ObservedValue]:
    """What was read before wear or damage went by itself: a crack of then still contradicts who calls it sound."""
    return {
        (one.part.key, one.odd.attribute.name): ObservedValue(one.odd.earlier.value, one.odd.earlier)
        for one in doubts
        if isinstance(one.odd, GotBetter)
    }


def _of_reading(one: OddReading, situation: Situation) -> StandingDoubt | None:
    if not went_by_itself(one.odd) and is_sure(one.reading, situation):
        return None
    return StandingDoubt(one.name, one.part, one.odd, (one.reading,), one.earlier)


def went_by_itself(odd: Oddity) -> bool:
    """Whether damage that was found, or what failed a test, is said to be gone, with no work and nobody's finding that
    it was none between. A second reader who sees none either does not say what the first one saw."""
    return isinstance(odd, PassedAfterFailed) or (isinstance(odd, GotBetter) and odd.attribute.defect)


def is_no_matter_of_the_day(odd: Oddity) -> bool:
    """Whether a look on the day does not settle it: damage, or a figure past its limit, is said to be gone, or damage
    was found since."""
    return went_by_itself(odd) or isinstance(odd, Condemned) or (isinstance(odd, ClauseFails) and odd.found_since)


def settled_beside_earlier(situation: Situation) -> Iterator[OddOlderReading]:
    """The readings beside which a later one could hardly be, were that one not sure or read alike by a second person:
    which of the two is right is settled, how they could differ is not."""
    beside, standing = BesideEarlier(situation, NO_RULES), situation.standing
    for key in standing.evidence:
        part = standing.parts.get(key)
        for value in () if part is None else situation.values[key].values():
            later = value.evidence
            if part is None or later is None or later.sort != "reading":
                continue
            found = beside.odd(part, later)
            if found is not None and not went_by_itself(found.odd) and is_sure(later, situation):
                yield OddOlderReading(found.earlier, found.odd)


def _of_days(one: OddDays, situation: Situation) -> StandingDoubt | None:
    open_ = tuple(entry for entry in one.touched if not is_sure(entry, situation))
    if not open_:
        return None
    return StandingDoubt(one.name, one.part, one.odd, open_, tuple(sure for sure in one.touched if sure not in open_))


def _of_clauses(situation: Situation, by_kind: Mapping[str, tuple[_CompiledDoubt, ...]]) -> tuple[StandingDoubt, ...]:
    standing, values = situation.standing, situation.values
    views = PartViews(situation.without_uncertainty())
    found: list[StandingDoubt] = []
    for kind, compiled in by_kind.items():
        for part in standing.by_kind.get(kind, ()):
            own = values[part.key]
            for one in compiled:
                if not all(name in own for name in one.needs):
                    continue
                view = views.of(part.key, standing.as_of)
                if (one.when is not None and one.when(view) < NEAR) or one.must(view) != FAILS:
                    continue
                touched = {entry.id: entry for entry in seen_by(one.looks(), view)}
                overtaken = _overtaken(one.doubt, touched.values(), view)
                if not overtaken and not one.doubt.or_older:
                    continue
                open_ = tuple(
                    entry for entry in touched.values() if entry.id in overtaken or not is_sure(entry, situation)
                )
                if open_:
                    sure = tuple(entry for entry in touched.values() if entry not in open_)
                    found.append(
                        StandingDoubt(one.doubt.name, part, ClauseFails(one.doubt.says, bool(overtaken)), open_, sure)
                    )
    return tuple(found)


def _overtaken(doubt: Doubt, touched: Iterable[Evidence], view: PartView) -> frozenset[str]:
    """The ids of those touched that are older than the newer reading: no `sure` and no second reader of then speaks of
    what was found since."""
    newer = () if doubt.newer is None else evidence_at(doubt.newer, view)
    days = [one.on for one in newer if one.on is not None]
    return frozenset(one.id for one in touched if one.on is not None and days and one.on < max(days))


def reasons_of_doubts(doubts: tuple[StandingDoubt, ...], situation: Situation) -> dict[str, SetAside]:
    """Evidence that is doubtful, by id → why; with what is older than it of the same attribute: nothing older comes
    back in its place, but for the failed test that a passed one does not answer."""
    reasons: dict[str, SetAside] = {}
    for doubt in doubts:
        for evidence in doubt.touched:
            reasons.setdefault(evidence.id, IsDoubtful(doubt.odd))
    for doubt in doubts:
        for evidence in doubt.touched:
            for older in situation.standing.evidence.get(evidence.part, {}).get(evidence.attribute, ()):
                if older.id == evidence.id:
                    break
                if isinstance(doubt.odd, PassedAfterFailed) and older in doubt.against:
                    continue
                reasons.setdefault(older.id, OlderThanDoubtful())
    return reasons
