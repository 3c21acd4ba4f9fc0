"""`carknocker new`."""

from datetime import date, timedelta
from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import read_day
from carknocker.cli.options import command_line
from carknocker.cli.output import write_lines
from carknocker.cli.starter_files import write_starter
from carknocker.cli.statuses import in_plain_words
from carknocker.questions.new.ask import starter_record

_OUT_AFTER = timedelta(days=60)
_BACK_AFTER = timedelta(days=10)

app = command_line()
PLACE_IN_HELP = 160


@app.command(epilog='Example: carknocker new my-car --mark "QWHX 27" --name "Wren Hollow"')
@in_plain_words()
def command(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where to write the files; made if need be.")],
    mark: Annotated[str, typer.Option("--mark", help="Reporting mark and number.")] = "MARK 0",
    name: Annotated[str, typer.Option("--name", help="The car's name.")] = "",
    host: Annotated[str, typer.Option("--host", help="The host railroad, if its circular is at hand.")] = "",
    out: Annotated[str | None, typer.Option("--out", metavar="DATE", help="Day out.")] = None,
    back: Annotated[str | None, typer.Option("--back", metavar="DATE", help="Day back.")] = None,
) -> None:
    """Write a commented starter record and a move, to be filled in."""
    day_out = date.today() + _OUT_AFTER if out is None else read_day(out)
    day_back = day_out + _BACK_AFTER if back is None else read_day(back)
    if day_back < day_out:
        raise typer.BadParameter(f"back on {day_back.isoformat()}, before out on {day_out.isoformat()}")
    written = write_starter(folder, starter_record(mark=mark, name=name, out=day_out, back=day_back, host=host))
    lines = [f"wrote {path}" for path in written]
    lines.append(f"Fill in what you know, then: carknocker check {folder}")
    write_lines(lines)
