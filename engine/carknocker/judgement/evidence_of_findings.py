"""The evidence that a finding rests on, and the evidence that it passes over."""

from collections.abc import Iterable, Iterator

from carknocker.judgement.clause_tests import clause_test, comparisons_in
from carknocker.judgement.comparisons import getter
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.truth import NEAR
from carknocker.record.model import Evidence
from carknocker.rulebook.clauses import ByTable, Comparison, CountOf, EachOf, FromPart
from carknocker.workings import Worked


def looked_at(finding: Finding, index: JudgementIndex) -> tuple[list[Evidence], list[Evidence]]:
    """The evidence that a finding rests on, the deciding one first; and the evidence of the same attributes that is
    void or does not count."""
    used: dict[str, Evidence] = {}
    passed_over: dict[str, Evidence] = {}
    excluded = index.judgement.situation_of(finding).excluded
    if finding.evidence is not None and finding.evidence.id not in excluded:
        used[finding.evidence.id] = finding.evidence
    for comparison, sight in comparisons_of(finding, index):
        for evidence in evidence_seen(comparison, sight):
            used.setdefault(evidence.id, evidence)
        for evidence in not_counted(comparison, sight, used):
            passed_over.setdefault(evidence.id, evidence)
    return list(used.values()), [one for one in passed_over.values() if one.id not in used]


def comparisons_of(finding: Finding, index: JudgementIndex) -> Iterator[tuple[Comparison, PartView]]:
    """What `must` compares, on the part itself and on the parts inside; of those, where it is unmet, only the parts
    that fall short."""
    sight = index.view(finding)
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


def evidence_seen(comparison: Comparison, sight: PartView) -> Iterator[Evidence]:
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
        owner = owner_of(comparison, sight)
        if owner:
            worked = sight.situation.work_out(owner, comparison.path.attribute, shop=sight.shop)
            if isinstance(worked, Worked):
                yield from worked.used


def not_counted(comparison: Comparison, sight: PartView, used: Iterable[str]) -> Iterator[Evidence]:
    entries = sight.situation.standing.evidence.get(owner_of(comparison, sight), {}).get(
        comparison.path.attribute.name, ()
    )
    held = getter(comparison.path)(sight)
    for evidence in entries:
        newest = evidence is entries[-1] and held is None
        if evidence.id not in used and (evidence.id in sight.situation.excluded or newest):
            yield evidence


def owner_of(comparison: Comparison, sight: PartView) -> str:
    owner = comparison.path.owner
    return (sight.situation.owner(sight.key, owner) or "") if owner and owner != "fact" else sight.key
