"""A form of which one sheet may be filled in: a shop's, of its own work."""

from carknocker.documents import InputRefused, Location, Problem
from carknocker.forms.one_sheet import belongs_on
from carknocker.judgement.index import JudgementIndex
from carknocker.questions.enter.filled_form import FilledForm
from carknocker.vocabulary import load_vocabulary

_SHOWN = 3


def refuse_other_sheets(filled: FilledForm, sheet: str, form_file: str, index: JudgementIndex) -> None:
    """Raises InputRefused where a form says anything of what is not on the sheet, whatever its own sheets are called,
    or brings a photograph of another sheet."""
    sections = {kind.section: kind for kind in load_vocabulary().kinds.values()}
    parts: dict[str, Location] = {}
    for one in filled.sheets:
        for section, position, _ in one.places:
            parts.setdefault(f"{sections[section].name} {position}".strip(), one.where)
        for further in one.further:
            parts.setdefault(further.part, further.where)
    strange = [(part, where) for part, where in parts.items() if not belongs_on(sheet, part, index)]
    problems = [
        Problem(where, f"an answer about {part[:60]}", f"answers of the sheet “{sheet}” alone")
        for part, where in strange[:_SHOWN]
    ]
    if any(one.get("sheet") != sheet for one in filled.photographs):
        problems.append(Problem(Location(form_file, 1, 1), "a photograph of another sheet", f"those of “{sheet}”"))
    if problems:
        raise InputRefused(tuple(problems))
