"""The pages of a case, as a pipe gets them."""

from __future__ import annotations

from carknocker.cli.output import joined
from carknocker.dossier.layout import page_of
from carknocker.dossier.markdown import markdown_of
from carknocker.dossier.view import view_of
from case_list import answer


def text(name: str) -> str:
    return joined([page_of(view_of(answer(name)))])


def markdown(name: str) -> str:
    return markdown_of(page_of(view_of(answer(name))))
