"""`carknocker pack`."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import find_place, load_rules, move_place, read_both, read_day
from carknocker.cli.options import CarArgument, DayOption, Format, MoveOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import OutputRefused, write_answer, write_bytes
from carknocker.cli.photographs import copies_beside, originals_beside
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.documents.zip_files import MOST_BYTES, MOST_UNPACKED
from carknocker.dossier.pack import bytes_of, pack_of
from carknocker.judgement.answer import check
from carknocker.questions.pack.page import pack_page
from carknocker.record.model import CarRecord
from carknocker.record.photographs import ORIGINALS
from carknocker.wording.parts import car_title

app = command_line()
PLACE_IN_HELP = 148
OTHER_NAMES = ("zip", "bundle", "package", "send")


@app.command(epilog="Example: carknocker pack wren-hollow/before --as-of 2026-10-08 --output wren.zip")
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    rules: RulesOption = None,
    output: OutputOption = None,
    originals: Annotated[
        bool,
        typer.Option("--originals", help="The originals of photographs too, which may say where they were taken."),
    ] = False,
) -> None:
    """Put record, move, rules and dossier into one file. Anybody can verify it without asking for anything."""
    day = read_day(as_of)
    place, planned = find_place(car), move_place(move)
    record, plan = read_both(place, planned)
    library = load_rules([place], rules)
    answer = check(record, plan, library, day)
    base, move_base = place.base, (planned or place).base
    photographs = _photographs(_path(record.file, base), record, originals=originals)
    pack = pack_of(answer, _bytes(record.file, base), _bytes(plan.file, move_base), library, photographs)
    file = output or Path(f"{_plain(record.mark)}-{day.isoformat()}.zip")
    content = bytes_of(pack)
    if len(content) > MOST_BYTES or sum(map(len, pack.files.values())) > MOST_UNPACKED:
        raise OutputRefused(f"a pack of {len(content):,} bytes, more than can be read again; leave --originals out")
    if output is None and file.exists() and file.read_bytes() != content:
        raise OutputRefused(f"there is another {file} already: name a file with --output")
    write_bytes(content, file)
    write_answer(pack, Format.TEXT, None, json=str, page=lambda made: pack_page(made, car_title(record), str(file)))
    raise typer.Exit(status_of(answer.outcome, complete=answer.complete))


def _bytes(file: str, base: Path | None) -> bytes:
    return _path(file, base).read_bytes()


def _path(file: str, base: Path | None) -> Path:
    return Path(file) if base is None else base / file


def _photographs(file: Path, record: CarRecord, *, originals: bool) -> Mapping[str, bytes]:
    """The reduced copies that are as they were, and the originals only if they are asked for."""
    copies = copies_beside(file, record.photographs)
    own = originals_beside(file, record.photographs) if originals and record.photographs else {}
    return {**copies, **{f"{ORIGINALS}/{name}": content for name, content in own.items()}}


def _plain(mark: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", mark.lower()).strip("-") or "car"
