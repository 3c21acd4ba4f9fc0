"""The answer to *diff* as JSON (`carknocker-diff/1`); docs/json.md describes every key."""

from collections.abc import Iterable
from typing import Any

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Duty, Finding, Judgement
from carknocker.page.json_text import digests_of, json_text
from carknocker.questions.diff.model import DiffAnswer, DutyChange, FindingChange, RecordChange, RestrictionChange
from carknocker.wording.sources import place_of
from carknocker.wording.verdicts import FindingWords

FORMAT = "carknocker-diff/1"


def diff_json(answer: DiffAnswer) -> str:
    """Everything that differs. Ends in a line feed."""
    return json_text(diff_form(answer))


def diff_form(answer: DiffAnswer) -> dict[str, Any]:
    """Everything that differs, as plain data."""
    judgement = answer.after.judgement
    return {
        "format": FORMAT,
        "outcomes": list(answer.outcomes),
        "compared": list(answer.what_differs),
        "before": _side(answer.before),
        "after": _side(answer.after),
        "cleared": _findings(judgement, answer.cleared),
        "new": _findings(judgement, answer.new),
        "still_open": _findings(judgement, answer.still_open),
        "changed_verdict": _findings(judgement, answer.changed_verdict),
        "changed_margin": _findings(judgement, answer.changed_margin),
        "spares": _findings(judgement, answer.spares),
        "duties_cleared": _duties(judgement, answer.duties_cleared),
        "duties_new": _duties(judgement, answer.duties_new),
        "duties_open": _duties(judgement, answer.duties_open),
        "restrictions_gone": _restrictions(judgement, answer.restrictions_gone),
        "restrictions_new": _restrictions(judgement, answer.restrictions_new),
        "restrictions_kept": _restrictions(judgement, answer.restrictions_kept),
        "against_gone": list(answer.against_gone),
        "against_new": list(answer.against_new),
        "against_open": list(answer.against_open),
        "added": _novelties(judgement, answer.added),
        "removed": _novelties(answer.before.judgement, answer.removed),
    }


def _side(check: CheckAnswer) -> dict[str, Any]:
    judgement = check.judgement
    return {
        "car": judgement.car.file,
        "move": judgement.move.file,
        "as_of": check.day.isoformat(),
        "outcome": check.outcome,
        "editions": [f"{edition.ruleset} {edition.name}" for edition in judgement.rulebook.editions],
        "digests": digests_of(judgement),
    }


def _findings(judgement: Judgement, changes: Iterable[FindingChange]) -> list[dict[str, Any]]:
    return [
        {
            "label": change.label,
            "criterion": change.criterion,
            "title": change.title,
            "before": _finding(change.before, change.before_said),
            "after": _finding(change.after, change.after_said),
            "because": _novelties(judgement, change.because),
            "note": change.note or None,
        }
        for change in changes
    ]


def _finding(finding: Finding | None, said: FindingWords | None) -> dict[str, Any] | None:
    if finding is None or said is None:
        return None
    return {
        "part": finding.part.key,
        "verdict": finding.verdict,
        "effect": finding.criterion.effect,
        "relieved": finding.relieved,
        "measured": said.measured,
        "limit": said.required,
        "margin": said.margin or None,
        "reason": said.reason or None,
    }


def _duties(judgement: Judgement, changes: Iterable[DutyChange]) -> list[dict[str, Any]]:
    return [
        {
            "label": change.label,
            "title": change.title,
            "before": _duty(change.before),
            "after": _duty(change.after),
            "because": _novelties(judgement, change.because),
        }
        for change in changes
    ]


def _duty(duty: Duty | None) -> dict[str, Any] | None:
    if duty is None:
        return None
    return {"consequence": duty.consequence.id, "part": duty.part.key, "state": duty.state, "note": duty.note}


def _restrictions(judgement: Judgement, changes: Iterable[RestrictionChange]) -> list[dict[str, Any]]:
    return [
        {
            "words": change.words,
            "title": change.title,
            "rule": change.rule,
            "because": _novelties(judgement, change.because),
        }
        for change in changes
    ]


def _novelties(judgement: Judgement, novelties: Iterable[RecordChange]) -> list[dict[str, Any]]:
    return [
        {
            "sort": one.sort,
            "said": one.said,
            "part": one.part or None,
            "at": None if one.where is None else place_of(one.where, judgement),
        }
        for one in novelties
    ]
