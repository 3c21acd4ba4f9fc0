"""`carknocker lift`, as it stands on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import End, Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, OutputOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker lift my-car --end B --plan lift.yaml")
def lift(
    car: CarArgument,
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
