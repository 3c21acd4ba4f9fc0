"""Stage 3 read off: which effects are cancelled, which consequences are stopped, and what that leaves."""

from collections.abc import Collection, Iterable

from carknocker.judgement.chain.excuses import excuses
from carknocker.judgement.chain.fixed_point import Fired
from carknocker.judgement.chain.stage_context import Stopped
from carknocker.judgement.facts import Fact, RelievedFact, StoppedFact
from carknocker.judgement.model import Finding, Relief, RestrictionInForce
from carknocker.record.model import Leave
from carknocker.record.standing import Standing
from carknocker.rulebook.model import Relieves, Restriction


def reliefs_of(fired: Fired) -> tuple[Relief, ...]:
    """Every relief, sorted by what it relieves."""
    reliefs: list[Relief] = []
    for rule, cause, followed in fired.firings.values():
        if not isinstance(rule.produces, Relieves):
            continue
        for one in followed:
            criterion = one.fact.criterion if isinstance(one.fact, RelievedFact) else ""
            stopped = one.fact.consequence if isinstance(one.fact, StoppedFact) else ""
            reliefs.append(
                Relief(rule.consequence, rule.produces, cause.fact, criterion, one.fact.part, stopped, cause.leave)
            )
    return tuple(sorted(reliefs, key=lambda r: (r.criterion, r.stopped, r.part, r.consequence.id, r.cause.name)))


def relieve(findings: Iterable[Finding], reliefs: Iterable[Relief], standing: Standing) -> None:
    """Marks the unmet findings whose effect is cancelled for this move. The verdict stays what it is."""
    cancelled: dict[tuple[str, str], list[Relief]] = {}
    for one in reliefs:
        if one.criterion and one.relieves.purpose == "move":
            cancelled.setdefault((one.criterion, one.part), []).append(one)
    if not cancelled:
        return
    for finding in findings:
        if finding.unmet and any(
            relieves_finding(one, finding, standing)
            for one in cancelled.get((finding.criterion.id, finding.part.key), ())
        ):
            finding.relieved = True


def relieves_finding(relief: Relief, finding: Finding, standing: Standing) -> bool:
    """Whether a relief of this criterion on this part reaches the finding, by the day on which it was found. Of a
    permission there is none for what was found after it was signed."""
    if relief.leave is not None:
        return True
    found_on = None if finding.evidence is None else finding.evidence.on
    return excuses(relief.cause, finding.fact, found_on, standing)


def stopped_by(reliefs: Iterable[Relief]) -> Stopped:
    """The consequences stopped for this move, each with the part on which its cause lies."""
    stopped: dict[tuple[str, str], tuple[Fact, ...]] = {}
    for one in reliefs:
        if one.stopped and one.relieves.purpose == "move":
            stopped[one.stopped, one.part] = (*stopped.get((one.stopped, one.part), ()), one.cause)
    return stopped


def left_by(reliefs: Collection[Relief], findings: Iterable[Finding], purpose: str) -> list[RestrictionInForce]:
    """The restrictions that reliefs put in the place of what they cancelled. A relief of nothing leaves nothing."""
    if not reliefs:
        return []
    unmet = {(f.criterion.id, f.part.key) for f in findings if f.unmet and f.part.fitted}
    left: list[RestrictionInForce] = []
    for relief in reliefs:
        if relief.relieves.purpose != purpose or (relief.criterion and (relief.criterion, relief.part) not in unmet):
            continue
        restrictions = relief.relieves.leaves + (() if relief.leave is None else _of_leave(relief.leave))
        for restriction in restrictions:
            left.append(RestrictionInForce(restriction, (relief.cause,), relief.consequence.id))
    return left


def used_for_the_move(reliefs: Iterable[Relief], findings: Iterable[Finding]) -> tuple[Leave, ...]:
    """The host's written permissions without which something would keep the car from this move."""
    on_leave = [one for one in reliefs if one.leave is not None and one.relieves.purpose == "move"]
    if not on_leave:
        return ()
    unmet = {(f.criterion.id, f.part.key) for f in findings if f.unmet and f.part.fitted}
    used = (one.leave for one in on_leave if one.stopped or (one.criterion, one.part) in unmet)
    return tuple({one.id: one for one in used if one is not None}.values())


def _of_leave(leave: Leave) -> tuple[Restriction, ...]:
    restrictions: list[Restriction] = []
    if leave.speed is not None:
        restrictions.append(Restriction("speed", quantity=leave.speed))
    if leave.place:
        restrictions.append(Restriction("place", words=(leave.place,)))
    if leave.riders:
        restrictions.append(Restriction("riders", words=(leave.riders,)))
    if leave.tag:
        restrictions.append(Restriction("tag", words=(leave.tag,)))
    return tuple(restrictions)
