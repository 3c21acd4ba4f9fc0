"""Stage 3 read off: which effects are cancelled, which consequences are stopped, and what that leaves."""

from collections.abc import Collection, Iterable

from carknocker.judgement.chain.fixed_point import Fired
from carknocker.judgement.facts import RelievedFact, StoppedFact
from carknocker.judgement.model import Finding, Relief, RestrictionInForce
from carknocker.record.model import Leave
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


def relieve(findings: Iterable[Finding], reliefs: Iterable[Relief]) -> None:
    """Marks the unmet findings whose effect is cancelled for this move. The verdict stays what it is."""
    cancelled = {(r.criterion, r.part) for r in reliefs if r.criterion and r.relieves.purpose == "move"}
    if not cancelled:
        return
    for finding in findings:
        if finding.unmet and (finding.criterion.id, finding.part.key) in cancelled:
            finding.relieved = True


def stopped_by(reliefs: Iterable[Relief]) -> frozenset[tuple[str, str]]:
    """The consequences stopped for this move, each with the part on which its cause lies."""
    return frozenset((r.stopped, r.part) for r in reliefs if r.stopped and r.relieves.purpose == "move")


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
