"""The lift sheet as JSON (`carknocker-lift-sheet/1`); docs/json.md describes every key."""

from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.questions.lift.ask import LaterWork, LiftAnswer
from carknocker.record.model import Evidence
from carknocker.workings.formula import Result
from carknocker.workings.lift_sheet import LiftCase, LiftSheet, Sling
from carknocker.workings.lift_statics import StandingEnd

FORMAT = "carknocker-lift-sheet/1"
_RULES: Rules = {
    LiftAnswer: keys(
        "as_of=day", "car", "plan=plan_file?", "end", "cautions=sheet.cautions", "standing_end=holding", "weights",
        "weight_checks=checks",
        "gross_weight_estimated=estimated", "since", "halves_taken_as_equal=halves_equal",
        "crane_rating=request.crane_limit", "sling=request.sling", "body=sheet.body", "ways=sheet.cases", "crib=sheet",
    ),
    Evidence: keys("part", "attribute", "value", "on"),
    LaterWork: keys("on=entry.on", "id=entry.id", "name=entry.name", "at=entry.at", "after[part attribute]=weighed"),
    Sling: keys("legs", "angle_degrees=angle", "legs_taken_to_carry=carrying", "rating=limit"),
    Result: keys("figure=quantity", "worked=line"),
    LiftSheet: keys(
        "share=crib_share", "greatest_height=crib_limit", "least_reach=crib_reach", "must_not=crib_stops"
    ),
    LiftCase: keys(
        "at=point.name", "beyond_truck_center=point.offset", "rated_by=point.rated_by", "truck", "must_not=stops",
        "critical", "load", "on_standing_truck=standing", "crane_share", "sling_leg=leg_tension",
        "sling_leg_share=leg_share", "pull_inwards", "rise", "standing_end=far_end",
    ),
    StandingEnd: keys("dip", "left", "touches", "over_wheels", "touches_wheels=known_to_touch_wheels"),
}  # fmt: skip


def lift_json(answer: LiftAnswer) -> str:
    """The whole sheet. Ends in a line feed."""
    return answer_json(FORMAT, answer, _RULES)
