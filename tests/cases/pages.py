"""The pages of a case, as a pipe gets them."""

from __future__ import annotations

from case_list import answer

from carknocker.cli.output import joined
from carknocker.dossier.view import view_of
from carknocker.page.markdown import markdown_of
from carknocker.questions.check.appendix_page import appendix_page
from carknocker.questions.check.dossier_page import dossier_page
from carknocker.questions.check.page import page_of


def text(name: str) -> str:
    return joined([page_of(view_of(answer(name)))])


def markdown(name: str) -> str:
    """The dossier without its appendix."""
    return markdown_of(dossier_page(answer(name)))


def appendix(name: str) -> str:
    """The appendix with what does not apply."""
    return markdown_of(appendix_page(answer(name), everything=True))
