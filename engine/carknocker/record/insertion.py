"""Entries put into the text of a record: what its owner wrote stays as it is, to the letter, comments too."""

import json
import re
from collections.abc import Mapping

from yaml.nodes import CollectionNode, MappingNode, Node, ScalarNode, SequenceNode

from carknocker.documents.places_in_text import composed, ended, last_index, line_end
from carknocker.documents.visible_text import one_line
from carknocker.record.value_reader import NOT_KNOWN

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 .&'/()°%+-]*[A-Za-z0-9.)°%])?")


class CannotInsert(Exception):
    """A place in a text where nothing can be put in without changing more."""


def plain_text(text: str) -> str:
    """A value as YAML that every reader takes as this text."""
    return text if _PLAIN.fullmatch(text) else json.dumps(one_line(text, hidden=" "), ensure_ascii=False)


def with_entry(text: str, path: tuple[str | int, ...], value: str) -> str:
    """The text with a value, written in flow style, at the end of a path of keys, and of numbers in lists. A `not
    known` there gives way to it.

    Raises CannotInsert where something else stands there, or the mapping is used in several places.
    """
    root = _composed(text)
    node: Node = root
    for depth, key in enumerate(path):
        if isinstance(key, int):
            if not isinstance(node, SequenceNode) or key >= len(node.value):
                raise CannotInsert(f"there is no entry {key + 1} in the list")
            node = node.value[key]
            continue
        if not isinstance(node, MappingNode):
            break
        _refuse_shared(text, root, node)
        found = next((pair for pair in node.value if pair[0].value == key), None)
        if found is None:
            if depth == 0 and len(path) > 1:
                return f"{ended(text)}\n{key}:\n  {path[1]}: {_nested(path[2:], value)}\n"
            return _into(text, node, key, _nested(path[depth + 1 :], value), at_root=depth == 0)
        last = depth == len(path) - 1
        if _is_empty(found[1]):
            end = found[0].end_mark.index
            colon = text.index(":", end) + 1
            return f"{text[:colon]} {_nested(path[depth + 1 :], value)}{text[colon:]}"
        if last and isinstance(found[1], ScalarNode) and found[1].value == NOT_KNOWN:
            return f"{text[: found[1].start_mark.index]}{value}{text[found[1].end_mark.index :]}"
        node = found[1]
    raise CannotInsert(f"`{dotted(path)}` is there already")


def with_value(text: str, path: tuple[str | int, ...], value: str) -> str:
    """The text with another value, written in flow style, in place of the one at the end of a path.

    Raises CannotInsert where nothing stands there, or what stands there is used in several places.
    """
    root = _composed(text)
    node: Node = root
    for key in path:
        _refuse_shared(text, root, node)
        inner = [one[1] for one in node.value if one[0].value == key] if isinstance(node, MappingNode) else []
        if isinstance(node, SequenceNode) and isinstance(key, int):
            inner = node.value[key : key + 1]
        if not inner:
            raise CannotInsert(f"`{dotted(path)}` is not there")
        node = inner[0]
    _refuse_shared(text, root, node)
    anchored = text.startswith("&", node.start_mark.index)
    if anchored or (isinstance(node, CollectionNode) and not node.flow_style) or _is_empty(node):
        raise CannotInsert(f"`{dotted(path)}` is written over several lines, or bears an anchor")
    return f"{text[: node.start_mark.index]}{value}{text[node.end_mark.index :]}"


def with_item_commented_out(text: str, section: str, number: int) -> str:
    """The text with an item of a list, counted from 0, made a comment, and its section with it where it was the last.

    Raises CannotInsert where the item does not stand in lines of its own.
    """
    root = _composed(text)
    pair = next((one for one in root.value if one[0].value == section), None)
    if pair is None or not isinstance(pair[1], SequenceNode) or pair[1].flow_style:
        raise CannotInsert(f"`{section}` is written in brackets")
    node = pair[1].value[number]
    start = text.rfind("\n", 0, node.start_mark.index) + 1
    end = line_end(text, last_index(text, node))
    if len(pair[1].value) == 1:
        start = text.rfind("\n", 0, pair[0].start_mark.index) + 1
    lines = text[start:end].splitlines(keepends=True)
    if not lines[-1].endswith("\n"):
        lines[-1] += "\n"
    return text[:start] + "".join(one if one.lstrip().startswith("#") else f"# {one}" for one in lines) + text[end:]


