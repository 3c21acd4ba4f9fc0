"""The cause of a consequence in a worked example: the part, what was done or happened to it, what there is about it."""

from datetime import date
from fractions import Fraction

from msgspec.structs import replace

from carknocker.documents import Location
from carknocker.judgement.chain.causes import state_facts, work_facts
from carknocker.judgement.chain.rules import Rule, index
from carknocker.judgement.examples import standing_of
from carknocker.judgement.facts import (
    ChainFact,
    DutyFact,
    FindingFact,
    LeaveFact,
    RestrictedFact,
    SeenFact,
    TestFact,
    UnfitFact,
)
from carknocker.judgement.situation import Situation
from carknocker.quantities import Quantity
from carknocker.record.model import Leg, Move, Work
from carknocker.record.standing import Standing
from carknocker.rulebook.clauses import FACT
from carknocker.rulebook.model import ConsequenceExample
from carknocker.vocabulary.model import Vocabulary

_NOWHERE = Location("example", 1, 1)
_LONG_AGO = date(2000, 1, 1)
"""The day of the work or event of an example: whatever answers it was done later."""
_A_MILE = Quantity.of("distance", Fraction(1), "mi")


def standing_for(rule: Rule, example: ConsequenceExample, vocabulary: Vocabulary) -> tuple[Standing, Move, str]:
    """The car and the move of an example, and the key of the part that the cause of a rule is on."""
    cause = rule.cause
    clauses = (cause.when, rule.consequence.when)
    standing, move, key = standing_of(_kind(rule, vocabulary), clauses, example, vocabulary)
    facts = {
        name.removeprefix("train."): value for name, value in example.given.items() if name.startswith("train.")
    }  # fmt: skip
    leg = Leg(1, "here", "there", example.move_runs or _A_MILE, {}, _NOWHERE, move.out, move.back)
    move = replace(move, train_facts=facts, legs=(leg,))
    work: tuple[Work, ...] = ()
    if cause.sort in ("work", "event"):
        given = {
            name.removeprefix(f"{FACT}."): value for name, value in example.given.items() if name.startswith(f"{FACT}.")
        }
        work = tuple(
            Work("the example", cause.sort == "event", name, _LONG_AGO, (key,), _NOWHERE, facts=given)
            for name in cause.names
            if example.happened in ("", name)
        )
    return replace(standing, move=move, work=work), move, key


def _kind(rule: Rule, vocabulary: Vocabulary) -> str:
    """The kind of part that a cause is on."""
    cause = rule.cause
    if cause.of:
        return cause.of
    match cause.sort:
        case "work" | "event":
            known = vocabulary.work if cause.sort == "work" else vocabulary.events
            return known[cause.names[0]].on[0]
        case "test":
            return vocabulary.tests[cause.names[0]].on
        case "unfit":
            return rule.subject
    return "car"


def facts_for(rule: Rule, key: str, example: ConsequenceExample, situation: Situation) -> list[ChainFact]:
    """What the cause of a rule is about, on the part of the example."""
    cause, kind, subject = rule.cause, situation.standing.parts[key].kind, rule.subject or "any"
    match cause.sort:
        case "work" | "event":
            return work_facts(situation, fitted_only=True)
        case "state":
            return state_facts(situation, index((rule,), rule.stage))
        case "finding":
            verdict = cause.verdicts[0] if cause.verdicts else "breached"
            return [ChainFact(FindingFact(subject, key), subject, kind, verdict, True, cause.effect)]
        case "seen":
            return [ChainFact(SeenFact(subject, "the example", key, None), subject, kind)]
        case "duty":
            return [ChainFact(DutyFact(subject, 0, "", key, None, ""), subject, kind, "open")]
        case "test":
            facts = {name.split(".")[-1]: value for name, value in example.given.items()}
            return [ChainFact(TestFact("the example", key, None), subject, kind, facts=facts)]
        case "leave":
            return [ChainFact(LeaveFact("the example", key), subject, kind)]
        case "unfit":
            return [ChainFact(UnfitFact(key), subject, kind)]
        case "restricted":
            return [ChainFact(RestrictedFact(subject, "the example"), subject)]
