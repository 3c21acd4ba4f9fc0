"""What would make a car ready: the smallest sets of work, and the dates. Worked out only when it is asked for."""

from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.counterfactual.sets import sets_of
from carknocker.rulebook.library import Library
from carknocker.whatif.model import Otherwise
from carknocker.whatif.ready_dates import dates_of


def otherwise(answer: CheckAnswer, library: Library) -> Otherwise | None:
    """What would make the car ready; None for one that is. Raises CannotJudge."""
    if answer.outcome in ("ready", "ready with restrictions"):
        return None
    return Otherwise(sets_of(answer), dates_of(answer, library))
