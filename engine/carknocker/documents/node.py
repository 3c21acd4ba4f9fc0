"""A YAML document as a tree of nodes: every scalar is text, every value and key knows its place."""

from collections.abc import Collection, Mapping
from itertools import islice
from typing import Any, Literal

import msgspec


class Location(msgspec.Struct, frozen=True, order=True):
    """A place in a file: its name, and line and column counted from 1. field: of a form that numbers its fields from 1,
    which one; else 0."""

    file: str
    line: int
    column: int
    field: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


_NO_ENTRIES: "Mapping[str, tuple[Node, Node]]" = {}


class Node:
    """A mapping, a sequence or a scalar. Only the field of its own kind is filled. Not to be changed once built.

    A plain slotted class: a rulebook has tens of thousands, and they are built at every start.
    """

    __slots__ = ("_column", "_entries", "_file", "_line", "kind", "nodes", "quoted", "text")

    def __init__(
        self,
        kind: Literal["mapping", "sequence", "scalar"],
        file: str,
        line: int,
        column: int,
        text: str = "",
        nodes: "tuple[Node, ...]" = (),
        entries: "Mapping[str, tuple[Node, Node]]" = _NO_ENTRIES,
        quoted: bool = False,
    ) -> None:
        """line and column count from 0, as the parser gives them; `where` counts from 1. entries: key and value by the
        text of the key."""
        self.kind = kind
        self._file, self._line, self._column = file, line, column
        self.text = text
        self.nodes = nodes
        self._entries = entries
        self.quoted = quoted

    def __repr__(self) -> str:
        return f"Node({self.where}, {self.describe()})"

    @property
    def where(self) -> Location:
        return Location(self._file, self._line + 1, self._column + 1)

    def items(self) -> "list[tuple[str, Location, Node]]":
        """Key, place of the key, and value, in the order of the file. Empty unless a mapping."""
        return [(text, key.where, value) for text, (key, value) in self._entries.items()]

    def pairs(self) -> "list[tuple[str, Node]]":
        """Key and value, in the order of the file, without places."""
        return [(text, value) for text, (_, value) in self._entries.items()]

    def keys(self) -> tuple[str, ...]:
        return tuple(self._entries)

    def get(self, key: str) -> "Node | None":
        entry = self._entries.get(key)
        return None if entry is None else entry[1]

    def key_where(self, key: str) -> Location:
        """The place of a key; of the mapping itself where it lacks the key."""
        entry = self._entries.get(key)
        return self.where if entry is None else entry[0].where

    def only(self, keys: "Collection[str]") -> "Node":
        """This mapping with only the entries of these keys."""
        entries = {text: entry for text, entry in self._entries.items() if text in keys}
        return Node(self.kind, self._file, self._line, self._column, self.text, self.nodes, entries, self.quoted)

    @property
    def is_empty(self) -> bool:
        """Nothing was written: `key:` with no value."""
        return self.kind == "scalar" and not self.quoted and self.text in ("", "~", "null")

    def plain(self) -> Any:
        """The document as plain dicts, lists and strings; None where nothing was written."""
        if self.kind == "mapping":
            return {text: value.plain() for text, (_, value) in self._entries.items()}
        if self.kind == "sequence":
            return [node.plain() for node in self.nodes]
        return None if self.is_empty else self.text

    def as_sequence(self) -> "tuple[Node, ...]":
        """The nodes of a sequence; anything else stands for a sequence of one."""
        return self.nodes if self.kind == "sequence" else (self,)

    def describe(self) -> str:
        """What stands here, in words for a message."""
        if self.kind == "mapping":
            first = ", ".join(key[:80] for key in islice(self._entries, 4))
            return "a mapping" + (f" with the keys {first}" if self._entries else " without keys")
        if self.kind == "sequence":
            return f"a list of {len(self.nodes)}"
        return "nothing" if self.is_empty else f"`{self.text[:80]}`"
