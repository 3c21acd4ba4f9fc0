"""Consequences taken apart: a rule is one cause and one yield, in the stage where it belongs; and which facts of the
chain the cause of a rule is about."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal, TypeVar

import msgspec
from msgspec.structs import replace

from carknocker.judgement.clause_tests import clause_test, may_begin, may_end
from carknocker.judgement.facts import (
    ChainFact,
    DutyFact,
    EntryFact,
    FindingFact,
    LeaveFact,
    PassedTestFact,
    SeenFact,
    StateFact,
)
from carknocker.judgement.part_view import PartView, Test
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN
from carknocker.rulebook.clauses import Clause
from carknocker.rulebook.model import CarriesUp, Cause, Consequence, Relieves, Requires, Voids, Yield

Stage = Literal["voids", "relieves", "chain"]
ANY = "*"


class Condition:
    """What narrows a cause, or the state that is one, over the whole move: it burdens from the first day on which it
    holds, and it relieves only if it holds to the end. relieves: of a rule that takes away.

    The clause is made ready when it is first asked: most causes never come up.
    """

    __slots__ = ("_changes", "_clause", "_relieves", "_test")

    def __init__(self, clause: Clause, *, relieves: bool) -> None:
        self._clause = clause
        self._relieves = relieves
        self._test: Test | None = None
        self._changes = False

    def __call__(self, sight: PartView) -> int:
        """One of the four degrees of `truth`, of what is seen on departure and, where it can differ, on arrival."""
        if self._test is None:
            self._test = clause_test(self._clause)
            self._changes = (may_end if self._relieves else may_begin)(self._clause)
        truth = self._test(sight)
        if not self._changes or truth == (FAILS if self._relieves else HOLDS):
            return truth
        arrived = self._test(sight.on_arrival())
        return min(truth, arrived) if self._relieves else max(truth, arrived)


class Rule(msgspec.Struct, frozen=True, eq=False):
    """One alternative cause of a consequence with one of its yields. `number` names it within a rulebook.

    subject: what this alternative names, as in `ChainFact`; "" for any. verdict: of this alternative, "" where the
    cause is no finding. match_key: what the alternative looks for, as one short string (`match_keys`). when: what
    narrows the cause; for a `state`, the state.
    """

    number: int
    stage: Stage
    consequence: Consequence
    yield_number: int
    cause_number: int
    cause: Cause
    produces: Yield
    subject: str
    verdict: str
    match_key: str
    when: Condition | None
    chapter_when: Condition | None

    @property
    def kind(self) -> str:
        """The word of its yield: voids, carries_up, requires, restricts, relieves."""
        return _WORDS.get(type(self.produces), "restricts")

    @property
    def least_truth(self) -> int:
        """How true its conditions have to be. What can't be decided stops nothing, except what relieves."""
        return NEAR if isinstance(self.produces, Relieves) else UNKNOWN


_WORDS = {Voids: "voids", CarriesUp: "carries_up", Requires: "requires", Relieves: "relieves"}
KINDS = ("voids", "carries_up", "requires", "restricts", "relieves")


def stage_of(produces: Yield) -> Stage:
    """The stage in which a yield is worked out."""
    if isinstance(produces, Voids):
        return "voids"
    return "relieves" if isinstance(produces, Relieves) else "chain"


def rules_of(consequences: Iterable[Consequence]) -> tuple[Rule, ...]:
    """All rules of the consequences: each alternative of each cause (several names, criteria, verdicts are
    alternatives) with each yield."""
    rules: list[Rule] = []
    for consequence in consequences:
        chapters = _conditions(consequence.when)
        for cause_number, cause in _causes(consequence):
            whens = _conditions(cause.when)
            alternatives = _alternatives(consequence, cause)
            for yield_number, produces in enumerate(consequence.yields):
                stage = stage_of(produces)
                if cause not in consequence.causes and not (isinstance(produces, Requires) and produces.test):
                    continue
                for subject, verdict in alternatives:
                    key = _looked_for(stage, cause, cause_number, subject, verdict)
                    place = (yield_number, cause_number, cause, produces, subject, verdict)
                    narrowed = whens[stage == "relieves"], chapters[stage == "relieves"]
                    rules.append(Rule(len(rules), stage, consequence, *place, key, *narrowed))
    return tuple(rules)


