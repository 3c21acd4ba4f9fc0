"""Rules as JSON (`carknocker-rules/1`, `carknocker-rules-check/1`); docs/json.md describes every key."""

from collections.abc import Iterable
from typing import Any

from carknocker.page.json_findings import source_form
from carknocker.page.json_text import json_text
from carknocker.questions.rules_check.ask import RulesReport
from carknocker.questions.rules_show.ask import EditionLine, RuleShown, RulesShown

FORMAT = "carknocker-rules/1"
FORMAT_OF_CHECK = "carknocker-rules-check/1"


def editions_json(editions: Iterable[EditionLine]) -> str:
    """The editions at hand. Ends in a line feed."""
    return _written({"format": FORMAT, "editions": [_edition(one) for one in editions], "rules": []})


def rules_json(shown: RulesShown) -> str:
    """One edition with its rules, or with one of them. Ends in a line feed."""
    return _written(
        {"format": FORMAT, "editions": [_edition(shown.edition)], "rules": [_rule(rule) for rule in shown.rules]}
    )


def report_json(report: RulesReport) -> str:
    """What a check of the rules found. Ends in a line feed."""
    return _written(
        {
            "format": FORMAT_OF_CHECK,
            "in_order": report.ok,
            "editions": [
                {
                    "ruleset": one.ruleset,
                    "edition": one.edition,
                    "criteria": one.criteria,
                    "consequences": one.consequences,
                    "examples": one.examples,
                    "mismatches": one.mismatches,
                }
                for one in report.editions
            ],
            "problems": [
                {
                    "at": str(problem.where),
                    "found": problem.found,
                    "expected": problem.expected or None,
                    "nearest": problem.nearest or None,
                    "remedy": problem.remedy or None,
                }
                for problem in report.problems
            ],
            "mismatches": [
                {
                    "at": str(one.where),
                    "rule": one.rule,
                    "number": one.number,
                    "given": one.given,
                    "expected": one.expected,
                    "judged": one.got,
                }
                for one in report.mismatches
            ],
        }
    )


def _written(form: dict[str, Any]) -> str:
    return json_text(form)


def _edition(one: EditionLine) -> dict[str, Any]:
    return {
        "ruleset": one.ruleset,
        "edition": one.edition,
        "title": one.title,
        "layer": one.layer,
        "publisher": one.publisher,
        "host": one.host or None,
        "in_force": one.in_force.isoformat(),
        "until": None if one.until is None else one.until.isoformat(),
        "checked": one.checked.isoformat(),
        "amends": one.amends or None,
        "builds_on": list(one.builds_on),
        "at": one.where.file,
    }


def _rule(rule: RuleShown) -> dict[str, Any]:
    return {
        "id": rule.id,
        "title": rule.title,
        "sort": rule.sort,
        "lines": [{"label": label, "text": text} for label, text in rule.lines],
        "source": source_form(rule.source),
        "at": f"{rule.where.file}:{rule.where.line}",
    }
