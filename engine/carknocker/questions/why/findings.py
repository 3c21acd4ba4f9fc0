"""A finding as a reason, down to the reading, the gauge, the person and the line; void evidence with its work."""

from collections.abc import Iterable, Iterator
from datetime import date

from carknocker.judgement.facts import EntryFact, TestFact
from carknocker.judgement.findings import view_for_when
from carknocker.judgement.model import Finding, Relief
from carknocker.judgement.truth import FAILS, NEAR, UNKNOWN
from carknocker.questions.counterfactual.model import Way
from carknocker.questions.counterfactual.nearest import nearest
from carknocker.questions.counterfactual.other_days import met_if_back_by, met_if_leaving
from carknocker.questions.counterfactual.words import way_words
from carknocker.questions.settling import settling_of, settling_words
from carknocker.questions.why.asked import Asked
from carknocker.questions.why.clauses import clause_node, first_deciding
from carknocker.questions.why.evidence import evidence_node, looked_at, why_passed_over, work_node
from carknocker.questions.why.model import WhyNode
from carknocker.record.model import Evidence
from carknocker.wording.limits import clause_words
from carknocker.wording.parts import part_words
from carknocker.wording.phrases import listed
from carknocker.wording.verdicts import finding_words
from carknocker.wording.work import leave_words


def finding_node(finding: Finding, asked: Asked) -> WhyNode:
    """One criterion on one part: what was measured, what is required, and what that rests on."""
    criterion = finding.criterion
    ways = nearest(finding, asked.what_if)
    back_by = met_if_back_by(finding, asked.what_if)
    leaving = met_if_leaving(finding, asked.what_if)
    return WhyNode(
        "finding",
        f"{part_words(finding.part)}: {criterion.title}: {finding.verdict}",
        tuple(line for line in _lines(finding, asked, _would_pass(finding, ways, back_by, leaving)) if line[1]),
        source=criterion.source,
        where=criterion.where,
        struck=finding.relieved,
        because=(*_relief_nodes(finding, asked), *_clause_nodes(finding, asked), *_evidence_nodes(finding, asked)),
        about=finding,
        nearest=ways,
        back_by=back_by,
        leaving=leaving,
    )


def _would_pass(
    finding: Finding, ways: tuple[Way, ...], back_by: date | None, leaving: tuple[date | None, date | None]
) -> Iterator[tuple[str, str]]:
    """What of the record, or which days of the move, would have to be otherwise."""
    for way in ways:
        yield "would pass", way_words(way, finding.part)
    if back_by is not None:
        yield "would pass", f"leaving as planned and back by {back_by.isoformat()}"
    for day, which in zip(leaving, ("earlier", "later"), strict=True):
        if day is not None:
            yield "would pass", f"leaving on {day.isoformat()}, the nearest {which} day, for as long"


def _lines(
    finding: Finding, asked: Asked, would_pass: Iterable[tuple[str, str]]
) -> Iterator[tuple[str, str]]:  # fmt: skip
    criterion = finding.criterion
    explanation = asked.explain(finding)
    words = finding_words(explanation)
    if finding.verdict != "not applicable":
        yield "measured", words.measured
        yield "required", words.required
        yield "margin", words.margin
        yield from would_pass
        for line in explanation.worked:
            yield "worked", line
    settled = settling_of(finding, asked.compiled(criterion), asked.sight(finding))
    if settled is not None:
        for line in settling_words(settled, asked.judgement.parts):
            yield "settles", line
    yield "why", words.reason
    if criterion.when is not None:
        yield "applies where", clause_words(criterion.when)
    if criterion.unless is not None:
        yield "unless", clause_words(criterion.unless)
    yield "shown by", criterion.shown_by
    yield "effect", f"{criterion.effect}, relieved" if finding.relieved else criterion.effect
    stops = asked.stops.get((criterion.id, finding.part.key), ())
    yield "stops", listed(asked.part(key) for key in stops) if stops else ""
    yield "relaxed", criterion.relaxed_by
    yield "rule", criterion.id


def _relief_nodes(finding: Finding, asked: Asked) -> Iterator[WhyNode]:
    if finding.unmet:
        for relief in asked.reliefs.get((finding.criterion.id, finding.part.key), ()):
            yield relief_node(relief, asked)


def relief_node(relief: Relief, asked: Asked) -> WhyNode:
    """Who relieved an effect, or stopped a consequence, and for what."""
    purpose = "for this move" if relief.relieves.purpose == "move" else "for a repair move only"
    what = asked.title(relief.criterion or relief.stopped)
    because: tuple[WhyNode, ...] = ()
    if relief.leave is not None:
        because = (WhyNode("leave", leave_words(relief.leave), where=relief.leave.where, about=relief.leave),)
    elif isinstance(relief.cause, EntryFact) and relief.cause.entry in asked.work:
        because = (work_node(asked.work[relief.cause.entry]),)
    elif isinstance(relief.cause, TestFact) and relief.cause.evidence in asked.evidence:
        because = (evidence_node(asked.evidence[relief.cause.evidence], asked),)
    said = f"{asked.part(relief.part)}: {what}: relieved {purpose}: {relief.consequence.title}"
    lines = (("rule", relief.consequence.id),)
    return WhyNode(
        "relief", said, lines, relief.consequence.source, relief.consequence.where, because=because, about=relief
    )


def _clause_nodes(finding: Finding, asked: Asked) -> Iterator[WhyNode]:
    """Why it does not apply, or what leaves open whether it does."""
    one = asked.compiled(finding.criterion)
    sight = view_for_when(finding.part, asked.situation, asked.judgement.move.out)
    when, unless = finding.criterion.when, finding.criterion.unless
    applies = FAILS if finding.verdict == "not applicable" else UNKNOWN
    if finding.verdict not in ("not applicable", "not shown", "for the day"):
        return
    if when is not None and one.when is not None and one.when(sight) == applies:
        said = "it does not apply: the first condition that does not hold"
        open_ = "nothing shows whether it applies: the first condition that is open"
        decided = first_deciding(when, sight)
        because = _of_clause(decided.evidence, asked)
        yield clause_node(decided, said if applies == FAILS else open_, because)
    elif unless is not None and one.unless is not None:
        truth = one.unless(sight)
        if applies == FAILS and truth >= NEAR:
            decided = first_deciding(unless, sight)
            yield clause_node(decided, "it does not apply: the exception holds", _of_clause(decided.evidence, asked))
        elif applies == UNKNOWN and truth == UNKNOWN:
            decided = first_deciding(unless, sight)
            yield clause_node(decided, "nothing shows whether the exception holds")


def _of_clause(evidence: Evidence | None, asked: Asked) -> tuple[WhyNode, ...]:
    return () if evidence is None else (evidence_node(evidence, asked),)


def _evidence_nodes(finding: Finding, asked: Asked) -> Iterator[WhyNode]:
    """The evidence that decided first, then whatever else the criterion looked at, then what did not count."""
    if finding.verdict == "not applicable":
        return
    used, passed_over = looked_at(finding, asked)
    for evidence in used:
        yield evidence_node(evidence, asked)
    for evidence in passed_over:
        yield evidence_node(evidence, asked, why_passed_over(evidence, finding, asked))
