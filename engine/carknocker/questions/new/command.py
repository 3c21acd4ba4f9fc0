"""`carknocker new`."""

from datetime import date, timedelta
from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import read_day
from carknocker.cli.options import command_line
from carknocker.cli.output import write_lines, write_with_backup
from carknocker.cli.starter_files import write_starter
from carknocker.cli.statuses import in_plain_words
from carknocker.documents import ProblemList, load_text
from carknocker.questions.new.ask import starter_record
from carknocker.questions.new.places import add_places
from carknocker.record import find_car

_OUT_AFTER = timedelta(days=60)
_BACK_AFTER = timedelta(days=10)

app = command_line()
PLACE_IN_HELP = 160


@app.command(epilog='Example: carknocker new my-car --mark "QWHX 27" --name "Wren Hollow"')
@in_plain_words()
def command(
    folder: Annotated[
        Path,
        typer.Argument(metavar="FOLDER", help="Where to write the files; made if need be. With --add: the car record."),
    ],
    mark: Annotated[str, typer.Option("--mark", help="Reporting mark and number.")] = "MARK 0",
    name: Annotated[str, typer.Option("--name", help="The car's name.")] = "",
    host: Annotated[str, typer.Option("--host", help="The host railroad, if its circular is at hand.")] = "",
    out: Annotated[str | None, typer.Option("--out", metavar="DATE", help="Day out.")] = None,
    back: Annotated[str | None, typer.Option("--back", metavar="DATE", help="Day back.")] = None,
    add: Annotated[
        bool, typer.Option("--add", help="Write the places that a record lacks into it, as comments.")
    ] = False,
) -> None:
    """Write a commented starter record and a move, to be filled in; or, with --add, the places that a record lacks."""
    if add:
        _add(folder)
        return
    day_out = date.today() + _OUT_AFTER if out is None else read_day(out)
    day_back = day_out + _BACK_AFTER if back is None else read_day(back)
    if day_back < day_out:
        raise typer.BadParameter(f"back on {day_back.isoformat()}, before out on {day_out.isoformat()}")
    written = write_starter(folder, starter_record(mark=mark, name=name, out=day_out, back=day_back, host=host))
    lines = [f"wrote {path}" for path in written]
    lines.append(f"Fill in what you know, then: carknocker check {folder}")
    write_lines(lines)


def _add(car: Path) -> None:
    record = find_car(car)  # no demo case is looked for: those are not written to
    problems = ProblemList()
    text = load_text(record, problems)
    problems.refuse_if_any()
    added = add_places(text or "", str(record))
    backup = record.with_name(added.backup)
    write_with_backup(record, added.text, backup)
    count = f"{added.places} place{'' if added.places == 1 else 's'}"
    write_lines([f"{record}: {count} to fill in, at its end, commented out", f"What was there is kept as {backup}"])
