"""A filled-in form read back: HTML, a spreadsheet, CSV or YAML."""

from carknocker.documents import InputRefused, Location, Problem, ProblemList
from carknocker.questions.enter.csv_reader import read_csv_form
from carknocker.questions.enter.filled_form import FilledForm
from carknocker.questions.enter.yaml_reader import read_yaml

HTML_ENDINGS = (".html", ".htm")
MOST_VALUES = 4_000


def read_form(text: str | bytes, file: str) -> FilledForm:
    """The form in a text: HTML or CSV where its name ends so, else YAML; in bytes: a spreadsheet. What is wrong with
    one sheet is kept with it. Raises InputRefused with every other problem in it."""
    problems = ProblemList()
    if isinstance(text, str) and file.casefold().endswith(HTML_ENDINGS):
        from carknocker.questions.enter.html_reader import read_html

        form = read_html(text, file, problems)
    elif isinstance(text, bytes):
        from carknocker.questions.enter.spreadsheet_reader import read_spreadsheet

        form = read_spreadsheet(text, file, problems)
    elif file.casefold().endswith(".csv"):
        form = read_csv_form(text, file, problems)
    else:
        form = read_yaml(text, file, problems)
    problems.refuse_if_any()
    if form is None or not (form.sheets or form.photographs):
        found = "a form with nothing filled in"
        raise InputRefused((Problem(Location(file, 1, 1), found, "a value behind a reading", remedy="fill it in"),))
    count = sum(sheet.answers for sheet in form.sheets)
    if count > MOST_VALUES:
        found = f"a form of {count:,} values"
        raise InputRefused((Problem(Location(file, 1, 1), found, f"at most {MOST_VALUES:,} values in a form"),))
    return form
