"""Rules as JSON (`carknocker-rules/1`, `carknocker-rules-check/1`); docs/json.md describes every key."""

from collections.abc import Iterable

from carknocker.documents import Location, Problem
from carknocker.page.json_encoder import Rules, answer_json, encode, json_text, keys, named
from carknocker.questions.rules_check.ask import ExampleMismatch, RulesReport
from carknocker.questions.rules_show.ask import EditionLine, RuleShown, RulesShown

FORMAT = "carknocker-rules/1"
FORMAT_OF_CHECK = "carknocker-rules-check/1"
_RULES: Rules = {
    EditionLine: keys(
        "ruleset", "edition", "title", "layer", "publisher", "host?", "in_force", "until", "checked", "amends?",
        "builds_on", "at=where.file",
    ),
    RuleShown: keys("id", "title", "sort", "lines[label text]", "source", "at=where"),
}  # fmt: skip
_RULES_OF_CHECK: Rules = {
    RulesReport: keys("in_order=ok", "editions", "problems", "mismatches"),
    Problem: keys("at=where", "found", "expected?", "nearest?", "remedy?"),
    ExampleMismatch: keys("at=where", "rule", "number", "given", "expected", "judged=got"),
    Location: str,
}


def editions_json(editions: Iterable[EditionLine]) -> str:
    """The editions at hand. Ends in a line feed."""
    return json_text(named(FORMAT, encode({"editions": tuple(editions), "rules": ()}, _RULES)))


def rules_json(shown: RulesShown) -> str:
    """One edition with its rules, or with one of them. Ends in a line feed."""
    return json_text(named(FORMAT, encode({"editions": (shown.edition,), "rules": shown.rules}, _RULES)))


def report_json(report: RulesReport) -> str:
    """What a check of the rules found. Ends in a line feed."""
    return answer_json(FORMAT_OF_CHECK, report, _RULES_OF_CHECK)
