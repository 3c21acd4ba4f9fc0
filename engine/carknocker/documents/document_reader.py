"""Reads YAML safely: no object is ever built, sizes are capped, every scalar stays the text that was written.

Since nothing is typed here, YAML's own guesses (`no` for false, `12:30` for a number in base 60, `010` for
eight, `2026-09-12` for an object) can't happen; the reader of each value types it by the vocabulary.
"""

import os
import re
from pathlib import Path
from typing import Any

import yaml

from carknocker.documents.node import Location, Node
from carknocker.documents.problems import Problem, ProblemList

MOST_BYTES = 4_000_000
MOST_DEPTH = 40
MOST_NODES = 400_000
MOST_ALIASES = 200
_QUOTES = ("'", '"')
# Control characters, and signs that turn the direction of the text: they could make a page say what no one wrote.
_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]")

_Base: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_TEXT, _LIST, _MAPPING, _MERGE = (f"tag:yaml.org,2002:{word}" for word in ("str", "seq", "map", "merge"))
_PLAIN_TAGS = frozenset({_TEXT, _LIST, _MAPPING, _MERGE})


class _Loader(_Base):  # type: ignore[misc]
    """A loader that never guesses a type: every scalar is text. It is several times as fast for it."""

    def resolve(self, kind: Any, value: Any, implicit: Any) -> str:
        if kind is yaml.ScalarNode:
            return _MERGE if value == "<<" and implicit[0] else _TEXT
        return _LIST if kind is yaml.SequenceNode else _MAPPING

    def descend_resolver(self, current_node: Any, current_index: Any) -> None:
        """Nothing hangs on where a node stands."""

    def ascend_resolver(self) -> None:
        """Nothing hangs on where a node stands."""


class _TooMuch(Exception):
    def __init__(self, found: str, expected: str, mark: Any) -> None:
        super().__init__(found)
        self.found, self.expected, self.mark = found, expected, mark


def load_document(path: Path, problems: ProblemList) -> Node | None:
    """The document in a file, or None with the problems noted (missing, too large, not UTF-8, not YAML)."""
    text = load_text(path, problems)
    return None if text is None else read_document(text, str(path), problems)


def load_text(path: Path, problems: ProblemList) -> str | None:
    """The text of a file, or None with the problem noted."""
    start = Location(str(path), 1, 1)
    try:
        if not path.is_file():
            problems.add(Problem(start, _no_file(path), remedy="name a YAML file: check the name and the folder"))
            return None
        content = read_within(path, MOST_BYTES)
        if content is None:
            size = f"{path.stat().st_size:,}" if path.stat().st_size > MOST_BYTES else f"more than {MOST_BYTES:,}"
            problems.add(Problem(start, f"a file of {size} bytes", f"at most {MOST_BYTES:,} bytes"))
            return None
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        problems.add(Problem(start, f"byte {error.start:,} is not UTF-8 text", "a text file saved as UTF-8"))
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        problems.add(Problem(start, f"the file can't be read: {reason}", "a readable file"))
    return None


def read_within(path: Path, most: int) -> bytes | None:
    """The bytes of a file, or None if there are more than `most`: no more than that is ever read. Raises OSError."""
    with path.open("rb") as stream:
        if os.fstat(stream.fileno()).st_size > most:
            return None
        content = stream.read(most + 1)  # some files say that they are empty, and others grow while they are read
        return content if len(content) <= most else None


def read_document(text: str, file: str, problems: ProblemList) -> Node | None:
    """The single document in `text`, or None with the problems noted. `file` names it in messages."""
    lines = text.splitlines()
    if len(text) > MOST_BYTES:
        problems.add(Problem(Location(file, 1, 1), f"{len(text):,} characters", f"at most {MOST_BYTES:,}"))
        return None
    try:
        raw = yaml.compose(text, Loader=_Loader)
        root = None if raw is None else _Converter(file, lines, problems).node(raw)
    except _TooMuch as error:
        problems.add(_problem_at_mark(file, lines, error.mark, error.found, error.expected))
        return None
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problems.add(_problem_at_mark(file, lines, mark, _words_of(error), _expected_for(error), _remedy_for(error)))
        return None
    except yaml.reader.ReaderError as error:
        problems.add(_unreadable(text, file, lines, error))
        return None
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        words = str(error).splitlines()[0] if str(error) else "unreadable text"
        problems.add(_problem_at_mark(file, lines, None, f"not YAML: {words}", "well-formed YAML"))
        return None
    if root is None:
        problems.add(Problem(Location(file, 1, 1), "an empty document", "a YAML mapping"))
    return root