def _causes(consequence: Consequence) -> Iterator[tuple[int, Cause]]:
    """The causes as written. A call for a test outlives the repair: so where a finding of named criteria calls for one,
    a reading that was once beyond their limits does, too."""
    yield from enumerate(consequence.causes)
    if any(isinstance(produces, Requires) and produces.test for produces in consequence.yields):
        for number, cause in enumerate(consequence.causes):
            if cause.sort == "finding" and cause.criteria and {"breached", "unmet"} & {*(cause.verdicts or ("unmet",))}:
                yield number, replace(cause, sort="seen", verdicts=("breached",), effect="")


def _conditions(clause: Clause | None) -> tuple[Condition | None, Condition | None]:
    """A clause as what burdens asks it, and as a relief does."""
    if clause is None:
        return None, None
    return Condition(clause, relieves=False), Condition(clause, relieves=True)


def _alternatives(consequence: Consequence, cause: Cause) -> list[tuple[str, str]]:
    """What a cause names, one alternative each: the subject, and of a finding the verdict."""
    match cause.sort:
        case "finding":
            return [
                (criterion, verdict)
                for verdict in (cause.verdicts or ("unmet",))
                for criterion in (cause.criteria or ("",))
            ]
        case "seen":
            return [(criterion, "") for criterion in cause.criteria]
        case "state":
            return [(consequence.id, "")]
        case "leave":
            return [("", "")]
        case "duty":
            return [(name, "") for name in (cause.names or ("",))]
        case _:
            return [(name, "") for name in cause.names]


def _looked_for(stage: Stage, cause: Cause, cause_number: int, subject: str, verdict: str) -> str:
    """The key that one alternative of a cause looks for."""
    first, of = f"{stage[0]}:{cause.sort}|", cause.of or ANY
    match cause.sort:
        case "work" | "event" | "test":
            return f"{first}{subject}|{of}"
        case "state":
            return f"{first}{subject}|{cause_number}"
        case "finding":
            return f"{first}{verdict}|{subject or ANY}|{of}|{cause.effect or ANY}"
        case _:
            return f"{first}{subject or ANY}"


def match_keys(fact: ChainFact, stage: Stage) -> list[str]:
    """Every key under which a cause may look for the fact in a stage."""
    of = fact.fact
    first, subject = f"{stage[0]}:{of.sort}|", fact.subject
    match of:
        case EntryFact() | PassedTestFact():
            return [f"{first}{subject}|{fact.kind}", f"{first}{subject}|{ANY}"]
        case LeaveFact():
            return [f"{first}{ANY}"]
        case StateFact():
            return [f"{first}{subject}|{of.cause_number}"]
        case FindingFact():
            verdicts = (fact.verdict, "unmet") if fact.unmet else (fact.verdict,)
            effects = (fact.effect, ANY) if fact.effect else (ANY,)
            return [
                f"{first}{verdict}|{criterion}|{kind}|{effect}"
                for verdict in verdicts
                for criterion in (subject, ANY)
                for kind in (fact.kind, ANY)
                for effect in effects
            ]
        case DutyFact():
            return [f"{first}{subject}", f"{first}{ANY}"] if fact.verdict == "open" else []
        case _:
            return [f"{first}{subject}"]


