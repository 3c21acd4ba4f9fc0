"""`carknocker lift`."""

from enum import StrEnum
from fractions import Fraction
from pathlib import Path
from typing import Annotated

import typer
from msgspec.structs import replace

from carknocker.cli.inputs import Place, find_place, read_car_at, read_day
from carknocker.cli.options import CarArgument, DayOption, Format, FormatOption, OutputOption, command_line
from carknocker.cli.output import drawn, write_answer
from carknocker.cli.statuses import in_plain_words
from carknocker.documents import InputRefused, Location, Problem
from carknocker.page.model import Page
from carknocker.quantities import QuantityError, read_quantity
from carknocker.questions.lift.ask import LiftAnswer, lift
from carknocker.questions.lift.json_form import lift_json
from carknocker.questions.lift.page import lift_page
from carknocker.questions.lift.plan import EXAMPLE, FORMAT, USUAL_NAME, read_plan


class End(StrEnum):
    """An end of a car."""

    A = "A"
    B = "B"


app = command_line()
PLACE_IN_HELP = 130
OTHER_NAMES = ("jack", "jacking", "crane", "hoist", "lifting")


@app.command(epilog="Example: carknocker lift my-car --end B --plan lift.yaml")
@in_plain_words()
def command(
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
    place = find_place(car)
    day = read_day(as_of)
    record = read_car_at(place)
    file = _plan_file(place, plan)
    named = place.shown(file) if plan is None else str(plan)
    written = read_plan(file, named)
    planned = replace(  # an option given on the day overrides the plan
        written,
        crane_rating=_rating(crane, "--crane", written.crane_rating),
        coupler_rating=_rating(coupler_rating, "--coupler-rating", written.coupler_rating),
        coupler_rated_by=coupler_by or written.coupler_rated_by,
        halves_equal=halves_equal or written.halves_equal,
    )
    answer = lift(record, end.value, planned, named, day)
    write_answer(answer, form, output, json=lift_json, page=_drawn_page if drawn(form) else lift_page)


def _plan_file(place: Place, plan: Path | None) -> Path:
    """The plan given, or `lift.yaml` beside the car. Raises InputRefused, with an example of a plan, if there is
    neither."""
    if plan is not None:
        return find_place(plan).path
    folder = place.path if place.path.is_dir() else place.path.parent
    beside = folder / USUAL_NAME
    if beside.is_file():
        return beside
    where = Location(place.shown(beside), 1, 1)
    remedy = "write it, or name one with `--plan FILE`; it says:"
    expected = f"a file that begins with `format: {FORMAT}`"
    raise InputRefused((Problem(where, "no plan of the lift", expected, remedy=remedy, sample=EXAMPLE),))


def _rating(text: str, option: str, planned: Fraction | None) -> Fraction | None:
    """The rating that an option gives, lb; the plan's rating if the option is left out. Raises BadParameter."""
    if not text:
        return planned
    try:
        return read_quantity(text, "weight").amount
    except QuantityError as error:
        raise typer.BadParameter(str(error), param_hint=option) from None


def _drawn_page(answer: LiftAnswer) -> Page:
    from carknocker.page.drawings.gallery import drawn_into
    from carknocker.questions.lift.drawing import lift_drawing

    return drawn_into(lift_page(answer), lift_drawing(answer), 1, "The lift, drawn")
