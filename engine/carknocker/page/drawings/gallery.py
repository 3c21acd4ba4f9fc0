"""All drawings of an answer, in the order in which a page shows them."""

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.axle_plan import axle_plans
from carknocker.page.drawings.car_side import car_side
from carknocker.page.drawings.clearance import clearance
from carknocker.page.drawings.margins import margins
from carknocker.page.drawings.timeline import timeline
from carknocker.page.drawings.wheel_diameters import diameters
from carknocker.page.drawings.wheel_profile import profile
from carknocker.page.model import Drawing


def drawings(answer: CheckAnswer, index: JudgementIndex | None = None) -> tuple[Drawing, ...]:
    """The drawings for which the record has data. A pure function of the answer. index: of the same judgement, if one
    has been made already."""
    index = index or JudgementIndex(answer.judgement)
    single = (car_side(index), diameters(index), profile(index), timeline(index), margins(index), clearance(index))
    return (*axle_plans(index), *(drawing for drawing in single if drawing is not None))
