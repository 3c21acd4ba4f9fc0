"""What the YAML parser complains of, as problems in plain words."""

from typing import Any

import yaml

from carknocker.documents.location import Location
from carknocker.documents.problems import Problem


def unreadable(text: str, file: str, lines: list[str], error: yaml.reader.ReaderError) -> Problem:
    """The problem of a character that YAML does not allow. The parser counts bytes: its place is looked for in the
    text."""
    code = error.character if isinstance(error.character, int) else ord(error.character[:1] or "\0")
    before = text[: max(text.find(chr(code)), 0)]
    line = before.count("\n")
    shown = lines[line] if line < len(lines) else ""
    where = Location(file, line + 1, len(before) - before.rfind("\n"))
    return Problem(where, f"not YAML: the character U+{code:04X}", "text without control characters", line_text=shown)


def problem_at_mark(file: str, lines: list[str], mark: Any, found: str, expected: str, remedy: str = "") -> Problem:
    """A problem where the parser's mark is (lines and columns counted from 0); at the start where it has none."""
    line, column = (mark.line, mark.column) if mark is not None else (0, 0)
    if line >= len(lines):  # the text ends too soon: the end of its last line
        line = max(len(lines) - 1, 0)
        column = len(lines[line]) if lines else 0
    text = lines[line] if lines else ""
    return Problem(Location(file, line + 1, column + 1), found, expected, remedy=remedy, line_text=text)


def words_of(error: yaml.MarkedYAMLError) -> str:
    """What the parser says, as one sentence."""
    if _is_second_document(error):
        return "the YAML breaks off here: a line `---` begins a second document in the file"
    words = " ".join(part for part in (error.problem, error.context) if part)
    return f"the YAML breaks off here: {words}"


def expected_for(error: yaml.MarkedYAMLError) -> str:
    """What the file could say instead."""
    return "one document in a file" if _is_second_document(error) else "well-formed YAML"


def _is_second_document(error: yaml.MarkedYAMLError) -> bool:
    return "found another document" in (error.problem or "")


def remedy_for(error: yaml.MarkedYAMLError) -> str:
    """What to do about the mistakes that people make most; "" for any other."""
    problem = error.problem or ""
    if _is_second_document(error):
        return "give each document a file of its own, or take the line `---` out"
    if "mapping values are not allowed" in problem:
        return "a colon followed by a space inside a value: put the whole value in quotes"
    if "tab" in problem or "cannot start any token" in problem:
        return "use spaces, not tabs, and quote a value that begins with a sign such as @ % `"
    if "did not find expected" in problem or "expected" in problem:
        return "check the brackets, braces, quotes and the indentation on this line and the one before"
    return ""
