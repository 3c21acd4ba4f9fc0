"""`carknocker restore`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.options import command_line
from carknocker.cli.output import OutputRefused, write_lines
from carknocker.cli.statuses import in_plain_words
from carknocker.service.options import DatabaseOption, DataOption, service_installed

app = command_line()
PLACE_IN_HELP = 220


@app.command(epilog="Example: carknocker restore --data my-cars-again my-cars-2026-11-30.zip")
@in_plain_words()
def command(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A file that `carknocker backup` wrote.")],
    data: DataOption,
    database: DatabaseOption = None,
) -> None:
    """Put a backup back, into an empty folder or database."""
    with service_installed():
        from carknocker.service.storage.backup import BackupRefused, read_backup
        from carknocker.service.storage.database import DatabaseRefused, open_database
    try:
        with file.open("rb") as opened:
            entries = read_backup(open_database(data, database), data, opened)
    except (BackupRefused, DatabaseRefused) as refused:
        raise OutputRefused(f"{file}: {refused}") from None
    write_lines([f"{data} holds {entries:,} entries of the history"])
