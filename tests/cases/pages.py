"""The pages of a case, as a pipe gets them."""

from __future__ import annotations

from case_list import answer

from carknocker.cli.output import joined
from carknocker.dossier.check.layout import page_of
from carknocker.dossier.check.view import view_of
from carknocker.dossier.check.whole import whole_page
from carknocker.dossier.writing.markdown import markdown_of


def text(name: str) -> str:
    return joined([page_of(view_of(answer(name)))])


def markdown(name: str) -> str:
    """The whole dossier."""
    return markdown_of(whole_page(answer(name)))
