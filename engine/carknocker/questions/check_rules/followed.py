"""Worked examples of a consequence, worked out by the very functions that chain the consequences of a car."""

from collections.abc import Iterator

import msgspec
from msgspec.structs import replace

from carknocker.documents import Location
from carknocker.judgement.chain.conclusions import duty_fact, holds
from carknocker.judgement.chain.duties import duty_state
from carknocker.judgement.chain.rules import Rule, may_be_cause, rules_of
from carknocker.judgement.chain.stage_context import StageContext
from carknocker.judgement.examples import INSPECTOR, OUT
from carknocker.judgement.facts import ChainFact
from carknocker.judgement.model import RestrictionInForce
from carknocker.judgement.part_view import PartView
from carknocker.judgement.restrictions import contrary_to_move, speed_limits
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import UNKNOWN
from carknocker.quantities import Quantity
from carknocker.questions.check_rules.example_cause import facts_for, standing_for
from carknocker.questions.check_rules.occasions import is_due_after, moments_due
from carknocker.questions.on_the_way.moments import Moment
from carknocker.record.model import Evidence, Move, Part
from carknocker.record.values import Figure, Word
from carknocker.rulebook.model import (
    Consequence,
    ConsequenceExample,
    Following,
    Relieves,
    Requires,
    Restriction,
    Restricts,
)
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Vocabulary
from carknocker.wording.rules import capped_words, times_words

_NOWHERE = Location("example", 1, 1)


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
    train_speed = move.train_facts.get("speed")
    speeds = speed_limits(in_force, train_speed.quantity if isinstance(train_speed, Figure) else None)
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
    if chapter is not None and chapter(PartView(situation, "car", situation.view("car"), OUT)) == UNKNOWN:
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
        evidence={**standing.evidence, kind.on: {kind.attribute: (test,)}}, _reached={},
    )  # fmt: skip
    context = StageContext(Situation(with_test, situation.move, {}), load_vocabulary(), {}, {})
    return duty_state(duty_fact(rule, requires, kind.on, cause), requires, cause.work, context).state == "done"
