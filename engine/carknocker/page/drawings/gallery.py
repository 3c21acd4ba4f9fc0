"""All drawings of an answer in the order of a page, and how they are put into a page."""

from msgspec.structs import replace

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.both_widths import for_both
from carknocker.page.drawings.canvas import ROOM_ON_THE_SHEET, SHEET
from carknocker.page.drawings.car_side import car_side
from carknocker.page.drawings.clearance import clearance
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.margins import margins
from carknocker.page.drawings.timeline import timeline
from carknocker.page.drawings.trucks_above import trucks_above
from carknocker.page.model import Drawing, Page, Section


def drawings(
    answer: CheckAnswer, index: JudgementIndex | None = None, faults: FaultNumbers | None = None
) -> tuple[Drawing, ...]:
    """The drawings for which the record has data. A pure function of the answer. index: of the same judgement, if one
    has been made already. faults: the numbers that they have on the page; without them, faults are numbered as they
    come."""
    index = index or JudgementIndex(answer.judgement)
    numbers = faults or FaultNumbers.as_they_come(answer.judgement.refusals)
    side = for_both(lambda wide: car_side(index, numbers, wide))
    above = for_both(lambda wide: trucks_above(index, numbers, wide))
    room = ROOM_ON_THE_SHEET - sum(one.height for one in (side, above) if one is not None)
    single = (
        side,
        above,
        for_both(lambda wide: margins(index, numbers, wide, room - 0.1 if wide == SHEET else None)),
        for_both(lambda wide: timeline(index, numbers, wide)),
        clearance(index),
    )  # fmt: skip
    return tuple(drawing for drawing in single if drawing is not None)


def drawn_into(page: Page, drawing: Drawing | None, place: int, heading: str) -> Page:
    """The page with the drawing as section number `place`, counted from 0; the page unchanged if there is no
    drawing."""
    if drawing is None:
        return page
    sections = list(page.sections)
    sections.insert(place, Section(heading, (drawing,)))
    return replace(page, sections=tuple(sections))