def may_be_cause(rule: Rule, fact: ChainFact) -> bool:
    """Whether the cause of a rule, as written, is about this fact. Reads the structured cause, not the match keys, so
    that a wrong key shows as a difference between the two evaluators."""
    cause, of = rule.cause, fact.fact
    if cause.sort != of.sort:
        return False
    match of:
        case FindingFact():
            verdicts = cause.verdicts or ("unmet",)
            if fact.verdict not in verdicts and not (fact.unmet and "unmet" in verdicts):
                return False
            if cause.criteria and fact.subject not in cause.criteria:
                return False
            return cause.of in ("", fact.kind) and cause.effect in ("", fact.effect)
        case StateFact():
            return of.consequence == rule.consequence.id and of.cause_number == rule.cause_number
        case LeaveFact():
            return True
        case EntryFact() | PassedTestFact():
            return fact.subject in cause.names and cause.of in ("", fact.kind)
        case SeenFact():
            return fact.subject in cause.criteria
        case DutyFact():
            return fact.verdict == "open" and (not cause.names or fact.subject in cause.names)
        case _:
            return fact.subject in cause.names


class RuleIndex(msgspec.Struct, frozen=True, eq=False):
    """The rules of one stage: by number, by sort of cause, by match key, and by what their cause is about.

    about: (sort, subject) for causes that name one; (sort, "of" and a kind of part) for findings of any criterion on
    that kind; (sort, "") for all others. What was once worked out of a fact is kept for all that ask the same.
    """

    rules: tuple[Rule, ...]
    by_number: Mapping[int, Rule]
    by_sort: Mapping[str, tuple[Rule, ...]]
    by_match_key: Mapping[str, tuple[Rule, ...]]
    about: Mapping[tuple[str, str], tuple[Rule, ...]]
    _caused: dict[tuple[object, ...], tuple[Rule, ...]] = msgspec.field(default_factory=dict)
    _keys: dict[tuple[object, ...], tuple[str, ...]] = msgspec.field(default_factory=dict)

    def caused_by(self, fact: ChainFact) -> tuple[Rule, ...]:
        """The rules whose cause, as written, is about a fact; each once."""
        asked = _asked_of(fact)
        found = self._caused.get(asked)
        if found is None:
            sort = fact.fact.sort
            about = dict.fromkeys(((sort, ""), (sort, f"of {fact.kind}"), (sort, fact.subject)))
            candidates = (rule for one in about for rule in self.about.get(one, ()))
            found = self._caused[asked] = tuple(rule for rule in candidates if may_be_cause(rule, fact))
        return found

    def keys_of(self, fact: ChainFact, stage: Stage) -> tuple[str, ...]:
        """The match keys of a fact that some rule of the stage looks for."""
        asked = _asked_of(fact)
        found = self._keys.get(asked)
        if found is None:
            found = tuple(key for key in match_keys(fact, stage) if key in self.by_match_key)
            self._keys[asked] = found
        return found


def _asked_of(fact: ChainFact) -> tuple[object, ...]:
    """All that a cause as written asks of a fact: facts that are alike in it cause the same rules."""
    of = fact.fact
    number = of.cause_number if isinstance(of, StateFact) else 0
    subject = "" if isinstance(of, LeaveFact) else fact.subject
    return of.sort, subject, fact.kind, fact.verdict, fact.unmet, fact.effect, number


def _about(rule: Rule) -> tuple[str, str]:
    sort = rule.cause.sort
    if rule.subject or not rule.cause.of:
        return sort, rule.subject
    return sort, f"of {rule.cause.of}"


def index(rules: Iterable[Rule], stage: Stage) -> RuleIndex:
    """The rules of one stage, ready to be looked up."""
    chosen = tuple(rule for rule in rules if rule.stage == stage)
    by_sort: dict[str, list[Rule]] = {}
    by_match_key: dict[str, list[Rule]] = {}
    about: dict[tuple[str, str], list[Rule]] = {}
    for rule in chosen:
        by_sort.setdefault(rule.cause.sort, []).append(rule)
        by_match_key.setdefault(rule.match_key, []).append(rule)
        about.setdefault(_about(rule), []).append(rule)
    by_number = {rule.number: rule for rule in chosen}
    return RuleIndex(chosen, by_number, _frozen(by_sort), _frozen(by_match_key), _frozen(about))


_Key = TypeVar("_Key")


def _frozen(groups: Mapping[_Key, list[Rule]]) -> dict[_Key, tuple[Rule, ...]]:
    return {key: tuple(members) for key, members in groups.items()}
