"""A finding as a reason, down to the reading, the gauge, the person and the line; void evidence with its work."""

from collections.abc import Iterable, Iterator
from datetime import date

import msgspec
from msgspec.structs import replace

from carknocker.documents import Location, listed
from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import comparison_test, getter
from carknocker.judgement.criteria import compile_comparison
from carknocker.judgement.evidence_of_findings import looked_at
from carknocker.judgement.explanation import why_unknown
from carknocker.judgement.facts import EntryFact, Fact, PassedTestFact
from carknocker.judgement.findings import view_for_when
from carknocker.judgement.finer_gauge import settling_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import UNMET, Finding, Relief
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import FAILS, NEAR, UNKNOWN
from carknocker.questions.why.model import WhyNode
from carknocker.record.model import Evidence, Work
from carknocker.record.part_keys import kind_of_key
from carknocker.record.value_words import value_words
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf
from carknocker.whatif.model import Way
from carknocker.whatif.nearest_values import nearest
from carknocker.whatif.ready_dates import met_if_back_by, met_if_leaving
from carknocker.whatif.way_words import way_words
from carknocker.wording.evidence import evidence_lines, evidence_value, found_later_words, leave_words, work_with_parts
from carknocker.wording.faults import fault_of_findings
from carknocker.wording.limits import clause_words, path_words, requirement_words, settling_words
from carknocker.wording.parts import attribute_words, part_by_key, part_words
from carknocker.wording.refusals import permission_words
from carknocker.wording.set_aside import set_aside_words
from carknocker.wording.verdicts import finding_words, unknown_words


def why_passed_over(evidence: Evidence, finding: Finding, index: JudgementIndex) -> str:
    """Why a finding does not rest on evidence that is not void."""
    oldest = index.view(finding).oldest
    if oldest is not None and evidence.on is not None and evidence.on < oldest:
        return f"too old for this criterion on {index.judgement.move.out.isoformat()}"
    return "not for this criterion"


def said_of(evidence: Evidence, index: JudgementIndex) -> str:
    """What evidence shows, of which part."""
    return f"{_label(evidence, index)}: {shown_words(evidence, index)}"


def shown_words(evidence: Evidence, index: JudgementIndex) -> str:
    """What evidence shows: `flange thickness: 7/8 in`."""
    part = index.judgement.parts.get(evidence.part)
    kind = part.kind if part is not None else kind_of_key(evidence.part)
    return f"{attribute_words(kind, evidence.attribute)}: {evidence_value(evidence)}"


def _label(evidence: Evidence, index: JudgementIndex) -> str:
    part = index.judgement.parts.get(evidence.part)
    return part_words(part) if part is not None else evidence.part


def evidence_node(
    evidence: Evidence, index: JudgementIndex, passed_over: str = "", *, against: bool = False
) -> WhyNode:
    """A reading, a test, a paper or a description; struck if it is void, with the work that voided it, or passed over
    for a reason. against: it counts against the car, though it could not count for it."""
    said, shown = said_of(evidence, index), shown_words(evidence, index)
    label = _label(evidence, index) if evidence.part in index.judgement.parts else ""
    reason = set_aside_words(index.situation.excluded.get(evidence.id))
    lines = evidence_lines(evidence)
    voided = index.voided.get(evidence.id)
    if voided is not None:
        source, work = voided.consequence.source, work_node(voided.work)
        return WhyNode(
            "void", f"{said} (void)", (*lines, ("void", reason), ("rule", voided.consequence.id)), source,
            evidence.where, True, (work,), evidence, around=("", f": {shown} (void)"), label=label, shown=shown,
        )  # fmt: skip
    if against and reason:
        return WhyNode(
            "evidence", said, (*lines, ("counts only against the car", reason)), where=evidence.where, about=evidence,
            around=("", f": {shown}"), label=label, shown=shown,
        )  # fmt: skip
    if reason or passed_over:
        lines = (*lines, ("does not count", reason or passed_over))
        around = "", f": {shown} (does not count)"
        return WhyNode(
            "void", f"{said} (does not count)", lines, None, evidence.where, True, (), evidence, around=around,
            label=label, shown=shown,
        )  # fmt: skip
    return WhyNode(
        "evidence", said, lines, where=evidence.where, about=evidence, around=("", f": {shown}"), label=label,
        shown=shown,
    )  # fmt: skip


def work_node(work: Work) -> WhyNode:
    """A job, or something that happened."""
    by = (("by", f"{work.by.full_name or work.by.name} ({work.by.role})"),) if work.by is not None else ()
    return WhyNode("work", work_with_parts(work), by, where=work.where, about=work)


class Decided(msgspec.Struct, frozen=True):
    """The first clause with the truth that a whole clause has: what it asks, what was seen, the evidence of that."""

    clause: Clause
    asked: str
    seen: str
    truth: int
    where: Location | None
    evidence: Evidence | None
    shown: str = ""


