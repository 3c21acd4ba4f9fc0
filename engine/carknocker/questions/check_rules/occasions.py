"""How often what is due on the way comes round on the move of a worked example, and when for the first time."""

from collections.abc import Iterable

from carknocker.judgement.assemble import duties_on_the_way
from carknocker.judgement.chain.conclusions import asked_for
from carknocker.judgement.facts import DutyFact, StateFact
from carknocker.judgement.model import Duty, DutyOnTheWay, Finding
from carknocker.quantities import write_quantity
from carknocker.questions.on_the_way.legs import LegDays
from carknocker.questions.on_the_way.moments import Moment, moments_of
from carknocker.record.model import Move, Part
from carknocker.rulebook.model import Consequence, Occasion, Requires


def renewals_of(finding: Finding, move: Move) -> int:
    """How often what a criterion asks is renewed on the way."""
    return sum(len(duty.due) for duty in duties_on_the_way((finding,), (), move))


def moments_due(consequence: Consequence, duties: Iterable[Requires], part: Part, move: Move) -> tuple[Moment, ...]:
    """Every moment of the move at which one of the duties of a consequence falls due."""
    legs = LegDays(move)
    found: list[Moment] = []
    for requires in duties:
        if requires.every or requires.within_first is not None:
            fact = DutyFact(consequence.id, consequence.yields.index(requires), asked_for(requires), part.key, None, "")
            cause = StateFact(consequence.id, 0, part.key)
            duty = Duty(fact, consequence, requires, part, None, "on the way", "", cause)
            found.extend(moments_of(DutyOnTheWay(None, duty, "host", (), requires.routine), move, legs))
    return tuple(found)


def is_due_after(moment: Moment, interval: Occasion, move: Move) -> bool:
    """Whether a moment comes so long, or so far, after departure."""
    if interval.period is not None:
        return moment.day == interval.period.after(move.out)
    return interval.miles is not None and moment.when == f"by {write_quantity(interval.miles)} of the move"
