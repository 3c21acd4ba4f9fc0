"""Every derived figure of a car as JSON (`carknocker-figures/1`); docs/json.md describes every key."""

from typing import Any

from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.questions.figures.ask import DerivedFigure, Figures, Step
from carknocker.questions.figures.turning_plans import Bounding, RimOutlook, Turning
from carknocker.workings import Missing
from carknocker.workings.formula import inches
from carknocker.workings.turning import Turned

FORMAT = "carknocker-figures/1"


def _turned(wheel: Turned) -> dict[str, Any]:
    return {
        "wheel": wheel.wheel.name,
        "cut": inches(wheel.cut),
        "governed_by": wheel.governs,
        "rim": inches(wheel.rim),
        "diameter": None if wheel.diameter is None else inches(wheel.diameter),
        "works": wheel.works,
        "worked": wheel.line,
    }


def _step(step: Step) -> dict[str, Any]:
    effect = step.effect
    if isinstance(effect, Missing):
        return {"truck": step.truck, "worked": (), "taken": None, "missing": effect}
    return {"truck": step.truck, "worked": effect.lines, "taken": effect.taken, "missing": None}


_RULES: Rules = {
    Figures: keys(
        "as_of=day", "car", "move=move.file", "figures", "turning", "outlooks", "steps",
        "turned_labels[part calls_for]",
    ),
    DerivedFigure: keys(
        "part", "label=part.label", "attribute=attribute.name", "title=attribute.label", "value=worked.value",
        "worked=worked.line", "uncertainty", "evidence=places", "source", "missing",
    ),
    Missing: keys("part", "attribute", "reason"),
    Turning: keys("of", "limits", "works=plan.works", "taken?", "missing", "wheels"),
    Bounding: keys("criterion=rule", "words"),
    Turned: _turned,
    RimOutlook: keys(
        "wheel", "limit", "earliest=outlook.earliest", "latest=outlook.latest", "worked=outlook.lines"
    ),
    Step: _step,
}  # fmt: skip


def figures_json(figures: Figures) -> str:
    """The whole answer. Ends in a line feed."""
    return answer_json(FORMAT, figures, _RULES)
