"""`carknocker rules schemas`: JSON Schema files for an editor."""

import sys
from pathlib import Path

from carknocker.cli.output import OutputRefused, write_stream, write_whole
from carknocker.questions.schemas.schemas import schema_files
from carknocker.vocabulary import load_vocabulary


def run(folder: Path) -> None:
    """Writes the files, over those that are there: they are made, never written by hand."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputRefused(f"{folder} can't be made: {error.strerror or error}") from error
    lines = []
    for file in schema_files(load_vocabulary()):
        write_whole(folder / file.name, file.text.encode())
        lines.append(f"wrote {folder / file.name}")
    write_stream(sys.stdout, "\n".join(lines) + "\n")
