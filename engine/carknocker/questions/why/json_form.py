"""The answer to *why* as JSON (`carknocker-why/1`); docs/json.md describes every key."""

from collections.abc import Iterable
from typing import Any

from carknocker.judgement.model import Judgement
from carknocker.page.json_findings import source_form
from carknocker.page.json_text import json_text
from carknocker.questions.counterfactual.model import Change, Otherwise, Stands, Way, Window, WorkSet
from carknocker.questions.why.model import WhyAnswer, WhyNode
from carknocker.wording.limits import value_words
from carknocker.wording.sources import place_of


def way_form(way: Way) -> dict[str, Any]:
    """One way to meet a finding."""
    return {"changes": [_change(one) for one in way.changes], "verdict": way.verdict}


def _change(change: Change) -> dict[str, Any]:
    return {
        "part": change.part.key,
        "label": change.part.label,
        "attribute": change.attribute.name,
        "fact": None if change.fact is None else change.fact.name,
        "now": None if change.now is None else value_words(change.now),
        "values": [value_words(one) for one in change.values],
        "side": change.side,
        "short": change.short or None,
        "dated": change.dated,
        "borderline_at": None if change.borderline is None else value_words(change.borderline),
    }


def otherwise_form(answer: Otherwise) -> dict[str, Any]:
    """What would make the car ready."""
    work, dates = answer.work, answer.dates
    return {
        "work": {
            "sets": [_set(one) for one in work.sets],
            "more": work.more,
            "assumed": work.assumed,
            "beyond": _stands(work.beyond),
            "left": _stands(work.left),
        },
        "dates": {
            "back_by": None if dates.back_by is None else dates.back_by.isoformat(),
            "earlier": _window(dates.earlier),
            "later": _window(dates.later),
            "first_tried": dates.first_tried.isoformat(),
            "last_tried": dates.last_tried.isoformat(),
            "judged": dates.judged,
            "whatever": _stands(dates.whatever),
        },
    }


def _set(one: WorkSet) -> dict[str, Any]:
    jobs = [{"work": job.work, "at": list(job.labels), "serial": job.serial or None} for job in one.jobs]
    return {"jobs": jobs, "provisos": list(one.provisos), "bought": one.bought}


def _stands(found: Iterable[Stands]) -> list[dict[str, Any]]:
    return [{"title": one.title, "labels": list(one.labels)} for one in found]


def _window(window: Window | None) -> dict[str, Any] | None:
    if window is None:
        return None
    return {
        "first": window.first.isoformat(),
        "last": window.last.isoformat(),
        "first_back": window.first_back.isoformat(),
        "last_back": window.last_back.isoformat(),
        "open_ended": window.open_ended,
    }


FORMAT = "carknocker-why/1"


def why_json(answer: WhyAnswer) -> str:
    """The whole tree, nothing folded. Ends in a line feed."""
    form = {
        "format": FORMAT,
        "outcome": answer.check.outcome,
        "as_of": answer.check.day.isoformat(),
        "question": answer.question,
        "answer": answer.answer,
        "parts": [part.key for part in answer.parts],
        "rules": list(answer.rules),
        "otherwise": None if answer.otherwise is None else otherwise_form(answer.otherwise),
        "nodes": [_node(node, answer.check.judgement) for node in answer.nodes],
    }
    return json_text(form)


def _node(node: WhyNode, judgement: Judgement) -> dict[str, Any]:
    return {
        "sort": node.sort,
        "said": node.said,
        "lines": [{"label": label, "text": text} for label, text in node.lines],
        "source": None if node.source is None else source_form(node.source),
        "at": None if node.where is None else place_of(node.where, judgement),
        "struck": node.struck,
        "nearest": [way_form(way) for way in node.nearest],
        "leaving": [None if day is None else day.isoformat() for day in node.leaving],
        "back_by": None if node.back_by is None else node.back_by.isoformat(),
        "because": [_node(child, judgement) for child in node.because],
    }
