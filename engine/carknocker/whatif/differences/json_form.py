"""The answer to *compare* as JSON (`carknocker-compare/1`); docs/json.md describes every key."""

from functools import partial
from typing import Any

from carknocker.documents import Location
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Duty, Judgement
from carknocker.page.json_encoder import Rules, encode, json_text, keys, named
from carknocker.whatif.differences.model import CompareAnswer, DutyChange, FindingChange, FindingState, RecordChange
from carknocker.wording.sources import place_of

FORMAT = "carknocker-compare/1"
_RULES: Rules = {
    CompareAnswer: keys(
        "outcomes", "compared=what_differs", "before", "after", "cleared", "new", "still_open", "changed_verdict",
        "changed_margin", "spares", "duties_cleared", "duties_new", "duties_open", "restrictions_gone",
        "restrictions_new", "restrictions_kept", "against_gone", "against_new", "against_open", "added", "removed",
    ),
    CheckAnswer: keys(
        "car=judgement.car.file", "move=judgement.move.file", "as_of=day", "outcome", "complete",
        "editions=judgement.rulebook.edition_names", "digests=judgement.digests",
    ),
    FindingChange: keys(
        "label", "criterion", "title", "before=state_before", "after=state_after", "because", "note?"
    ),
    FindingState: keys(
        "part=finding.part", "verdict=finding.verdict", "effect=finding.effect", "relieved=finding.relieved",
        "measured=words.measured", "limit=words.required", "margin=words.margin?", "reason=words.reason?",
    ),
    DutyChange: keys("label", "title", "before", "after", "because"),
    Duty: keys("consequence=consequence.id", "part", "state", "note"),
    RecordChange: keys("sort", "said", "part?", "at=where"),
}  # fmt: skip


def compare_json(answer: CompareAnswer) -> str:
    """All that differs, as text. Ends in a line feed."""
    return json_text(compare_form(answer))


def compare_form(answer: CompareAnswer) -> dict[str, Any]:
    """All that differs, as plain data. What only the first record has is cited by its own files."""
    form = named(FORMAT, encode(answer, _rules(answer.after.judgement)))
    form["removed"] = encode(answer.removed, _rules(answer.before.judgement))
    return form


def _rules(judgement: Judgement) -> Rules:
    return {**_RULES, Location: partial(place_of, judgement=judgement)}
