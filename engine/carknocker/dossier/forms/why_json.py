"""The answer to *why* as JSON (`carknocker-why/1`); docs/json.md describes every key."""

from typing import Any

from carknocker.dossier.forms.json_findings import source_form
from carknocker.dossier.forms.otherwise_json import otherwise_form, way_form
from carknocker.dossier.forms.plain_json import json_text
from carknocker.judgement.model import Judgement
from carknocker.questions.why.model import WhyAnswer, WhyNode
from carknocker.wording.sources import place_of

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
