"""A finding, its evidence, its source and its remedies as JSON data."""

from typing import Any

from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.figures import SIDES
from carknocker.judgement.model import Finding
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.page.context import Context
from carknocker.page.fact_words import remedy_condition
from carknocker.quantities import write_quantity
from carknocker.questions.settling import settling_of
from carknocker.record.model import Evidence, Part
from carknocker.rulebook.clauses import Comparison
from carknocker.rulebook.model import Source
from carknocker.wording.limits import clause_words, value_words
from carknocker.wording.verdicts import finding_words


def finding_form(finding: Finding, context: Context) -> dict[str, Any]:
    """One criterion on one part, with everything that a page could say of it."""
    criterion = finding.criterion
    explanation = context.explain(finding)
    words = finding_words(explanation)
    return {
        "criterion": criterion.id,
        "edition": criterion.edition,
        "title": criterion.title,
        "part": finding.part.key,
        "label": finding.part.label,
        "kind": finding.part.kind,
        "fitted": finding.part.fitted,
        "verdict": finding.verdict,
        "effect": criterion.effect,
        "unmet": finding.unmet,
        "relieved": finding.relieved,
        "attribute": str(explanation.attributes[0]) if explanation.attributes else None,
        "measured": words.measured,
        "limit": words.required,
        "side": _side_form(finding, context),
        "margin": words.margin or None,
        "reason": words.reason or None,
        "lapses_on": None if finding.lapses_on is None else finding.lapses_on.isoformat(),
        "worked": list(explanation.worked),
        "settled_by": _settled_form(finding, context),
        "evidence": None if finding.evidence is None else evidence_form(finding.evidence),
        "source": source_form(criterion.source),
        "shown_by": criterion.shown_by,
        "remedies": [
            {
                "work": remedy.work,
                "if": None if remedy.condition is None else clause_words(remedy.condition),
                "can_work": remedy_condition(remedy, finding, context),
                "note": remedy.note or None,
            }
            for remedy in criterion.remedies
        ],
        "relaxed_by": criterion.relaxed_by or None,
    }


def _settled_form(finding: Finding, context: Context) -> list[dict[str, Any]] | None:
    """Which single reading, read again, settles a borderline finding; empty where none does."""
    settled = settling_of(finding, context.compiled(finding.criterion), context.sight(finding))
    if settled is None:
        return None
    return [
        {
            "part": one.evidence.part,
            "attribute": one.evidence.attribute,
            "reads_to": write_quantity(one.reads_to),
            "needed": write_quantity(one.needed),
            "gauge": None if one.gauge is None else one.gauge.name,
        }
        for one in settled.readings
    ]


def _side_form(finding: Finding, context: Context) -> dict[str, Any] | None:
    """On which side of the limit the value must be, whether the limit itself passes, and where the value is."""
    comparison = deciding_comparison(finding, context)
    if comparison is None or comparison.word not in SIDES:
        return None
    margin = context.explain(finding).margin
    return {
        "word": comparison.word.replace("_", " "),
        "limit_itself_passes": not SIDES[comparison.word][1],
        "value_is": None if margin is None else margin.side,
    }


def deciding_comparison(finding: Finding, context: Context) -> Comparison | None:
    """The comparison that the measured figure of a finding belongs to, None where it has none of its own."""
    paths = context.explain(finding).attributes
    sight = context.sight(finding)
    own = [
        leaf.comparison
        for leaf in context.compiled(finding.criterion).leaves
        if paths and leaf.comparison.path == paths[0]
    ]
    wanted = {"breached": (FAILS,), "borderline": (NEAR,)}.get(finding.verdict)
    if wanted is not None:
        own.sort(key=lambda comparison: comparison_test(comparison)(sight) not in wanted)
    return own[0] if own else None


def evidence_form(evidence: Evidence) -> dict[str, Any]:
    """Who, when, with what, and where it is written."""
    gauge = evidence.gauge
    return {
        "attribute": evidence.attribute,
        "part": evidence.part,
        "place": evidence.place,
        "value": value_words(evidence.value),
        "sort": evidence.sort,
        "on": None if evidence.on is None else evidence.on.isoformat(),
        "until": None if evidence.until is None else evidence.until.isoformat(),
        "by": None
        if evidence.by is None
        else {"name": evidence.by.name, "full_name": evidence.by.full_name or None, "role": evidence.by.role},
        "gauge": None
        if gauge is None
        else {
            "name": gauge.name,
            "kind": gauge.kind,
            "reads_to": None if gauge.reads_to is None else write_quantity(gauge.reads_to),
            "uncertainty": None if gauge.uncertainty is None else write_quantity(gauge.uncertainty),
            "checked": None if gauge.checked is None else gauge.checked.isoformat(),
            "due": None if gauge.due is None else gauge.due.isoformat(),
        },
        "reads_to": None if evidence.resolution is None else write_quantity(evidence.resolution),
        "sheet": evidence.sheet or None,
        "after": sorted(evidence.after),
        "facts": {name: value_words(value) for name, value in sorted(evidence.facts.items())},
        "at": f"{evidence.where.file}:{evidence.where.line}",
    }


def source_form(source: Source) -> dict[str, Any]:
    """The sentence that a rule rests on."""
    return {
        "document": source.document,
        "section": source.section,
        "words": source.words,
        "kind": source.kind,
        "status": source.status,
        "check_current_text": source.to_be_checked,
        "year": source.year or None,
        "note": source.note or None,
    }


def part_form(part: Part) -> dict[str, Any]:
    """A part by its key and its label."""
    return {"part": part.key, "label": part.label}
