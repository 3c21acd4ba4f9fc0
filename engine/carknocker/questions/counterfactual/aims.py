"""Which comparisons would have to come out otherwise for a clause to hold: every smallest choice of them."""

from collections.abc import Iterable
from itertools import combinations, product

import msgspec

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import FAILS, HOLDS, NEAR
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf

MOST = 24
"""Choices that are looked at; a clause of the law offers one or two."""


class Aim(msgspec.Struct, frozen=True):
    """A comparison, as seen from a part, that has to hold (or, `holds` false, to fail)."""

    key: str
    comparison: Comparison
    holds: bool

    def reached(self, sight: PartView) -> bool:
        """Whether it comes out so, seen from its own part. sight: of any part, in the situation that is asked."""
        truth = comparison_test(self.comparison)(sight.at(self.key))
        return truth == HOLDS if self.holds else truth == FAILS


Choice = tuple[Aim, ...]


def choices(clause: Clause, sight: PartView, holds: bool = True) -> tuple[Choice, ...]:
    """Every choice of aims that makes a clause hold, or fail, seen from a part. An empty choice: nothing has to
    be turned. What nothing shows can't be turned: it is left as it is."""
    if _is_so(clause, sight, holds):
        return ((),)
    match clause:
        case Comparison():
            return ((Aim(sight.key, clause, holds),),)
        case AllOf(clauses) | AnyOf(clauses):
            each = [choices(member, sight, holds) for member in clauses]
            return _all(each) if isinstance(clause, AllOf) is holds else _any(each)
        case EachOf(kind, when, must):
            inside = [sight.at(key) for key in sight.situation.standing.inside_of(sight.key, kind)]
            asked = [one for one in inside if when is None or clause_test(when)(one) != FAILS]
            each = [choices(must, one, holds) for one in asked]
            return _all(each) if holds else _any(each)
        case CountOf():
            return _counted(clause, sight) if holds else ()


def _counted(clause: CountOf, sight: PartView) -> tuple[Choice, ...]:
    """As many parts as there are too many (or too few), in every combination."""
    if clause.when is None:
        return ()
    test = clause_test(clause.when)
    inside = [sight.at(key) for key in sight.situation.standing.inside_of(sight.key, clause.kind)]
    so = [one for one in inside if test(one) >= NEAR]
    others = [one for one in inside if test(one) == FAILS]
    least, most = _allowed(clause)
    if most is not None and len(so) > most:
        each, wanted, number = so, False, len(so) - most
    else:
        each, wanted, number = others, True, least - len(so)
    if number > len(each):
        return ()
    found: dict[Choice, None] = {}
    for some in combinations(each, number):
        found.update(dict.fromkeys(_all([choices(clause.when, one, wanted) for one in some])))
        if len(found) >= MOST:
            break
    return tuple(found)[:MOST]


def _allowed(clause: CountOf) -> tuple[int, int | None]:
    number = clause.number
    match clause.word:
        case "over":
            return number + 1, None
        case "at_least":
            return number, None
        case "under":
            return 0, number - 1
        case "at_most":
            return 0, number
        case "is":
            return number, number


def _is_so(clause: Clause, sight: PartView, holds: bool) -> bool:
    truth = clause_test(clause)(sight)
    return truth != FAILS if holds else truth < NEAR


def _all(each: Iterable[tuple[Choice, ...]]) -> tuple[Choice, ...]:
    found: dict[Choice, None] = {(): None}
    for options in each:
        found = {
            tuple(dict.fromkeys((*before, *option))): None for before, option in product(found, options)
        }  # fmt: skip
        if len(found) > MOST:
            found = dict.fromkeys(tuple(found)[:MOST])
    return tuple(found)


def _any(each: Iterable[tuple[Choice, ...]]) -> tuple[Choice, ...]:
    return tuple(dict.fromkeys(option for options in each for option in options))[:MOST]
