"""The dossier as a page: eight sheets, of which the first suffices for a decision."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from carknocker.dossier.sheet_head import head_of
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.program import made_by
from carknocker.page.model import Drawing, Page, tone_of
from carknocker.questions.check.sheets.car_sheet import car_sheet, fits, least_margins
from carknocker.questions.check.sheets.digest_sheet import digest_sheet
from carknocker.questions.check.sheets.duty_sheet import duty_sheet
from carknocker.questions.check.sheets.evidence_sheet import evidence_sheet
from carknocker.questions.check.sheets.fault_numbers import NumberedFault, numbered_faults, numbers_for_drawings
from carknocker.questions.check.sheets.fault_sheet import fault_sheet
from carknocker.questions.check.sheets.first_sheet import at_once, bar_of, first_sheet
from carknocker.questions.check.sheets.inspector_sheet import inspector_sheet
from carknocker.questions.check.sheets.tests_sheet import tests_sheet

if TYPE_CHECKING:
    from carknocker.documents.pictures import SmallPicture


MOST_SHEETS = 8
"""Of a dossier on paper. Beyond them the least margins, then the evidence, stand in the appendix alone, then faults
after the first in short."""


def foot_of() -> str:
    """What stands at the foot of every sheet."""
    maker = made_by()
    return f"Made by {maker.program} {maker.version} from the owner’s record. It signs nothing. The host decides."


def dossier_page(
    answer: CheckAnswer,
    *,
    drawn: bool = False,
    pictures: "Mapping[str, SmallPicture] | None" = None,
    index: JudgementIndex | None = None,
) -> Page:
    """The dossier. drawn: with drawings, for media that show them. pictures: the photographs that such a medium shows,
    by their files. index: of the same judgement, if one has been made already."""
    index = index or JudgementIndex(answer.judgement)
    view = view_of(answer, index)
    faults = numbered_faults(view, index)
    drawings, beside = _drawings(answer, index, faults) if drawn else ((), {})
    host = answer.judgement.move.host
    tests = tests_sheet(faults, index)
    evidence = evidence_sheet(view, index, pictures or {}, None if fits(drawings) else least_margins(drawings))
    sheets = (
        *first_sheet(answer, view, faults, index),
        fault_sheet(view, faults, host, answer.judgement.car.file, beside),
        car_sheet(drawings),
        duty_sheet(index, faults, drawings),
        inspector_sheet(view.for_the_inspector, host),
        tests,
        evidence,
        digest_sheet(view, index),
    )
    return Page(
        view.car,
        view.outcome_line,
        tone_of(view.outcome, complete=view.complete),
        tuple(one for one in sheets if one is not None),
        beside=at_once(view),
        head=head_of(answer, view.blocker_count),
        bar=bar_of(view),
        above=f"Private car report to the mechanical department of the {host}",
        dated=f"judged as of {answer.day.isoformat()}",
        foot=foot_of(),
        most_sheets=MOST_SHEETS,
    )


def _drawings(
    answer: CheckAnswer, index: JudgementIndex, faults: tuple[NumberedFault, ...]
) -> tuple[tuple[Drawing, ...], Mapping[int, Drawing]]:
    """The large drawings; the small one beside each fault, by its number."""
    from carknocker.page.drawings.fault_pictures import fault_pictures
    from carknocker.page.drawings.gallery import drawings

    numbers = numbers_for_drawings(faults, index)
    return drawings(answer, index, numbers), fault_pictures(index, numbers)
