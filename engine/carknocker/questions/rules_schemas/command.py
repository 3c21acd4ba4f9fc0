"""`carknocker rules schemas`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.options import command_line
from carknocker.cli.output import OutputRefused, write_lines, write_whole
from carknocker.cli.statuses import in_plain_words
from carknocker.documents.system_words import system_words
from carknocker.questions.rules_schemas.ask import schema_files
from carknocker.vocabulary import load_vocabulary

app = command_line()
PLACE_IN_HELP = 220
OTHER_NAMES = ("schema",)


@app.command(epilog="Example: carknocker rules schemas my-schemas")
@in_plain_words()
def command(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where to write them; made if need be.")],
) -> None:
    """Write JSON Schema files, for an editor. It then completes car records, moves and circulars."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputRefused(f"{folder} can't be made: {system_words(error)}") from error
    lines = []
    for file in schema_files(load_vocabulary()):
        write_whole(folder / file.name, file.text.encode())  # over an older one: nobody writes these by hand
        lines.append(f"wrote {folder / file.name}")
    write_lines(lines)
