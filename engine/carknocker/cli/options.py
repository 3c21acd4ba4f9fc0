"""Arguments and options that many commands share."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer


class Format(StrEnum):
    """How an answer is written."""

    TEXT = "text"
    MARKDOWN = "markdown"
    JSON = "json"
    HTML = "html"
    PDF = "pdf"


CarArgument = Annotated[Path, typer.Argument(metavar="CAR", help="A car record, or a folder with one.")]
MoveOption = Annotated[
    Path | None, typer.Option("--move", metavar="FILE", help="The move; a folder's only move needs no option.")
]
DayOption = Annotated[
    str | None,
    typer.Option("--as-of", metavar="DATE", help="The day of the judgement, like 2026-10-08; default today."),
]
FormatOption = Annotated[Format, typer.Option("--format", help="How the answer is written.")]
RulesOption = Annotated[
    list[Path] | None,
    typer.Option(
        "--rules", metavar="FOLDER", help="A folder of further rulesets; `rulesets` beside the car is found unasked."
    ),
]
OutputOption = Annotated[
    Path | None, typer.Option("--output", "-o", metavar="FILE", help="Write the answer here, whole or not at all.")
]


def command_line() -> typer.Typer:
    """An application for one command."""
    return typer.Typer(
        add_completion=False, no_args_is_help=False, rich_markup_mode=None, pretty_exceptions_enable=False
    )
