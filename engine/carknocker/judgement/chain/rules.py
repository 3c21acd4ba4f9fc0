"""Consequences taken apart: a rule is one cause and one yield, in the stage where it belongs."""

from collections.abc import Iterable, Mapping
from typing import Literal, TypeVar

import msgspec

from carknocker.judgement.chain.condition import Condition
from carknocker.rulebook.clauses import Clause
from carknocker.rulebook.model import CarriesUp, Cause, Consequence, Relieves, Requires, Withdraws, Yield

Stage = Literal["withdraws", "relieves", "chain"]
ANY = "*"


class Rule(msgspec.Struct, frozen=True, eq=False):
    """One alternative cause of a consequence with one of its yields. `number` names it within a rulebook.

    sign: the one sign that its cause looks for (`signs`). when: what narrows the cause; for a `state`, the state.
    """

    number: int
    stage: Stage
    consequence: Consequence
    yield_number: int
    cause_number: int
    cause: Cause
    produces: Yield
    sign: str
    when: Condition | None
    chapter_when: Condition | None

    @property
    def kind(self) -> str:
        """The word of its yield: withdraws, carries_up, requires, restricts, relieves."""
        return _WORDS.get(type(self.produces), "restricts")


_WORDS = {Withdraws: "withdraws", CarriesUp: "carries_up", Requires: "requires", Relieves: "relieves"}
KINDS = ("withdraws", "carries_up", "requires", "restricts", "relieves")


def stage_of(produces: Yield) -> Stage:
    if isinstance(produces, Withdraws):
        return "withdraws"
    return "relieves" if isinstance(produces, Relieves) else "chain"


def rules_of(consequences: Iterable[Consequence]) -> tuple[Rule, ...]:
    """All rules of the consequences: each alternative of each cause (several names, criteria, verdicts are
    alternatives) with each yield."""
    rules: list[Rule] = []
    for consequence in consequences:
        chapters = _conditions(consequence.when)
        for cause_number, cause in enumerate(consequence.causes):
            whens = _conditions(cause.when)
            signs = cause_signs(consequence, cause_number, cause)
            for yield_number, produces in enumerate(consequence.yields):
                stage = stage_of(produces)
                for sign in signs:
                    place = (yield_number, cause_number, cause, produces)
                    narrowed = whens[stage == "relieves"], chapters[stage == "relieves"]
                    rules.append(Rule(len(rules), stage, consequence, *place, f"{stage[0]}:{sign}", *narrowed))
    return tuple(rules)


def _conditions(clause: Clause | None) -> tuple[Condition | None, Condition | None]:
    """A clause as what burdens asks it, and as a relief does."""
    if clause is None:
        return None, None
    return Condition(clause, relieves=False), Condition(clause, relieves=True)


def cause_signs(consequence: Consequence, cause_number: int, cause: Cause) -> tuple[str, ...]:
    """The signs that a cause looks for, one for each alternative it names."""
    of = cause.of or ANY
    match cause.sort:
        case "work" | "event" | "test":
            return tuple(f"{cause.sort}|{name}|{of}" for name in cause.names)
        case "leave":
            return (f"leave|{ANY}",)
        case "state":
            return (f"state|{consequence.id}|{cause_number}",)
        case "finding":
            effect = cause.effect or ANY
            return tuple(
                f"finding|{verdict}|{criterion}|{of}|{effect}"
                for verdict in (cause.verdicts or ("unmet",))
                for criterion in (cause.criteria or (ANY,))
            )
        case "seen":
            return tuple(f"seen|{criterion}" for criterion in cause.criteria)
        case "unfit" | "restricted":
            return tuple(f"{cause.sort}|{name}" for name in cause.names)
        case "duty":
            return tuple(f"duty|{name}" for name in (cause.names or (ANY,)))


class RuleIndex(msgspec.Struct, frozen=True, eq=False):
    """The rules of one stage: by what their cause is about (for the plain evaluator and the proof), and by sign.

    about: (sort, name) for causes that name work, an event, a test, a kind, a criterion or a state; (sort, "of" and a
    kind of part) for findings of any criterion on that kind; (sort, "") for all others.
    """

    rules: tuple[Rule, ...]
    about: Mapping[tuple[str, str], tuple[Rule, ...]]
    by_sort: Mapping[str, tuple[Rule, ...]]
    by_sign: Mapping[str, tuple[Rule, ...]]

    def candidates(self, sort: str, names: tuple[str, ...], kind: str) -> list[Rule]:
        """The rules whose cause can be about an item of that sort with these names, on that kind of part; each once."""
        about = self.about
        found = [*about.get((sort, ""), ()), *about.get((sort, f"of {kind}"), ())]
        for name in names[:1] if sort == "state" else names:
            found.extend(about.get((sort, name), ()))
        return found


_NAMED = frozenset({"work", "event", "test", "unfit", "restricted", "seen"})


def _subject(rule: Rule) -> tuple[str, str]:
    """What a rule's one sign names, for the sorts of cause that name something."""
    sort = rule.cause.sort
    if sort == "state":
        return sort, rule.consequence.id
    if sort == "finding":
        _, _, criterion, of, _ = rule.sign.split("|")
        return sort, criterion if criterion != ANY else "" if of == ANY else f"of {of}"
    return (sort, rule.sign.split("|")[1]) if sort in _NAMED else (sort, "")


def index(rules: Iterable[Rule], stage: Stage) -> RuleIndex:
    chosen = tuple(rule for rule in rules if rule.stage == stage)
    by_sort: dict[str, list[Rule]] = {}
    by_sign: dict[str, list[Rule]] = {}
    about: dict[tuple[str, str], list[Rule]] = {}
    for rule in chosen:
        by_sort.setdefault(rule.cause.sort, []).append(rule)
        by_sign.setdefault(rule.sign, []).append(rule)
        about.setdefault(_subject(rule), []).append(rule)
    return RuleIndex(chosen, _frozen(about), _frozen(by_sort), _frozen(by_sign))


_Key = TypeVar("_Key")


def _frozen(groups: Mapping[_Key, list[Rule]]) -> dict[_Key, tuple[Rule, ...]]:
    return {key: tuple(members) for key, members in groups.items()}
