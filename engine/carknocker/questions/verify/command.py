"""`carknocker verify`."""

from functools import partial
from pathlib import Path
from typing import Annotated, NoReturn

import typer

from carknocker.cli.inputs import Place, find_place, load_rules, move_place, read_both
from carknocker.cli.options import Format, FormatOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import in_plain_words
from carknocker.documents import InputRefused, Location, Problem
from carknocker.documents.document_reader import missing_file_words
from carknocker.documents.system_words import system_words
from carknocker.documents.visible_text import one_line
from carknocker.documents.zip_files import is_zip
from carknocker.dossier.json_form import json_of
from carknocker.dossier.pack import DOSSIER, MOVE, read_pack
from carknocker.judgement.answer import check
from carknocker.page.json_encoder import answer_json
from carknocker.questions.verify.ask import verify
from carknocker.questions.verify.dossier_reader import MOST_BYTES, Given, read_dossiers
from carknocker.questions.verify.packed_rules import library_of
from carknocker.questions.verify.page import verify_page
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import CarRecord, Move
from carknocker.record.photographs import digests_found, with_photographs
from carknocker.wording.parts import car_title

FORMAT = "carknocker-verify/1"
IDENTICAL = 0
DIFFERS = 1
_MOST_NAMED = 40

app = command_line()
PLACE_IN_HELP = 150
OTHER_NAMES = ("recheck", "confirm")


@app.command(
    epilog="Example: carknocker verify dossier.json wren-hollow/before. Exit status: 0 identical, "
    "1 it differs, 2 input or command line, 3 cannot judge."
)
@in_plain_words()
def command(
    dossier: Annotated[
        Path, typer.Argument(metavar="DOSSIER", help="A dossier that `check --format json` wrote, or a pack.")
    ],
    car: Annotated[
        Path | None,
        typer.Argument(metavar="[CAR]", help="A car record, or a folder with one; a pack has its own."),
    ] = None,
    move: Annotated[
        Path | None, typer.Argument(metavar="[MOVE]", help="The move, or a folder with one; else the car's folder's.")
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Is a dossier still true? It is worked out again. As of its own day: identical, or what differs."""
    content = _content(dossier)
    if is_zip(content):
        _verify_pack(content, dossier, car, form, rules, output)
    if car is None:
        raise typer.BadParameter("no car; expected the car that the dossier is of: a record, or a folder with one")
    givens = read_dossiers(content, str(dossier))
    place, planned = find_place(car), move_place(move)
    record, plan = read_both(place, planned)
    given = _dossier_of(record, givens, dossier)
    record, plan = _named_as_then(place, planned or place, record, plan, given)
    answer = check(record, plan, load_rules([place], rules), given.as_of)
    (now,) = read_dossiers(json_of([answer]).encode(), "the answer")
    found = verify(given, now)
    as_json = partial(answer_json, FORMAT, car=given.car.mark, as_of=given.as_of)
    write_answer(found, form, output, json=as_json, page=partial(verify_page, given))
    raise typer.Exit(IDENTICAL if found.identical else DIFFERS)


def _verify_pack(
    content: bytes, file: Path, car: Path | None, form: Format, rules: list[Path] | None, output: Path | None
) -> NoReturn:
    """Works out again what a pack says, from the pack alone."""
    if car is not None:
        raise typer.BadParameter("a car or a move beside the pack; expected the pack alone, which has its own")
    pack = read_pack(content, str(file))
    (given,) = read_dossiers(pack.files[DOSSIER], f"{file}: {DOSSIER}")
    record, plan = pack.car, read_move_text(pack.move_text, MOVE)
    pack.refuse_unknown_photographs(record, str(file))
    with library_of(pack, load_rules([], rules), str(file)) as (library, editions):
        answer = check(record, plan, library, given.as_of)
    (now,) = read_dossiers(json_of([answer]).encode(), "the answer")
    found = verify(given, now)
    told = [
        {"edition": one.edition, "from": "the program" if one.installed else "the pack", "unlike": one.unlike}
        for one in editions
    ]
    as_json = partial(answer_json, FORMAT, car=given.car.mark, as_of=given.as_of, editions=told)
    write_answer(found, form, output, json=as_json, page=partial(verify_page, given, packed=editions))
    own = not any(one.unlike for one in editions)
    raise typer.Exit(IDENTICAL if found.identical and own else DIFFERS)


def _content(file: Path) -> bytes:
    """The bytes of the dossier's file. Raises InputRefused."""
    start = Location(str(file), 1, 1)
    try:
        if not file.is_file():
            remedy = "name the file that `check --format json` wrote"
            raise InputRefused((Problem(start, missing_file_words(file), remedy=remedy),))
        if file.stat().st_size > MOST_BYTES:
            raise InputRefused((Problem(start, f"a file of {file.stat().st_size:,} bytes", f"at most {MOST_BYTES:,}"),))
        return file.read_bytes()
    except (OSError, ValueError) as error:
        raise InputRefused(
            (Problem(start, f"the file can't be read: {system_words(error)}", "a readable file"),)
        ) from None


def _dossier_of(car: CarRecord, givens: tuple[Given, ...], file: Path) -> Given:
    """The dossier of this car among those of the file; the only one, whatever its car."""
    own = [given for given in givens if (given.car.mark, given.car.name) == (car.mark, car.name)]
    if len(givens) == 1:
        return givens[0]
    same = [given for given in own if given.digests.car == car.digest] or own
    if len(same) == 1:
        return same[0]
    titles = [car_title(given.car) for given in givens]
    more = f", … ({len(titles):,} in all)" if len(titles) > _MOST_NAMED else ""
    held = (one_line(", ".join(titles[:_MOST_NAMED])) or "none") + more
    found = f"{len(givens):,} dossiers, {len(same):,} of them of {car_title(car)}"
    problem = Problem(Location(str(file), 1, 1), found, f"one dossier of this car; the file holds: {held}")
    raise InputRefused((problem,))


def _named_as_then(place: Place, planned: Place, car: CarRecord, move: Move, given: Given) -> tuple[CarRecord, Move]:
    """The same record and move, their files named as the dossier names them, since places in them are part of it."""
    if car.file != given.car.file:
        again = read_car_text(_text(place, car.file), given.car.file)
        car = with_photographs(again, digests_found(car))
    if move.file != given.move.file:
        move = read_move_text(_text(planned, move.file), given.move.file)
    return car, move


def _text(place: Place, file: str) -> str:
    path = Path(file) if place.base is None else place.base / file
    return path.read_bytes().decode("utf-8-sig")