def dotted(path: tuple[str | int, ...]) -> str:
    """A path in one word; an entry of a list by its number, the first is 1."""
    return ".".join(str(key + 1) if isinstance(key, int) else key for key in path)


def with_members(text: str, section: str, members: Mapping[str, str]) -> str:
    """The text with members, each written in flow style, at the end of a section of named parts.

    Raises CannotInsert where the section is something else, or is written in braces.
    """
    root = _composed(text)
    found = next((pair for pair in root.value if pair[0].value == section), None)
    if found is None:
        return ended(text) + f"\n{section}:\n" + "".join(f"  {name}: {value}\n" for name, value in members.items())
    key, node = found
    if _is_empty(node):
        end, indent = line_end(text, key.end_mark.index), "  "
    elif isinstance(node, MappingNode) and not node.flow_style and _uses(root, node) == 1:
        end, indent = line_end(text, last_index(text, node)), " " * node.value[0][0].start_mark.column
    else:
        raise CannotInsert(f"`{section}` is written in braces, or in several places")
    added = "".join(f"{indent}{name}: {value}\n" for name, value in members.items())
    return ended(text[:end]) + added + text[end:]


def with_item(text: str, section: str, lines: list[str]) -> str:
    """The text with an item at the end of a list. lines: of the item, the first with its dash, indented by nothing.

    Raises CannotInsert for a list in brackets.
    """
    root = _composed(text)
    found = next((pair for pair in root.value if pair[0].value == section), None)
    if found is None:
        return ended(text) + f"{section}:\n" + "".join(f"  {line}\n" for line in lines)
    key, node = found
    if _is_empty(node):
        end = line_end(text, key.end_mark.index)
        return ended(text[:end]) + "".join(f"  {line}\n" for line in lines) + text[end:]
    if not isinstance(node, SequenceNode) or node.flow_style:
        raise CannotInsert(f"`{section}` is written in brackets")
    indent = " " * node.start_mark.column
    end = line_end(text, last_index(text, node))
    return ended(text[:end]) + "".join(f"{indent}{line}\n" for line in lines) + text[end:]


def _composed(text: str) -> MappingNode:
    root = composed(text)
    if not isinstance(root, MappingNode):
        raise CannotInsert("no mapping")
    return root


def _into(text: str, node: MappingNode, key: str, value: str, *, at_root: bool) -> str:
    entry = f"{key}: {value}"
    if node.flow_style:
        brace = node.end_mark.index - 1
        before = text[:brace].rstrip()
        comma = "" if before.endswith(("{", ",")) else ","
        return f"{before}{comma}{'' if before.endswith('{') else ' '}{entry}{text[brace:]}"
    if at_root:
        return f"{ended(text)}\n{entry}\n"
    end = line_end(text, last_index(text, node))
    return f"{ended(text[:end])}{' ' * node.value[0][0].start_mark.column}{entry}\n{text[end:]}"


def _nested(path: tuple[str | int, ...], value: str) -> str:
    for key in reversed(path):
        value = f"{{{key}: {value}}}"
    return value


def _is_empty(node: Node) -> bool:
    return isinstance(node, ScalarNode) and not node.value and not node.style


def _refuse_shared(text: str, root: Node, node: Node) -> None:
    """What an anchor stands for is used in several places: more than the one that was meant would change."""
    if "&" in text and _uses(root, node) > 1:
        raise CannotInsert("an anchor is used in several places")


def _uses(root: Node, wanted: Node) -> int:
    if not isinstance(root, CollectionNode):
        return 0
    inner = [one for pair in root.value for one in (pair if isinstance(pair, tuple) else (pair,))]
    return sum((one is wanted) + (0 if one is wanted else _uses(one, wanted)) for one in inner)
