"""What clears a finding: new evidence where it is void or runs out; else work, each with its condition."""

from datetime import date

from carknocker.dossier.context import Context
from carknocker.dossier.words import remedy_words
from carknocker.judgement.model import Finding
from carknocker.record.model import Part
from carknocker.wording.parts import named

AGAINST_THE_MOVE = frozenset({"move", "train", "leg"})
"""Kinds of part of the move: a finding on one is cleared by changing the move."""


def clears_of(findings: list[Finding], context: Context) -> tuple[str, ...]:
    """What clears them: new evidence where it is void or runs out; else the remedies, each with its condition."""
    words: dict[str, list[Part]] = {}
    for finding in findings:
        again = _again(finding, context)
        if again:
            words.setdefault(again, []).append(finding.part)
        if finding.verdict in ("breached", "borderline"):
            for remedy in finding.criterion.remedies:
                words.setdefault(remedy_words(remedy, finding, context), []).append(finding.part)
    if not words:
        return ("the rule names no work that clears it: ask the host's mechanical department",)
    everywhere = len({finding.part.key for finding in findings})
    return tuple(
        text if len({part.key for part in parts}) == everywhere else f"{text}: {named(parts, context)}"
        for text, parts in words.items()
    )


def _again(finding: Finding, context: Context) -> str:
    """What new evidence would clear it; empty where only work can."""
    paths = context.explain(finding).attributes
    attribute = paths[0].attribute if paths else None
    evidence = finding.evidence
    sort = attribute.type if attribute is not None else (evidence.sort if evidence is not None else "")
    back = context.judgement.move.back
    label = attribute.label if attribute is not None else "it"
    if finding.part.kind in AGAINST_THE_MOVE:
        return "change the move, or its file, so that it holds"
    if finding.verdict == "withdrawn":
        return f"make the {label} again, after that work" if sort == "test" else "read it again, after that work"
    if finding.verdict == "lapses":
        return _renew(sort, label, back)
    if finding.verdict == "borderline":
        return "measure it again with a finer gauge"
    if finding.verdict == "breached" and sort in ("test", "paper"):
        return _renew(sort, label, back)
    return ""


def _renew(sort: str, label: str, back: date) -> str:
    if sort == "test":
        return f"make the {label} again, late enough before departure to hold through {back.isoformat()}"
    if sort == "paper":
        return f"renew the {label} so that it is in force through {back.isoformat()}"
    return f"renew it so that it holds through {back.isoformat()}"
