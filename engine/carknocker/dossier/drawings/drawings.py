"""All drawings of an answer, in the order in which a page shows them."""

from carknocker.dossier.context import Context
from carknocker.dossier.drawings.axle_plan import axle_plans
from carknocker.dossier.drawings.car_side import car_side
from carknocker.dossier.drawings.clearance import clearance
from carknocker.dossier.drawings.diameters import diameters
from carknocker.dossier.drawings.margins import margins
from carknocker.dossier.drawings.profile import profile
from carknocker.dossier.drawings.seen import Seen
from carknocker.dossier.drawings.timeline import timeline
from carknocker.dossier.writing.page import Drawing
from carknocker.judgement.answer import CheckAnswer


def drawings(answer: CheckAnswer, context: Context | None = None) -> tuple[Drawing, ...]:
    """The drawings for which something is on record. A pure function of the answer. context: one over the same
    judgement and day, if there is one."""
    seen = Seen(context or Context(answer.judgement, answer.day))
    single = (car_side(seen), diameters(seen), profile(seen), timeline(seen), margins(seen), clearance(seen))
    return (*axle_plans(seen), *(drawing for drawing in single if drawing is not None))
