"""`carknocker photograph`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import read_day
from carknocker.cli.one_at_a_time import alone_in, are_as_read
from carknocker.cli.options import CarArgument, command_line
from carknocker.cli.output import backup_name, write_lines, write_with_backups
from carknocker.cli.photographs import write_photograph
from carknocker.cli.statuses import in_plain_words
from carknocker.cli.yes_or_no import agreed, not_agreed
from carknocker.documents import InputRefused, Location, Problem, ProblemList, load_text
from carknocker.documents.document_reader import missing_file_words
from carknocker.documents.pictures import MOST_BYTES
from carknocker.documents.system_words import system_words
from carknocker.questions.photograph.ask import photographed
from carknocker.record import find_car

app = command_line()
PLACE_IN_HELP = 85
OTHER_NAMES = ("photo", "photos", "photographs", "picture", "pictures")


@app.command(epilog='Example: carknocker photograph my-car IMG_0412.jpg --of "wheel L3" --on 2026-09-12 --by RE')
@in_plain_words()
def command(
    car: CarArgument,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The photograph: JPEG, PNG or WebP.")],
    of: Annotated[
        list[str],
        typer.Option(
            "--of", metavar="TEXT", help="What it shows: `wheel L3`, the id of a job or event, a test, a paper. Repeat."
        ),
    ],
    on: Annotated[str, typer.Option("--on", metavar="DATE", help="The day on which it was taken.")],
    by: Annotated[str, typer.Option("--by", metavar="NAME", help="Who took it: a short name under `people`.")],
    reading: Annotated[
        str, typer.Option("--reading", metavar="NAME", help="The reading whose value it shows: `flange_thickness`.")
    ] = "",
    after: Annotated[
        list[str] | None, typer.Option("--after", metavar="ID", help="A job or event of that day before it. Repeat.")
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Write without asking: for scripts.")] = False,
) -> None:
    """Put a photograph on record. A reduced copy without position and camera, the original, and the entry."""
    day, today = read_day(on, "--on"), read_day(None)
    if day > today:
        raise typer.BadParameter(f"{day}, a day after today; expected {today} or earlier", param_hint="--on")
    record = find_car(car)  # no demo case is looked for: those are not written to
    content = _content(file)
    while True:
        problems = ProblemList()
        text = load_text(record, problems) or ""
        problems.refuse_if_any()
        made = photographed(text, str(record), content, str(file), of, on, by, reading=reading, after=after or ())
        lines = [f"{record} gets", *made.added.splitlines()]
        if not agreed(lines, yes=yes):
            write_lines(not_agreed(lines))
            raise typer.Exit(1)
        kept = record.with_name(backup_name(str(record), text))
        new = made.new
        with alone_in(record.parent):
            if are_as_read({record: text}):
                copy, original = write_photograph(record, new, content)
                write_with_backups({record: (made.text, kept)})
                break
    write_lines([
        f"{record}: {new.file}, {len(new.copy):,} bytes, taken {on} by {by}", f"Reduced copy: {copy}",
        f"Original: {original}", f"What was there is kept as {kept}",
    ])  # fmt: skip


def _content(file: Path) -> bytes:
    """The bytes of the photograph. Raises InputRefused for what can't be read, or is too large to be one."""
    start = Location(str(file), 1, 1)
    try:
        if not file.is_file():
            raise InputRefused((Problem(start, missing_file_words(file), "a photograph"),))
        with file.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise InputRefused(
            (Problem(start, f"the file can't be read: {system_words(error)}", "a readable file"),)
        ) from None
