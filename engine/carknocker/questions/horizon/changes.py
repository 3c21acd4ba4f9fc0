"""On which departures the judgement can come out otherwise than on the day before: a look at all that a date decides.

Judging a day in full costs a hundred times as much, so that only these days are judged.
"""

from collections.abc import Hashable, Iterator
from datetime import date

from carknocker.judgement.chain.causes import leave_items, state_items
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.compiled import Compiled
from carknocker.judgement.findings import judge_part
from carknocker.judgement.model import Judgement
from carknocker.judgement.prepared import prepare
from carknocker.judgement.situation import Situation
from carknocker.record.model import Move
from carknocker.record.standing import stand
from carknocker.rulebook.clauses import Clause
from carknocker.rulebook.model import Requires, Rulebook
from carknocker.vocabulary import load_vocabulary

_OF_THE_MOVE = frozenset({"move", "train", "leg"})
_DATED = frozenset({"within", "in_force", "before", "after"})


def what_dates_decide(judgement: Judgement, move: Move) -> Hashable:
    """Two moves that differ in their days only, under one rulebook, are judged alike where this is the same.

    What is void does not depend on the days of the move: it is taken over from the judgement.
    """
    standing = stand(judgement.car, move, judgement.as_of)
    situation = Situation(standing, move, judgement.situation.excluded)
    prepared = prepare(judgement.rulebook)
    verdicts = tuple(
        judge_part(one, part, situation, lambda: None).verdict
        for one in prepared.criteria
        if _decided_by_dates(one)
        for part in standing.by_kind.get(one.criterion.of, ())
    )
    rules = (prepared.relieves, prepared.chain)
    states = tuple(item.fact.name for index in rules for item in state_items(situation, index))
    leaves = tuple(item.fact.name for item in leave_items(situation))
    return verdicts, states, leaves, tuple(_tests_too_old(judgement.rulebook, situation))


def _decided_by_dates(one: Compiled) -> bool:
    criterion = one.criterion
    return one.dated or criterion.of in _OF_THE_MOVE or any(
        _looks_at_dates(clause) for clause in (criterion.when, criterion.unless, criterion.must)
    )  # fmt: skip


def _looks_at_dates(clause: Clause | None) -> bool:
    return any(
        one.word in _DATED or one.path.owner in _OF_THE_MOVE or one.path.value_attribute.type in ("date", "period")
        for one in comparisons_in(clause)
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
