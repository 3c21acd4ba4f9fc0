"""What a hand brake holds on the steepest grade of the move, from the record and the move."""

from carknocker.record.model import Part
from carknocker.workings.enclosure import Enclosure
from carknocker.workings.grade import hand_brake_holding
from carknocker.workings.inputs import Input, derived, figure, figures
from carknocker.workings.model import Missing, Readings, Worked
from carknocker.workings.result import Result, result, written


def holding(readings: Readings, part: Part) -> Worked | Missing:
    """h = R/G: what one hand brake holds back, of what the steepest grade of the legs asks for; 100 % or more holds.

    R = μ·F of its shoes, G = W·g, as in `hand_brake_holding`. Friction and force are recorded, never taken for granted.
    """
    move = readings.standing.move
    if move is None or not move.legs:
        return Missing("move", "legs", "no legs are given")
    grades: list[Input] = []
    for leg in move.legs:
        grade = figure(readings, f"leg {leg.number}", "steepest_grade")
        if isinstance(grade, Missing):
            return grade
        grades.append(grade)
    found = figures(readings, (part.key, "shoe_force"), (part.key, "shoe_friction"), ("car", "gross_weight"))
    if isinstance(found, Missing):
        return found
    force, friction, weight = found
    steepest = max(grades, key=lambda one: one.amount)
    if not steepest.amount:
        return Missing("move", "legs", "no leg has a grade, so that nothing has to be held")

    def work() -> Result:
        held = hand_brake_holding(force.amount, friction.amount, weight.amount, steepest.amount)
        share = Enclosure.of(held.retarding.amount) / held.needed.amount
        numbers = f"{written('weight', held.retarding.amount)}/{written('weight', held.needed.amount)}"
        found = result("ratio", share, f"h = R/G = {numbers}")
        return Result(found.dimension, found.amount, f"{held.retarding.line}; {held.needed.line}; {found.line}")

    return derived(part.key, "shoe_friction", (*found, steepest), work)
