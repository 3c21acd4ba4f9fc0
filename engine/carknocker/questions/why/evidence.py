"""Evidence as a reason: which of it a finding rests on, who read it when with what, and what voided it."""

from collections.abc import Iterable, Iterator

from carknocker.judgement.clause_tests import clause_test, comparisons_in
from carknocker.judgement.comparisons import getter
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.truth import NEAR
from carknocker.questions.why.asked import Asked
from carknocker.questions.why.model import WhyNode
from carknocker.record.model import Evidence, Work
from carknocker.rulebook.clauses import ByTable, Comparison, CountOf, EachOf, FromPart
from carknocker.wording.evidence import evidence_lines, evidence_value
from carknocker.wording.parts import attribute_words, part_words
from carknocker.wording.work import work_with_parts
from carknocker.workings import Worked


def looked_at(finding: Finding, asked: Asked) -> tuple[list[Evidence], list[Evidence]]:
    """The evidence that a finding rests on, the deciding one first; and the evidence of the same attributes that is
    void or does not count."""
    used: dict[str, Evidence] = {}
    passed_over: dict[str, Evidence] = {}
    excluded = asked.situation.excluded
    if finding.evidence is not None and finding.evidence.id not in excluded:
        used[finding.evidence.id] = finding.evidence
    for comparison, sight in _comparisons(finding, asked):
        for evidence in _evidence_of(comparison, sight):
            used.setdefault(evidence.id, evidence)
        for evidence in _not_counted(comparison, sight, used):
            passed_over.setdefault(evidence.id, evidence)
    return list(used.values()), [one for one in passed_over.values() if one.id not in used]


def _comparisons(finding: Finding, asked: Asked) -> Iterator[tuple[Comparison, PartView]]:
    """What `must` compares, on the part itself and on the parts inside; of those, where it is unmet, only the parts
    that fall short."""
    sight = asked.sight(finding)
    must = finding.criterion.must
    for comparison in comparisons_in(must, parts_inside=False):
        yield comparison, sight
    if not isinstance(must, (CountOf, EachOf)):
        return
    test = clause_test(must.must) if isinstance(must, EachOf) else None
    for key in sight.situation.standing.reach(sight.key, must.kind):
        inside = sight.at(key)
        if finding.unmet and test is not None and test(inside) >= NEAR:
            continue
        for comparison in comparisons_in(must.must if isinstance(must, EachOf) else must.when):
            yield comparison, inside


def _evidence_of(comparison: Comparison, sight: PartView) -> Iterator[Evidence]:
    held = getter(comparison.path)(sight)
    if held is not None and held.evidence is not None:
        yield held.evidence
    limit = comparison.limit
    if isinstance(limit, (ByTable, FromPart)):
        chosen = getter(limit.path)(sight)
        if chosen is not None and chosen.evidence is not None:
            yield chosen.evidence
        given = limit_getter(comparison)(sight)
        if given is not None and given.evidence is not None:
            yield given.evidence
    if comparison.path.attribute.derived:
        owner = _owner(comparison, sight)
        if owner:
            worked = sight.situation.work_out(owner, comparison.path.attribute, shop=sight.shop)
            if isinstance(worked, Worked):
                yield from worked.used


def _not_counted(comparison: Comparison, sight: PartView, used: Iterable[str]) -> Iterator[Evidence]:
    entries = sight.situation.standing.evidence.get(_owner(comparison, sight), {}).get(
        comparison.path.attribute.name, ()
    )
    held = getter(comparison.path)(sight)
    for evidence in entries:
        newest = evidence is entries[-1] and held is None
        if evidence.id not in used and (evidence.id in sight.situation.excluded or newest):
            yield evidence


def _owner(comparison: Comparison, sight: PartView) -> str:
    owner = comparison.path.owner
    return (sight.situation.owner(sight.key, owner) or "") if owner and owner != "fact" else sight.key


def why_passed_over(evidence: Evidence, finding: Finding, asked: Asked) -> str:
    """Why a finding does not rest on evidence that is not void."""
    oldest = asked.sight(finding).oldest
    if oldest is not None and evidence.on is not None and evidence.on < oldest:
        return f"too old for this criterion on {asked.judgement.move.out.isoformat()}"
    return "not for this criterion"


def evidence_node(evidence: Evidence, asked: Asked, passed_over: str = "") -> WhyNode:
    """A reading, a test, a paper or a description; struck if it is void, with the work that voided it, or passed over
    for a reason."""
    part = asked.judgement.parts.get(evidence.part)
    kind = part.kind if part is not None else evidence.part.split(" ")[0]
    label = part_words(part) if part is not None else evidence.part
    said = f"{label}: {attribute_words(kind, evidence.attribute)}: {evidence_value(evidence)}"
    reason = asked.situation.excluded.get(evidence.id, "")
    lines = evidence_lines(evidence)
    voided = asked.voided.get(evidence.id)
    if voided is not None:
        source, work = voided.consequence.source, work_node(voided.work)
        return WhyNode(
            "void", f"{said} (void)", (*lines, ("void", reason), ("rule", voided.consequence.id)), source,
            evidence.where, True, (work,), evidence,
        )  # fmt: skip
    if reason or passed_over:
        lines = (*lines, ("does not count", reason or passed_over))
        return WhyNode("void", f"{said} (does not count)", lines, None, evidence.where, True, (), evidence)
    return WhyNode("evidence", said, lines, where=evidence.where, about=evidence)


def work_node(work: Work) -> WhyNode:
    """A job, or something that happened."""
    by = (("by", f"{work.by.full_name or work.by.name} ({work.by.role})"),) if work.by is not None else ()
    return WhyNode("work", work_with_parts(work), by, where=work.where, about=work)
