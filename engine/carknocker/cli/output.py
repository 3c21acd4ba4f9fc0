"""Writing what a command answers: to the terminal, to a pipe, or to a file, whole or not at all."""

import os
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from carknocker.cli.options import Format
from carknocker.documents.visible_text import visible
from carknocker.page.model import Page
from carknocker.page.sheet import SheetAnswer
from carknocker.page.text import LEAST_WIDTH, text_of
from carknocker.page.wrapping import plainer

if TYPE_CHECKING:
    from carknocker.page.model import Page


class OutputRefused(Exception):
    """The output file can't be written; says why."""


def write_stream(stream: TextIO, text: str, *, utf8: bool = False) -> None:
    """Writes to a stream in its own encoding (`utf8`: in UTF-8), with line feeds as they are.

    Signs that the encoding lacks are written with plainer ones. A reader that has gone away is no error.
    Raises OutputRefused if the stream can't take it (a full disk).
    """
    encoding = "utf-8" if utf8 else stream.encoding or "utf-8"
    try:
        stream.flush()
        binary = getattr(stream, "buffer", None)
        if binary is None:
            stream.write(visible(text))
            stream.flush()
            return
        binary.write(encoded(text, encoding))
        binary.flush()
    except BrokenPipeError:
        _let_go(stream)
    except OSError as error:
        raise refused(stream, error) from error


def refused(stream: TextIO, error: OSError) -> OutputRefused:
    """What to raise for a stream that can't be written; nothing more is written to it."""
    _let_go(stream)
    return OutputRefused(f"the answer can't be written: {error.strerror or error}")


def encoded(text: str, encoding: str = "utf-8") -> bytes:
    """An answer in an encoding, as every writer of text lets it out: nothing hidden in it, and with plainer signs where
    the encoding lacks one."""
    shown = visible(text)
    try:
        return shown.encode(encoding)
    except UnicodeEncodeError:
        return plainer(shown).encode(encoding, errors="replace")


def _let_go(stream: TextIO) -> None:
    """So that nothing is flushed into a closed pipe or a full disk at the end of the program."""
    try:
        number = stream.fileno()
    except (OSError, ValueError, AttributeError):
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, number)
    os.close(nowhere)


def write_answer(text: str, output: Path | None) -> None:
    """Writes Markdown, JSON or HTML in UTF-8. Raises OutputRefused if the file can't be written."""
    if output is None:
        write_stream(sys.stdout, text, utf8=True)
    else:
        write_whole(output, encoded(text))


def write_bytes(content: bytes, output: Path | None) -> None:
    """Writes a PDF. Raises OutputRefused if the file or the stream can't be written."""
    if output is not None:
        write_whole(output, content)
        return
    try:
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        _let_go(sys.stdout)
    except OSError as error:
        raise refused(sys.stdout, error) from error


def write_pages(pages: "list[Page]", output: Path | None) -> None:
    """Writes pages as text: with styles on a terminal, plain at 80 columns anywhere else."""
    if output is not None:
        write_whole(output, encoded(joined(pages)))
    elif _is_terminal(sys.stdout):
        _print_styled(pages)
    else:
        write_stream(sys.stdout, joined(pages))


def joined(pages: "list[Page]", width: int = LEAST_WIDTH) -> str:
    """Several pages below each other, with a line between them."""
    return f"\n{'=' * LEAST_WIDTH}\n\n".join(text_of(page, width) for page in pages)


def _is_terminal(stream: TextIO) -> bool:
    try:
        return stream.isatty() and (stream.encoding or "").lower().replace("-", "") == "utf8"
    except ValueError:
        return False


def _print_styled(pages: "list[Page]") -> None:
    from rich.console import Console

    from carknocker.page.text import print_page

    console = Console(file=sys.stdout, highlight=False)
    try:
        for number, page in enumerate(pages):
            if number:
                console.print(f"\n{'=' * LEAST_WIDTH}\n", highlight=False)
            print_page(page, console)
        sys.stdout.flush()
    except BrokenPipeError:
        _let_go(sys.stdout)
    except OSError as error:
        raise refused(sys.stdout, error) from error


def write_pieces(pieces: Iterable[str], output: Path | None) -> None:
    """Writes an answer in UTF-8 piece by piece, so that it need not be in memory as a whole; a file is
    written whole or not at all. Raises OutputRefused."""
    if output is not None:
        _write_file(output, map(encoded, pieces))
        return
    for piece in pieces:
        write_stream(sys.stdout, piece, utf8=True)


def write_whole(path: Path, content: bytes) -> None:
    """Writes a file beside its place and moves it there, so that it is whole or not changed at all.

    What is no regular file (a pipe, a terminal) is written straight. Raises OutputRefused.
    """
    _write_file(path, (content,))


def _write_file(path: Path, pieces: Iterable[bytes]) -> None:
    try:
        if path.exists() and not path.is_file():
            if path.is_dir():
                raise OutputRefused(f"{path} is a folder; name a file")
            with path.open("wb") as straight:
                straight.writelines(pieces)
            return
        target = path.resolve()
        number, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        try:
            with os.fdopen(number, "wb") as opened:
                opened.writelines(pieces)
            os.chmod(name, target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask())
            os.replace(name, target)
        except BaseException:
            os.unlink(name)
            raise
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise OutputRefused(f"{path} can't be written: {reason}") from error


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def write_as_pages(pages: list[Page], form: Format, output: Path | None) -> None:
    """Writes pages as text, Markdown, HTML or PDF. (JSON is written from the answer itself, not from its page.)

    Raises OutputRefused where no PDF can be made, or would go to a terminal.
    """
    if form is Format.TEXT:
        write_pages(pages, output)
    elif form is Format.MARKDOWN:
        from carknocker.page.markdown import markdown_of

        write_answer("\n---\n\n".join(markdown_of(page) for page in pages), output)
    else:
        from carknocker.page.html import html_of

        if form is Format.PDF:
            _write_pdf(html_of(pages), output)
        else:
            write_answer(html_of(pages), output)


def drawn(form: Format) -> bool:
    """Whether drawings can be shown in a form: whether they are worth making."""
    return form in (Format.HTML, Format.PDF)


def _write_pdf(html: str, output: Path | None) -> None:
    from carknocker.page.pdf import NoPdf, pdf_of

    if output is None and sys.stdout.isatty():
        raise OutputRefused("a PDF is not for a terminal: name a file with `--output FILE`, or send it through a pipe")
    try:
        write_bytes(pdf_of(html), output)
    except NoPdf as missing:
        raise OutputRefused(str(missing)) from None


def write_sheet(answer: SheetAnswer, format_name: str, form: Format, output: Path | None) -> None:
    """Writes a sheet for strangers in the form asked for."""
    if form is Format.JSON:
        from carknocker.page.json_encoder import answer_json
        from carknocker.page.sheet import LINE_RULES

        write_answer(answer_json(format_name, answer, LINE_RULES), output)
        return
    from carknocker.page.sheet import sheet_page

    write_as_pages([sheet_page(answer)], form, output)
