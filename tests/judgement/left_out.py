"""What must hold of a judgement when one entry is left out of the record: nothing is better, and nothing that the car
is kept or bound by is gone without another in its stead."""

from __future__ import annotations

from carknocker.judgement.comparisons import decision
from carknocker.judgement.criteria import compile_criterion
from carknocker.judgement.evidence_of_findings import looked_at
from carknocker.judgement.facts import FindingFact, PassedTestFact
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement, Relief
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import view_of
from carknocker.judgement.truth import FAILS, HOLDS, NEAR
from carknocker.record.model import CarRecord, Evidence, Part
from carknocker.record.values import Day
from carknocker.rulebook.clauses import comparisons
from carknocker.rulebook.model import Consequence, Relieves
from carknocker.wording.refusals import stated_words

OUTCOMES = ("ready", "ready with restrictions", "repair move only", "not ready")
"""The best first."""

Item = tuple[str, str, str]
"""A refusal, a restriction or a duty on the way; the rule that says so; the part that it is about."""


def better(after: Judgement, before: Judgement) -> bool:
    """Whether the outcome is better."""
    return OUTCOMES.index(after.outcome) < OUTCOMES.index(before.outcome)


def items(judgement: Judgement) -> set[Item]:
    """All refusals, restrictions and duties."""
    found: set[Item] = set()
    for refusal in judgement.refusals:
        if refusal.finding is not None:
            found.add(("refusal", refusal.finding.criterion.id, refusal.finding.part.key))
        elif refusal.duty is not None:
            found.add(("refusal", refusal.duty.consequence.id, refusal.duty.part.key))
        elif refusal.against is not None:
            found.add(("refusal", stated_words(refusal.against), "car"))
    for one in judgement.restrictions:
        found.add(("restriction", f"{one.said_by}: {one.restriction}", "car"))
    for due in judgement.on_the_way:
        if due.duty is not None:
            found.add(("duty", due.duty.consequence.id, due.duty.part.key))
        elif due.finding is not None:
            found.add(("duty", due.finding.criterion.id, due.finding.part.key))
    return found


def gone(before: Judgement, after: Judgement) -> set[Item]:
    """The items that the second judgement lacks and has nothing for on the same container."""
    had, has = items(before), items(after)
    new = {part for _, _, part in has - had}
    lost = {item for item in had - has if not new & _near(item[2], before.parts)}
    return lost - _left_by_reliefs(before, after, has - had) - _not_shown_at_all(after)


def _not_shown_at_all(after: Judgement) -> set[Item]:
    """The duties to read again on the way what is not shown for the departure, and counts against the car there."""
    return {
        ("duty", finding.criterion.id, finding.part.key)
        for finding in after.findings
        if finding.verdict == "not shown" and finding.criterion.effect != "advise"
    }


def _left_by_reliefs(before: Judgement, after: Judgement, new: set[Item]) -> set[Item]:
    """What a relief bound the move by, where the finding that it relieved refuses or restricts the move now, or refuses
    a repair move now too, or only advises; and what of the move as planned that was against."""
    refused = {(name, part) for sort, name, part in new if sort == "refusal"} | {
        (one.finding.criterion.id, one.finding.part.key)
        for one in after.refusals
        if one.finding is not None and not one.repair
    }
    refused |= _restricting(after) - _restricting(before)
    refused |= {(one.criterion.id, one.part.key) for one in after.findings if one.unmet and one.effect == "advise"}
    gone = {one.consequence.id for one in before.reliefs if (one.criterion, one.part) in refused}
    gone |= {one.id for one in before.rulebook.consequences if _relieved(one) & {name for name, _ in refused}}
    instead: set[Item] = {
        ("restriction", f"{one.said_by}: {one.restriction}", "car")
        for one in before.restrictions
        if one.said_by in gone
    }
    for refusal in before.refusals:
        if refusal.against is not None and all(one.said_by in gone for one in refusal.reasons):
            instead.add(("refusal", stated_words(refusal.against), "car"))
    return instead


def _restricting(judgement: Judgement) -> set[tuple[str, str]]:
    """The findings that restrict the move: criterion and part."""
    return {
        (reason.criterion, reason.part)
        for one in judgement.restrictions
        for reason in one.reasons
        if isinstance(reason, FindingFact)
    }


def _relieved(consequence: Consequence) -> set[str]:
    """The criteria that it can relieve: granted only in doubt it relieves none of them, and binds by what it leaves."""
    found: set[str] = set()
    for one in consequence.yields:
        if isinstance(one, Relieves):
            found |= set(one.criteria)
            if one.finding_same:
                found |= {name for cause in consequence.causes for name in cause.criteria}
    return found


def _near(key: str, parts: dict[str, Part]) -> set[str]:
    """The part, what it is in, short of the car, and what is in the same container."""
    container = parts[key].container if key in parts else None
    if container is None or container == "car":
        return {key, "car"}
    beside = {part.key for part in parts.values() if part.container == container}
    return {key, container, *beside, "car"}


EXCEPTIONS = {
    "bad news": "a breached value, a failed test, a bad word, an event, a last day that comes before the return, "
    "a first day of a paper after the departure, a word by which a rule applies where an older one said otherwise",
    "work": "it voids, calls for tests, starts intervals",
    "a move made": "miles used; caught only by what the log states",
    "says nothing good": "the newest word that is doubted, by a gauge that does not count, or too near the limit to "
    "tell: it hides an older good one",
    "a permission that nothing needs": "what it relieves refuses nothing, or is relieved without it; its letter "
    "binds all the same",
    "contradiction": "one of two entries that contradict each other: the doubt goes with it",
}
"""Why a record may be judged better without an entry. What made the record refused has no outcome before."""


