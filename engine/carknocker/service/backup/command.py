"""`carknocker backup`."""

import os
import tempfile
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.options import command_line
from carknocker.cli.output import OutputRefused, write_lines
from carknocker.cli.statuses import in_plain_words
from carknocker.service.options import DatabaseOption, DataOption, service_installed

app = command_line()
PLACE_IN_HELP = 210


@app.command(epilog="Example: carknocker backup --data my-cars my-cars-2026-11-30.zip")
@in_plain_words()
def command(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write; it must not be there yet.")],
    data: DataOption,
    database: DatabaseOption = None,
) -> None:
    """Write all that the service keeps into one file, also while it runs."""
    with service_installed():
        from carknocker.service.storage.backup import BackupRefused, write_backup
        from carknocker.service.storage.database import DatabaseRefused, open_database
        from carknocker.service.storage.history import written_time
    if database is None and not data.is_dir():
        raise OutputRefused(f"{data} is no folder of the service")
    if file.exists():
        raise OutputRefused(f"{file} is there already; name another file")
    if not file.parent.is_dir():
        raise OutputRefused(f"{file.parent} is no folder; make it first, or name another")
    try:
        engine = open_database(data, database)
        # A name of its own, whatever a backup that was killed has left; and for its user alone: it holds all that the
        # service keeps, the hashes of passwords too.
        number, name = tempfile.mkstemp(prefix=f".{file.name}.", suffix=".part", dir=file.parent)
        part = Path(name)
        try:
            with os.fdopen(number, "wb") as opened:
                entries = write_backup(engine, data, opened, written_time(datetime.now().astimezone()))
                opened.flush()
                os.fsync(opened.fileno())
            part.rename(file)
        finally:
            part.unlink(missing_ok=True)
    except (BackupRefused, DatabaseRefused) as refused:
        raise OutputRefused(str(refused)) from None
    write_lines([f"wrote {file}: {entries:,} entries of the history"])