def first_deciding(clause: Clause, sight: PartView) -> Decided:
    """The first member, at any depth of *all of*, that is as true as the whole: the first that does not hold, if it
    does not; the first that nothing shows, if that is why it is open. An *any of* that fails, fails as a whole."""
    truth = clause_test(clause)(sight)
    if isinstance(clause, AllOf) or (isinstance(clause, AnyOf) and truth >= NEAR):
        return first_deciding(next(one for one in clause.clauses if clause_test(one)(sight) == truth), sight)
    if isinstance(clause, Comparison):
        held = getter(clause.path)(sight)
        seen = _seen(clause, sight)
        evidence = None if held is None else held.evidence
        asked = f"{path_words(clause.path)}: {requirement_words(clause)}"
        return Decided(clause, asked, seen, truth, clause.where, evidence, _shown(clause, sight))
    where = clause.where if isinstance(clause, (CountOf, EachOf)) else None
    return Decided(clause, clause_words(clause), _seen_inside(clause, sight), truth, where, None)


def _seen(comparison: Comparison, sight: PartView) -> str:
    compiled = compile_comparison(comparison)
    if compiled.test(sight) == UNKNOWN:
        return unknown_words(why_unknown(compiled, sight))
    held = compiled.get(sight)
    return f"{path_words(comparison.path)}: {'nothing on record' if held is None else value_words(held.value)}"


def _shown(comparison: Comparison, sight: PartView) -> str:
    """What was seen, as evidence of it shows it; empty where that would not say of which of several parts."""
    path, held = comparison.path, getter(comparison.path)(sight)
    if held is None or comparison_test(comparison)(sight) == UNKNOWN:
        return ""
    owner = sight.situation.owner(sight.key, path.owner) if path.owner and path.owner != "fact" else None
    if owner is not None and sight.situation.standing.parts[owner].position:
        return ""
    return f"{path_words(replace(path, owner=''))}: {value_words(held.value)}"


def _seen_inside(clause: Clause, sight: PartView) -> str:
    """What was seen on the parts inside, or of each alternative of an *any of*."""
    match clause:
        case AnyOf(clauses):
            return "; ".join(dict.fromkeys(first_deciding(one, sight).seen for one in clauses))
        case CountOf(kind, when):
            keys = sight.situation.standing.reach(sight.key, kind)
            test = None if when is None else clause_test(when)
            surely = sum(test is None or test(sight.at(key)) >= NEAR for key in keys)
            return f"{surely} of {len(keys)} {kind}{'' if len(keys) == 1 else 's'} on record"
        case EachOf(kind, _, must):
            parts = sight.situation.standing.parts
            keys = sight.situation.standing.reach(sight.key, kind)
            bad = [parts[key].label for key in keys if clause_test(must)(sight.at(key)) < NEAR]
            return f"not so: {', '.join(bad)}" if bad else f"so on all {len(keys)}"
        case _:
            return ""


def clause_node(decided: Decided, said: str, because: tuple[WhyNode, ...] = ()) -> WhyNode:
    """A clause as a reason."""
    lines = (("asks", decided.asked), ("seen", decided.seen))
    return WhyNode(
        "clause",
        said,
        tuple(line for line in lines if line[1]),
        where=decided.where,
        because=because,
        shown=decided.shown,
    )


def finding_node(finding: Finding, index: JudgementIndex) -> WhyNode:
    """One criterion on one part: what was measured, what is required, and what that rests on."""
    criterion = finding.criterion
    ways = nearest(finding, index)
    back_by = met_if_back_by(finding, index)
    leaving = met_if_leaving(finding, index)
    label, verdict = part_words(finding.part), f": {criterion.title}: {finding.verdict}"
    if finding.verdict in UNMET:
        fault = fault_of_findings((finding,), index)
        known = finding.verdict in fault.said
        label, verdict = fault.subject, f": {fault.words}" + ("" if known else f" ({finding.verdict})")
    return WhyNode(
        "finding",
        f"{label}{verdict}",
        tuple(line for line in _lines(finding, index, _would_pass(finding, ways, back_by, leaving)) if line[1]),
        source=criterion.source,
        where=criterion.where,
        struck=finding.relieved,
        because=(*_relief_nodes(finding, index), *_clause_nodes(finding, index), *_evidence_nodes(finding, index)),
        about=finding,
        nearest=ways,
        back_by=back_by,
        leaving=leaving,
        around=("", verdict),
        label=label,
    )


def permitted_lines(fact: Fact, index: JudgementIndex) -> tuple[tuple[str, str], ...]:
    """The host's written permission, where a finding or a duty refuses the car and the rules let him give one."""
    refusal = index.refusals.get(fact)
    permission = None if refusal is None else index.permissions.of(refusal)
    return () if permission is None else (("or", permission_words(permission)),)


def _would_pass(
    finding: Finding, ways: tuple[Way, ...], back_by: date | None, leaving: tuple[date | None, date | None]
) -> Iterator[tuple[str, str]]:
    """What of the record, or which days of the move, would have to be otherwise."""
    unlisted = finding.part.unlisted
    if unlisted is not None and finding.verdict == "not shown":
        number = f"say how many there are (`{unlisted.number}`), and " if unlisted.number else ""
        yield "would pass", f"put on record, and good: {number}describe what is there"
    for way in ways:
        yield "would pass", way_words(way, finding.part)
    if back_by is not None:
        yield "would pass", f"leaving as planned and back by {back_by.isoformat()}"
    for day, which in zip(leaving, ("earlier", "later"), strict=True):
        if day is not None:
            yield "would pass", f"leaving on {day.isoformat()}, the nearest {which} day, for as long"


