"""On which days a judgement can come out otherwise, for the same move on other days: a look at what dates decide.

Judging a day in full costs a hundred times as much, so that only these days are judged.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator
from datetime import date, timedelta

from carknocker.documents import InputRefused
from carknocker.judgement.chain.causes import leave_facts
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.findings import judge_part
from carknocker.judgement.model import Judgement
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView, Test
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.situation import Situation
from carknocker.judgement.threshold import last_before_flip
from carknocker.record.model import Evidence, Move, Part
from carknocker.record.standing import move_parts, stand
from carknocker.record.values import Value
from carknocker.rulebook.clauses import FACT, Clause, Comparison, FromPart, of_test
from carknocker.rulebook.library import Library
from carknocker.rulebook.model import Requires, Rulebook
from carknocker.vocabulary import load_vocabulary
from carknocker.whatif.move_days import MoveDays

_DATED = frozenset({"within", "in_force", "before", "after"})
_AGEING = frozenset({"within", "in_force"})


def decided_by_dates(one: CompiledCriterion) -> bool:
    """Whether the verdict of a criterion can depend on the day of departure or return."""
    criterion = one.criterion
    clauses = (criterion.when, criterion.unless, criterion.must)
    return criterion.read_within is not None or any(True for clause in clauses for _ in dated_in(clause))


def only_ages(one: CompiledCriterion, *, papers_begin_later: bool) -> bool:
    """Whether the verdict of a dated criterion, once it has changed with a later departure, never comes back.

    So it is where evidence does nothing but grow old: readings that are accepted for so long, intervals, papers that
    end. Not where a clause may begin to hold, where two kinds of growing old work against each other, where the parts
    that still hold are counted, or where a paper is at hand that is in force only later.
    """
    criterion = one.criterion
    if one.may_begin or any(True for clause in (criterion.when, criterion.unless) for _ in dated_in(clause)):
        return False
    inside = list(dated_in(criterion.must))
    own = [each for each in comparisons_in(criterion.must, parts_inside=False) if _is_dated(each)]
    if len(inside) != len(own) or (own and criterion.read_within is not None):
        return False
    return all(
        (each.word in _AGEING or of_test(each.path))
        and not each.path.beside
        and not (papers_begin_later and each.word == "in_force")
        for each in own
    )


def dated_conditions(rulebook: Rulebook) -> tuple[Comparison, ...]:
    """The dated comparisons in the conditions of consequences and in the states that cause them."""
    clauses: list[Clause | None] = []
    for consequence in rulebook.consequences:
        clauses.append(consequence.when)
        clauses.extend(cause.when for cause in consequence.causes)
    return tuple(each for clause in clauses for each in dated_in(clause))


def dated_in(clause: Clause | None) -> Iterator[Comparison]:
    """The comparisons of a clause, those of parts inside too, that look at a date, an age or a period."""
    return (each for each in comparisons_in(clause) if _is_dated(each))


def _is_dated(comparison: Comparison) -> bool:
    path = comparison.path
    dated = comparison.word in _DATED or path.value_attribute.type in ("date", "period") or of_test(path)
    return dated or _any_dated(path.beside)


def _any_dated(comparisons: Iterable[Comparison]) -> bool:
    return any(_is_dated(each) for each in comparisons)


_OF_THE_MOVE = frozenset({"move", "train"})
MoveOn = Callable[[int], Move]
"""The move by the number of days from the planned departure to its departure, or to its return."""


class _Watched:
    """Something that dates decide. says: what it is in a situation. at: the numbers of days at which it can change."""

    def __init__(self, says: Callable[[Situation], Hashable], at: Iterable[int]) -> None:
        self.says = says
        self.at = frozenset(at)


class DayWatch:
    """What the dates of a move decide, of one judgement, under its rulebook and with what it found void.

    planned: the move whose days the numbers count from. now: the number of the judgement's own move. last: the last
    number that is asked for. Between two numbers at which nothing that is watched changes, moves are judged alike.
    """

    def __init__(self, judgement: Judgement, planned: Move, move_on: MoveOn, now: int, last: int) -> None:
        self._judgement, self._move_on, self._now, self._last = judgement, move_on, now, last
        self._days = MoveDays(planned, now, now, last)
        self._watched = [*self._verdicts(), *self._conditions(), self._leaves(), *self._tests()]

    def next_change(self) -> int | None:
        """The first number after the judgement's own at which something that is watched is otherwise."""
        if self._now >= self._last:
            return None
        here = self._situation(self._now)
        before: dict[_Watched, Hashable] = {}
        for number in sorted({one for each in self._watched for one in each.at if self._now < one <= self._last}):
            there = self._situation(number)
            for each in self._watched:
                if number in each.at:
                    if each not in before:
                        before[each] = each.says(here)
                    if each.says(there) != before[each]:
                        return number
        return self._unforeseen(here)

    def _unforeseen(self, here: Situation) -> int | None:
        """Whether all is the same at the end of the span too: a change at a number that no date on record foretells is
        looked for by halving. There should be none."""
        end = self._situation(self._last)
        found = [
            last_before_flip(
                lambda number, each=each: each.says(self._situation(number)) == each.says(here),  # type: ignore[misc]
                self._now,
                self._last,
            )
            for each in self._watched
            if each.says(end) != each.says(here)
        ]
        return min(found) + 1 if found else None

    def _situation(self, number: int) -> Situation:
        """The judgement's own situation, for other days of the move."""
        before, move = self._judgement.situation, self._move_on(number)
        standing = stand(self._judgement.car, move, self._judgement.as_of)
        situation = Situation(standing, move, before.excluded, before)
        for part, _ in move_parts(move):
            told = standing.evidence.get(part.key, {})
            situation.values[part.key] = {
                name: ObservedValue(found[-1].value, found[-1]) for name, found in told.items()
            }
        return situation

    def _verdicts(self) -> Iterator[_Watched]:
        """The verdict of each criterion that dates decide, on each part."""
        by_kind = self._judgement.situation.standing.by_kind
        for one in prepare(self._judgement.rulebook).criteria:
            if decided_by_dates(one):
                for part in by_kind.get(one.criterion.of, ()):
                    yield _Watched(_verdict_of(one, part.key), verdict_changes(one, part, self._here, self._days))

    def _conditions(self) -> Iterator[_Watched]:
        """Each dated condition, on departure and on arrival, on every part, or of every entry of the log whose facts it
        asks for."""
        situation, out = self._here, self._judgement.move.out
        for each in dated_conditions(self._judgement.rulebook):
            at: set[int] = set()
            if each.path.owner == FACT:
                car = situation.values_of("car")
                for facts in _facts(situation):
                    at.update(self._days.of_clause(each, PartView(situation, "car", car, out, facts=facts)))
            else:
                for key in _told_apart(each, _asked_on(each, situation), situation):
                    at.update(self._days.of_clause(each, PartView(situation, key, situation.values_of(key), out)))
            yield _Watched(_truths_of(each, comparison_test(each)), at)

    def _leaves(self) -> _Watched:
        """The written permissions of the host that cover the whole move."""
        days = [day for one in self._judgement.car.leaves for day in (one.first, _day_after(one.last))]
        return _Watched(
            lambda situation: tuple(leave.fact for leave in leave_facts(situation)), self._days.of_dates(days)
        )

    def _tests(self) -> Iterator[_Watched]:
        """The tests that a duty would have, but for their age on departure, or the last day that they name."""
        rulebook = self._judgement.rulebook
        days = [_day_after(asked.within.after(test.on)) for _, asked, test in _tests_of_duties(rulebook, self._here)
                if asked.within is not None and test.on is not None]  # fmt: skip
        yield _Watched(lambda situation: tuple(_tests_too_old(rulebook, situation)), self._days.of_dates(days))
        tests = [one for one in self._judgement.car.evidence if one.sort == "test" and one.until is not None]
        ends = [_day_after(one.until) for one in tests if one.until is not None]
        yield _Watched(
            lambda situation: tuple(one.until < situation.move.back for one in tests if one.until is not None),
            self._days.of_dates(ends),
        )

    @property
    def _here(self) -> Situation:
        return self._judgement.situation


