"""The answer to *rules diff* as JSON (`carknocker-rules-diff/1`); docs/json.md describes every key."""

from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.questions.rules_diff.ask import CarChange, LineChange, RulesDiff
from carknocker.rulebook.model import Edition
from carknocker.whatif.differences.json_form import compare_form
from carknocker.whatif.differences.model import CompareAnswer

FORMAT = "carknocker-rules-diff/1"
_RULES: Rules = {
    Edition: keys("ruleset", "edition=name", "title", "in_force", "digest"),
    LineChange: keys("label", "before?", "after?"),
    CarChange: keys("car", "changes", "note?", "comparison=answer"),
    CompareAnswer: compare_form,
}


def rules_diff_json(answer: RulesDiff) -> str:
    """Everything that differs. Ends in a line feed."""
    return answer_json(FORMAT, answer, _RULES)
