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
    public_name: Annotated[
        str | None,
        typer.Option("--public-name", metavar="URL", help="Its https address behind a proxy; then people log in."),
    ] = None,
    address: Annotated[
        str,
        typer.Option(
            "--address", metavar="IP", help="Where it listens; another than this machine's own needs a public name."
        ),
    ] = LOOPBACK,
    proxy: Annotated[
        list[str] | None,
        typer.Option("--proxy", metavar="IP", help="The proxy, where it is not on this machine; may be repeated."),
    ] = None,
    another_owner: Annotated[
        bool, typer.Option("--another-owner", help="Print a set-up token though there is an owner.")
    ] = False,
) -> None:
    """Serve cars, forms, dossiers and history to browsers: on this machine, or to people who log in."""
    with service_installed():
        from carknocker.service.address import LOOPBACK as THIS_MACHINE
        from carknocker.service.address import LOOPBACK_ADDRESSES, AddressRefused, public_address
        from carknocker.service.running import PortRefused, run
        from carknocker.service.storage.database import DatabaseRefused
    try:
        where = THIS_MACHINE if public_name is None else public_address(public_name, proxy or LOOPBACK_ADDRESSES)
        if public_name is None and (address not in LOOPBACK_ADDRESSES or proxy or another_owner):
            raise OutputRefused(
                "to answer others than this machine takes --public-name https://… and a proxy that ends "
                "TLS; then people log in"
            )
        open_at = where.origin or f"http://localhost:{port}"
        run(
            data,
            address,
            port,
            database,
            processes,
            where,
            another_owner,
            lambda: say(f"carknocker answers on {open_at}/ ; stop it with Ctrl-C"),
            lambda token: say(f"Set-up token, for one owner's account at {open_at}/set-up within 24 hours: {token}"),
        )
    except (DatabaseRefused, PortRefused, AddressRefused) as refused:
        raise OutputRefused(str(refused)) from None
