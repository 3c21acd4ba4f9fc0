"""`carknocker serve`."""

from typing import Annotated

import typer

from carknocker.cli.options import command_line
from carknocker.cli.output import OutputRefused
from carknocker.cli.statuses import in_plain_words, say
from carknocker.service.options import DatabaseOption, DataOption, service_installed

LOOPBACK = "127.0.0.1"

app = command_line()
PLACE_IN_HELP = 200


@app.command(epilog="Example: carknocker serve --data my-cars --port 8215")
@in_plain_words()
def command(
    data: DataOption,
    port: Annotated[int, typer.Option("--port", min=1, max=65_535, help="The port on this machine.")] = 8215,
    database: DatabaseOption = None,
    processes: Annotated[
        int | None, typer.Option("--processes", metavar="NUMBER", min=1, max=64, help="How many processes judge.")
    ] = None,
) -> None:
    """Serve cars, forms, dossiers and history to a browser on this machine."""
    with service_installed():
        from carknocker.service.running import PortRefused, run
        from carknocker.service.storage.database import DatabaseRefused
    try:
        say(f"carknocker answers on http://localhost:{port}/ ; stop it with Ctrl-C")
        run(data, LOOPBACK, port, database, processes)
    except (DatabaseRefused, PortRefused) as refused:
        raise OutputRefused(str(refused)) from None
