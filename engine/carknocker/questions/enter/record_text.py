"""A sheet put into the text of a record: what the owner wrote stays as it is, to the letter."""

from typing import Any

from ruamel.yaml.comments import CommentedMap

from carknocker.documents.list_entries import in_braces, list_text, with_entries
from carknocker.questions.enter.filled_form import FilledSheet
from carknocker.vocabulary import load_vocabulary


def with_sheets(text: str, file: str, sheets: tuple[FilledSheet, ...]) -> str:
    """The text of a record with sheets at the end of its `sheets:`. Raises InputRefused where that section can't be
    added to, and where the text, read back, would not hold just what it held and the sheets."""
    return with_entries(text, file, "sheets", [_sheet(sheet) for sheet in sheets])


def written(sheets: tuple[FilledSheet, ...]) -> str:
    """The sheets as the lines that the record gets."""
    return list_text([_sheet(sheet) for sheet in sheets], 2)


def _sheet(sheet: FilledSheet) -> dict[str, Any]:
    single = {kind.section for kind in load_vocabulary().kinds.values() if kind.positions == "single"}
    sections = CommentedMap()
    for section, parts in sheet.readings.items():
        if section in single:
            sections[section] = in_braces(parts)
        else:
            sections[section] = CommentedMap((position, in_braces(values)) for position, values in parts.items())
    return {**sheet.head, "readings": sections}
