"""What a finding depends on: which comparisons would have to come out otherwise, and what each of them looks at that
could be otherwise: readings, facts, days."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from itertools import combinations, product
from typing import Literal

import msgspec
from msgspec.structs import replace

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import comparison_test, getter
from carknocker.judgement.part_view import PartView
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS, HOLDS, NEAR
from carknocker.record.model import Evidence
from carknocker.record.values import Day, Value
from carknocker.rulebook.clauses import (
    AllOf,
    AnyOf,
    AttributePath,
    Clause,
    Comparison,
    CountOf,
    EachOf,
    FromPart,
    Unanswered,
)
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.workings import Worked

MOST = 24
"""Choices that are looked at; a clause of the law offers one or two."""


class Goal(msgspec.Struct, frozen=True):
    """A comparison, as seen from a part, that has to hold (or, `holds` false, to fail)."""

    key: str
    comparison: Comparison
    holds: bool

    def reached(self, sight: PartView) -> bool:
        """Whether it comes out so, seen from its own part. sight: of any part, in the situation that is asked."""
        truth = comparison_test(self.comparison)(sight.at(self.key))
        return truth == HOLDS if self.holds else truth == FAILS


GoalChoice = tuple[Goal, ...]


def goal_choices(clause: Clause, sight: PartView, holds: bool = True) -> tuple[GoalChoice, ...]:
    """Every choice of goals that makes a clause hold, or fail, seen from a part. An empty choice: nothing has to be
    otherwise. What nothing shows can't be otherwise: it is left as it is."""
    if _is_so(clause, sight, holds):
        return ((),)
    match clause:
        case Comparison():
            return ((Goal(sight.key, clause, holds),),)
        case AllOf(clauses) | AnyOf(clauses):
            each = [goal_choices(member, sight, holds) for member in clauses]
            return _all(each) if isinstance(clause, AllOf) is holds else _any(each)
        case EachOf(kind, when, must):
            inside = [sight.at(key) for key in sight.situation.standing.inside_of(sight.key, kind)]
            asked = [one for one in inside if when is None or clause_test(when)(one) != FAILS]
            each = [goal_choices(must, one, holds) for one in asked]
            return _all(each) if holds else _any(each)
        case CountOf():
            return _counted(clause, sight) if holds else ()
        case Unanswered():
            return ()


def _counted(clause: CountOf, sight: PartView) -> tuple[GoalChoice, ...]:
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
    found: dict[GoalChoice, None] = {}
    for some in combinations(each, number):
        found.update(dict.fromkeys(_all([goal_choices(clause.when, one, wanted) for one in some])))
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


def _all(each: Iterable[tuple[GoalChoice, ...]]) -> tuple[GoalChoice, ...]:
    found: dict[GoalChoice, None] = {(): None}
    for options in each:
        found = {
            tuple(dict.fromkeys((*before, *option))): None for before, option in product(found, options)
        }  # fmt: skip
        if len(found) > MOST:
            found = dict.fromkeys(tuple(found)[:MOST])
    return tuple(found)


def _any(each: Iterable[tuple[GoalChoice, ...]]) -> tuple[GoalChoice, ...]:
    return tuple(dict.fromkeys(option for options in each for option in options))[:MOST]


Adjusts = Literal["value", "fact", "on", "until"]
_FIXED_BY_DATES = ("out", "back")


