"""Writing answers: to the terminal, to a pipe, or to a file, whole or not at all."""

import hashlib
import os
import sys
import tempfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path, PurePath
from typing import TextIO, TypeVar

from carknocker.cli.options import Format
from carknocker.documents.system_words import system_words
from carknocker.documents.visible_text import visible
from carknocker.page.model import Page
from carknocker.page.text import LEAST_WIDTH, text_of
from carknocker.page.wrapping import plainer

Answer = TypeVar("Answer")
_MARK_OF_UTF8 = b"\xef\xbb\xbf"


class OutputRefused(Exception):
    """The output can't be written; says why."""


def write_answer(
    answer: Answer,
    form: Format,
    output: Path | None,
    *,
    json: Callable[[Answer], str],
    page: Callable[[Answer], Page | Sequence[Page]],
) -> None:
    """Writes an answer in the form that was asked for: its JSON, or its page or pages.

    Raises OutputRefused if it can't be written.
    """
    if form is Format.JSON:
        write_text(json(answer), output)
        return
    made = page(answer)
    _write_pages([made] if isinstance(made, Page) else list(made), form, output)


def drawn(form: Format) -> bool:
    """Whether a form shows drawings."""
    return form in (Format.HTML, Format.PDF)


def _write_pages(pages: list[Page], form: Format, output: Path | None) -> None:
    if form is Format.TEXT:
        _write_text_pages(pages, output)
    elif form is Format.PDF:
        _write_pdf(pages, output)
    else:
        write_text(text_in(form, pages), output)


def text_in(form: Format, pages: list[Page]) -> str:
    """Pages in a form that is text."""
    if form is Format.MARKDOWN:
        from carknocker.page.markdown import markdown_of

        return "\n---\n\n".join(markdown_of(page) for page in pages)
    if form is Format.HTML:
        from carknocker.page.html import html_of

        return html_of(pages)
    return joined(pages)


def _write_pdf(pages: list[Page], output: Path | None) -> None:
    from carknocker.page.pdf.writer import NoPdf, pdf_of

    if output is None and sys.stdout.isatty():
        raise OutputRefused("a PDF is not for a terminal: name a file with `--output FILE`, or send it through a pipe")
    try:
        write_bytes(pdf_of(pages), output)
    except NoPdf as missing:
        raise OutputRefused(str(missing)) from None


def _write_text_pages(pages: list[Page], output: Path | None) -> None:
    """Writes pages as text: styled on a terminal, plain and 80 columns wide anywhere else."""
    if output is not None:
        write_whole(output, encoded(joined(pages)))
    elif _is_terminal(sys.stdout):
        _print_styled(pages)
    else:
        write_stream(sys.stdout, joined(pages))


def joined(pages: list[Page], width: int = LEAST_WIDTH) -> str:
    """The text of several pages, with a line between them."""
    return f"\n{'=' * LEAST_WIDTH}\n\n".join(text_of(page, width) for page in pages)


def _is_terminal(stream: TextIO) -> bool:
    try:
        return stream.isatty() and (stream.encoding or "").lower().replace("-", "") == "utf8"
    except ValueError:
        return False


def _print_styled(pages: list[Page]) -> None:
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
        _abandon(sys.stdout)
    except OSError as error:
        raise refused(sys.stdout, error) from error


def write_text(text: str, output: Path | None) -> None:
    """Writes text in UTF-8 to the file, or to standard output. Raises OutputRefused."""
    if output is None:
        write_stream(sys.stdout, text, utf8=True)
    else:
        write_whole(output, encoded(text))


def write_pieces(pieces: Iterable[str], output: Path | None) -> None:
    """Writes text in UTF-8 piece by piece, so that it is never in memory as a whole. A file is written whole or not at
    all. Raises OutputRefused."""
    if output is not None:
        _write_file(output, map(encoded, pieces))
        return
    for piece in pieces:
        write_stream(sys.stdout, piece, utf8=True)


def write_bytes(content: bytes, output: Path | None) -> None:
    """Writes bytes to the file, or to standard output. Raises OutputRefused."""
    if output is not None:
        write_whole(output, content)
        return
    try:
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        _abandon(sys.stdout)
    except OSError as error:
        raise refused(sys.stdout, error) from error


def write_stream(stream: TextIO, text: str, *, utf8: bool = False) -> None:
    """Writes text to a stream in the stream's encoding (`utf8`: in UTF-8), line feeds as they are.

    Characters that the encoding lacks are replaced by plainer ones. It is no error if the reader of a pipe has gone.
    Raises OutputRefused if the stream can't be written (a full disk).
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
        _abandon(stream)
    except OSError as error:
        raise refused(stream, error) from error


def write_lines(lines: Iterable[str]) -> None:
    """Writes lines to standard output. Raises OutputRefused."""
    write_stream(sys.stdout, "".join(f"{line}\n" for line in lines))


def encoded(text: str, encoding: str = "utf-8") -> bytes:
    """Text as every writer lets it out: hidden characters replaced, and plainer characters where the encoding lacks
    one."""
    shown = visible(text)
    try:
        return shown.encode(encoding)
    except UnicodeEncodeError:
        return plainer(shown).encode(encoding, errors="replace")


def refused(stream: TextIO, error: OSError) -> OutputRefused:
    """The refusal for a stream that can't be written. Nothing more is written to that stream."""
    _abandon(stream)
    return OutputRefused(f"the answer can't be written: {system_words(error)}")