class _Converter:
    """Turns composed YAML nodes into `Node`s. Every scalar keeps its text; none of YAML's own typing is asked for.

    What an alias stands for is converted once and shared, but counted each time: it must not multiply without end.
    """

    def __init__(self, file: str, lines: list[str], problems: ProblemList) -> None:
        self._file, self._lines, self._problems = file, lines, problems
        self._count = self._depth = self._aliases = 0
        self._shared: dict[int, tuple[Node, int]] = {}
        self._open: set[int] = set()

    def node(self, raw: Any) -> Node:
        """Raises _TooMuch past a cap."""
        mark = raw.start_mark
        self._count += 1
        if raw.tag not in _PLAIN_TAGS:
            self._note(mark, f"the tag `{raw.tag[:60]}`", "plain YAML without tags", "take the tag out")
        if raw.__class__ is yaml.ScalarNode:
            if not raw.value.isprintable() and (unseen := _UNSEEN.search(raw.value)) is not None:
                expected = "text that can be seen, on one line or several"
                self._note(mark, f"the character U+{ord(unseen.group()):04X}, which can't be seen", expected)
            return Node("scalar", self._file, mark.line, mark.column, raw.value, quoted=raw.style in _QUOTES)
        shared = self._shared.get(id(raw))
        if shared is not None:
            self._aliases += 1
            self._count += shared[1]
            if self._aliases > MOST_ALIASES:
                raise _TooMuch(f"more than {MOST_ALIASES} aliases", "fewer `*aliases`", mark)
            if self._count > MOST_NODES:
                raise _TooMuch(f"aliases that grow to more than {MOST_NODES:,} values", "fewer aliases", mark)
            return shared[0]
        return self._collection(raw, mark)

    def _collection(self, raw: Any, mark: Any) -> Node:
        if id(raw) in self._open:
            raise _TooMuch("an alias inside the value that it stands for", "an alias to something else", mark)
        if self._count > MOST_NODES:
            raise _TooMuch(f"more than {MOST_NODES:,} values", "a smaller document", mark)
        if self._depth >= MOST_DEPTH:
            raise _TooMuch(f"nesting deeper than {MOST_DEPTH} levels", "a flatter document", mark)
        before = self._count
        self._open.add(id(raw))
        self._depth += 1
        if raw.__class__ is yaml.SequenceNode:
            children = tuple([self.node(child) for child in raw.value])
            node = Node("sequence", self._file, mark.line, mark.column, nodes=children)
        else:
            node = Node("mapping", self._file, mark.line, mark.column, entries=self._entries(raw))
        self._depth -= 1
        self._open.discard(id(raw))
        self._shared[id(raw)] = (node, self._count - before)
        return node

    def _entries(self, raw: Any) -> tuple[tuple[Node, Node], ...]:
        entries: list[tuple[Node, Node]] = []
        seen: dict[str, int] = {}
        for raw_key, raw_value in raw.value:
            mark = raw_key.start_mark
            if raw_key.tag == _MERGE:
                self._note(mark, "a merge key `<<`", "every value written out", "copy the values in")
                continue
            key = self.node(raw_key)
            value = self.node(raw_value)
            if key.kind != "scalar":
                self._note(mark, "a key that is a list or a mapping", "a plain word as key")
            elif key.text in seen:
                found = f"`{key.text[:60]}` a second time (first on line {seen[key.text]})"
                self._note(mark, found, "each key once")
            else:
                seen[key.text] = mark.line + 1
                if raw.flow_style and entries and raw_value.end_mark.index == raw_key.end_mark.index:
                    self._comma_inside_braces(key.text, mark)
                else:
                    entries.append((key, value))
        return tuple(entries)

    def _comma_inside_braces(self, key: str, mark: Any) -> None:
        self._note(
            mark,
            f"`{key[:40]}` stands alone: inside braces a comma ends the value",
            "a value without a comma inside braces",
            "put the value in quotes, or write the number without its comma",
        )

    def _note(self, mark: Any, found: str, expected: str, remedy: str = "") -> None:
        self._problems.add(_problem_at_mark(self._file, self._lines, mark, found, expected, remedy))


def _no_file(path: Path) -> str:
    if path.is_dir():
        return "this is a folder"
    return "this is no ordinary file" if path.exists() else "there is no such file"


def _unreadable(text: str, file: str, lines: list[str], error: yaml.reader.ReaderError) -> Problem:
    """The problem of a character that YAML does not allow. The parser counts bytes: its place is looked for in the
    text."""
    code = error.character if isinstance(error.character, int) else ord(error.character[:1] or "\0")
    before = text[: max(text.find(chr(code)), 0)]
    line = before.count("\n")
    shown = lines[line] if line < len(lines) else ""
    where = Location(file, line + 1, len(before) - before.rfind("\n"))
    return Problem(where, f"not YAML: the character U+{code:04X}", "text without control characters", line_text=shown)


def _problem_at_mark(file: str, lines: list[str], mark: Any, found: str, expected: str, remedy: str = "") -> Problem:
    """A problem where the parser's mark is (lines and columns counted from 0); at the start where it has none."""
    line, column = (mark.line, mark.column) if mark is not None else (0, 0)
    if line >= len(lines):  # the text ends too soon: the end of its last line
        line = max(len(lines) - 1, 0)
        column = len(lines[line]) if lines else 0
    text = lines[line] if lines else ""
    return Problem(Location(file, line + 1, column + 1), found, expected, remedy=remedy, line_text=text)


def _words_of(error: yaml.MarkedYAMLError) -> str:
    """What the parser says, as one sentence."""
    if _is_second_document(error):
        return "the YAML breaks off here: a line `---` begins a second document in the file"
    words = " ".join(part for part in (error.problem, error.context) if part)
    return f"the YAML breaks off here: {words}"


def _expected_for(error: yaml.MarkedYAMLError) -> str:
    """What the file could say instead."""
    return "one document in a file" if _is_second_document(error) else "well-formed YAML"


def _is_second_document(error: yaml.MarkedYAMLError) -> bool:
    return "found another document" in (error.problem or "")


def _remedy_for(error: yaml.MarkedYAMLError) -> str:
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