class AdjustableInput(msgspec.Struct, frozen=True):
    """One thing that could be otherwise. evidence: all that shows it (what anyone read, and what an accepted
    person read, may be two). adjusts: the value, a fact of a test or paper, the day of the evidence, or the last
    day of a paper. role: what the goal compares itself, its limit, or a reading that a figure is worked
    out from."""

    evidence: tuple[Evidence, ...]
    attribute: Attribute
    fact: Attribute | None
    adjusts: Adjusts
    role: Literal["own", "limit", "used"]

    @property
    def key(self) -> tuple[str, ...]:
        return self.evidence[0].part, self.attribute.name, "" if self.fact is None else self.fact.name, self.adjusts

    @property
    def type(self) -> str:
        """The type of what is adjusted."""
        if self.adjusts in ("on", "until"):
            return "date"
        return (self.fact or self.attribute).type

    @property
    def now(self) -> Value | None:
        """What stands there."""
        first = self.evidence[0]
        match self.adjusts:
            case "value":
                return first.value
            case "fact":
                return None if self.fact is None else first.facts.get(self.fact.name)
            case "on":
                return _day(first.on)
            case "until":
                return _day(first.until)

    def adjusted(self, value: Value) -> Mapping[str, Evidence]:
        """The evidence with that value, by id."""
        return {one.id: self._one(one, value) for one in self.evidence}

    def _one(self, evidence: Evidence, value: Value) -> Evidence:
        if self.adjusts == "on" and isinstance(value, Day):
            return replace(evidence, on=value.first)
        if self.adjusts == "until" and isinstance(value, Day):
            return replace(evidence, until=value.first)
        if self.adjusts == "fact" and self.fact is not None:
            return replace(evidence, facts={**evidence.facts, self.fact.name: value})
        return replace(evidence, value=value)


def _day(day: date | None) -> Day | None:
    return None if day is None else Day(day, day, day.isoformat())


def inputs_of(goal: Goal, sight: PartView) -> Iterator[AdjustableInput]:
    """What a goal depends on: its own value first, then a limit that another attribute gives."""
    comparison = goal.comparison
    own = sight.at(goal.key)
    yield from _of_path(comparison.path, own, _adjusts(goal), "own")
    if isinstance(comparison.limit, FromPart):
        yield from _of_path(comparison.limit.path, own, "value", "limit")


def _adjusts(goal: Goal) -> Adjusts:
    path, word = goal.comparison.path, goal.comparison.word
    if word == "in_force":
        return "until"
    if path.fact is not None:
        return "fact"
    if word in ("within", "before", "after") and path.attribute.type != "date":
        return "on"
    return "value"


def _of_path(
    path: AttributePath, sight: PartView, adjusts: Adjusts, role: Literal["own", "limit"]
) -> Iterator[AdjustableInput]:
    situation = sight.situation
    owner = situation.owner(sight.key, path.owner) if path.owner else sight.key
    if owner is None or path.owner == "fact":
        return
    attribute = path.attribute
    evidence = _shown(owner, path, sight)
    if evidence:
        if situation.standing.parts[owner].kind == "move" and attribute.name in _FIXED_BY_DATES:
            return
        failed = attribute.type == "test" and any(_failed(one) for one in evidence)
        yield AdjustableInput(evidence, attribute, path.fact, "value" if failed else adjusts, role)
    elif attribute.derived:
        yield from _used(owner, attribute, sight)


def _failed(evidence: Evidence) -> bool:
    text = getattr(evidence.value, "text", "passed")
    return bool(text.casefold() != "passed")


def _shown(owner: str, path: AttributePath, sight: PartView) -> tuple[Evidence, ...]:
    """The evidence that counts, by anyone and by accepted persons; of several papers the one that is looked at."""
    situation = sight.situation
    found: dict[str, Evidence] = {}
    held = getter(replace(path, fact=None))(sight)
    if held is not None and held.evidence is not None:
        found[held.evidence.id] = held.evidence
    for shop in (sight.shop, False):
        newest = situation.values_of(owner, shop=shop).get(path.attribute.name)
        if newest is not None and newest.evidence is not None and not (path.beside and found):
            found[newest.evidence.id] = newest.evidence
    return tuple(found.values())


def _used(owner: str, attribute: Attribute, sight: PartView) -> Iterator[AdjustableInput]:
    """Every reading that a figure was worked out from."""
    situation: Situation = sight.situation
    worked = situation.work_out(owner, attribute, shop=sight.shop)
    if not isinstance(worked, Worked):
        return
    vocabulary = load_vocabulary()
    for evidence in dict.fromkeys(one.id for one in worked.used):
        entry = next(one for one in worked.used if one.id == evidence)
        part = situation.standing.parts.get(entry.part)
        named = None if part is None else vocabulary.attribute(part.kind, entry.attribute)
        if named is not None and named.type not in ("identity", "text"):
            yield AdjustableInput((entry,), named, None, "value", "used")
