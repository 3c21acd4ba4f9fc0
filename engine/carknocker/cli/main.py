"""The command line: one thin command per question. What a command needs is imported when it runs."""

import gc
import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.statuses import in_plain_words, say_why

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="May this heritage passenger car travel on this move, and if not, why not yet?",
    epilog="Exit status: 0 ready (restrictions included), 1 not ready or repair move only, 2 input or command line, "
    "3 cannot judge.",
)
rules_app = typer.Typer(
    no_args_is_help=True, rich_markup_mode=None, help="Look at the rules, and check rules that you write."
)
app.add_typer(rules_app, name="rules")

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


def _version(wanted: bool) -> None:
    if wanted:
        from carknocker.cli.version import version_text

        typer.echo(version_text())
        raise typer.Exit()


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Name the version and who chains.")
    ] = False,
) -> None:
    """May this heritage passenger car travel on this move, and if not, why not yet?"""


@app.command(epilog="Example: carknocker check wren-hollow/before --as-of 2026-10-08")
def check(
    cars: Annotated[
        list[Path], typer.Argument(metavar="CAR", help="A car record, or a folder with one; several may be given.")
    ],
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Is the car ready for the move? What stands in the way comes first."""
    with in_plain_words():
        from carknocker.cli import check_command

        check_command.run(cars, move, as_of, form, rules or [], output)


@app.command(epilog='Example: carknocker why wren-hollow/before "wheel R5" flange-thickness --as-of 2026-10-08')
def why(
    car: Annotated[Path, typer.Argument(metavar="CAR", help="A car record, or a folder with one.")],
    part: Annotated[str | None, typer.Argument(metavar="PART", help="A part, like `wheel R5` or R5.")] = None,
    criterion: Annotated[
        str | None, typer.Argument(metavar="CRITERION", help="A criterion or consequence by its id.")
    ] = None,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Why is it so? From the outcome down to the reading, the gauge and the sentence; also why not."""
    with in_plain_words():
        from carknocker.cli import why_command

        why_command.run(car, part, criterion, move, as_of, form, rules or [], output)


@app.command(epilog="Example: carknocker diff wren-hollow/before wren-hollow/after --as-of 2026-10-28")
def diff(
    before: Annotated[Path, typer.Argument(metavar="BEFORE", help="A car record, or a folder with one.")],
    after: Annotated[
        Path | None, typer.Argument(metavar="AFTER", help="Another; without it the same record is compared.")
    ] = None,
    moves: Annotated[
        list[Path] | None, typer.Option("--move", metavar="FILE", help="The move; twice: one for each.")
    ] = None,
    as_of: Annotated[
        list[str] | None, typer.Option("--as-of", metavar="DATE", help="The day; twice: one for each. Default today.")
    ] = None,
    editions: Annotated[
        list[str] | None,
        typer.Option(
            "--edition",
            metavar="RULESET=EDITION",
            help="Judge the second under this edition; given twice for a ruleset: the first and the second.",
        ),
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What is cleared, what is new, what is still open, and what work did it."""
    with in_plain_words():
        from carknocker.cli import diff_command

        diff_command.run(before, after, moves or [], as_of or [], editions or [], form, rules or [], output)


@app.command(epilog='Example: carknocker new my-car --mark "QWHX 27" --name "Wren Hollow"')
def new(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where to write the files; made if need be.")],
    mark: Annotated[str, typer.Option("--mark", help="Reporting mark and number.")] = "MARK 0",
    name: Annotated[str, typer.Option("--name", help="The car's name.")] = "",
    host: Annotated[str, typer.Option("--host", help="The host railroad, if its circular is at hand.")] = "",
    out: Annotated[str | None, typer.Option("--out", metavar="DATE", help="Day out.")] = None,
    back: Annotated[str | None, typer.Option("--back", metavar="DATE", help="Day back.")] = None,
) -> None:
    """Write a commented starter record and a move, to be filled in."""
    with in_plain_words():
        from carknocker.cli import new_command

        new_command.run(folder, mark, name, host, out, back)


@rules_app.command("list", epilog="Example: carknocker rules list")
def rules_list(form: FormatOption = Format.TEXT, rules: RulesOption = None, output: OutputOption = None) -> None:
    """Which editions are at hand, from when they bind, and when their text was last checked."""
    with in_plain_words():
        from carknocker.cli import rules_command

        rules_command.run_list(form, rules or [], output)


@rules_app.command("show", epilog="Example: carknocker rules show us-federal flange-thickness --edition 2015")
def rules_show(
    ruleset: Annotated[str, typer.Argument(metavar="RULESET", help="A ruleset, like us-federal.")],
    rule: Annotated[str | None, typer.Argument(metavar="RULE", help="One criterion or consequence of it.")] = None,
    edition: Annotated[str | None, typer.Option("--edition", help="The edition; default the newest.")] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What an edition says, each rule with its source."""
    with in_plain_words():
        from carknocker.cli import rules_command

        rules_command.run_show(ruleset, rule, edition, form, rules or [], output)


@rules_app.command("check", epilog="Example: carknocker rules check my-rulesets")
def rules_check(
    folders: Annotated[
        list[Path] | None,
        typer.Argument(metavar="FOLDER", help="Folders of rulesets, beside those that are installed."),
    ] = None,
    form: FormatOption = Format.TEXT,
    output: OutputOption = None,
) -> None:
    """Are the rules in order? Reads every edition, and judges every example."""
    with in_plain_words():
        from carknocker.cli import rules_command

        rules_command.run_check(folders or [], form, output)


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
    except Exception as error:
        sys.exit(say_why(error))
    finally:
        gc.freeze()
