"""Where lines and nodes end in the text of a YAML document: for whoever puts something in, and changes nothing else."""

import re
from typing import Any

import yaml
from yaml.nodes import CollectionNode, Node

_Composer: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_ALIAS = re.compile(r"\*[^\s,\]}]+")


def composed(text: str) -> Node | None:
    """The nodes of a document that was read before, each with its marks in the text. Raises yaml.YAMLError."""
    root: Node | None = yaml.compose(text, Loader=_Composer)
    return root


def ended(text: str) -> str:
    """The text with a line feed at its end, where it has any text."""
    return text if text.endswith("\n") or not text else f"{text}\n"


def line_end(text: str, index: int) -> int:
    """Behind the line feed of the line that an index is in."""
    found = text.find("\n", index)
    return len(text) if found < 0 else found + 1


def last_index(text: str, node: Node) -> int:
    """Where the last thing written inside a node ends."""
    if not isinstance(node, CollectionNode) or node.flow_style or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    if isinstance(last, tuple):
        inner, before = last[1], int(last[0].end_mark.index)
    else:
        inner, before = last, int(node.value[-2].start_mark.index if len(node.value) > 1 else node.start_mark.index)
    if inner.start_mark.index >= before:
        return last_index(text, inner)
    alias = _ALIAS.search(text, before)  # a node that is named again has the marks of where it was written
    return alias.end() if alias is not None else before