def _abandon(stream: TextIO) -> None:
    """Sends the rest of a stream nowhere, so that Python does not fail on flushing it at the end of the process."""
    try:
        number = stream.fileno()
    except (OSError, ValueError, AttributeError):
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, number)
    os.close(nowhere)


def write_whole(path: Path, content: bytes) -> None:
    """Writes a file beside its place and moves it there, so that it is whole or not changed at all.

    A pipe or a device is written directly. Raises OutputRefused.
    """
    _write_file(path, (content,))


def backup_name(file: str, text: str) -> str:
    """The name of the file that keeps a text before the file is written anew."""
    digest = hashlib.sha256(text.encode("utf-8")).hexdigest()[:8]
    return f"{PurePath(file).name}.before-{digest}.bak"


def write_with_backups(texts: Mapping[Path, tuple[str, Path]], also: Mapping[Path, bytes] = {}) -> None:
    """Copies each file to its backup, with the same permissions, then writes the new text over it: all of them, and
    what else goes with them, or none. texts: file → its new text, and the backup. also: file → its content.

    Raises OutputRefused if a file can't be written or a backup is there with other content; all is then as it was.
    """
    contents: dict[Path, bytes] = {}
    for path, (_, backup) in texts.items():
        before = path.read_bytes()
        if not backup.exists():
            contents[backup] = before
        elif backup.read_bytes() != before:
            raise OutputRefused(
                f"{backup} is there already, with something else in it; move it away. Nothing was changed"
            )
    contents.update(also)
    for path, (text, _) in texts.items():
        byte_order_mark = _MARK_OF_UTF8 if path.read_bytes().startswith(_MARK_OF_UTF8) else b""
        contents[path] = byte_order_mark + text.encode("utf-8")
    _write_together(contents)
    for path, (_, backup) in texts.items():
        with suppress(OSError):
            backup.chmod(path.stat().st_mode & 0o777)


def _write_together(contents: Mapping[Path, bytes]) -> None:
    """Writes every file beside its place before any of them is moved there. Where one can't be moved, those that were
    are put back."""
    beside: dict[Path, tuple[Path, str]] = {}
    moved: dict[Path, bytes | None] = {}
    current = Path()
    try:
        for current, content in contents.items():
            beside[current] = _written_beside(current, (content,))
        for current, (target, name) in beside.items():
            before = target.read_bytes() if target.exists() else None
            os.replace(name, target)
            moved[current] = before
    except BaseException as error:
        for path, (_, name) in beside.items():
            if path not in moved:
                with suppress(OSError):
                    os.unlink(name)
        changed = [path for path, before in moved.items() if not _is_put_back(path, before)]
        if not isinstance(error, (OSError, ValueError)):
            raise
        told = f"{', '.join(map(str, changed))} was written all the same" if changed else "Nothing was changed"
        raise OutputRefused(f"{_why_not_written(current, error)}. {told}") from error


def _is_put_back(path: Path, before: bytes | None) -> bool:
    """Whether a file is again as it was before. None: it was not there."""
    try:
        if before is None:
            path.unlink()
        else:
            write_whole(path, before)
    except (OSError, OutputRefused):
        return False
    return True


def _write_file(path: Path, pieces: Iterable[bytes]) -> None:
    try:
        if path.exists() and not path.is_file():
            if path.is_dir():
                raise OutputRefused(f"{path} is a folder; name a file")
            with path.open("wb") as direct:
                direct.writelines(pieces)
            return
        target, name = _written_beside(path, pieces)
        try:
            os.replace(name, target)
        except BaseException:
            os.unlink(name)
            raise
    except (OSError, ValueError) as error:
        raise OutputRefused(_why_not_written(path, error)) from error


def _written_beside(path: Path, pieces: Iterable[bytes]) -> tuple[Path, str]:
    """Where a file has its place, links followed, and the name of one beside it that has the content."""
    target = path.resolve()
    number, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    try:
        with os.fdopen(number, "wb") as opened:
            opened.writelines(pieces)
        os.chmod(name, target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask())
    except BaseException:
        os.unlink(name)
        raise
    return target, name


def _why_not_written(path: Path, error: Exception) -> str:
    reason = system_words(error)
    if isinstance(error, FileNotFoundError) and not path.parent.exists():
        reason = f"there is no folder {path.parent}; name one that is there"
    return f"{path} can't be written: {reason}"


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
