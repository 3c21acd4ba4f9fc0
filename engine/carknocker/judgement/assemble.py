"""Stage 5: the judgement put together: duties, restrictions, refusals, what is to be done on the way, the outcome, and
the notes; every list in one fixed order."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta

from carknocker.documents import listed, nearest
from carknocker.judgement.chain.excuses import excuses
from carknocker.judgement.chain.fixed_point import Fired
from carknocker.judgement.chain.stage_context import StageContext
from carknocker.judgement.doubts import StandingDoubt
from carknocker.judgement.facts import ChainFact, DutyFact, Fact, UnfitFact
from carknocker.judgement.findings import Findings
from carknocker.judgement.model import (
    CannotJudge,
    Duty,
    DutyOnTheWay,
    Finding,
    Firing,
    FoundLater,
    Judgement,
    Outcome,
    Refusal,
    Relief,
    RestrictionInForce,
    Voided,
)  # fmt: skip
from carknocker.judgement.refused_tests import RefusedTest
from carknocker.judgement.reliefs import left_by, relieves_finding, used_for_the_move
from carknocker.judgement.restrictions import contrary_to_move, restricted_fact
from carknocker.judgement.situation import Situation
from carknocker.quantities import Period
from carknocker.record.model import CarRecord, Leave, Move, Part
from carknocker.record.standing import Standing, later_in_move, later_words, said_too_early
from carknocker.rulebook.model import Requires, Restricts, Rulebook
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import MOVE_KINDS


def assemble(
    car: CarRecord,
    move: Move,
    rulebook: Rulebook,
    as_of: date,
    situation: Situation,
    findings: Findings,
    voided: Mapping[str, Voided],
    reliefs: tuple[Relief, ...],
    fired: Mapping[str, Fired],
    context: StageContext,
    doubts: tuple[StandingDoubt, ...] = (),
    as_said: Situation | None = None,
    only_said: tuple[Relief, ...] = (),
    refused_tests: tuple[RefusedTest, ...] = (),
    found_later: tuple[FoundLater, ...] = (),
) -> Judgement:
    """The judgement from what the stages gave. as_said: with what counts only against the car. only_said: reliefs that
    only that grants: they relieve nothing, and what they leave burdens. Raises CannotJudge if a refusal does not reach
    the car."""
    firings = _firings(fired)
    duties = _duties(fired["chain"], situation.standing.parts)
    unmet = findings.unmet
    on_the_way = duties_on_the_way(findings.renewed, duties, move)
    restrictions = _restrictions(unmet, (*reliefs, *only_said), fired["chain"], "move")
    refusals = [
        *_finding_refusals(unmet, reliefs, firings, situation.standing),
        *_duty_refusals(duties, reliefs, situation.standing),
    ]
    if any(refusal.repair for refusal in refusals):
        restrictions = _merged([*restrictions, *left_by((*reliefs, *only_said), unmet, "repair")])
    refusals.extend(
        Refusal(against=against, reasons=reasons) for against, reasons in contrary_to_move(restrictions, move)
    )
    outcome = outcome_of(tuple(refusals), restrictions, on_the_way, used_for_the_move(reliefs, unmet))
    used = {one.leave.id for one in reliefs if one.leave is not None} | {one.leave.id for one in found_later}
    return Judgement(
        car, move, rulebook, as_of, outcome, tuple(findings.every), tuple(refusals), restrictions, duties, on_the_way,
        tuple(sorted(voided.values(), key=lambda one: (one.work.on, one.work.id, one.evidence.id))),
        reliefs, firings, situation.standing.parts, situation, notes_of(situation, context, used, as_of),
        doubts, as_said, refused_tests, found_later,
    )  # fmt: skip


def _firings(fired: Mapping[str, Fired]) -> tuple[Firing, ...]:
    return tuple(
        Firing(rule.stage, rule.consequence, rule.yield_number, cause.fact, _sorted_facts(followed))
        for stage in ("voids", "relieves", "chain")
        for rule, cause, followed in fired[stage].in_order()
    )


def _sorted_facts(facts: Iterable[ChainFact]) -> tuple[Fact, ...]:
    found = [one.fact for one in facts]
    if len(found) > 1:
        found.sort(key=_name)
    return tuple(found)


def _name(fact: Fact) -> tuple[str, ...]:
    return fact.name


def _duties(fired: Fired, parts: Mapping[str, Part]) -> tuple[Duty, ...]:
    duties: dict[DutyFact, Duty] = {}
    for rule, cause, followed in fired.in_order():
        for one in followed:
            fact, state = one.fact, one.duty
            if isinstance(fact, DutyFact) and isinstance(rule.produces, Requires) and state is not None:
                duties[fact] = Duty(
                    fact, rule.consequence, rule.produces, parts[fact.part], fact.since, state.state, state.note,
                    cause.fact, state.answered_by,
                )  # fmt: skip
    return tuple(duties[fact] for fact in sorted(duties, key=_name))


def _restrictions(
    findings: list[Finding], reliefs: tuple[Relief, ...], fired: Fired, purpose: str
) -> tuple[RestrictionInForce, ...]:
    found = [
        RestrictionInForce(restriction, (f.fact,), f.criterion.id)
        for f in findings
        if f.unmet and not f.relieved and f.part.fitted and f.effect == "restrict"
        for restriction in f.criterion.restrictions
    ]
    found.extend(left_by(reliefs, findings, purpose))
    for rule, cause, _ in fired.firings.values():
        if isinstance(rule.produces, Restricts):
            found.extend(
                RestrictionInForce(restriction, (cause.fact,), rule.consequence.id)
                for restriction in rule.produces.restrictions
            )
    return _merged(found)


def _merged(found: Iterable[RestrictionInForce]) -> tuple[RestrictionInForce, ...]:
    """Each restriction once for each rule that says it, with all its reasons."""
    merged: dict[tuple[tuple[str, ...], str], RestrictionInForce] = {}
    for one in found:
        key = (restricted_fact(one.restriction).name, one.said_by)
        before = merged.get(key)
        reasons = {*one.reasons, *(before.reasons if before is not None else ())}
        merged[key] = RestrictionInForce(one.restriction, tuple(sorted(reasons, key=_name)), one.said_by)
    return tuple(merged[key] for key in sorted(merged))


def _finding_refusals(
    findings: Iterable[Finding], reliefs: tuple[Relief, ...], firings: tuple[Firing, ...], standing: Standing
) -> list[Refusal]:
    paths = paths_up(firings)
    in_order: dict[tuple[str, ...], tuple[str, ...]] = {(): ()}  # most findings of a part stop the same
    refusals: list[Refusal] = []
    for finding in findings:
        if not refusing(finding):
            continue
        reached = () if against_the_move(finding) else stops_of(finding.fact, paths)
        if reached not in in_order:
            in_order[reached] = _nearest_first(reached, standing)
        stops = in_order[reached]
        if finding.part.kind != "car" and not against_the_move(finding) and "car" not in stops:
            raise CannotJudge(
                f"{finding.criterion.id} refuses {finding.part.label}, and no consequence carries that up to the car"
            )
        named = repairs_for(reliefs, finding.criterion.id, finding.part.key)
        repair = tuple(one for one in named if relieves_finding(one, finding, standing))
        refusals.append(Refusal(finding=finding, repair=repair, stops=stops))
    return refusals


def _nearest_first(keys: tuple[str, ...], standing: Standing) -> tuple[str, ...]:
    return tuple(sorted(keys, key=lambda key: (-len(standing.containers(key)), key)))


def _duty_refusals(duties: Iterable[Duty], reliefs: tuple[Relief, ...], standing: Standing) -> list[Refusal]:
    refusals: list[Refusal] = []
    for duty in open_refusals(duties):
        repair = tuple(
            relief
            for relief in reliefs
            if relief.relieves.purpose == "repair"
            and relief.stopped == duty.consequence.id
            and relief.part == duty.cause.part
            and excuses(relief.cause, duty.cause, duty.since, standing)
        )
        refusals.append(Refusal(duty=duty, repair=repair))
    return refusals


PathsUp = Mapping[Fact, list[UnfitFact]]
"""For each cause, what it makes unfit."""


def paths_up(firings: Iterable[Firing]) -> PathsUp:
    """What each cause of a judgement makes unfit."""
    paths: dict[Fact, list[UnfitFact]] = {}
    for firing in firings:
        unfit = [fact for fact in firing.followed if isinstance(fact, UnfitFact)]
        if unfit:
            paths.setdefault(firing.cause, []).extend(unfit)
    return paths


def stops_of(start: Fact, paths: PathsUp) -> tuple[str, ...]:
    """The parts that a fact makes unfit, nearest first, by way of every rule that carries it up."""
    found: dict[str, None] = {}
    waiting = [start]
    while waiting:
        for unfit in paths.get(waiting.pop(0), ()):
            if unfit.part not in found:
                found[unfit.part] = None
                waiting.append(unfit)
    return tuple(found)


def refusing(finding: Finding) -> bool:
    """Whether a finding refuses the car as it stands."""
    return finding.unmet and finding.effect == "refuse" and not finding.relieved and finding.part.fitted


def against_the_move(finding: Finding) -> bool:
    """Findings about the move itself: cleared by changing the move, no part is unfit."""
    return finding.part.kind in MOVE_KINDS


def open_refusals(duties: Iterable[Duty]) -> list[Duty]:
    return [duty for duty in duties if duty.state == "open" and duty.requirement.effect == "refuse"]


def repairs_for(reliefs: Iterable[Relief], criterion: str, part: str) -> tuple[Relief, ...]:
    """The reliefs `for: repair` of a criterion on a part."""
    return tuple(
        relief
        for relief in reliefs
        if relief.relieves.purpose == "repair" and relief.criterion == criterion and relief.part == part
    )


def outcome_of(
    refusals: tuple[Refusal, ...],
    restrictions: tuple[RestrictionInForce, ...],
    on_the_way: tuple[DutyOnTheWay, ...],
    permissions: Sequence[Leave] = (),
) -> Outcome:
    """One of the four outcomes; what is only routine on the way restricts nothing. permissions: the host's written ones
    that the move rests on."""
    if refusals:
        return "repair move only" if all(refusal.repair for refusal in refusals) else "not ready"
    if restrictions or permissions or any(not duty.routine for duty in on_the_way):
        return "ready with restrictions"
    return "ready"


def duties_on_the_way(findings: Iterable[Finding], duties: Iterable[Duty], move: Move) -> tuple[DutyOnTheWay, ...]:
    """What the crew renews of what is met on departure, with its days, and the duties that only the move can answer."""
    found: list[DutyOnTheWay] = []
    for finding in findings:
        renewal = finding.criterion.renewal
        if renewal is None or finding.verdict not in ("met", "borderline") or not finding.part.fitted:
            continue
        first = _first_due(finding, renewal.every, move)
        if first is not None:
            due = _due_days(first, renewal.every, move.back)
            found.append(DutyOnTheWay(finding, None, renewal.by, due, renewal.routine))
    found.extend(
        DutyOnTheWay(None, duty, "host", (), duty.requirement.routine) for duty in duties if duty.state == "on the way"
    )
    return tuple(found)


def _first_due(finding: Finding, every: Period | None, move: Move) -> date | None:
    """The first day by which it is to be renewed; None where what is on record lasts to the return.

    An interval that is shorter than the age which the criterion accepts counts from the reading too, from the oldest of
    several, but asks for nothing before departure: that the car may leave is what the criterion says.
    """
    due = finding.lapses_on
    read = finding.oldest or (None if finding.evidence is None else finding.evidence.on)
    if every is not None and read is not None:
        interval = max(every.after(read), move.out)
        if interval < move.back and (due is None or interval < due):
            return interval
    return due


def _due_days(first: date, every: Period | None, back: date) -> tuple[date, ...]:
    """The days by which it must be renewed: the last day it holds, then each interval on, up to the return."""
    if every is None or every.after(date.min) == date.min:
        return (first,)
    if not every.months:
        step = timedelta(days=every.days)
        times = max(-((first - back) // step) - 1, 0)
        return tuple(first + step * number for number in range(times + 1))
    days = [first]
    while (following := every.after(days[-1])) < back:
        days.append(following)
    return tuple(days)


def notes_of(situation: Situation, context: StageContext, used: Collection[str], as_of: date) -> tuple[str, ...]:
    """A day of judgement beside the move, entries dated later, leaves that do nothing: in sentences. used: the ids of
    those that relieve something, or would have if what they name had been found earlier."""
    notes: list[str] = []
    move = situation.move
    if as_of > move.back:
        notes.append(f"The move ended on {move.back.isoformat()}, before the day of this judgement.")
    elif as_of > move.out:
        notes.append(
            f"The move began on {move.out.isoformat()}: evidence dated after that day was not at hand on departure."
        )
    if situation.standing.later:
        notes.append(later_words(situation.standing.car, as_of))
    for name, on in later_in_move(move, as_of):
        words = name.removesuffix("_on").replace("_", " ")
        notes.append(f"Not counted, being dated after {as_of.isoformat()}: {words} on {on.written}, as the move says.")
    for part, name, word in said_too_early(move, situation.standing.car, as_of):
        attribute = load_vocabulary().attribute(part, name)
        label = name if attribute is None else attribute.label
        notes.append(
            f"Not counted: {label}: {word}, as the move says; the train leaves on {move.out.isoformat()}, after "
            f"{as_of.isoformat()}."
        )
    for leave in situation.standing.car.leaves:
        notes.extend(_of_leave(leave, leave.id in used, move, context))
    return tuple(notes)


def _of_several(leave: Leave, context: StageContext) -> bool:
    """Whether a leave that names no part may be for one of several."""
    standing, named = context.situation.standing, context.resolve(leave.criterion)
    return not named or any(len(standing.reach("car", context.criteria[one].of)) > 1 for one in named)


def _of_leave(leave: Leave, used: bool, move: Move, context: StageContext) -> Iterator[str]:
    """What is wrong with a leave; nothing is said of one for another host or for other days."""
    short = {name.partition("/")[2] for name in context.layers}
    if not context.resolve(leave.criterion) and leave.criterion not in context.layers and leave.criterion not in short:
        names = [*context.criteria, *(one.name for one in context.criteria.values())]
        near = nearest(leave.criterion, names)
        words = f"Permission {leave.id} names `{leave.criterion}`, which no rule in force has"
        yield words + (f"; the nearest is `{near}`." if near else ".")
    elif not used and leave.host.casefold() == move.host.casefold():
        if leave.signed_on is None:
            yield f"Permission {leave.id} counts for nothing: it does not say when it was signed (`signed_on`)."
        elif leave.signed_on > context.situation.standing.as_of:
            yield f"Permission {leave.id} counts for nothing: it is signed only on {leave.signed_on.isoformat()}."
        elif leave.unsaid and leave.first <= move.back and leave.last >= move.out:
            yield (
                f"Permission {leave.id} counts for nothing: `leaves` does not say its {listed(leave.unsaid)} (`none` "
                "for what the letter does not ask, or `leaves: none` for all)."
            )
        elif not leave.at and leave.first <= move.out and leave.last >= move.back and _of_several(leave, context):
            yield f"Permission {leave.id} counts for nothing: it does not say for which part it is (`at`)."
        elif leave.first <= move.out and leave.last >= move.back:
            yield (
                f"Permission {leave.id} relieves nothing: no rule in force lets this host's written permission for a "
                f"{leave.purpose} cancel `{leave.criterion}` on the part that it names."
            )
        elif leave.first <= move.back and leave.last >= move.out:
            yield (
                f"Permission {leave.id} counts for nothing: it is from {leave.first.isoformat()} to "
                f"{leave.last.isoformat()}, and does not cover the whole move."
            )
