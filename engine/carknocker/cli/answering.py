"""Judging one car for one move, as several commands need it."""

from datetime import date

from carknocker.cli.inputs import Place, read_both
from carknocker.questions.check import CheckAnswer, check
from carknocker.rulebook import Library


def answer_for(place: Place, move: Place | None, library: Library, day: date) -> CheckAnswer:
    """The answer to `check` for one car. Raises InputRefused and CannotJudge."""
    car, planned = read_both(place, move)
    return check(car, planned, library, day)