def exceptions(before: Judgement, changed: CarRecord) -> set[str]:
    """Which of them the entries are that a changed record lacks."""
    car = before.car
    found: set[str] = set()
    for job in car.work:
        if job not in changed.work:
            found.add("bad news" if job.event else "work")
    if any(one not in changed.moves_made for one in car.moves_made):
        found.add("a move made")
    for leave in car.leaves:
        if leave not in changed.leaves and _not_needed(
            [one for one in before.reliefs if one.leave is not None and one.leave.id == leave.id], before
        ):
            found.add("a permission that nothing needs")
    kept = set(map(_told, changed.evidence))
    for one in car.evidence:
        if _told(one) not in kept:
            found |= _of_evidence(one, before)
    return found


def _not_needed(by_it: list[Relief], before: Judgement) -> bool:
    """Whether all that a permission relieves, or a test that a rule takes for one, only advises or restricts, or is
    relieved by something else too."""
    relieved = {(one.criterion, one.part) for one in by_it}
    without = {(one.criterion, one.part) for one in before.reliefs if one not in by_it}
    mild = {(one.criterion.id, one.part.key) for one in before.findings if one.criterion.effect != "refuse"}
    return bool(relieved) and relieved <= without | mild


def _told(one: Evidence) -> tuple[str, ...]:
    """What tells an entry from others, wherever it stands in the file."""
    by = "" if one.by is None else one.by.name
    return one.part, one.place, one.attribute, repr(one.value), by, str(one.on), str(one.until), repr(one.facts)


def _of_evidence(one: Evidence, before: Judgement) -> set[str]:
    found: set[str] = set()
    if any(other.id == one.id for doubt in before.doubts for other in (*doubt.touched, *doubt.against)):
        found.add("contradiction")
    truths = _truths(one, before)
    same = [e for e in before.car.evidence if (e.part, e.attribute) == (one.part, one.attribute)]
    last = all(e.on is None or one.on is None or e.on <= one.on for e in same)
    ended = one.until is not None and one.until < before.move.back
    begins = one.facts.get("from")
    ended = ended or (isinstance(begins, Day) and begins.first > before.move.out)
    if FAILS in truths or ended or (one.sort == "test" and getattr(one.value, "text", "") == "failed"):
        found.add("bad news")
    if last and _brings_a_rule(one, [other for other in same if other is not one], before):
        found.add("bad news")
    if last and (one.id in before.situation.excluded or truths - {HOLDS}):
        found.add("says nothing good")
    by_it = [
        relief for relief in before.reliefs
        if isinstance(relief.cause, PassedTestFact) and relief.cause.evidence == one.id
    ]  # fmt: skip
    if _not_needed(by_it, before):
        found.add("a permission that nothing needs")
    return found


def _brings_a_rule(one: Evidence, older: list[Evidence], before: Judgement) -> bool:
    """Whether a requirement that is not met applies by this word, and would not by an older one of the same."""
    part = before.parts.get(one.part)
    if part is None:
        return False
    view = view_of(before.situation, one.part, before.move.out)
    for finding in before.findings:
        if not finding.unmet:
            continue
        for kind, comparison in comparisons(finding.criterion.when, finding.criterion.of):
            path, says = comparison.path, decision(comparison)
            if (path.owner or kind, path.attribute.name) == (part.kind, one.attribute) and not path.owner:
                was = {says(ObservedValue(other.value, other), view) for other in older}
                if says(ObservedValue(one.value, one), view) == HOLDS and FAILS in was:
                    return True
    return False


def _truths(one: Evidence, before: Judgement) -> set[int]:
    """What each comparison of the rulebook says of the value alone, and of the figures that rest on it."""
    part = before.parts.get(one.part)
    found: set[int] = set()
    if part is None:
        return found
    view = view_of(before.situation, one.part, before.move.out)
    for finding in before.findings:
        truth = _truth_of(finding, before)
        if truth in (FAILS, NEAR) and any(one.id == used.id for used in _used(finding, before)):
            found.add(truth)
    for criterion in before.rulebook.criteria:
        for clause in (criterion.must, criterion.when, criterion.unless):
            for kind, comparison in comparisons(clause, criterion.of):
                path = comparison.path
                if (path.owner or kind, path.attribute.name) == (part.kind, one.attribute) and not path.owner:
                    truth = decision(comparison)(ObservedValue(one.value, one), view)
                    if clause is criterion.must or truth not in (HOLDS, FAILS):
                        found.add(truth)
    return found


def _truth_of(finding: Finding, judgement: Judgement) -> int | None:
    """Of what the requirement asks, as read; None where the finding does not turn on it. A figure that fails is bad
    news also where only a description is missing that would say whether the part comes under the requirement."""
    match finding.verdict:
        case "breached":
            return FAILS
        case "borderline":
            return NEAR
        case "not shown":
            return compile_criterion(finding.criterion).must(JudgementIndex(judgement).view(finding))
    return None


def _used(finding: Finding, judgement: Judgement) -> list[Evidence]:
    return looked_at(finding, JudgementIndex(judgement))[0]
