"""The lift sheet as JSON (`carknocker-lift-sheet/1`); docs/json.md describes every key."""

from typing import Any

from carknocker.page.json_text import json_text
from carknocker.questions.lift.ask import LiftAnswer
from carknocker.record.model import Evidence
from carknocker.wording.limits import value_words
from carknocker.workings.formula import Result, inches, written
from carknocker.workings.lift_sheet import LiftCase

FORMAT = "carknocker-lift-sheet/1"


def lift_json(answer: LiftAnswer) -> str:
    """The whole sheet. Ends in a line feed."""
    sheet, request = answer.sheet, answer.request
    form = {
        "format": FORMAT,
        "as_of": answer.day.isoformat(),
        "car": {"mark": answer.car.mark, "name": answer.car.name, "file": answer.car.file},
        "plan": answer.plan_file or None,
        "end": answer.end,
        "cautions": list(sheet.cautions),
        "weights": [_weight(one) for one in answer.weights],
        "gross_weight_estimated": answer.estimated,
        "since": [
            {
                "on": one.entry.on.isoformat(),
                "id": one.entry.id,
                "name": one.entry.name,
                "at": list(one.entry.at),
                "after": [{"part": weight.part, "attribute": weight.attribute} for weight in one.weights],
            }
            for one in answer.since
        ],
        "halves_taken_as_equal": request.weights.on_near is None,
        "crane_rating": written("weight", request.crane_rating),
        "sling": {
            "legs": request.sling.legs,
            "angle_degrees": str(request.sling.angle),
            "legs_taken_to_carry": request.sling.carrying,
            "rating": written("weight", request.sling.rating),
        },
        "body": result_form(sheet.body),
        "ways": [_case(case) for case in sheet.cases],
        "crib": {
            "share": result_form(sheet.crib_share),
            "greatest_height": result_form(sheet.crib_limit),
            "least_reach": result_form(sheet.crib_reach),
            "must_not": list(sheet.crib_stops),
        },
    }
    return json_text(form)


def result_form(result: Result) -> dict[str, str]:
    """A figure with its unit, and how it came about."""
    return {"figure": written(result.dimension, result.amount), "worked": result.line}


def _weight(evidence: Evidence) -> dict[str, Any]:
    return {
        "part": evidence.part,
        "attribute": evidence.attribute,
        "value": value_words(evidence.value),
        "on": None if evidence.on is None else evidence.on.isoformat(),
    }


def _case(case: LiftCase) -> dict[str, Any]:
    far_end = case.far_end
    return {
        "at": case.point.name,
        "beyond_truck_center": inches(case.point.beyond),
        "rated_by": case.point.rated_by,
        "truck": case.truck,
        "must_not": list(case.stops),
        "critical": case.critical,
        "load": result_form(case.load),
        "on_standing_truck": result_form(case.standing),
        "crane_share": result_form(case.crane_share),
        "sling_leg": result_form(case.leg_tension),
        "sling_leg_share": result_form(case.leg_share),
        "pull_inwards": result_form(case.pull_inwards),
        "rise": None if case.rise is None else result_form(case.rise),
        "standing_end": None
        if far_end is None
        else {
            "dip": result_form(far_end.dip),
            "left": result_form(far_end.left),
            "touches": far_end.touches,
            "over_wheels": None if far_end.over_wheels is None else result_form(far_end.over_wheels),
            "touches_wheels": None if far_end.over_wheels is None else far_end.touches_wheels,
        },
    }
