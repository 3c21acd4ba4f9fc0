"""Stage 5 put together: duties, restrictions, refusals, outcome, every list in one fixed order."""

from collections.abc import Iterable, Mapping
from datetime import date

from carknocker.judgement.chain.duties import duty_state
from carknocker.judgement.chain.evaluators import Fired
from carknocker.judgement.chain.setting import Setting
from carknocker.judgement.model import (
    CannotJudge,
    Duty,
    Finding,
    Firing,
    Judgement,
    Refusal,
    Relief,
    RestrictionInForce,
    Voided,
)  # fmt: skip
from carknocker.judgement.notes import notes_of
from carknocker.judgement.on_the_way import duties_on_the_way
from carknocker.judgement.outcome import (
    against_the_move,
    open_refusals,
    outcome_of,
    paths_up,
    refusing,
    repairs_for,
    stops_of,
)  # fmt: skip
from carknocker.judgement.reliefs import left_by
from carknocker.judgement.restrictions import contrary_to_move, restriction_name
from carknocker.judgement.situation import Situation
from carknocker.record.model import CarRecord, Move
from carknocker.record.standing import Standing
from carknocker.rulebook.model import Requires, Restricts, Rulebook

_STAGE_ORDER = {"withdraws": 0, "relieves": 1, "chain": 2}


def settle(
    car: CarRecord,
    move: Move,
    rulebook: Rulebook,
    as_of: date,
    situation: Situation,
    findings: list[Finding],
    voided: Mapping[str, Voided],
    reliefs: tuple[Relief, ...],
    fired: Mapping[str, Fired],
    setting: Setting,
) -> Judgement:
    """The judgement from what the stages gave. Raises CannotJudge if a refusal does not reach the car."""
    firings = _firings(fired)
    unmet = [finding for finding in findings if finding.unmet]
    duties = _duties(fired["chain"], setting)
    renewed = findings if any(criterion.renewal is not None for criterion in rulebook.criteria) else ()
    on_the_way = duties_on_the_way(renewed, duties, move)
    restrictions = _restrictions(unmet, reliefs, fired["chain"], "move")
    refusals = [*_finding_refusals(unmet, reliefs, firings, situation.standing), *_duty_refusals(duties, reliefs)]
    repair = bool(refusals) and all(refusal.repair for refusal in refusals)
    if repair:
        restrictions = _merged([*restrictions, *left_by(reliefs, unmet, "repair")])
    refusals.extend(Refusal(against=words, reasons=reasons) for words, reasons in contrary_to_move(restrictions, move))
    return Judgement(
        car, move, rulebook, as_of, outcome_of(tuple(refusals), restrictions, on_the_way), tuple(findings),
        tuple(refusals), restrictions, duties, on_the_way,
        tuple(sorted(voided.values(), key=lambda one: (one.work.on, one.work.id, one.evidence.id))),
        reliefs, firings, situation.standing.parts, situation, notes_of(situation, setting, reliefs, as_of),
    )  # fmt: skip


def _firings(fired: Mapping[str, Fired]) -> tuple[Firing, ...]:
    firings = []
    for one in fired.values():
        for rule, item, followed in one.firings.values():
            names = tuple(sorted(following.fact.name for following in followed))
            firings.append(Firing(rule.stage, rule.consequence, rule.yield_number, item.fact, names))
    firings.sort(key=lambda f: (_STAGE_ORDER[f.stage], f.consequence.id, f.yield_number, f.cause.name))
    return tuple(firings)


def _duties(fired: Fired, setting: Setting) -> tuple[Duty, ...]:
    duties: dict[tuple[str, ...], Duty] = {}
    for rule, item, followed in fired.firings.values():
        requires = rule.produces
        if not isinstance(requires, Requires):
            continue
        for following in followed:
            name, since = following.fact.name, following.fact.since
            state = duty_state(name, requires, following.fact.part, since, item.work, setting)
            part = setting.situation.standing.parts[following.fact.part]
            duties[name] = Duty(
                following.fact,
                rule.consequence,
                requires,
                part,
                since,
                state.state,
                state.note,
                item.fact,
                state.answered_by,
            )
    return tuple(duties[name] for name in sorted(duties))


def _restrictions(
    findings: list[Finding], reliefs: tuple[Relief, ...], fired: Fired, purpose: str
) -> tuple[RestrictionInForce, ...]:
    found = [
        RestrictionInForce(restriction, (("finding", f.criterion.id, f.part.key),), f.criterion.id)
        for f in findings
        if f.unmet and not f.relieved and f.part.fitted and f.criterion.effect == "restrict"
        for restriction in f.criterion.restrictions
    ]
    found.extend(left_by(reliefs, findings, purpose))
    for rule, item, _ in fired.firings.values():
        if isinstance(rule.produces, Restricts):
            found.extend(
                RestrictionInForce(restriction, (item.fact.name,), rule.consequence.id)
                for restriction in rule.produces.restrictions
            )
    return _merged(found)


def _merged(found: Iterable[RestrictionInForce]) -> tuple[RestrictionInForce, ...]:
    """Each restriction once for each rule that says it, with all its reasons."""
    merged: dict[tuple[object, ...], RestrictionInForce] = {}
    for one in found:
        key = (*restriction_name(one.restriction), one.said_by)
        before = merged.get(key)
        reasons = {*one.reasons, *(before.reasons if before is not None else ())}
        merged[key] = RestrictionInForce(one.restriction, tuple(sorted(reasons)), one.said_by)
    return tuple(merged[key] for key in sorted(merged, key=repr))


def _finding_refusals(
    findings: Iterable[Finding], reliefs: tuple[Relief, ...], firings: tuple[Firing, ...], standing: Standing
) -> list[Refusal]:
    paths = paths_up(firings)
    refusals: list[Refusal] = []
    for finding in findings:
        if not refusing(finding):
            continue
        name = ("finding", finding.criterion.id, finding.part.key)
        stops = () if against_the_move(finding) else _nearest_first(stops_of(name, paths), standing)
        if finding.part.kind != "car" and not against_the_move(finding) and "car" not in stops:
            raise CannotJudge(
                f"{finding.criterion.id} refuses {finding.part.label}, and no consequence carries that up to the car"
            )
        repair = repairs_for(reliefs, finding.criterion.id, finding.part.key)
        refusals.append(Refusal(finding=finding, repair=repair, stops=stops))
    return refusals


def _nearest_first(keys: tuple[str, ...], standing: Standing) -> tuple[str, ...]:
    return tuple(sorted(keys, key=lambda key: (-len(standing.containers(key)), key)))


def _duty_refusals(duties: Iterable[Duty], reliefs: tuple[Relief, ...]) -> list[Refusal]:
    refusals: list[Refusal] = []
    for duty in open_refusals(duties):
        repair = tuple(
            relief
            for relief in reliefs
            if relief.relieves.purpose == "repair"
            and relief.stopped == duty.consequence.id
            and relief.part == duty.cause.part
        )
        refusals.append(Refusal(duty=duty, repair=repair))
    return refusals
