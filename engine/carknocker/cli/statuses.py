"""Exit statuses, and what a command says on standard error when it can't answer: plain words, never a traceback."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import typer

from carknocker.cli.output import OutputRefused, write_stream
from carknocker.documents import InputRefused, Location, Problem, read_within, show_problems
from carknocker.documents.document_reader import MOST_BYTES
from carknocker.documents.system_words import system_words
from carknocker.judgement.model import CannotJudge
from carknocker.judgement.names import NotFound

READY = 0
NOT_READY = 1
REFUSED = 2
"""The input or the command line can't be used."""
CANNOT_JUDGE = 3
STOPPED = 130
"""Interrupted from the keyboard."""

_OUTCOMES = {"ready": READY, "ready with restrictions": READY}


def status_of(outcome: str, *, complete: bool) -> int:
    """0 for ready, with or without restrictions, by law that is all at hand; else 1. complete: whether it is."""
    return _OUTCOMES.get(outcome, NOT_READY) if complete else NOT_READY


def say(text: str) -> None:
    """Writes a line to standard error. It is no error if nobody reads it or it can't be written."""
    with suppress(OutputRefused):
        write_stream(sys.stderr, f"{text}\n")


@contextmanager
def in_plain_words() -> Iterator[None]:
    """Turns every exception of a command into words on standard error and an exit status. Decorates the command."""
    try:
        yield
    except (typer.Exit, typer.BadParameter):
        raise
    except KeyboardInterrupt:
        say("Stopped.")
        raise typer.Exit(STOPPED) from None
    except Exception as error:
        raise typer.Exit(say_why(error)) from None


def say_why(error: Exception, car: str = "") -> int:
    """Says in plain words why there is no answer, and returns the exit status. car: which of several it is about, for
    a reason that does not name a file."""
    if isinstance(error, InputRefused):
        say(problems_text(error.problems))
        return REFUSED
    if isinstance(error, OutputRefused | NotFound):
        say(str(error))
        return REFUSED
    if isinstance(error, CannotJudge):
        say(cannot_judge_text(str(error), car))
        return CANNOT_JUDGE
    if isinstance(error, OSError) and isinstance(error.filename, str) and not isinstance(error, FileNotFoundError):
        say(problems_text((_cannot_open(error.filename, error),)))
        return REFUSED
    if isinstance(error, RecursionError):
        say(unexpected_text("something is nested too deeply"))
    else:
        say(unexpected_text(f"{type(error).__name__}: {error}"))
    return CANNOT_JUDGE


def _cannot_open(path: str, error: OSError) -> Problem:
    found = f"this can't be opened: {system_words(error)}"
    return Problem(Location(path, 1, 1), found, "a file or folder that can be read")


def problems_text(problems: tuple[Problem, ...]) -> str:
    """All problems, with the lines of the files that they are in."""
    files = {problem.where.file for problem in problems if not problem.line_text}
    texts = {file: text for file in sorted(files) if (text := _text_of(file))}
    return show_problems(problems, texts)


def _text_of(file: str) -> str:
    """The text of a file; "" if there is none, it is larger than any input may be, or nobody reads it by its lines."""
    try:
        if os.path.isfile(file):
            content = read_within(Path(file), MOST_BYTES) or b""
            by_lines = b"\0" not in content and not content.startswith((b"PK", b"<!DOCTYPE html>"))
            return content.decode("utf-8-sig", errors="replace") if by_lines else ""
    except (OSError, ValueError):
        pass
    return ""


def cannot_judge_text(reason: str, car: str = "") -> str:
    """What is said where no answer can be proved. car: which of several cars it is about."""
    return (
        f"{car and f'{car}: '}Cannot judge: {reason}.\n"
        "There is no outcome. An answer from an incomplete chain would be worse than none. "
        "Please report this with the car record, the move and the output of `carknocker --version`."
    )


def unexpected_text(reason: str) -> str:
    """What is said where something went wrong inside the program."""
    return (
        f"Cannot judge: something went wrong inside the program ({reason}).\n"
        "There is no outcome. Please report this with the command, the files and the output of `carknocker --version`."
    )
