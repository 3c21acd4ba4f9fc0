"""All drawings of an answer, in the order in which a page shows them."""

from carknocker.judgement.answer import CheckAnswer
from carknocker.page.context import Context
from carknocker.page.drawings.axle_plan import axle_plans
from carknocker.page.drawings.car_side import car_side
from carknocker.page.drawings.clearance import clearance
from carknocker.page.drawings.figures import Seen
from carknocker.page.drawings.margins import margins
from carknocker.page.drawings.timeline import timeline
from carknocker.page.drawings.wheel_diameters import diameters
from carknocker.page.drawings.wheel_profile import profile
from carknocker.page.model import Drawing


def drawings(answer: CheckAnswer, context: Context | None = None) -> tuple[Drawing, ...]:
    """The drawings for which something is on record. A pure function of the answer. context: one over the same
    judgement and day, if there is one."""
    seen = Seen(context or Context(answer.judgement, answer.day))
    single = (car_side(seen), diameters(seen), profile(seen), timeline(seen), margins(seen), clearance(seen))
    return (*axle_plans(seen), *(drawing for drawing in single if drawing is not None))
