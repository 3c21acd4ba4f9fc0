"""Reads YAML safely: no object is ever built, sizes are capped, every scalar stays the text that was written.

Since nothing is typed here, YAML's own guesses (`no` for false, `12:30` for a number in base 60, `010` for
eight, `2026-09-12` for an object) can't happen; the reader of each value types it by the vocabulary.
"""

import re
from typing import Any

import yaml

from carknocker.documents.location import Location
from carknocker.documents.node import Node
from carknocker.documents.problems import Problem, ProblemList
from carknocker.documents.yaml_errors import expected_for, problem_at_mark, remedy_for, unreadable, words_of

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
        problems.add(problem_at_mark(file, lines, error.mark, error.found, error.expected))
        return None
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problems.add(problem_at_mark(file, lines, mark, words_of(error), expected_for(error), remedy_for(error)))
        return None
    except yaml.reader.ReaderError as error:
        problems.add(unreadable(text, file, lines, error))
        return None
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        words = str(error).splitlines()[0] if str(error) else "unreadable text"
        problems.add(problem_at_mark(file, lines, None, f"not YAML: {words}", "well-formed YAML"))
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
        self._problems.add(problem_at_mark(self._file, self._lines, mark, found, expected, remedy))
