"""Worked examples of a consequence, worked out by the very functions that chain the consequences of a car."""

from collections.abc import Iterable, Iterator
from datetime import date
from fractions import Fraction

import msgspec
from msgspec.structs import replace

from carknocker.documents import Location
from carknocker.judgement.assemble import duties_on_the_way
from carknocker.judgement.chain.causes import state_facts, work_facts
from carknocker.judgement.chain.conclusions import asked_for, duty_fact, holds
from carknocker.judgement.chain.duties import duty_state
from carknocker.judgement.chain.rules import Rule, index, may_be_cause, rules_of
from carknocker.judgement.chain.stage_context import StageContext
from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.duty_moments import LegDays, Moment, moments_of
from carknocker.judgement.examples import INSPECTOR, OUT, example_finding, standing_of
from carknocker.judgement.facts import (
    ChainFact,
    DutyFact,
    FindingFact,
    LeaveFact,
    PassedTestFact,
    RestrictedFact,
    SeenFact,
    StateFact,
    UnfitFact,
)
from carknocker.judgement.model import Duty, DutyOnTheWay, Finding, RestrictionInForce
from carknocker.judgement.part_view import PartView
from carknocker.judgement.restrictions import contrary_to_move, speed_limits
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import NEAR, UNKNOWN
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Evidence, Leg, Move, Part, Work
from carknocker.record.standing import PartPaths, Standing
from carknocker.record.values import Value, Word
from carknocker.rulebook.clauses import FACT
from carknocker.rulebook.model import (
    Consequence,
    ConsequenceExample,
    Criterion,
    Example,
    Following,
    Occasion,
    Relieves,
    Requires,
    Restriction,
    Restricts,
)
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Vocabulary
from carknocker.wording.rules import capped_words, times_words

_NOWHERE = Location("example", 1, 1)
_LONG_AGO = date(2000, 1, 1)
"""The day of the work or event of an example: whatever answers it was done later."""
_A_MILE = Quantity.of("distance", Fraction(1), "mi")


def _told(example: Example | ConsequenceExample, owner: str) -> dict[str, Value]:
    """What an example says of the move or of the train: attribute → value."""
    first = f"{owner}."
    return {name.removeprefix(first): value for name, value in example.given.items() if name.startswith(first)}


def standing_for(rule: Rule, example: ConsequenceExample, vocabulary: Vocabulary) -> tuple[Standing, Move, str]:
    """The car and the move of an example, and the key of the part that the cause of a rule is on."""
    cause = rule.cause
    clauses = (cause.when, rule.consequence.when)
    standing, move, key = standing_of(_kind(rule, vocabulary), clauses, example, vocabulary)
    train, told = (_told(example, owner) for owner in ("train", "move"))
    rides = told.get("rides")
    leg = Leg(1, "here", "there", example.move_runs or _A_MILE, {}, _NOWHERE, move.out, move.back)
    move = replace(
        move, facts=told, train_facts=train, legs=(leg,), rides=rides.text if isinstance(rides, Word) else move.rides
    )
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
            return [ChainFact(PassedTestFact("the example", key, None), subject, kind, facts=facts)]
        case "leave":
            return [ChainFact(LeaveFact("the example", key), subject, kind)]
        case "unfit":
            return [ChainFact(UnfitFact(key), subject, kind)]
        case "restricted":
            return [ChainFact(RestrictedFact(subject, "the example"), subject)]


def renewals_of(finding: Finding, move: Move) -> int:
    """How often what a criterion asks is renewed on the way."""
    return sum(len(duty.due) for duty in duties_on_the_way((finding,), (), move))


def moments_due(consequence: Consequence, duties: Iterable[Requires], part: Part, move: Move) -> tuple[Moment, ...]:
    """Every moment of the move at which one of the duties of a consequence falls due."""
    legs = LegDays(move)
    found: list[Moment] = []
    for requires in duties:
        if requires.every or requires.within_first is not None:
            fact = DutyFact(consequence.id, consequence.yields.index(requires), asked_for(requires), part.key, None, "")
            cause = StateFact(consequence.id, 0, part.key)
            duty = Duty(fact, consequence, requires, part, None, "on the way", "", cause)
            found.extend(moments_of(DutyOnTheWay(None, duty, "host", (), requires.routine), move, legs))
    return tuple(found)


def is_due_after(moment: Moment, interval: Occasion, move: Move) -> bool:
    """Whether a moment comes so long, or so far, after departure."""
    if interval.period is not None:
        return moment.day == interval.period.after(move.out)
    return interval.miles is not None and moment.when == f"by {write_quantity(interval.miles)} of the move"


class Followed(msgspec.Struct, frozen=True):
    """What comes of an example. capped_at: the least speed of all that restrict it, None without one. due: when its
    duties fall due on the way."""

    following: Following
    capped_at: Quantity | None
    due: tuple[Moment, ...]
    move: Move | None