def verdict_changes(one: CompiledCriterion, part: Part, situation: Situation, days: MoveDays) -> Iterator[int]:
    """The numbers of days at which the verdict of a criterion on a part can change."""
    criterion, out = one.criterion, situation.move.out
    anyone = PartView(situation, part.key, situation.values_of(part.key), out)
    yield from days.of_clause(criterion.when, anyone)
    yield from days.of_clause(criterion.unless, anyone)
    yield from days.of_clause(criterion.must, anyone, criterion.read_within)
    if one.shop:
        shown = PartView(situation, part.key, situation.values_of(part.key, shop=True), out, True)
        yield from days.of_clause(criterion.must, shown, criterion.read_within)


def _verdict_of(one: CompiledCriterion, key: str) -> Callable[[Situation], Hashable]:
    return lambda situation: judge_part(one, situation.standing.parts[key], situation, lambda: None).verdict


def _truths_of(comparison: Comparison, test: Test) -> Callable[[Situation], Hashable]:
    def says(situation: Situation) -> Hashable:
        views: list[PartView] = []
        for day, arriving in ((situation.move.out, False), (situation.move.back, True)):
            if comparison.path.owner == FACT:
                car = situation.values_of("car")
                views.extend(
                    PartView(situation, "car", car, day, facts=facts, arriving=arriving) for facts in _facts(situation)
                )
            else:
                views.extend(
                    PartView(situation, key, situation.values_of(key), day, arriving=arriving)
                    for key in _asked_on(comparison, situation)
                )
        return tuple(test(view) for view in views)

    return says


