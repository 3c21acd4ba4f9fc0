"""Options that the commands of the service share, and what is said where its packages are missing."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, TypeAlias

import typer

from carknocker.cli.output import OutputRefused

DataOption: TypeAlias = Annotated[
    Path, typer.Option("--data", metavar="FOLDER", help="The folder in which the service keeps what it keeps.")
]
DatabaseOption: TypeAlias = Annotated[
    str | None,
    typer.Option("--database", metavar="URL", help="A PostgreSQL database; without it, SQLite in the folder."),
]


@contextmanager
def service_installed() -> Iterator[None]:
    """Raises OutputRefused, with what to install, where a package of the service is missing."""
    try:
        yield
    except ModuleNotFoundError as missing:
        raise OutputRefused(
            f"the service needs packages that are not installed ({missing.name}): pip install 'carknocker[service]'"
        ) from None
