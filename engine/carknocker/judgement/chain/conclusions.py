"""What a rule yields from its cause: one pure function, used by both evaluators and by the proof."""

from collections.abc import Callable

from carknocker.judgement.chain.duties import duty_state
from carknocker.judgement.chain.rules import Rule
from carknocker.judgement.chain.stage_context import StageContext
from carknocker.judgement.facts import (
    ChainFact,
    DutyFact,
    EntryFact,
    RelievedFact,
    StoppedFact,
    UnfitFact,
    VoidFact,
)
from carknocker.judgement.part_view import PartView
from carknocker.judgement.restrictions import restricted_fact
from carknocker.judgement.situation import Situation
from carknocker.rulebook.model import CarriesUp, Relieves, Requires, Restricts, Voids


def concluder(context: StageContext) -> Callable[[Rule, ChainFact], tuple[ChainFact, ...] | None]:
    """`conclude` for one stage of one judgement."""

    def conclude(rule: Rule, cause: ChainFact) -> tuple[ChainFact, ...] | None:
        if not holds(rule, cause, context):
            return None
        if isinstance(rule.produces, (Requires, Restricts)) and context.stops(rule.consequence.id, cause):
            return None
        match rule.produces:
            case Voids() as voids:
                return _void(voids, cause, context) or None
            case Relieves() as relieves:
                return _relieved(relieves, rule, cause, context) or None
            case CarriesUp() as carries:
                return _unfit(carries, cause, context) or None
            case Requires() as requires:
                return _duties(requires, rule, cause, context) or None
            case Restricts(restrictions):
                return tuple(ChainFact(restricted_fact(one), one.sort) for one in restrictions)

    return conclude


def holds(rule: Rule, cause: ChainFact, context: StageContext) -> bool:
    """Whether what narrows the cause holds. What can't be decided narrows nothing, except where it would relieve."""
    least = rule.least_truth
    situation = context.situation
    day = situation.move.out
    if rule.chapter_when is not None:
        if rule.consequence.id not in context.chapters:
            sight = PartView(situation, "car", situation.values_of("car"), day)
            context.chapters[rule.consequence.id] = rule.chapter_when(sight)
        if context.chapters[rule.consequence.id] < least:
            return False
    if rule.when is None or rule.cause.sort == "state":
        return True
    key = asked_on(cause, situation)
    sight = PartView(situation, key, situation.values_of(key), day, facts=cause.facts)
    return rule.when(sight) >= least


def asked_on(cause: ChainFact, situation: Situation) -> str:
    """The part on which what narrows a cause is asked: where work or an event happened, while that part is here."""
    fact = cause.fact
    if isinstance(fact, EntryFact) and fact.about in situation.values:
        return fact.about
    return fact.part or "car"


def _void(voids: Voids, cause: ChainFact, context: StageContext) -> tuple[ChainFact, ...]:
    """Evidence on the reached parts dated up to and including the day of the work, unless it was taken after it."""
    situation = context.situation
    names = voids.readings
    if voids.test:
        names = (*names, context.vocabulary.tests[voids.test].attribute)
    day, work = cause.fact.since, cause.work
    if day is None or work is None:
        return ()
    void: list[ChainFact] = []
    for part in context.reached(cause, voids.of):
        evidence = situation.standing.evidence.get(part, {})
        for name in names:
            for entry in evidence.get(name, ()):
                if entry.on is None or entry.on > day or (entry.on == day and work.id in context.after(entry.after)):
                    continue
                void.append(ChainFact(VoidFact(entry.id), entry.id))
    return tuple(void)


def _relieved(relieves: Relieves, rule: Rule, cause: ChainFact, context: StageContext) -> tuple[ChainFact, ...]:
    part = cause.fact.part or "car"
    if relieves.finding_same:
        return (_relief(cause.subject, part, relieves),)
    found: list[ChainFact] = []
    if cause.leave is not None and cause.leave.purpose != relieves.purpose:
        return ()
    for criterion in context.criteria_relieved(relieves, rule, cause):
        if relieves.named and relieves.of not in ("", criterion.of):
            continue  # the permission names a criterion about another kind of part
        targets = context.reached(cause, relieves.of or criterion.of)
        if cause.leave is not None and not cause.leave.at and len(targets) > 1:
            continue  # it does not say for which of them
        found.extend(
            _relief(criterion.id, target, relieves)
            for target in targets
            if _covers(cause, target, context) and not _came_too_early(cause, criterion.id, target, context)
        )
    if cause.leave is not None and not cause.leave.at:
        return tuple(found)
    for consequence in context.consequences_relieved(relieves, rule, cause):
        stopped = context.reached(cause, relieves.of) if relieves.of else (part, *context.inside(part))
        stopped = tuple(target for target in stopped if _covers(cause, target, context))
        found.extend(ChainFact(StoppedFact(consequence, target, relieves.purpose), consequence) for target in stopped)
    return tuple(found)


def _covers(cause: ChainFact, target: str, context: StageContext) -> bool:
    """A host's written permission for a part covers that part, what is inside it and what it is in; what only
    stands beside it in a common container has none."""
    if cause.leave is None:
        return True
    part, standing = cause.fact.part, context.situation.standing
    return target == part or part in standing.containers(target) or target in standing.containers(part)


def _came_too_early(cause: ChainFact, criterion: str, target: str, context: StageContext) -> bool:
    """Whether a host's written permission was signed before the fault was found."""
    return cause.leave is not None and (cause.leave.id, criterion, target) in context.not_covered


def _relief(criterion: str, part: str, relieves: Relieves) -> ChainFact:
    return ChainFact(RelievedFact(criterion, part, relieves.purpose), criterion)


def _unfit(carries: CarriesUp, cause: ChainFact, context: StageContext) -> tuple[ChainFact, ...]:
    """The nearest container of each kind. Never down, never sideways."""
    carried = (cause.fact.part, carries.kinds)
    found = context.unfit.get(carried)
    if found is None:
        standing = context.situation.standing
        nearest: dict[str, str] = {}
        for key in standing.containers(cause.fact.part):
            nearest.setdefault(standing.parts[key].kind, key)
        found = context.unfit[carried] = tuple(
            ChainFact(UnfitFact(nearest[kind]), kind, kind) for kind in carries.kinds if kind in nearest
        )
    return found


def _duties(requires: Requires, rule: Rule, cause: ChainFact, context: StageContext) -> tuple[ChainFact, ...]:
    parts = context.situation.standing.parts
    duties: list[ChainFact] = []
    for part in context.reached(cause, requires.of):
        if parts[part].fitted:
            fact = duty_fact(rule, requires, part, cause)
            state = duty_state(fact, requires, cause.work, context)
            duties.append(ChainFact(fact, rule.consequence.id, requires.of, state.state, duty=state))
    return tuple(duties)


def asked_for(requires: Requires) -> str:
    """What a duty asks for: the test, the spare, or the words."""
    return requires.test or requires.spare or requires.words


def duty_fact(rule: Rule, requires: Requires, part: str, cause: ChainFact) -> DutyFact:
    """The fact that a rule requires something on a part."""
    entry = cause.work.id if cause.work is not None else ""
    since = cause.since if requires.test else cause.fact.since
    return DutyFact(rule.consequence.id, rule.yield_number, asked_for(requires), part, since, entry)
