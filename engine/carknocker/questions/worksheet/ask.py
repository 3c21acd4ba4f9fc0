"""`worksheet`: the form of what is missing, stale, void or lapsing for this move."""

from carknocker.forms import Form, form_of
from carknocker.forms.model import Group
from carknocker.judgement.answer import CheckAnswer


def worksheet(answer: CheckAnswer, *, before_departure: bool = False, advised: bool = False) -> Form:
    """The form of a checked car: what decides now. before_departure: also what the host's inspector looks at,
    and what is good today and too old by then; advised: also what is only advised."""
    groups: list[Group] = ["decides now"]
    groups += ["wanted before departure"] if before_departure else []
    groups += ["only advised"] if advised else []
    return form_of(answer, tuple(groups))
