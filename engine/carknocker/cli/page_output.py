"""Writing pages in the form asked for."""

import sys
from pathlib import Path

from carknocker.cli.choices import Format
from carknocker.cli.output import OutputRefused, write_answer, write_bytes, write_pages
from carknocker.dossier.writing.page import Page


def write_as_pages(pages: list[Page], form: Format, output: Path | None) -> None:
    """Writes pages as text, Markdown, HTML or PDF. (JSON is written from the answer itself, not from its page.)

    Raises OutputRefused where no PDF can be made, or would go to a terminal.
    """
    if form is Format.TEXT:
        write_pages(pages, output)
    elif form is Format.MARKDOWN:
        from carknocker.dossier.writing.markdown import markdown_of

        write_answer("\n---\n\n".join(markdown_of(page) for page in pages), output)
    else:
        from carknocker.dossier.writing.html import html_of

        if form is Format.PDF:
            _write_pdf(html_of(pages), output)
        else:
            write_answer(html_of(pages), output)


def drawn(form: Format) -> bool:
    """Whether drawings can be shown in a form: whether they are worth making."""
    return form in (Format.HTML, Format.PDF)


def _write_pdf(html: str, output: Path | None) -> None:
    from carknocker.dossier.writing.pdf import NoPdf, pdf_of

    if output is None and sys.stdout.isatty():
        raise OutputRefused("a PDF is not for a terminal: name a file with `--output FILE`, or send it through a pipe")
    try:
        write_bytes(pdf_of(html), output)
    except NoPdf as missing:
        raise OutputRefused(str(missing)) from None
