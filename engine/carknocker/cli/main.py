"""The command line: one thin command per question."""

import sys
from importlib.metadata import PackageNotFoundError, version
from typing import Annotated

import typer

from carknocker import __version__
from carknocker.cli.group import CommandGroup
from carknocker.cli.statuses import in_plain_words
from carknocker.judgement.chain.adapter import AVAILABLE

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


def version_text() -> str:
    """`carknocker 0.1.0 (chains with durable-rules 2.0.28)`."""
    return f"carknocker {__version__} (chains with {_chainer()})"


def _chainer() -> str:
    if not AVAILABLE:
        return "its plain evaluator"
    try:
        return f"durable-rules {version('durable-rules')}"
    except PackageNotFoundError:
        return "durable-rules"
