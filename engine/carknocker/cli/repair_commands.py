"""The commands of the repair loop, as they stand on the command line. What a command needs is imported when it runs."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words


def add_repair_commands(app: typer.Typer) -> None:
    """Adds the commands to the command line, each with its example."""
    for command, example in (
        (horizon, "carknocker horizon wren-hollow/after --as-of 2026-10-28 --ics horizon.ics"),
        (worksheet, "carknocker worksheet wren-hollow/before --as-of 2026-10-08 --form sheet.yaml"),
        (enter, "carknocker enter my-car sheet.yaml"),
        (spares, "carknocker spares wren-hollow/before --as-of 2026-10-08"),
        (setout, "carknocker setout wren-hollow/after --as-of 2026-10-28 --format html --output setout.html"),
        (order, "carknocker order wren-hollow/before 5 --as-of 2026-10-08"),
    ):
        app.command(epilog=f"Example: {example}")(command)


def horizon(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    miles_a_year: Annotated[
        str, typer.Option("--miles-a-year", metavar="MILES", help="Miles planned in a year, like `5,000 mi`.")
    ] = "",
    ics: Annotated[
        Path | None, typer.Option("--ics", metavar="FILE", help="Write the dates as an iCalendar file as well.")
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """How long does the car stay ready, what lapses when, and what wears out when?"""
    with in_plain_words():
        from carknocker.cli import horizon_command

        horizon_command.run(car, move, as_of, miles_a_year, ics, form, rules or [], output)


def worksheet(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    fill_in: Annotated[
        Path | None,
        typer.Option("--form", metavar="FILE", help="Write a form to fill in as well: FILE.yaml, or FILE.csv."),
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What to measure for this move, in walking order, with a box for each reading."""
    with in_plain_words():
        from carknocker.cli import worksheet_command

        worksheet_command.run(car, move, as_of, fill_in, form, rules or [], output)


def enter(
    car: CarArgument,
    form: Annotated[Path, typer.Argument(metavar="FORM", help="A filled-in form, YAML or CSV.")],
) -> None:
    """Enter a filled-in form into the car record: all of it, or nothing. What was there is kept beside it."""
    with in_plain_words():
        from carknocker.cli import enter_command

        enter_command.run(car, form)


def spares(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Would the car be ready with that spare wheelset fitted there? Are the spares themselves still sound?"""
    with in_plain_words():
        from carknocker.cli import spares_command

        spares_command.run(car, move, as_of, form, rules or [], output)


def setout(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The sheet that rides along, for strangers who may have to change a wheelset at night."""
    with in_plain_words():
        from carknocker.cli import setout_command

        setout_command.run(car, move, as_of, form, rules or [], output)


def order(
    car: CarArgument,
    axle: Annotated[
        int | None, typer.Argument(metavar="AXLE", help="For one axle; default each that needs a wheelset.")
    ] = None,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The sheet for the wheel shop, for a wheelset that the car needs."""
    with in_plain_words():
        from carknocker.cli import order_command

        order_command.run(car, axle, move, as_of, form, rules or [], output)
