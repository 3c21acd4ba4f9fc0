"""Questions of the command line that take a file or give one: the worksheet as a form, a lift by its plan, a pack, a
dossier worked out again, which words there are. Runs in worker processes."""

from functools import partial
from typing import Literal, TypeAlias

from carknocker.documents import InputRefused, Location, Problem
from carknocker.record import read_car_text, read_move_text
from carknocker.record.photographs import with_photographs
from carknocker.service.asked import CAR_FILE, MEDIA_TYPES, Form, Said, Sources, checked, in_plain_words, library_of
from carknocker.service.asked_questions import Options, worksheet_of, written

Ending: TypeAlias = Literal["html", "xlsx", "csv", "yaml"]
_DOSSIER, _PLAN = "dossier.json", "lift.yaml"


def worksheet_file(sources: Sources, ending: Ending, options: Options) -> bytes:
    """The worksheet as a form to fill in. Raises Refused."""
    from carknocker.cli.output import encoded
    from carknocker.forms.html_form import html_form
    from carknocker.forms.spreadsheet import spreadsheet_of
    from carknocker.forms.text_forms import csv_form, yaml_form

    with in_plain_words():
        form = worksheet_of(checked(sources), options)
        match ending:
            case "xlsx":
                return spreadsheet_of(form)
            case "html":
                return encoded(html_form(form))
            case "csv":
                return encoded(csv_form(form))
            case _:
                return encoded(yaml_form(form))


def lifted(sources: Sources, end: Literal["A", "B"], plan: str, form: Form) -> Said:
    """The sheet for lifting one end. plan: the text of the plan of the lift. Raises Refused."""
    from carknocker.page.drawings.gallery import drawn_into
    from carknocker.questions.lift.ask import lift
    from carknocker.questions.lift.drawing import lift_drawing
    from carknocker.questions.lift.json_form import lift_json
    from carknocker.questions.lift.page import lift_page
    from carknocker.questions.lift.plan import read_plan_text

    with in_plain_words():
        car = read_car_text(sources.record, CAR_FILE)
        said = lift(car, end, read_plan_text(plan, _PLAN), _PLAN, sources.day)
        page = partial(drawn_into, lift_page(said), lift_drawing(said), 1, "The lift, drawn")
        body = written(page if form in ("html", "pdf") else partial(lift_page, said), lambda: lift_json(said), form)
        return Said(body, MEDIA_TYPES[form], "")


def packed(sources: Sources, copies: tuple[tuple[str, bytes], ...]) -> bytes:
    """The pack, as `pack` writes it. copies: of the photographs on record. Raises Refused."""
    from carknocker.documents.zip_files import MOST_BYTES, MOST_UNPACKED
    from carknocker.dossier.pack import bytes_of, pack_of

    with in_plain_words():
        answer = checked(sources)
        texts = sources.record.encode("utf-8"), sources.move.encode("utf-8")
        pack = pack_of(answer, *texts, library_of(sources.editions), dict(copies))
        content = bytes_of(pack)
        if len(content) > MOST_BYTES or sum(map(len, pack.files.values())) > MOST_UNPACKED:
            found = f"a pack of {len(content):,} bytes, more than can be read again"
            raise InputRefused((Problem(Location(CAR_FILE, 1, 1), found),))
        return content


def made_from(dossier: bytes) -> tuple[str, str]:
    """The digests of the record and of the move that a dossier says it was made from. Raises Refused."""
    from carknocker.questions.verify.dossier_reader import read_dossiers

    with in_plain_words():
        given = read_dossiers(dossier, _DOSSIER)
        if len(given) != 1:
            where = Location(_DOSSIER, 1, 1)
            raise InputRefused((Problem(where, f"{len(given):,} dossiers", "one dossier, of this car"),))
        return given[0].digests.car, given[0].digests.move


def verified(sources: Sources, dossier: bytes, form: Form) -> Said:
    """A dossier of one car, worked out again as of its own day. Raises Refused."""
    from carknocker.dossier.json_form import json_of
    from carknocker.judgement.answer import check
    from carknocker.page.json_encoder import answer_json
    from carknocker.questions.verify.ask import verify
    from carknocker.questions.verify.command import FORMAT
    from carknocker.questions.verify.dossier_reader import read_dossiers
    from carknocker.questions.verify.page import verify_page

    with in_plain_words():
        (given,) = read_dossiers(dossier, _DOSSIER)
        car = read_car_text(sources.record, given.car.file)  # its places name the files as the dossier does
        if sources.photographs:
            car = with_photographs(car, dict(sources.photographs))
        move = read_move_text(sources.move, given.move.file)
        answer = check(car, move, library_of(sources.editions), given.as_of)
        (now,) = read_dossiers(json_of([answer]).encode(), _DOSSIER)
        found = verify(given, now)
        as_json = partial(answer_json, FORMAT, found, car=given.car.mark, as_of=given.as_of)
        body = written(lambda: verify_page(given, found), as_json, form)
        return Said(body, MEDIA_TYPES[form], "identical" if found.identical else "differs")


def words(name: str, form: Form) -> Said:
    """Which keys and words a record or a rule may have: of one part, key, test, paper, job or spare; of all if no name
    is given. Raises Refused."""
    from carknocker.questions.words.ask import every_name, words_of_name
    from carknocker.questions.words.json_form import words_json
    from carknocker.questions.words.page import words_page

    with in_plain_words():
        said = words_of_name(name) if name else every_name()
        return Said(written(lambda: words_page(said), lambda: words_json(said), form), MEDIA_TYPES[form], "")
