"""Entries put at the end of a list in a YAML text: what the owner wrote stays as it is, to the letter."""

import io
import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from yaml import YAMLError
from yaml.nodes import MappingNode, ScalarNode, SequenceNode

from carknocker.documents.document_reader import read_document
from carknocker.documents.node import Location
from carknocker.documents.places_in_text import composed, ended, last_index, line_end
from carknocker.documents.problems import InputRefused, Problem, ProblemList


def with_line_ends(text: str, plain: str, written: str) -> str:
    """What `written` makes of `text`, where `plain` is `text` with line feeds alone.

    Every line that was there keeps the line end that it had, also where the owner's editors have mixed them; new lines
    get the one that most lines have.
    """
    if text == plain:
        return written
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


_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_WIDTH = 118


def with_entries(text: str, file: str, section: str, entries: Sequence[Mapping[str, Any]]) -> str:
    """The text of a record with entries at the end of the list under `section`, which is begun if it is not there.

    A mapping in an entry is written over several lines; made by `in_braces`, in one. Raises InputRefused where that
    section can't be added to, and where the text, read back, would not hold just what it held and the entries.
    """
    plain = text.replace("\r\n", "\n")
    try:
        root = composed(plain)
        if not isinstance(root, MappingNode):
            raise _refused(file, 1, 1, "no car record", "`format: carknocker-car/1`")
        added = _put(plain, file, root, section, entries)
        _prove(plain, added, file, section, len(entries))
    except YAMLError as error:
        found = f"the text can't be added to: {' '.join(str(error).split())[:200]}"
        raise _refused(file, 1, 1, found, "YAML that can be read back") from error
    return with_line_ends(text, plain, added)


def _yaml() -> YAML:
    yaml = YAML(typ="rt")
    yaml.width = _WIDTH
    yaml.preserve_quotes = True
    yaml.indent(mapping=2, sequence=2, offset=0)
    return yaml


def _put(text: str, file: str, root: MappingNode, section: str, entries: Sequence[Mapping[str, Any]]) -> str:
    found = next((pair for pair in root.value if pair[0].value == section), None)
    if found is None:
        return f"{ended(text)}{section}:\n{list_text(entries, 2)}"
    key, node = found
    if isinstance(node, ScalarNode) and not node.value:
        return _after(text, line_end(text, key.end_mark.index), list_text(entries, 2))
    if not isinstance(node, SequenceNode) or (node.flow_style and node.value):
        mark = node.start_mark
        expected = "a list with a dash for each entry"
        raise _refused(file, mark.line + 1, mark.column + 1, f"`{section}:` written in brackets", expected)
    if node.flow_style:
        emptied = text[: node.start_mark.index].rstrip(" ") + text[node.end_mark.index :]
        return _after(emptied, line_end(emptied, key.end_mark.index), list_text(entries, 2))
    column = node.start_mark.column
    return _after(text, _end_of(text, node, column), list_text(entries, column))


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


def list_text(entries: Sequence[Mapping[str, Any]], column: int) -> str:
    """The entries as YAML, each dash at a column."""
    stream = io.StringIO()
    _yaml().dump(CommentedSeq([_entry(entry) for entry in entries]), stream)
    return "".join(f"{' ' * column}{line}\n" for line in stream.getvalue().splitlines())


def _entry(entry: Mapping[str, Any]) -> CommentedMap:
    own = CommentedMap((key, _plain(value)) for key, value in entry.items())
    if isinstance(own.get("on"), str) and _DAY.fullmatch(own["on"]):
        own["on"] = _as_day(own["on"])
    return own


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
    return in_braces(value) if isinstance(value, dict) and not isinstance(value, CommentedMap) else value


def in_braces(values: Mapping[str, Any]) -> CommentedMap:
    """A mapping that is written in one line."""
    mapping = CommentedMap((key, _plain(value)) for key, value in values.items())
    mapping.fa.set_flow_style()
    return mapping


def _prove(before: str, after: str, file: str, section: str, added: int) -> None:
    """Read back, the new text holds what the old one held, and `added` entries more at the end of the section."""
    old, new = _read(before, file), _read(after, file)
    entries_before, entries_after = list(old.get(section) or ()), list(new.get(section) or ())
    others = [key for key in old if key != section]
    kept = [key for key in new if key != section] == others and all(old[key] == new[key] for key in others)
    same = entries_after[: len(entries_before)] == entries_before
    if not (kept and same and len(entries_after) == len(entries_before) + added):
        raise _refused(
            file, 1, 1, f"`{section}:` can't be added to without changing more", f"a plain `{section}:` list"
        )


def _read(text: str, file: str) -> dict[str, Any]:
    """A text as every record is read. Raises InputRefused."""
    problems = ProblemList()
    root = read_document(text, file, problems)
    problems.refuse_if_any()
    read = None if root is None else root.plain()
    if not isinstance(read, dict):
        raise _refused(file, 1, 1, "no car record", "`format: carknocker-car/1`")
    return read


def _refused(file: str, line: int, column: int, found: str, expected: str) -> InputRefused:
    remedy = "write it there by hand; nothing was changed"
    return InputRefused((Problem(Location(file, line, column), found, expected, remedy=remedy),))