def _lines(
    finding: Finding, index: JudgementIndex, would_pass: Iterable[tuple[str, str]]
) -> Iterator[tuple[str, str]]:  # fmt: skip
    criterion = finding.criterion
    explanation = index.explain(finding)
    words = finding_words(explanation)
    if finding.verdict in UNMET:
        yield "requirement", criterion.title
    if finding.verdict != "not applicable":
        yield "measured", words.measured
        yield "required", words.required
        yield "margin", words.margin
        yield from would_pass
        yield from permitted_lines(finding.fact, index)
        for line in explanation.worked:
            yield "worked", line
    settled = settling_of(finding, index.compiled(criterion), index.view(finding))
    if settled is not None:
        for line in settling_words(settled, index.judgement.parts):
            yield "settles", line
    yield "why", words.reason
    for too_early in index.found_later.get((criterion.id, finding.part.key), ()):
        yield "why", found_later_words(too_early)
    if criterion.when is not None:
        yield "applies where", clause_words(criterion.when)
    if criterion.unless is not None:
        yield "unless", clause_words(criterion.unless)
    yield "shown by", criterion.shown_by
    yield "effect", f"{finding.effect}, relieved" if finding.relieved else finding.effect
    stops = index.stops.get((criterion.id, finding.part.key), ())
    yield "stops", listed(part_by_key(index.judgement.parts, key) for key in stops) if stops else ""
    yield "relaxed", criterion.relaxed_by
    yield "rule", criterion.id


def _relief_nodes(finding: Finding, index: JudgementIndex) -> Iterator[WhyNode]:
    if finding.unmet:
        for relief in index.reliefs.get((finding.criterion.id, finding.part.key), ()):
            yield relief_node(relief, index)


def relief_node(relief: Relief, index: JudgementIndex) -> WhyNode:
    """Who relieved an effect, or stopped a consequence, and for what."""
    purpose = "for this move" if relief.relieves.purpose == "move" else "for a repair move only"
    what = index.title(relief.criterion or relief.stopped)
    because: tuple[WhyNode, ...] = ()
    if relief.leave is not None:
        because = (WhyNode("leave", leave_words(relief.leave), where=relief.leave.where, about=relief.leave),)
    elif isinstance(relief.cause, EntryFact) and relief.cause.entry in index.work:
        because = (work_node(index.work[relief.cause.entry]),)
    elif isinstance(relief.cause, PassedTestFact) and relief.cause.evidence in index.evidence:
        because = (evidence_node(index.evidence[relief.cause.evidence], index),)
    said = f"{part_by_key(index.judgement.parts, relief.part)}: {what}: relieved {purpose}: {relief.consequence.title}"
    lines = (("rule", relief.consequence.id),)
    return WhyNode(
        "relief", said, lines, relief.consequence.source, relief.consequence.where, because=because, about=relief
    )


def _clause_nodes(finding: Finding, index: JudgementIndex) -> Iterator[WhyNode]:
    """Why it does not apply, or what leaves open whether it does."""
    one = index.compiled(finding.criterion)
    sight = view_for_when(finding.part, index.situation, index.judgement.move.out)
    when, unless = finding.criterion.when, finding.criterion.unless
    applies = FAILS if finding.verdict == "not applicable" else UNKNOWN
    if finding.verdict not in ("not applicable", "not shown", "for the day"):
        return
    if when is not None and one.when is not None and one.when(sight) == applies:
        said = "it does not apply: the first condition that does not hold"
        open_ = "nothing shows whether it applies: the first condition that is open"
        decided = first_deciding(when, sight)
        because = _of_clause(decided.evidence, index)
        yield clause_node(decided, said if applies == FAILS else open_, because)
    elif unless is not None and one.unless is not None:
        truth = one.unless(sight)
        if applies == FAILS and truth >= NEAR:
            decided = first_deciding(unless, sight)
            yield clause_node(decided, "it does not apply: the exception holds", _of_clause(decided.evidence, index))
        elif applies == UNKNOWN and truth == UNKNOWN:
            decided = first_deciding(unless, sight)
            yield clause_node(decided, "nothing shows whether the exception holds")


def _of_clause(evidence: Evidence | None, index: JudgementIndex) -> tuple[WhyNode, ...]:
    return () if evidence is None else (evidence_node(evidence, index),)


def _evidence_nodes(finding: Finding, index: JudgementIndex) -> Iterator[WhyNode]:
    """The evidence that decided first, then whatever else the criterion looked at, then what did not count."""
    if finding.verdict == "not applicable":
        return
    used, passed_over = looked_at(finding, index)
    for evidence in used:
        yield evidence_node(evidence, index, against=finding.as_said)
    for evidence in passed_over:
        yield evidence_node(evidence, index, why_passed_over(evidence, finding, index))
