"""`carknocker enter`."""

from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import read_day
from carknocker.cli.one_at_a_time import alone_in, are_as_read
from carknocker.cli.options import CarArgument, MoveOption, command_line
from carknocker.cli.output import OutputRefused, backup_name, encoded, write_lines, write_with_backups
from carknocker.cli.photographs import photograph_beside, write_photograph
from carknocker.cli.statuses import in_plain_words
from carknocker.cli.yes_or_no import agreed, not_agreed
from carknocker.documents import Location, Problem, ProblemList, load_text, read_within
from carknocker.documents.document_reader import missing_file_words
from carknocker.documents.system_words import system_words
from carknocker.documents.visible_text import visible_line
from carknocker.questions.enter.ask import Entered, Held, enter
from carknocker.questions.enter.form_reader import HTML_ENDINGS
from carknocker.questions.enter.html_reader import MOST_BYTES_OF_HTML
from carknocker.questions.enter.tray import tray_name, tray_text
from carknocker.record import find_car, read_car_text
from carknocker.record.files import only_move

MOST_BYTES = 20_000_000
"""Of a spreadsheet, as it lies on the disk."""

app = command_line()
PLACE_IN_HELP = 80
ENDINGS = (".html", ".htm", ".xlsx", ".csv", ".yaml", ".yml")
OTHER_NAMES = ("import", "type-in", "read-in", "enter-readings")


@app.command(epilog="Example: carknocker enter my-car sheet.yaml")
@in_plain_words()
def command(
    car: CarArgument,
    form: Annotated[Path, typer.Argument(metavar="FORM", help="A filled-in form: HTML, XLSX, CSV or YAML.")],
    move: MoveOption = None,
    as_of: Annotated[
        str | None,
        typer.Option(
            "--as-of", metavar="DATE", help="The day of entering, after which nothing can be read; default today."
        ),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Write without asking: for scripts.")] = False,
) -> None:
    """Enter a filled-in form into the car record. Each sheet whole, or not at all; what was there is kept beside it."""
    day = read_day(as_of)
    record = find_car(car)  # no demo case is looked for: those are not written to
    while True:
        problems = ProblemList()
        text = load_text(record, problems) or ""
        given = _form(form, problems)
        move_file = move or only_move(record)
        move_text = "" if move_file is None else load_text(move_file, problems) or ""
        problems.refuse_if_any()
        of_move = None if move_file is None else (move_text, str(move_file))
        entered = enter(text, str(record), given, str(form), day, of_move)
        where = record if entered.text != text or move_file is None else move_file
        lines = [f"{where} gets", *entered.shown, *_photographs(entered), *_told(entered)]
        if not agreed(lines, yes=yes):
            write_lines(not_agreed(lines))
            raise typer.Exit(1)
        read = {record: text} if move_file is None else {record: text, move_file: move_text}
        with alone_in(record.parent):
            if are_as_read(read):
                kept = _written(record, text, entered, move_file, move_text, form)
                break
    lines = [
        f"{where}: {count:,} value{'' if count == 1 else 's'}{f' of {day}, read by {by}' if day else ''}"
        for day, by, count in entered.sheets
    ]
    lines += [*kept, *_told(entered)]
    if entered.held:
        alone = len(entered.held) == 1
        what = "One sheet can't be taken" if alone else f"{len(entered.held)} sheets can't be taken"
        lines.append(
            f"{what}: put right in {form} what is told above, and enter {form} again; the rest of it is on record"
        )
        lines.append(f"For scripts {'it is' if alone else 'they are'} held in {_tray(record, entered, form)}")
    write_lines(lines)


def _written(
    record: Path, text: str, entered: Entered, move_file: Path | None, move_text: str, form: Path
) -> list[str]:  # fmt: skip
    """Writes what was entered, all of it or nothing, and says where the texts that were there are kept. text: of the
    record, which is left alone where nothing goes into it."""
    told: list[str] = []
    anew: dict[Path, tuple[str, Path]] = {}
    if entered.text != text:
        backup = record.with_name(entered.backup)
        anew[record] = entered.text, backup
        told.append(f"What was there is kept as {backup}")
    if entered.move is not None and move_file is not None:
        kept = move_file.with_name(backup_name(str(move_file), move_text))
        anew[move_file] = entered.move, kept
        told.append(f"{move_file} is written anew; what was there is kept as {kept}")
    tray: dict[Path, bytes] = {}
    if entered.held:
        mark = read_car_text(entered.text, str(record)).mark
        tray[_tray(record, entered, form)] = encoded(tray_text(entered, mark))
    copies: list[Path] = []
    try:
        for one in entered.photographs:
            new = not photograph_beside(record, one).exists()
            written = write_photograph(record, one)
            copies += written if new else ()
        write_with_backups(anew, tray)
    except OutputRefused:
        for copy in copies:
            with suppress(OSError):
                copy.unlink()
        raise
    return told


def _tray(record: Path, entered: Entered, form: Path) -> Path:
    """The file that keeps the sheets that were not taken."""
    return record.with_name(tray_name(entered, str(form)))


def _form(form: Path, problems: ProblemList) -> str | bytes:
    """The bytes of a spreadsheet, or the text of any other form."""
    ending = form.suffix.casefold()
    if ending not in ENDINGS:
        found = f"a file named `*{ending}`" if ending else "a file whose name has no ending"
        problems.add(Problem(Location(str(form), 1, 1), found, f"a form: {', '.join(ENDINGS)}"))
        return ""
    most = {".xlsx": MOST_BYTES, **dict.fromkeys(HTML_ENDINGS, MOST_BYTES_OF_HTML)}.get(ending)
    if most is None:
        return load_text(form, problems) or ""
    start = Location(str(form), 1, 1)
    if not form.is_file():
        problems.add(Problem(start, missing_file_words(form), remedy="check the name and the folder"))
        return b""
    try:
        content = read_within(form, most)
    except OSError as error:
        problems.add(Problem(start, f"can't be read: {system_words(error)}", "a filled-in form"))
        return b""
    if content is None:
        problems.add(Problem(start, f"a file of over {most // 1_000_000} MB", "a form"))
        return b""
    return content if ending == ".xlsx" else content.decode("utf-8", "replace")


def _photographs(entered: Entered) -> list[str]:
    """The photographs that the form brings."""
    return [f"  photograph {one.file}" for one in entered.photographs]


def _told(entered: Entered) -> list[str]:
    held = [
        f"Not taken: {_title_of(one, problem)}{_line_of(problem)}{problem.found}{_right(problem)}"
        for one in entered.held
        for problem in one.problems
    ]
    doubtful = [f"Look again, while the gauge is in hand: {words}" for words in entered.doubtful]
    return [visible_line(one) for one in (*entered.notes, *held, *doubtful)]


def _title_of(held: Held, problem: Problem) -> str:
    """The sheet, where what is wrong on it does not name it."""
    return "" if held.title in problem.found else f"{held.title}: "


def _right(problem: Problem) -> str:
    """What could stand there, the nearest right word, and what to do."""
    told = (("expected", problem.expected), ("nearest right word", problem.nearest), ("to do", problem.remedy))
    return "".join(f"; {key}: {words}" for key, words in told if words)


def _line_of(problem: Problem) -> str:
    """The line of a form that is a text; a form of cells or fields names them in words."""
    lines = problem.where.file.casefold().endswith((".csv", ".yaml", ".yml"))
    return f"{problem.where}: " if lines else ""
