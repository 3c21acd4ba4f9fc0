"""Whether a duty is done, can be done on the way, or is open."""

from datetime import date

from carknocker.judgement.chain.stage_context import SpareNeed, StageContext
from carknocker.judgement.facts import DutyFact, DutyState
from carknocker.judgement.observed_value import ObservedValue, exact, text_of
from carknocker.record.model import Evidence, Spare, Work
from carknocker.record.values import Value
from carknocker.rulebook.model import Requires
from carknocker.vocabulary.model import Attribute


def duty_state(fact: DutyFact, requires: Requires, work: Work | None, context: StageContext) -> DutyState:
    """The state of a duty. work: the dated entry that began it."""
    if requires.test:
        answer = _test_done(fact, requires, work, context)
    elif requires.spare:
        answer = _spare_rides(fact, requires, context)
    else:
        answer = DutyState("open", requires.words)
    if answer.state == "open" and requires.when == "on the way":
        return DutyState("on the way", answer.note)
    return answer


def _test_done(fact: DutyFact, requires: Requires, work: Work | None, context: StageContext) -> DutyState:
    """Done by a valid, passed test dated after the day that the duty began, or on that day after the work itself."""
    since = fact.since
    situation = context.situation
    kind = context.vocabulary.tests[requires.test]
    asked = _one(requires.test) + (f" after {since.isoformat()}" if since is not None else "")
    all_tests = [
        evidence
        for target in situation.standing.reach(fact.part, kind.on)
        for evidence in situation.counted(target, kind.attribute)
        if evidence.on is not None
    ]
    answering = [evidence for evidence in all_tests if _is_after(evidence, since, work, context)]
    newest = max(answering or all_tests, key=_order, default=None)
    if newest is None or newest.on is None:
        return DutyState("open", f"{asked}: none on file")
    told = f"of {newest.on.isoformat()}"
    if not answering:
        note = f"{asked}: the newest that counts is {told}"
        if newest.on == since and work is not None:
            note += f", and its entry does not say `after: {work.id}`"
        return DutyState("open", note)
    if text_of(newest.value) != "passed":
        return DutyState("open", f"{asked}: the newest, {told}, failed")
    if newest.until is not None and newest.until < situation.move.back:
        return DutyState("open", f"{asked}: the newest, {told}, is good only through {newest.until.isoformat()}")
    if requires.within is not None and requires.within.after(newest.on) < situation.move.out:
        return DutyState("open", f"{asked}, not older than {requires.within}: the newest is {told}")
    return DutyState("done", f"{requires.test} {told}", newest)


def _one(thing: str) -> str:
    """`a single-car brake test`, `an air hose`, `cotters`."""
    if thing.endswith("s") and not thing.endswith("ss"):
        return thing
    return f"{'an' if thing[:1] in 'aeiou' else 'a'} {thing}"


def _order(test: Evidence) -> tuple[date, int, bool]:
    """The newest last; on one day, unless one says that it came after a job, a failed test."""
    return test.on or date.min, len(test.after), text_of(test.value) != "passed"


def _is_after(evidence: Evidence, since: date | None, work: Work | None, context: StageContext) -> bool:
    """Whether a test was made after the day that a duty began, or on that day and after the job itself."""
    if since is None or (evidence.on is not None and evidence.on > since):
        return True
    return evidence.on == since and work is not None and work.id in context.after(evidence.after)


def _spare_rides(fact: DutyFact, requires: Requires, context: StageContext) -> DutyState:
    """Done if as many spares are aboard as are asked for, each fitting the part and sound; where each duty needs its
    own, if enough do for all of them."""
    part = fact.part
    fitting: list[Spare] = []
    lacks: list[str] = []
    for spare in context.situation.standing.car.spares:
        if spare.name != requires.spare:
            continue
        reason = _why_not(spare, part, context)
        if reason:
            lacks.append(f"{spare.serial or spare.id}: {reason}")
        elif spare.carried > 0:
            fitting.append(spare)
        else:
            lacks.append(f"{spare.serial or spare.id}: on the shelf, not aboard")
    carried = sum(spare.carried for spare in fitting)
    needed = requires.number
    if requires.each:
        needed *= context.needs.get(spare_need(fact, requires, context), 1)
    if carried >= needed:
        return DutyState("done", f"{fitting[0].serial or requires.spare} is aboard", fitting[0])
    why = "; ".join(lacks) or "none on record"
    if needed == 1:
        return DutyState("open", why)
    note = f"{carried} of {needed} × {requires.spare} aboard, fitting and sound"
    return DutyState("open", f"{note} ({why})" if lacks or not carried else note)


def spare_need(fact: DutyFact, requires: Requires, context: StageContext) -> SpareNeed:
    """What a duty shares its spares with: the duties of the same yield on parts of one fit."""
    return fact.consequence, fact.yield_number, _fit_of(requires, fact.part, context)


def _fit_of(requires: Requires, part: str, context: StageContext) -> str:
    """What a spare must fit at a part, in one text: parts of one fit share their spares."""
    fits = context.vocabulary.spares[requires.spare].fits if requires.spare else {}
    needed = [_needed(part, wanted, context)[1] for wanted in fits.values()]
    return "; ".join("not recorded" if held is None else repr(held.value) for held in needed)


def _needed(part: str, wanted: Attribute, context: StageContext) -> tuple[str | None, ObservedValue | None]:
    """The part that has the attribute which a spare must match, and its value there."""
    situation = context.situation
    owner = situation.owner(part, wanted.kind)
    if owner is None:
        reached = situation.standing.reach(part, wanted.kind)
        owner = reached[0] if reached else None
    return owner, None if owner is None else situation.values_of(owner).get(wanted.name)


def _why_not(spare: Spare, part: str, context: StageContext) -> str:
    """Why a spare does not serve, or an empty text."""
    kind = context.vocabulary.spares[spare.name]
    situation = context.situation
    own_key = f"{kind.thing} {spare.serial}" if kind.thing else ""
    for attribute, wanted in kind.fits.items():
        owner, needed = _needed(part, wanted, context)
        given = _of_spare(spare, own_key, attribute, context)
        if needed is None:
            return f"{wanted.name.replace('_', ' ')} of {owner or part} is not recorded"
        if given is None:
            return f"its {attribute.replace('_', ' ')} is not recorded"
        if not _same(given, needed.value):
            return f"its {attribute.replace('_', ' ')} does not fit {owner}"
    own = situation.standing.parts.get(own_key)
    if own is not None and own.fitted:
        return "it is fitted on that day"
    if own_key in context.unsound:
        return "it is not sound"
    return ""


def _of_spare(spare: Spare, own_key: str, attribute: str, context: StageContext) -> Value | None:
    if attribute in spare.facts:
        return spare.facts[attribute]
    if own_key and own_key in context.situation.values:
        held: ObservedValue | None = context.situation.values_of(own_key).get(attribute)
        return None if held is None else held.value
    return None


def _same(one: Value, other: Value) -> bool:
    left, right = exact(one), exact(other)
    if left is not None and right is not None:
        return left == right
    ours, theirs = text_of(one), text_of(other)
    return ours is not None and theirs is not None and ours.casefold() == theirs.casefold()
