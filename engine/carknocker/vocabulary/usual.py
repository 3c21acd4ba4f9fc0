"""Tool, access and readers of an attribute, and what is usual for all attributes of a kind."""

from collections.abc import Mapping
from typing import cast, get_args

import msgspec

from carknocker.documents import Node, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.vocabulary.entries import entries_of, text_of, texts_of, word_of
from carknocker.vocabulary.model import Access

USUAL_KEYS = frozenset(("tool", "access", "read_by"))
_ACCESSES = frozenset(get_args(Access))
_READERS = frozenset(("owner", "shop", "host"))


class Usual(msgspec.Struct, frozen=True):
    """What holds for the attributes of a kind that say nothing else."""

    tool: str = ""
    access: Access = "walking round"
    read_by: tuple[str, ...] = ()


NOTHING_USUAL = Usual()


def read_usual(node: Node | None, problems: ProblemList) -> Usual:
    """The usual tool, access and readers of a kind's attributes."""
    if node is None:
        return NOTHING_USUAL
    found = entries_of(node, USUAL_KEYS, "what is usual", problems)
    return where_and_who(found, NOTHING_USUAL, problems)


def where_and_who(entries: Mapping[str, Node], usual: Usual, problems: ProblemList) -> Usual:
    """What the entries of an attribute say, and what is usual where they say nothing."""
    get = entries.get
    tool, access, readers = get("tool"), get("access"), get("read_by")
    return Usual(
        text_of(tool, "tool", problems) or usual.tool,
        cast(Access, word_of(access, _ACCESSES, "access", problems) or usual.access),
        usual.read_by if readers is None else _readers(readers, problems),
    )


def _readers(node: Node, problems: ProblemList) -> tuple[str, ...]:
    """`owner or shop`, or a list."""
    readers = tuple(node.text.split(" or ")) if node.kind == "scalar" else texts_of(node, "who reads", problems)
    for reader in readers:
        if reader not in _READERS:
            expected = "owner, shop, host, joined by ` or `"
            problems.add(problem_at(node, f"`{reader}` as reader", expected, nearest(reader, _READERS)))
    return readers
