"""The command line: one thin command per question."""

import sys
from typing import Annotated

import typer

from carknocker.cli.group import CommandGroup
from carknocker.cli.statuses import in_plain_words

app = typer.Typer(
    cls=CommandGroup,
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="May this heritage passenger car travel on this move, and if not, why not yet?",
    epilog="Exit status: 0 ready (restrictions included), 1 not ready or repair move only, 2 input or command line, "
    "3 cannot judge.",
)


def _version(wanted: bool) -> None:
    if wanted:
        from carknocker.cli.output import write_stream
        from carknocker.cli.version import version_text

        with in_plain_words():
            write_stream(sys.stdout, f"{version_text()}\n")
        raise typer.Exit()


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Name the version and who chains.")
    ] = False,
) -> None:
    """May this heritage passenger car travel on this move, and if not, why not yet?"""
