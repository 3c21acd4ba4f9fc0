"""`setout`: the sheet that rides along, for strangers who may have to change a wheelset at night."""

from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.hypothetical.hypothetical import fitted_now
from carknocker.questions.sheets import setout_sections as sections
from carknocker.questions.sheets.sheet_model import SheetAnswer
from carknocker.wording.car_title import car_title


def setout(answer: CheckAnswer) -> SheetAnswer:
    """The sheet of a checked car. What the record does not show stands on it as missing.

    Raises CannotJudge where the car with a carried spare fitted can't be judged.
    """
    judgement = answer.judgement
    trucks = [part for part in judgement.situation.standing.by_kind.get("truck", ()) if part.fitted]
    car, move = judgement.car, judgement.move
    return SheetAnswer(
        title=f"{car_title(car)}: if a wheelset must be changed on the way",
        for_whom=f"For {move.host}, {move.out.isoformat()} to {move.back.isoformat()}; as on record on "
        f"{answer.day.isoformat()}",
        as_of=answer.day,
        sections=(
            sections.whom_to_call(judgement),
            sections.the_car(judgement),
            sections.weights(judgement),
            sections.lifting(judgement),
            *(sections.truck(judgement, part) for part in trucks),
            sections.carried(judgement),
            *(sections.axle(judgement, number) for number in sorted(fitted_now(car))),
            sections.after_a_change(judgement),
            sections.cautions(),
        ),
    )
