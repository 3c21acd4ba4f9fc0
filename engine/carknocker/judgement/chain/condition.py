"""What narrows a cause, or the state that is one, over the whole move: it burdens from the first day on which it holds,
and it relieves only if it holds to the end."""

from carknocker.judgement.clause_tests import clause_test, may_begin, may_end
from carknocker.judgement.part_view import PartView, Test
from carknocker.judgement.truth import FAILS, HOLDS
from carknocker.rulebook.clauses import Clause


class Condition:
    """A clause made ready when it is first asked: most causes never come up. relieves: of a rule that takes away."""

    __slots__ = ("_clause", "_relieves", "_test", "_turns")

    def __init__(self, clause: Clause, *, relieves: bool) -> None:
        self._clause = clause
        self._relieves = relieves
        self._test: Test | None = None
        self._turns = False

    def __call__(self, sight: PartView) -> int:
        """One of the four degrees of `truth`, of what is seen on departure and, where it can differ, on arrival."""
        if self._test is None:
            self._test = clause_test(self._clause)
            self._turns = (may_end if self._relieves else may_begin)(self._clause)
        truth = self._test(sight)
        if not self._turns or truth == (FAILS if self._relieves else HOLDS):
            return truth
        arrived = self._test(sight.on_arrival())
        return min(truth, arrived) if self._relieves else max(truth, arrived)