def _asked_on(comparison: Comparison, situation: Situation) -> Iterable[str]:
    """The parts from which a condition is looked at: the answer is the same from all where it is about the move."""
    if comparison.path.owner in _OF_THE_MOVE:
        return ("car",)
    if not comparison.path.owner:
        return (part.key for part in situation.standing.by_kind.get(comparison.path.attribute.kind, ()))
    return situation.values


def _told_apart(comparison: Comparison, keys: Iterable[str], situation: Situation) -> Iterable[str]:
    """Of the parts from which a condition sees the same, one."""
    limit = comparison.limit.path.owner if isinstance(comparison.limit, FromPart) else ""
    owners = [owner for owner in (comparison.path.owner, limit) if owner]
    if not owners:
        return keys
    return {tuple(situation.owner(key, owner) for owner in owners): key for key in keys}.values()


def _day_after(day: date) -> date:
    return day if day == date.max else day + timedelta(days=1)


def _facts(situation: Situation) -> Iterator[dict[str, Value]]:
    yield from (dict(entry.facts) for entry in situation.standing.work)
    yield from (dict(entry.facts) for entry in situation.standing.car.evidence if entry.sort == "test")


def _tests_of_duties(rulebook: Rulebook, situation: Situation) -> Iterator[tuple[str, Requires, Evidence]]:
    """The tests that count of those that duties ask for with an age: with the consequence and what it asks."""
    vocabulary = load_vocabulary()
    for consequence in rulebook.consequences:
        for asked in consequence.yields:
            if isinstance(asked, Requires) and asked.within is not None and asked.test:
                kind = vocabulary.tests[asked.test]
                for part in situation.standing.by_kind.get(kind.on, ()):
                    for evidence in situation.counted(part.key, kind.attribute):
                        yield consequence.id, asked, evidence


def _tests_too_old(rulebook: Rulebook, situation: Situation) -> Iterator[tuple[str, date]]:
    for consequence, asked, test in _tests_of_duties(rulebook, situation):
        if test.on is not None and asked.within is not None and asked.within.after(test.on) < situation.move.out:
            yield consequence, test.on


class EditionWatch:
    """Which rulebooks bind a move on other days."""

    def __init__(self, library: Library, planned: Move, move_on: MoveOn) -> None:
        self._library, self._move_on = library, move_on
        heads = [head for heads in library.heads.values() for head in heads]
        days = [*(head.in_force for head in heads), *(_day_after(head.until) for head in heads if head.until)]
        self._at = sorted(set(MoveDays(planned, 0, 0, 0).of_dates(days)))

    def rulebooks(self, number: int) -> Hashable:
        """What tells the rulebooks of one number from those of another; None where none binds the move."""
        try:
            choice = self._library.rulebooks(self._move_on(number))
        except InputRefused:
            return None
        return choice.at_out.digest, None if choice.at_back is None else choice.at_back.digest

    def next_change(self, now: int, last: int) -> int | None:
        """The first number after one, and up to another, at which other rulebooks bind the move, or none."""
        here = self.rulebooks(now)
        return next((one for one in self._at if now < one <= last and self.rulebooks(one) != here), None)
