"""The command line: one thin command per question. What a command needs is imported when it runs."""

import gc
import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import End, Format
from carknocker.cli.options import DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.repair_commands import add_repair_commands
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


@app.command(epilog="Example: carknocker plan wren-hollow/before --as-of 2026-10-08")
def plan(
    car: Annotated[Path, typer.Argument(metavar="CAR", help="A car record, or a folder with one.")],
    move: MoveOption = None,
    as_of: DayOption = None,
    prices: Annotated[
        Path | None, typer.Option("--prices", metavar="FILE", help="What work and parts cost, and how long they take.")
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The smallest set of work that makes the car ready, in workable order, and the day on which it can be."""
    with in_plain_words():
        from carknocker.cli import plan_command

        plan_command.run(car, move, as_of, prices, form, rules or [], output)


@app.command(epilog="Example: carknocker arrange wren-hollow/after --as-of 2026-10-28")
def arrange(
    car: Annotated[Path, typer.Argument(metavar="CAR", help="A car record, or a folder with one.")],
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Which wheelset at which axle, from those that are fitted, carried and on the shelf."""
    with in_plain_words():
        from carknocker.cli import arrange_command

        arrange_command.run(car, move, as_of, form, rules or [], output)


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


@app.command(epilog="Example: carknocker tag wren-hollow/before --as-of 2026-10-08 --destination 'Quillon shop'")
def tag(
    car: Annotated[Path, typer.Argument(metavar="CAR", help="A car record, or a folder with one.")],
    move: MoveOption = None,
    as_of: DayOption = None,
    inspector: Annotated[str, typer.Option("--inspector", help="Who inspected the car for the railroad.")] = "",
    location: Annotated[str, typer.Option("--location", help="Where it was inspected.")] = "",
    inspected_on: Annotated[str, typer.Option("--inspected-on", metavar="DATE", help="On which day.")] = "",
    destination: Annotated[str, typer.Option("--destination", help="Where the repair will be made.")] = "",
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Write the bad-order tag, one copy for each side. The railroad's qualified person signs it, never the owner."""
    with in_plain_words():
        from carknocker.cli import tag_command
        from carknocker.questions.sheets.tag import TagGiven

        given = TagGiven(inspector, location, inspected_on, destination)
        tag_command.run(car, move, as_of, given, form, rules or [], output)


@app.command(epilog="Example: carknocker workings wren-hollow/before --as-of 2026-10-08")
def workings(
    car: Annotated[Path, typer.Argument(metavar="CAR", help="A car record, or a folder with one.")],
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Every figure that no gauge reads, with its worked line; what is missing for the others."""
    with in_plain_words():
        from carknocker.cli import workings_command

        workings_command.run(car, move, as_of, form, rules or [], output)


@app.command(epilog="Example: carknocker lift my-car --end B --plan lift.yaml")
def lift(
    car: Annotated[Path, typer.Argument(metavar="CAR", help="A car record, or a folder with one.")],
    end: Annotated[End, typer.Option("--end", help="The end that is lifted.")],
    plan: Annotated[
        Path | None,
        typer.Option(
            "--plan", metavar="FILE", help="Crane, sling, crib: the plan; default `lift.yaml` beside the car."
        ),
    ] = None,
    crane: Annotated[
        str, typer.Option("--crane", metavar="WEIGHT", help="The crane's rating at the radius of this lift.")
    ] = "",
    coupler_rating: Annotated[
        str, typer.Option("--coupler-rating", metavar="WEIGHT", help="What the coupler is rated for, for this lift.")
    ] = "",
    coupler_by: Annotated[
        str, typer.Option("--coupler-by", metavar="NAME", help="The competent person who says so.")
    ] = "",
    halves_equal: Annotated[
        bool, typer.Option("--halves-equal", help="Take the body's halves as equal: no truck was weighed by itself.")
    ] = False,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    output: OutputOption = None,
) -> None:
    """The sheet for lifting one end: loads, slings, crib, height. Computes nothing while a weight is missing."""
    with in_plain_words():
        from carknocker.cli import lift_command

        decided = lift_command.Decided(crane, coupler_rating, coupler_by, halves_equal)
        lift_command.run(car, end, plan, decided, as_of, form, output)


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


@rules_app.command("new", epilog='Example: carknocker rules new my-rulesets --host "Kestrel & Northern" --edition 9')
def rules_new(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A folder for rulesets; made if need be.")],
    host: Annotated[str, typer.Option("--host", metavar="NAME", help="The host railroad whose circular it is.")],
    edition: Annotated[str, typer.Option("--edition", help="The name of the edition, as the host counts it.")] = "1",
    ruleset: Annotated[str, typer.Option("--ruleset", help="The ruleset's name; default made of the host's.")] = "",
    in_force: Annotated[
        str | None, typer.Option("--in-force", metavar="DATE", help="The day from which it binds; default today.")
    ] = None,
    rules: RulesOption = None,
) -> None:
    """Write a commented starter circular of a host: an edition and one chapter."""
    with in_plain_words():
        from carknocker.cli import rules_new_command

        rules_new_command.run(folder, host, edition, ruleset, in_force, rules or [])


@rules_app.command("diff", epilog="Example: carknocker rules diff us-federal/2015 us-federal/2020 wren-hollow/before")
def rules_diff(
    old: Annotated[str, typer.Argument(metavar="OLD", help="RULESET/EDITION, or an edition's folder.")],
    new: Annotated[str, typer.Argument(metavar="NEW", help="Another.")],
    cars: Annotated[
        list[Path] | None, typer.Argument(metavar="CAR", help="Cars whose outcome may change, each with its move.")
    ] = None,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What is added, withdrawn and changed between two editions, and which cars come out otherwise."""
    with in_plain_words():
        from carknocker.cli import rules_diff_command

        rules_diff_command.run(old, new, cars or [], move, as_of, form, rules or [], output)


@rules_app.command("schemas", epilog="Example: carknocker rules schemas my-schemas")
def rules_schemas(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where to write them; made if need be.")],
) -> None:
    """Write JSON Schema files, with which an editor completes car records, moves and circulars."""
    with in_plain_words():
        from carknocker.cli import rules_schemas_command

        rules_schemas_command.run(folder)


add_repair_commands(app)


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
