"""The pages of a case, as a pipe gets them."""

from __future__ import annotations

from case_list import answer

from carknocker.cli.output import joined
from carknocker.dossier.view import view_of
from carknocker.page.markdown import markdown_of
from carknocker.questions.check.page import page_of, whole_page


def text(name: str) -> str:
    return joined([page_of(view_of(answer(name)))])


def markdown(name: str) -> str:
    """The whole dossier."""
    return markdown_of(whole_page(answer(name)))
