"""A form cut down to one of its sheets, as it goes to a shop that works on that alone."""

from msgspec.structs import replace

from carknocker.forms.entries import ENTRIES, entry_named, is_of_people_and_gauges
from carknocker.forms.model import Form
from carknocker.forms.names import name_on_a_form
from carknocker.forms.places import sheet_of
from carknocker.judgement.index import JudgementIndex


def with_one_sheet(form: Form, name: str) -> Form:
    """The sheet of that name, and the one that says who read, and with what. Of a sheet on which nothing is wanted any
    more, that one alone."""
    entries = form.entries if form.entries is not None and form.entries.name == name else None
    return replace(form, sheets=tuple(one for one in form.sheets if one.name == name), entries=entries, move=None)


def belongs_on(sheet: str, part: str, index: JudgementIndex) -> bool:
    """Whether an answer about a part, as a form names it, belongs on that sheet: on `work, tests and papers` every
    entry, on any other the parts that stand there and those that are new in them. People and gauges belong on each."""
    if is_of_people_and_gauges(part):
        return True
    if entry_named(part) is not None:
        return sheet == ENTRIES
    name = part.rpartition(" of ")[2] if part.startswith("new ") else part
    return any(
        name_on_a_form(one, index.standing) == name and sheet_of(one, index) == sheet
        for one in index.standing.parts.values()
    )
