"""`carknocker lift`."""

from pathlib import Path
from typing import Annotated

import msgspec
import typer
from msgspec.structs import replace

from carknocker.cli.inputs import Place, find_place, read_car_at, read_day
from carknocker.cli.options import CarArgument, DayOption, End, Format, FormatOption, OutputOption, command_line
from carknocker.cli.output import drawn, write_answer, write_as_pages
from carknocker.cli.statuses import in_plain_words
from carknocker.documents import InputRefused, Location, Problem
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.questions.lift.ask import lift
from carknocker.questions.lift.plan import EXAMPLE, FORMAT, USUAL_NAME, read_plan
from carknocker.workings.lift_sheet import LiftPlan


class Decided(msgspec.Struct, frozen=True):
    """What is decided on the day of the lift and goes before the plan, as typed; empty where the plan stands."""

    crane: str
    coupler_rating: str
    coupler_by: str
    halves_equal: bool


def _run(
    car: Path, end: End, plan: Path | None, decided: Decided, as_of: str | None, form: Format, output: Path | None
) -> None:
    """Writes the sheet. Refused with status 2 while a weight or a rating is missing."""
    place = find_place(car)
    day = read_day(as_of)
    record = read_car_at(place)
    file = _plan_file(place, plan)
    planned = _decide(read_plan(file, place.shown(file) if plan is None else str(plan)), decided)
    answer = lift(record, end.value, planned, place.shown(file) if plan is None else str(plan), day)
    if form is Format.JSON:
        from carknocker.questions.lift.json_form import lift_json

        write_answer(lift_json(answer), output)
    else:
        from carknocker.questions.lift.page import lift_page

        page = lift_page(answer)
        if drawn(form):
            from carknocker.page.drawings.svg_ids import drawn_into
            from carknocker.questions.lift.drawing import lift_drawing

            page = drawn_into(page, lift_drawing(answer), 1, "The lift, drawn")
        write_as_pages([page], form, output)


def _plan_file(place: Place, plan: Path | None) -> Path:
    """The plan given, or `lift.yaml` beside the car. Without either, what such a plan says is shown."""
    if plan is not None:
        return find_place(plan).path
    folder = place.path if place.path.is_dir() else place.path.parent
    beside = folder / USUAL_NAME
    if beside.is_file():
        return beside
    where = Location(place.shown(beside), 1, 1)
    remedy = f"write it, or name one with `--plan FILE`; it says:\n\n{EXAMPLE}"
    raise InputRefused(
        (Problem(where, "no plan of the lift", f"a file that begins with `format: {FORMAT}`", "", remedy),)
    )


def _decide(plan: LiftPlan, decided: Decided) -> LiftPlan:
    crane = _weight(decided.crane, "--crane")
    coupler = _weight(decided.coupler_rating, "--coupler-rating")
    return replace(
        plan,
        crane_rating=plan.crane_rating if crane is None else crane.amount,
        coupler_rating=plan.coupler_rating if coupler is None else coupler.amount,
        coupler_rated_by=decided.coupler_by or plan.coupler_rated_by,
        halves_equal=plan.halves_equal or decided.halves_equal,
    )


def _weight(text: str, option: str) -> Quantity | None:
    if not text:
        return None
    try:
        return read_quantity(text, "weight")
    except QuantityError as error:
        raise typer.BadParameter(f"{option}: {error}") from None


app = command_line()
PLACE_IN_HELP = 130


@app.command(epilog="Example: carknocker lift my-car --end B --plan lift.yaml")
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
    with in_plain_words():
        decided = Decided(crane, coupler_rating, coupler_by, halves_equal)
        _run(car, end, plan, decided, as_of, form, output)
