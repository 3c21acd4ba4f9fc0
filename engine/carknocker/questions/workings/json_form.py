"""Every derived figure of a car as JSON (`carknocker-workings/1`); docs/json.md describes every key."""

from typing import Any

from carknocker.page.json_text import json_text
from carknocker.quantities import write_quantity
from carknocker.questions.workings.ask import DerivedFigure, Figures, Step
from carknocker.questions.workings.turning_plans import RimOutlook, Turning
from carknocker.wording.limits import value_words
from carknocker.workings import Missing
from carknocker.workings.formula import inches

FORMAT = "carknocker-workings/1"


def figures_json(figures: Figures) -> str:
    """The whole answer. Ends in a line feed."""
    move = figures.move
    form = {
        "format": FORMAT,
        "as_of": figures.day.isoformat(),
        "car": {"mark": figures.car.mark, "name": figures.car.name, "file": figures.car.file},
        "move": None if move is None else move.file,
        "figures": [_figure(one) for one in figures.figures],
        "turning": [_turning(one) for one in figures.turning],
        "outlooks": [_outlook(one) for one in figures.outlooks],
        "steps": [_step(one) for one in figures.steps],
        "turned_labels": [{"part": axle.key, "calls_for": list(lines)} for axle, lines in figures.turned_labels],
    }
    return json_text(form)


def _figure(one: DerivedFigure) -> dict[str, Any]:
    worked = one.worked
    return {
        "part": one.part.key,
        "label": one.part.label,
        "attribute": one.attribute.name,
        "title": one.attribute.label,
        "value": None if worked is None else value_words(worked.value),
        "worked": None if worked is None else worked.line,
        "uncertainty": None if one.uncertainty is None else write_quantity(one.uncertainty),
        "evidence": [] if worked is None else [f"{e.where.file}:{e.where.line}" for e in worked.used],
        "source": one.source,
        "missing": None if one.missing is None else _missing(one.missing),
    }


def _missing(missing: Missing) -> dict[str, str]:
    return {"part": missing.part, "attribute": missing.attribute, "reason": missing.reason}


def _turning(one: Turning) -> dict[str, Any]:
    plan = one.plan
    return {
        "of": one.of.key,
        "limits": [{"criterion": limit.rule, "words": limit.words} for limit in one.limits],
        "works": None if plan is None else plan.works,
        "taken": one.taken or None,
        "missing": None if one.missing is None else _missing(one.missing),
        "wheels": []
        if plan is None
        else [
            {
                "wheel": turned.wheel.name,
                "cut": inches(turned.cut),
                "governed_by": turned.governs,
                "rim": inches(turned.rim),
                "diameter": None if turned.diameter is None else inches(turned.diameter),
                "works": turned.works,
                "worked": turned.line,
            }
            for turned in plan.wheels
        ],
    }


def _outlook(one: RimOutlook) -> dict[str, Any]:
    latest = one.outlook.latest
    return {
        "wheel": one.wheel.key,
        "limit": {"criterion": one.limit.rule, "words": one.limit.words},
        "earliest": one.outlook.earliest.isoformat(),
        "latest": None if latest is None else latest.isoformat(),
        "worked": list(one.outlook.lines),
    }


def _step(one: Step) -> dict[str, Any]:
    effect = one.effect
    if isinstance(effect, Missing):
        return {"truck": one.truck.key, "worked": [], "taken": None, "missing": _missing(effect)}
    return {"truck": one.truck.key, "worked": list(effect.lines), "taken": effect.taken, "missing": None}
