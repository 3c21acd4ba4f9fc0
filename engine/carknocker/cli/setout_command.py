"""`carknocker setout`: the sheet that rides along."""

from pathlib import Path

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import write_as_pages
from carknocker.questions.sheets.setout import setout
from carknocker.questions.sheets.sheet_model import SheetAnswer


def run(car: Path, move: Path | None, as_of: str | None, form: Format, rules: list[Path], output: Path | None) -> None:
    """Writes the sheet, with what is missing said as missing. It is no judgement: the exit status is 0."""
    place = find_place(car)
    day = read_day(as_of)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    write_sheet(setout(checked), "carknocker-setout/1", form, output)


def write_sheet(answer: SheetAnswer, format_name: str, form: Format, output: Path | None) -> None:
    """Writes a sheet for strangers in the form asked for."""
    if form is Format.JSON:
        from carknocker.dossier.forms.plain_json import plain_json

        write_answer(plain_json(format_name, answer), output)
        return
    from carknocker.dossier.pages.sheet_page import sheet_page

    write_as_pages([sheet_page(answer)], form, output)
