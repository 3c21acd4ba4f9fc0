"""A sheet put into the text of a record: what the owner wrote stays as it is, to the letter."""

import io
import re
from datetime import date
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import MappingNode, ScalarNode, SequenceNode

from carknocker.documents import InputRefused, Location, Problem
from carknocker.documents.places_in_text import ended, last_index, line_end
from carknocker.questions.enter.form_reader import FilledSheet
from carknocker.vocabulary import load_vocabulary


def with_line_ends(text: str, plain: str, written: str) -> str:
    """What `written` makes of `text`, where `plain` is `text` with line feeds alone.

    Every line that was there keeps the line end that it had, also where the owner's editors have mixed them; new lines
    get the one that most lines have.
    """
    start = _alike(plain, written)
    end = min(_alike(plain[::-1], written[::-1]), len(plain) - start, len(written) - start)
    places = _places(text)
    ending = "\r\n" if 2 * text.count("\r\n") > text.count("\n") else "\n"
    added = written[start : len(written) - end].replace("\n", ending)
    return text[: places[start]] + added + text[places[len(plain) - end] :]


def _alike(one: str, other: str) -> int:
    """How many letters two texts begin with in common."""
    most = min(len(one), len(other))
    return next((index for index in range(most) if one[index] != other[index]), most)


def _places(text: str) -> list[int]:
    """Where each letter of the text with line feeds alone begins in the text itself, and behind the last, its end."""
    places = [index for index, letter in enumerate(text) if letter != "\n" or text[index - 1 : index] != "\r"]
    return [*places, len(text)]


_SECTION = "sheets"
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_WIDTH = 118


def with_sheets(text: str, file: str, sheets: tuple[FilledSheet, ...]) -> str:
    """The text of a record with sheets at the end of its `sheets:`. Raises InputRefused where that section can't be
    added to, and where the text, read back, would not hold just what it held and the sheets."""
    plain = text.replace("\r\n", "\n")
    try:
        root = _yaml().compose(plain)
        if not isinstance(root, MappingNode):
            raise _refused(file, 1, 1, "no car record", "`format: carknocker-car/1`")
        written = _put(plain, file, root, sheets)
        _prove(plain, written, file, len(sheets))
    except YAMLError as error:
        found = f"the text can't be added to: {' '.join(str(error).split())[:200]}"
        raise _refused(file, 1, 1, found, "YAML that can be read back") from error
    return with_line_ends(text, plain, written)


def _yaml() -> YAML:
    yaml = YAML(typ="rt")
    yaml.width = _WIDTH
    yaml.preserve_quotes = True
    yaml.indent(mapping=2, sequence=2, offset=0)
    return yaml


def _put(text: str, file: str, root: MappingNode, sheets: tuple[FilledSheet, ...]) -> str:
    found = next((pair for pair in root.value if pair[0].value == _SECTION), None)
    if found is None:
        return f"{ended(text)}{_SECTION}:\n{_written(sheets, 2)}"
    key, node = found
    if isinstance(node, ScalarNode) and not node.value:
        return _after(text, line_end(text, key.end_mark.index), _written(sheets, 2))
    if not isinstance(node, SequenceNode) or (node.flow_style and node.value):
        mark = node.start_mark
        expected = "a list with a dash for each sheet"
        raise _refused(file, mark.line + 1, mark.column + 1, "`sheets:` written in brackets", expected)
    if node.flow_style:
        emptied = text[: node.start_mark.index].rstrip(" ") + text[node.end_mark.index :]
        return _after(emptied, line_end(emptied, key.end_mark.index), _written(sheets, 2))
    column = node.start_mark.column
    return _after(text, _end_of(text, node, column), _written(sheets, column))


def _after(text: str, end: int, added: str) -> str:
    before = ended(text[:end])
    return f"{before}{added}{text[end:]}"


def _end_of(text: str, node: SequenceNode, column: int) -> int:
    """Behind the last line of a list, with the comments that are set in under its last entry."""
    last = last_index(text, node)
    while last > 0 and text[last - 1] in " \n":
        last -= 1
    end = line_end(text, last)
    while end < len(text):
        following = line_end(text, end)
        line = text[end:following]
        if not line.lstrip(" ").startswith("#") or len(line) - len(line.lstrip(" ")) <= column:
            return end
        end = following
    return end


def _written(sheets: tuple[FilledSheet, ...], column: int) -> str:
    """The sheets as YAML, each dash at a column."""
    stream = io.StringIO()
    listed = CommentedSeq([_sheet(sheet) for sheet in sheets])
    _yaml().dump(listed, stream)
    return "".join(f"{' ' * column}{line}\n" for line in stream.getvalue().splitlines())


def _sheet(sheet: FilledSheet) -> CommentedMap:
    head = {key: _plain(value) for key, value in sheet.head.items()}
    if isinstance(head.get("on"), str) and _DAY.fullmatch(head["on"]):
        head["on"] = _as_day(head["on"])
    single = {kind.section for kind in load_vocabulary().kinds.values() if kind.positions == "single"}
    sections = CommentedMap()
    for section, parts in sheet.readings.items():
        if section in single:
            sections[section] = _flow(parts)
        else:
            sections[section] = CommentedMap((position, _flow(values)) for position, values in parts.items())
    return CommentedMap({**head, "readings": sections})


def written(sheets: tuple[FilledSheet, ...]) -> str:
    """The sheets as the lines that the record gets."""
    return _written(sheets, 2)


def _as_day(text: str) -> date | str:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text


def _plain(value: Any) -> Any:
    if isinstance(value, list):
        listed = CommentedSeq(_plain(member) for member in value)
        listed.fa.set_flow_style()
        return listed
    return _flow(value) if isinstance(value, dict) else value


def _flow(values: dict[str, Any]) -> CommentedMap:
    mapping = CommentedMap((key, _plain(value)) for key, value in values.items())
    mapping.fa.set_flow_style()
    return mapping


def _prove(before: str, after: str, file: str, added: int) -> None:
    """Read back, the new text holds what the old one held, and `added` sheets more at the end of `sheets`."""
    old, new = _yaml().load(before), _yaml().load(after)
    sheets_before, sheets_after = list(old.get(_SECTION) or ()), list(new.get(_SECTION) or ())
    others = [key for key in old if key != _SECTION]
    kept = [key for key in new if key != _SECTION] == others and all(old[key] == new[key] for key in others)
    same = sheets_after[: len(sheets_before)] == sheets_before
    if not (kept and same and len(sheets_after) == len(sheets_before) + added):
        raise _refused(file, 1, 1, "the sheets can't be added without changing more", "a plain `sheets:` list")


def _refused(file: str, line: int, column: int, found: str, expected: str) -> InputRefused:
    remedy = "enter the sheet by hand; nothing was changed"
    return InputRefused((Problem(Location(file, line, column), found, expected, remedy=remedy),))
