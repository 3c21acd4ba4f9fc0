"""Two judgements of one car and one move, under the rulebook at departure and the one at the return, put together.

What either of them asks counts: nothing that only one edition says may be lost because the other is stricter.
"""

import hashlib
from collections.abc import Callable, Hashable, Iterable
from typing import TypeVar

from msgspec.structs import replace

from carknocker.judgement.model import Duty, DutyOnTheWay, Finding, Judgement, Refusal
from carknocker.judgement.outcome import outcome_of
from carknocker.judgement.restrictions import contrary_to_move, restriction_name
from carknocker.rulebook.model import Rulebook

_One = TypeVar("_One")


def together(counts: Judgement, other: Judgement) -> Judgement:
    """The judgement that counts, with what only the other one says beside it. The outcome is that of both together."""
    own = {(finding.criterion.id, finding.part.key): finding for finding in counts.findings}
    added = tuple(finding for finding in other.findings if _adds(finding, own))
    restrictions = _union(
        counts.restrictions, other.restrictions, lambda one: (restriction_name(one.restriction), one.said_by)
    )
    refusals = _union(
        [one for one in counts.refusals if not one.against],
        [one for one in other.refusals if not one.against],
        _refusal_name,
    )
    against = tuple(
        Refusal(against=words, reasons=reasons) for words, reasons in contrary_to_move(restrictions, counts.move)
    )
    duties = _union(counts.duties, other.duties, _duty_name, _less_done)
    on_the_way = _union(counts.on_the_way, other.on_the_way, _on_the_way_name, _oftener)
    everything = (*refusals, *against)
    outcome = outcome_of(everything, restrictions, on_the_way)
    if outcome == "repair move only" and "not ready" in (counts.outcome, other.outcome):
        outcome = "not ready"
    return replace(
        counts,
        rulebook=_rulebook(counts.rulebook, other.rulebook),
        outcome=outcome,
        findings=(*counts.findings, *added),
        refusals=everything,
        restrictions=restrictions,
        duties=duties,
        on_the_way=on_the_way,
        voided=_union(counts.voided, other.voided, lambda one: one.evidence.id),
        reliefs=_union(counts.reliefs, other.reliefs, lambda one: (one.consequence.id, one.cause.name, one.part)),
        firings=_union(
            counts.firings, other.firings, lambda one: (one.consequence.id, one.yield_number, one.cause.name)
        ),
    )


def _rulebook(one: Rulebook, other: Rulebook) -> Rulebook:
    """Both rulebooks as one to look things up in: every edition, and every rule by its id, of the first if both have
    it."""
    ids = {rule.id for rule in one.criteria} | {rule.id for rule in one.consequences}
    named = {(edition.ruleset, edition.name) for edition in one.editions}
    return Rulebook(
        (*one.editions, *(edition for edition in other.editions if (edition.ruleset, edition.name) not in named)),
        (*one.criteria, *(rule for rule in other.criteria if rule.id not in ids)),
        (*one.consequences, *(rule for rule in other.consequences if rule.id not in ids)),
        hashlib.sha256(f"{one.digest} {other.digest}".encode()).hexdigest(),
    )


def _adds(finding: Finding, own: dict[tuple[str, str], Finding]) -> bool:
    """Whether a finding of the other judgement says something that the one that counts does not."""
    before = own.get((finding.criterion.id, finding.part.key))
    if before is None:
        return finding.verdict != "not applicable"
    stands = finding.unmet and not finding.relieved
    return (stands and before.relieved) or (
        finding.unmet and (not before.unmet or before.criterion != finding.criterion)
    )


def _union(
    one: Iterable[_One],
    other: Iterable[_One],
    name: Callable[[_One], Hashable],
    stricter: Callable[[_One, _One], _One] = lambda first, _: first,
) -> tuple[_One, ...]:
    """Both, each once; where both have it, what `stricter` makes of the two."""
    found: dict[Hashable, _One] = {}
    for member in (*one, *other):
        own = name(member)
        found[own] = stricter(found[own], member) if own in found else member
    return tuple(found.values())


def _less_done(one: Duty, other: Duty) -> Duty:
    states = ("done", "on the way", "open")
    return other if states.index(other.state) > states.index(one.state) else one


def _oftener(one: DutyOnTheWay, other: DutyOnTheWay) -> DutyOnTheWay:
    """By every day that either names; routine only if both say so."""
    due = tuple(sorted({*one.due, *other.due}))
    return replace(one, due=due, routine=one.routine and other.routine)


def _refusal_name(refusal: Refusal) -> Hashable:
    if refusal.finding is not None:
        finding = refusal.finding
        return "finding", finding.criterion.id, finding.criterion.edition, finding.part.key
    return ("duty", _duty_name(refusal.duty)) if refusal.duty is not None else ("against", refusal.against)


def _duty_name(duty: Duty) -> Hashable:
    return duty.fact.name


def _on_the_way_name(one: DutyOnTheWay) -> Hashable:
    if one.finding is not None:
        return one.finding.criterion.id, one.finding.part.key
    return None if one.duty is None else _duty_name(one.duty)
