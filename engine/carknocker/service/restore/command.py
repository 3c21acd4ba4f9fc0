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
    close: Annotated[
        list[str] | None,
        typer.Option("--close", metavar="NAME", help="An account that was closed since the backup; may be repeated."),
    ] = None,
) -> None:
    """Put a backup back, into an empty folder or database."""
    with service_installed():
        from carknocker.service.storage.backup import BackupRefused, read_backup
        from carknocker.service.storage.database import DatabaseRefused, open_database
    try:
        with file.open("rb") as opened:
            done = read_backup(open_database(data, database), data, opened, close or ())
    except (BackupRefused, DatabaseRefused) as refused:
        raise OutputRefused(f"{file}: {refused}") from None
    lines = [
        f"{data} holds {done.entries:,} entries of the history, as of {done.made_at}",
        "what was done later is not in it: what was taken away for good since is back; take it away again",
    ]
    if done.accounts:
        said = ", ".join(f"{name} ({role})" for name, role in done.accounts)
        lines.append(f"these can log in: {said}; one that was closed since is open again: close it, before others know")
    write_lines(lines)