def follow(consequence: Consequence, example: ConsequenceExample) -> Followed:
    """What comes of a worked example. What it leaves open of the move is as the consequence asks it to be; of several
    work or events that the causes name, all happened, unless it says which."""
    vocabulary = load_vocabulary()
    fired: list[tuple[Rule, ChainFact, Situation]] = []
    for rule in rules_of((consequence,)):
        fired.extend(_fired(rule, example, vocabulary))
    if not fired:
        return Followed("does not follow", None, (), None)
    situation = fired[0][2]
    move = situation.move
    in_force = tuple(_restricted(fired))
    speeds = speed_limits(in_force, move.train_facts)
    following: Following = "follows"
    if contrary_to_move(in_force, move):
        following = "against the move"
    elif example.answered_by is not None and all(_answered(rule, cause, example, at) for rule, cause, at in fired):
        following = "answered"
    duties = dict.fromkeys(rule.produces for rule, _, _ in fired if isinstance(rule.produces, Requires))
    due = moments_due(consequence, duties, situation.standing.parts["car"], move)
    return Followed(following, min(speeds, default=None), due, move)


def followed_words(example: ConsequenceExample, followed: Followed) -> tuple[str, str]:
    """What an example says, and what comes of it: alike where that is what it says, as far as it says it."""
    expected, got = [str(example.following)], [str(followed.following)]
    if example.capped_at is not None:
        expected.append(capped_words(example.capped_at))
        got.append(capped_words(followed.capped_at))
    if example.times is not None:
        expected.append(times_words(example.times))
        got.append(times_words(len(followed.due)))
    if example.due_after is not None:
        interval, move = example.due_after, followed.move
        found = move is not None and any(is_due_after(moment, interval, move) for moment in followed.due)
        expected.append(f"due {interval} after departure")
        got.append(expected[-1] if found else f"not due {interval} after departure")
    return "; ".join(expected), "; ".join(got)


def _fired(
    rule: Rule, example: ConsequenceExample, vocabulary: Vocabulary
) -> Iterator[tuple[Rule, ChainFact, Situation]]:  # fmt: skip
    standing, move, key = standing_for(rule, example, vocabulary)
    situation = Situation(standing, move, {})
    chapter = rule.chapter_when
    if chapter is not None and chapter(PartView(situation, "car", situation.values_of("car"), OUT)) == UNKNOWN:
        rule = replace(rule, chapter_when=None)
    context = StageContext(situation, vocabulary, {}, {})
    for cause in facts_for(rule, key, example, situation):
        if may_be_cause(rule, cause) and holds(rule, cause, context):
            yield rule, cause, situation


def _restricted(fired: list[tuple[Rule, ChainFact, Situation]]) -> Iterator[RestrictionInForce]:
    """What is restricted, and what a relief leaves."""
    for rule, cause, _ in fired:
        found: tuple[Restriction, ...] = ()
        if isinstance(rule.produces, Restricts):
            found = rule.produces.restrictions
        elif isinstance(rule.produces, Relieves):
            found = rule.produces.leaves
        for restriction in found:
            yield RestrictionInForce(restriction, (cause.fact,), rule.consequence.id)


def _answered(rule: Rule, cause: ChainFact, example: ConsequenceExample, situation: Situation) -> bool:
    """Whether a test of the age that the example says answers the duty; what asks for no test is not in question."""
    requires = rule.produces
    if not isinstance(requires, Requires) or not requires.test or example.answered_by is None:
        return True
    kind = load_vocabulary().tests[requires.test]
    on = example.answered_by.before(OUT)
    standing = situation.standing
    test = Evidence(
        id="answer", attribute=kind.attribute, part=kind.on, place=kind.on, value=Word("passed"), sort="test", on=on,
        where=_NOWHERE, by=INSPECTOR,
    )  # fmt: skip
    part = Part(kind.on, kind.on, "", kind.on, "car", True, _NOWHERE)
    with_test = replace(
        standing, parts={**standing.parts, kind.on: part}, by_kind={**standing.by_kind, kind.on: (part,)},
        evidence={**standing.evidence, kind.on: {kind.attribute: (test,)}}, paths=PartPaths(),
    )  # fmt: skip
    context = StageContext(Situation(with_test, situation.move, {}), load_vocabulary(), {}, {})
    return duty_state(duty_fact(rule, requires, kind.on, cause), requires, cause.work, context).state == "done"


def judged_words(criterion: Criterion, example: Example) -> tuple[str, str]:
    """What an example says, and what comes of it: alike where it is judged as it says."""
    finding, sight, move = example_finding(criterion, example)
    expected, got = [str(example.verdict)], [str(finding.verdict)]
    if example.clears is not None:
        works = dict.fromkeys(
            remedy.work
            for remedy in criterion.remedies
            if remedy.condition is None or clause_test(remedy.condition)(sight) >= NEAR
        )
        expected.append(_cleared(example.clears))
        got.append(_cleared(tuple(works)))
    if example.times is not None:
        expected.append(times_words(example.times))
        got.append(times_words(renewals_of(finding, move)))
    if example.capped_at is not None:
        expected.append(capped_words(example.capped_at))
        got.append(capped_words(_capped_at(finding, example)))
    return "; ".join(expected), "; ".join(got)


def _cleared(works: tuple[str, ...]) -> str:
    return f"cleared by {', '.join(sorted(works))}" if works else "cleared by nothing"


def _capped_at(finding: Finding, example: Example) -> Quantity | None:
    """The least speed that the finding leaves, if it restricts."""
    if not finding.unmet:
        return None
    in_force = [RestrictionInForce(one, (), finding.criterion.id) for one in finding.criterion.restrictions]
    return min(speed_limits(in_force, _told(example, "train")), default=None)
