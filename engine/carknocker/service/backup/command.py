"""`carknocker backup`."""

import os
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


def _for_its_user_alone(path: str, flags: int) -> int:
    """A backup holds all that the service keeps, the digests of passwords too."""
    return os.open(path, flags, 0o600)


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
    part = file.with_name(f".{file.name}.part")
    try:
        if file.exists():
            raise OutputRefused(f"{file} is there already; name another file")
        engine = open_database(data, database)
        with open(part, "xb", opener=_for_its_user_alone) as opened:
            entries = write_backup(engine, data, opened, written_time(datetime.now().astimezone()))
        part.rename(file)
    except (BackupRefused, DatabaseRefused) as refused:
        raise OutputRefused(str(refused)) from None
    finally:
        part.unlink(missing_ok=True)
    write_lines([f"wrote {file}: {entries:,} entries of the history"])
