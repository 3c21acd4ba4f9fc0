"""The whole dossier of an answer, as a page for a file."""

from carknocker.dossier.check.appendix.appendix import appendix_of
from carknocker.dossier.check.layout import page_of
from carknocker.dossier.check.view import view_of
from carknocker.dossier.context import Context
from carknocker.dossier.writing.page import Drawing, Page
from carknocker.judgement.answer import CheckAnswer


def whole_page(answer: CheckAnswer, *, drawn: bool = False) -> Page:
    """The page with its appendix. drawn: with drawings, for what can show them."""
    context = Context(answer.judgement, answer.day)
    return page_of(view_of(answer, context), appendix_of(context), _drawings(answer, context) if drawn else ())


def _drawings(answer: CheckAnswer, context: Context) -> tuple[Drawing, ...]:
    from carknocker.dossier.drawings.drawings import drawings

    return drawings(answer, context)
