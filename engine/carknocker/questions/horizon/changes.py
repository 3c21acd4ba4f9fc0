"""On which departures a judgement can come out otherwise than on the day before: a look at what dates decide.

Judging a day in full costs a hundred times as much, so that only these days are judged.
"""

from collections.abc import Hashable, Iterable, Iterator
from datetime import date

from carknocker.judgement.chain.causes import leave_facts
from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.criteria import CompiledCriterion, prepare
from carknocker.judgement.findings import judge_part
from carknocker.judgement.model import Judgement
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView
from carknocker.judgement.situation import Situation
from carknocker.questions.horizon.dated import dated_conditions, decided_by_dates, only_ages
from carknocker.record.model import Evidence, Move
from carknocker.record.move_parts import move_parts
from carknocker.record.standing import stand
from carknocker.record.values import Day, Value
from carknocker.rulebook.clauses import FACT, Comparison
from carknocker.rulebook.model import Requires, Rulebook
from carknocker.vocabulary import load_vocabulary

_OF_THE_MOVE = frozenset({"move", "train"})


class Watch:
    """What the dates of a move decide, of one judgement, under its rulebook and with what it found void.

    Two moves that differ in their days only are judged alike where both `ageing` and `others` are the same. What
    `ageing` tells never comes back once it has changed with a later day.
    """

    def __init__(self, judgement: Judgement) -> None:
        self._judgement = judgement
        dated = [one for one in prepare(judgement.rulebook).criteria if decided_by_dates(one)]
        later = _papers_begin_after(judgement.move.out, judgement.car.evidence)
        self._ageing = [one for one in dated if only_ages(one, papers_begin_later=later)]
        self._others = [one for one in dated if not only_ages(one, papers_begin_later=later)]
        self._conditions = [(each, comparison_test(each)) for each in dated_conditions(judgement.rulebook)]

    def ageing(self, move: Move) -> Hashable:
        """The verdicts that only ageing evidence decides."""
        return _verdicts(self._ageing, self._situation(move))

    def others(self, move: Move) -> Hashable:
        """Verdicts that may come and go, conditions of consequences, leaves, tests that are too old for a duty."""
        situation = self._situation(move)
        leaves = tuple(leave.fact for leave in leave_facts(situation))
        tests = tuple(_tests_too_old(self._judgement.rulebook, situation))
        return _verdicts(self._others, situation), tuple(self._truths(situation)), leaves, tests

    def _situation(self, move: Move) -> Situation:
        """The judgement's own situation, for other days of the move."""
        before = self._judgement.situation
        standing = stand(self._judgement.car, move, self._judgement.as_of)
        situation = Situation(standing, move, before.excluded, before)
        for part, _ in move_parts(move):
            told = standing.evidence.get(part.key, {})
            situation.views[part.key] = {
                name: ObservedValue(found[-1].value, found[-1]) for name, found in told.items()
            }
        return situation

    def _truths(self, situation: Situation) -> Iterator[int]:
        """Each dated condition on every part, or of every entry of the log whose facts it asks for."""
        day = situation.move.out
        for each, test in self._conditions:
            if each.path.owner == FACT:
                view = situation.view("car")
                for facts in _facts(situation):
                    yield test(PartView(situation, "car", view, day, facts=facts))
                continue
            for key in _asked_on(each, situation):
                yield test(PartView(situation, key, situation.view(key), day))


def _asked_on(comparison: Comparison, situation: Situation) -> Iterable[str]:
    """The parts from which a condition is looked at: the answer is the same from all where it is about the move."""
    if comparison.path.owner in _OF_THE_MOVE:
        return ("car",)
    if not comparison.path.owner:
        return (part.key for part in situation.standing.by_kind.get(comparison.path.attribute.kind, ()))
    return situation.views


def _facts(situation: Situation) -> Iterator[dict[str, Value]]:
    yield from (dict(entry.facts) for entry in situation.standing.work)
    yield from (dict(entry.facts) for entry in situation.standing.car.evidence if entry.sort == "test")


def _papers_begin_after(day: date, evidence: Iterable[Evidence]) -> bool:
    starts = (one.facts.get("from") for one in evidence if one.sort == "paper")
    return any(isinstance(start, Day) and start.first > day for start in starts)


def _verdicts(criteria: Iterable[CompiledCriterion], situation: Situation) -> tuple[str, ...]:
    return tuple(
        judge_part(one, part, situation, lambda: None).verdict
        for one in criteria
        for part in situation.standing.by_kind.get(one.criterion.of, ())
    )


def _tests_too_old(rulebook: Rulebook, situation: Situation) -> Iterator[tuple[str, date]]:
    """The tests that a duty would have, but for their age on departure."""
    vocabulary = load_vocabulary()
    for consequence in rulebook.consequences:
        for asked in consequence.yields:
            if not isinstance(asked, Requires) or asked.within is None or not asked.test:
                continue
            kind = vocabulary.tests[asked.test]
            for part in situation.standing.by_kind.get(kind.on, ()):
                for evidence in situation.counted(part.key, kind.attribute):
                    if evidence.on is not None and asked.within.after(evidence.on) < situation.move.out:
                        yield consequence.id, evidence.on
