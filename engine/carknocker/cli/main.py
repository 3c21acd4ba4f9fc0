"""The command line: one thin command per question."""

import gc
import os
import sys
from typing import Annotated

import typer

from carknocker.cli.group import CommandGroup
from carknocker.cli.statuses import in_plain_words, say_why

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


def main() -> None:
    """The entry of the command `carknocker`."""
    gc.disable()  # one short run: collecting costs more than it frees, at the end too
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")  # no code from elsewhere takes part
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")
    try:
        app(prog_name="carknocker")
    except OSError as error:  # what a command reads and writes is refused there; this is the help
        from carknocker.cli.output import refused

        sys.exit(say_why(refused(sys.stdout, error)))
    except Exception as error:
        sys.exit(say_why(error))
    finally:
        gc.freeze()
