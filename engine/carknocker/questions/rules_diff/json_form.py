"""The answer to *rules diff* as JSON (`carknocker-rules-diff/1`); docs/json.md describes every key."""

from collections.abc import Iterable
from typing import Any

from carknocker.page.json_text import json_text
from carknocker.questions.diff.json_form import diff_form
from carknocker.questions.rules_diff.ask import CarChange, LineChange, RuleChange, RulesDiff
from carknocker.rulebook.model import Edition

FORMAT = "carknocker-rules-diff/1"


def rules_diff_json(answer: RulesDiff) -> str:
    """Everything that differs. Ends in a line feed."""
    form = {
        "format": FORMAT,
        "before": _edition(answer.before),
        "after": _edition(answer.after),
        "head": _lines(answer.head),
        "added": _rules(answer.added),
        "withdrawn": _rules(answer.withdrawn),
        "changed": _rules(answer.changed),
        "unchanged": answer.unchanged,
        "cars": [_car(car) for car in answer.cars],
    }
    return json_text(form)


def _edition(edition: Edition) -> dict[str, Any]:
    return {
        "ruleset": edition.ruleset,
        "edition": edition.name,
        "title": edition.title,
        "in_force": edition.in_force.isoformat(),
        "digest": edition.digest,
    }


def _lines(lines: Iterable[LineChange]) -> list[dict[str, Any]]:
    return [{"label": line.label, "before": line.before or None, "after": line.after or None} for line in lines]


def _rules(rules: Iterable[RuleChange]) -> list[dict[str, Any]]:
    return [{"id": rule.id, "title": rule.title, "sort": rule.sort, "lines": _lines(rule.lines)} for rule in rules]


def _car(car: CarChange) -> dict[str, Any]:
    return {
        "car": car.car,
        "changes": car.changes,
        "note": car.note or None,
        "diff": None if car.answer is None else diff_form(car.answer),
    }
