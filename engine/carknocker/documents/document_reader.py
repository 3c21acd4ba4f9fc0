"""Reads YAML safely: no object is ever built, sizes are capped, every scalar stays the text that was written.

Since nothing is typed here, YAML's own guesses (`no` for false, `12:30` for a number in base 60, `010` for
eight, `2026-09-12` for an object) can't happen; the reader of each value types it by the vocabulary.
"""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
import yaml

from carknocker.documents.node import Location, Node
from carknocker.documents.problems import MOST_PROBLEMS, Problem, ProblemList, TextLines
from carknocker.documents.system_words import system_words
from carknocker.documents.visible_text import first_hidden

MOST_BYTES = 4_000_000
MOST_DEPTH = 40
MOST_NODES = 200_000
MOST_ALIASES = 200
MOST_TAG_DIRECTIVES = 100
"""The parser compares each with all those before it."""
_SECOND_DOCUMENT = "but found another document"
_QUOTES = ("'", '"')

_Parser: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""Only its events are used: a tree of them could be built up to any size before it is looked at."""
_TAG = "tag:yaml.org,2002:"
_PLAIN_TAGS = frozenset({None, "!", f"{_TAG}str", f"{_TAG}seq", f"{_TAG}map", f"{_TAG}merge"})


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
            problems.add(Problem(start, missing_file_words(path), remedy="check the name and the folder"))
            return None
        content = read_within(path, MOST_BYTES)
        if content is None:
            size = f"{path.stat().st_size:,}" if path.stat().st_size > MOST_BYTES else f"more than {MOST_BYTES:,}"
            problems.add(Problem(start, f"a file of {size} bytes", f"at most {MOST_BYTES:,} bytes"))
            return None
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        problems.add(Problem(start, f"byte {error.start + 1:,} is not UTF-8 text", "a text file",
                             remedy="save it as plain text in the encoding UTF-8"))  # fmt: skip
    except (OSError, ValueError) as error:
        problems.add(Problem(start, f"the file can't be read: {system_words(error)}", "a readable file"))
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
    lines = TextLines(text)
    if len(text) > MOST_BYTES:
        problems.add(Problem(Location(file, 1, 1), f"{len(text):,} characters", f"at most {MOST_BYTES:,}"))
        return None
    if text.count("\n%TAG") > MOST_TAG_DIRECTIVES:
        found = f"more than {MOST_TAG_DIRECTIVES} directives `%TAG`"
        problems.add(Problem(Location(file, 1, 1), found, "plain YAML without tags", remedy="take the directives out"))
        return None
    tree = _TreeBuilder(file, lines)
    try:
        root = tree.document(text)
    except _TooMuch as error:
        tree.add_problems_to(problems)
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
    tree.add_problems_to(problems)
    if root is None:
        problems.add(Problem(Location(file, 1, 1), "an empty document", "a YAML mapping",
                             remedy="check that this is the right file, and saved"))  # fmt: skip
    return root


class _Anchored(msgspec.Struct):
    """What an anchor stands for. node: None while it is being read. size: of the nodes inside it."""

    mark: Any
    node: Node | None = None
    size: int = 0


class _TreeBuilder:
    """Turns the events of the YAML parser into `Node`s. Every scalar keeps its text; none of YAML's own typing is asked
    for. Reading ends where a document is too large, whatever comes after.

    What an alias stands for is shared, but counted each time: it must not multiply without end.
    """

    def __init__(self, file: str, lines: TextLines) -> None:
        self._file, self._lines = file, lines
        self._problems: list[tuple[Any, str, str, str]] = []
        self._anchors: dict[str, _Anchored] = {}
        self._count = self._depth = self._aliases = 0
        self._next: Callable[[], Any]

    def document(self, text: str) -> Node | None:
        """The document of a text; None for an empty one. Raises yaml.YAMLError, ValueError and _TooMuch."""
        self._next = _Parser(text).get_event
        self._next()  # the start of the stream
        first = self._next()
        if isinstance(first, yaml.StreamEndEvent):
            return None
        root = self._node(self._next())
        self._next()  # the end of the document
        second = self._next()
        if not isinstance(second, yaml.StreamEndEvent):
            raise yaml.composer.ComposerError(
                "expected a single document in the stream", first.start_mark, _SECOND_DOCUMENT, second.start_mark
            )
        return root

    def add_problems_to(self, problems: ProblemList) -> None:
        """Adds what is wrong though it is YAML."""
        for mark, found, expected, remedy in self._problems:
            problems.add(_problem_at_mark(self._file, self._lines, mark, found, expected, remedy))

    def _node(self, event: Any) -> Node:
        """The node that begins with an event."""
        mark = event.start_mark
        if event.__class__ is yaml.AliasEvent:
            return self._aliased(str(event.anchor), mark)
        self._count += 1
        if self._count > MOST_NODES:
            raise _TooMuch(f"more than {MOST_NODES:,} values", "a smaller document", mark)
        if event.tag not in _PLAIN_TAGS:
            self._note(mark, f"the tag `{event.tag[:60]}`", "plain YAML without tags", "take the tag out")
        anchored = None if event.anchor is None else self._anchored(event.anchor, mark)
        if event.__class__ is yaml.ScalarEvent:
            text = event.value
            if not text.isprintable() and (hidden := first_hidden(text)):
                expected = "text that can be seen, on one line or several"
                self._note(mark, f"the character U+{ord(hidden):04X}, which can't be seen", expected)
            node = Node("scalar", self._file, mark.line, mark.column, text, quoted=event.style in _QUOTES)
        else:
            before = self._count
            node = self._collection(event, mark)
            if anchored is not None:
                anchored.size = self._count - before
        if anchored is not None:
            anchored.node = node
        return node

    def _anchored(self, name: str, mark: Any) -> _Anchored:
        earlier = self._anchors.get(name)
        if earlier is not None:
            raise yaml.composer.ComposerError(
                "found duplicate anchor; first occurrence", earlier.mark, "second occurrence", mark
            )
        return self._anchors.setdefault(name, _Anchored(mark))

    def _aliased(self, name: str, mark: Any) -> Node:
        anchored = self._anchors.get(name)
        if anchored is None:
            raise yaml.composer.ComposerError(None, None, "found undefined alias", mark)
        if anchored.node is None:
            found = "an alias inside the value that it stands for"
            raise _TooMuch(found, "an alias to something else", anchored.mark)
        self._count += 1 + anchored.size
        if anchored.node.kind != "scalar":
            self._aliases += 1
            if self._aliases > MOST_ALIASES:
                raise _TooMuch(f"more than {MOST_ALIASES} aliases", "fewer `*aliases`", anchored.mark)
        if self._count > MOST_NODES:
            raise _TooMuch(f"aliases that grow to more than {MOST_NODES:,} values", "fewer aliases", anchored.mark)
        return anchored.node

    def _collection(self, event: Any, mark: Any) -> Node:
        if self._depth >= MOST_DEPTH:
            raise _TooMuch(f"nesting deeper than {MOST_DEPTH} levels", "a flatter document", mark)
        self._depth += 1
        if event.__class__ is yaml.SequenceStartEvent:
            children: list[Node] = []
            while (inner := self._next()).__class__ is not yaml.SequenceEndEvent:
                children.append(self._node(inner))
            node = Node("sequence", self._file, mark.line, mark.column, nodes=tuple(children))
        else:
            entries = self._entries(in_braces=event.flow_style)
            node = Node("mapping", self._file, mark.line, mark.column, entries=entries)
        self._depth -= 1
        return node

    def _entries(self, *, in_braces: bool) -> dict[str, tuple[Node, Node]]:
        entries: dict[str, tuple[Node, Node]] = {}
        lines: dict[str, int] = {}
        while (at_key := self._next()).__class__ is not yaml.MappingEndEvent:
            mark = at_key.start_mark
            is_merge = at_key.__class__ is yaml.ScalarEvent and (
                at_key.tag == f"{_TAG}merge" or (at_key.value == "<<" and at_key.implicit[0])
            )
            if is_merge:
                self._note(mark, "a merge key `<<`", "every value written out", "copy the values in")
                noted = len(self._problems)
                self._node(self._next())
                del self._problems[noted:]
                continue
            key = self._node(at_key)
            at_value = self._next()
            value = self._node(at_value)
            if key.kind != "scalar":
                self._note(mark, "a key that is a list or a mapping", "a plain word as key")
            elif key.text in lines:
                found = f"`{key.text[:60]}` a second time (first on line {lines[key.text]})"
                self._note(mark, found, "each key once")
            else:
                lines[key.text] = mark.line + 1
                if in_braces and entries and at_value.end_mark.index == at_key.end_mark.index:
                    self._comma_inside_braces(key.text, mark)
                else:
                    entries[key.text] = (key, value)
        return entries

    def _comma_inside_braces(self, key: str, mark: Any) -> None:
        self._note(
            mark,
            f"`{key[:40]}` stands alone: inside braces a comma ends the value",
            "a value without a comma inside braces",
            "put the value in quotes, or write the number without its comma",
        )

    def _note(self, mark: Any, found: str, expected: str, remedy: str = "") -> None:
        if len(self._problems) < MOST_PROBLEMS:
            self._problems.append((mark, found, expected, remedy))


def missing_file_words(path: Path) -> str:
    """What stands at a path instead of an ordinary file."""
    if path.is_dir():
        return "this is a folder"
    return "this is no ordinary file" if path.exists() else "there is no such file"


def _unreadable(text: str, file: str, lines: TextLines, error: yaml.reader.ReaderError) -> Problem:
    """The problem of a character that YAML does not allow. The parser counts bytes: its place is looked for in the
    text."""
    code = error.character if isinstance(error.character, int) else ord(error.character[:1] or "\0")
    before = text[: max(text.find(chr(code)), 0)]
    line = before.count("\n")
    shown = lines[line] if line < len(lines) else ""
    where = Location(file, line + 1, len(before) - before.rfind("\n"))
    return Problem(where, f"not YAML: the character U+{code:04X}", "text without control characters", line_text=shown)


def _problem_at_mark(file: str, lines: TextLines, mark: Any, found: str, expected: str, remedy: str = "") -> Problem:
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
    said = f"{error.problem or ''} {error.context or ''}"
    words = next((plain for part, plain in _PARSER_WORDS.items() if part in said), "")
    return f"the YAML breaks off here: {words}" if words else "the YAML breaks off here"


_PARSER_WORDS = {
    "expected ',' or '}'": "a `,` or `}` is missing before this",
    "expected ',' or ']'": "a `,` or `]` is missing before this",
    "expected '-' indicator": "a line of a list begins with `- `, as far in as the ones above it",
    "expected key": "a line begins with a key, as far in as the ones above it",
    "expected ':'": "a `: ` is missing after a key",
    "mapping values are not allowed": "a second `: ` in one value",
    "a tab character": "a tab, where only spaces may stand",
    "cannot start any token": "no value begins with this character",
    "unexpected end of stream": "a quote that was opened before is never closed",
    "unknown escape character": "no `\\` goes before this character",
    "unexpected ':'": "a `:` where none may stand",
    "duplicate anchor": "one anchor `&` for two values",
    "undefined alias": "an alias `*` to no anchor",
    "expected <document start>": "this line belongs to nothing above it",
    "unexpected indicator": "a sign where none may stand",
    "character escape code": "an escape that stands for no character",
    "hexdecimal number": "an escape that stands for no character",
    "chomping or indentation": "after `|` or `>` the line ends",
    "expected comment or line break": "after `|` or `>` the line ends",
    "maximum nesting depth": "nesting is too deep",
    "expected node content": "a value is missing before this",
    "could not determine a constructor": "a tag `!`, which means nothing here",
}
"""Words of the parser → plain ones."""


def _expected_for(error: yaml.MarkedYAMLError) -> str:
    """What the file could say instead."""
    return "one document in a file" if _is_second_document(error) else "well-formed YAML"


def _is_second_document(error: yaml.MarkedYAMLError) -> bool:
    return _SECOND_DOCUMENT in (error.problem or "")


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
