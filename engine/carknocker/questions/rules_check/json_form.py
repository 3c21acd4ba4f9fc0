"""The report of a check of the rules as JSON (`carknocker-rules-check/1`); docs/json.md describes every key."""

from carknocker.documents import Location, Problem
from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.questions.rules_check.ask import ExampleMismatch, RulesReport

FORMAT_OF_CHECK = "carknocker-rules-check/1"


_RULES_OF_CHECK: Rules = {
    RulesReport: keys("in_order=ok", "editions", "problems", "mismatches"),
    Problem: keys("at=where", "found", "expected?", "nearest?", "remedy?"),
    ExampleMismatch: keys("at=where", "rule", "number", "given", "expected", "judged=got"),
    Location: str,
}


def report_json(report: RulesReport) -> str:
    """What a check of the rules found. Ends in a line feed."""
    return answer_json(FORMAT_OF_CHECK, report, _RULES_OF_CHECK)
