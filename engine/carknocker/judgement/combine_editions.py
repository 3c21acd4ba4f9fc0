"""Two judgements of one car and one move, under the rulebook at departure and the one at the return, put together.

What either of them asks counts: nothing that only one edition says may be lost because the other is stricter.
"""

import hashlib
from collections.abc import Callable, Hashable, Iterable
from typing import TypeVar

from msgspec.structs import replace

from carknocker.judgement.assemble import outcome_of
from carknocker.judgement.facts import Fact
from carknocker.judgement.model import (
    Duty,
    DutyOnTheWay,
    Finding,
    Firing,
    Judgement,
    Refusal,
    RestrictionInForce,
)
from carknocker.judgement.reliefs import used_for_the_move
from carknocker.judgement.restrictions import contrary_to_move, restricted_fact
from carknocker.rulebook.model import Rulebook

_One = TypeVar("_One")


def combine_editions(counts: Judgement, other: Judgement) -> Judgement:
    """The judgement that counts, with what only the other one says beside it. The outcome is that of both together."""
    own: dict[Fact, Finding] = {finding.fact: finding for finding in counts.findings}
    added = tuple(finding for finding in other.findings if _adds(finding, own))
    restrictions = _union(
        counts.restrictions,
        other.restrictions,
        lambda one: (restricted_fact(one.restriction), one.said_by),
        _with_all_reasons,
    )
    refusals = _union(
        [one for one in counts.refusals if not one.against],
        [one for one in other.refusals if not one.against],
        _refusal_key,
    )
    against = tuple(
        Refusal(against=against, reasons=reasons) for against, reasons in contrary_to_move(restrictions, counts.move)
    )
    duties = _union(counts.duties, other.duties, lambda one: one.fact, _less_done)
    on_the_way = _union(counts.on_the_way, other.on_the_way, _on_the_way_key, _oftener)
    everything = (*refusals, *against)
    findings = (*counts.findings, *added)
    permissions = used_for_the_move((*counts.reliefs, *other.reliefs), findings)
    outcome = outcome_of(everything, restrictions, on_the_way, permissions)
    if outcome == "repair move only" and "not ready" in (counts.outcome, other.outcome):
        outcome = "not ready"
    return replace(
        counts,
        rulebook=_rulebook(counts.rulebook, other.rulebook),
        outcome=outcome,
        findings=findings,
        refusals=everything,
        restrictions=restrictions,
        duties=duties,
        on_the_way=on_the_way,
        voided=_union(counts.voided, other.voided, lambda one: one.evidence.id),
        reliefs=_union(
            counts.reliefs,
            other.reliefs,
            lambda one: (one.consequence.id, one.cause, one.criterion, one.stopped, one.part, one.relieves.purpose),
        ),
        firings=_union(
            counts.firings,
            other.firings,
            lambda one: (one.consequence.id, one.yield_number, one.cause),
            _all_that_followed,
        ),
        doubts=_union(counts.doubts, other.doubts, lambda one: (one.name, one.part.key)),
        as_said=counts.as_said or other.as_said,
        found_later=_union(counts.found_later, other.found_later, lambda one: one),
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


def _adds(finding: Finding, own: dict[Fact, Finding]) -> bool:
    """Whether a finding of the other judgement says something that the one that counts does not."""
    before = own.get(finding.fact)
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


def _with_all_reasons(one: RestrictionInForce, other: RestrictionInForce) -> RestrictionInForce:
    return replace(one, reasons=_all_facts(one.reasons, other.reasons))


def _all_that_followed(one: Firing, other: Firing) -> Firing:
    return replace(one, followed=_all_facts(one.followed, other.followed))


def _all_facts(some: Iterable[Fact], others: Iterable[Fact]) -> tuple[Fact, ...]:
    return tuple(sorted({*some, *others}, key=lambda fact: fact.name))


def _refusal_key(refusal: Refusal) -> Hashable:
    """A criterion that the other edition states anew refuses by itself."""
    return refusal.identity, "" if refusal.finding is None else refusal.finding.criterion.edition


def _on_the_way_key(one: DutyOnTheWay) -> Hashable:
    if one.finding is not None:
        return one.finding.fact
    return None if one.duty is None else one.duty.fact
