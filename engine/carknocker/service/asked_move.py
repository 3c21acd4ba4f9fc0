"""A move as fields: what it says of itself, of its train, and of each leg, in the words and choices of the vocabulary.
Runs in worker processes."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import msgspec

from carknocker.documents import InputRefused, Location, Node, Problem, ProblemList, read_document
from carknocker.documents.list_entries import with_line_ends
from carknocker.documents.structure import Structure, keys_of
from carknocker.record import read_move_text
from carknocker.record.entries import LegHead, MoveHead
from carknocker.record.insertion import CannotInsert, dotted, plain_text, with_entry, with_item, with_value
from carknocker.record.value_reader import is_not_known
from carknocker.service.asked import MOVE_FILE, Refused, in_plain_words
from carknocker.service.asked_fields import Field, field_of
from carknocker.vocabulary.model import Attribute

Path = tuple[str | int, ...]
_SURE = "sure"
_HEADS: Mapping[str, type[Structure]] = {"move": MoveHead, "leg": LegHead}
"""By the kind: the entries of a fixed shape, of which `sure` is said once for all."""
_HOW_SURE = "how its days, miles or places were made sure, if they can hardly be so"


class MoveGroup(msgspec.Struct, frozen=True):
    """Fields that stand together. title: of what they are; new: of a leg that is not there yet."""

    title: str
    fields: tuple[Field, ...]
    new: bool = False


class MoveWritten(msgspec.Struct, frozen=True):
    """A move with what was put into its fields. changed: what it says now, a line each. at_fields: why a field was not
    taken, by its key, and under "" what is about none; then nothing was written."""

    move: str
    changed: tuple[str, ...] = ()
    at_fields: tuple[tuple[str, tuple[Problem, ...]], ...] = ()


class _Place(msgspec.Struct, frozen=True):
    """Where something is said in a move. attribute: None for how it was made sure."""

    path: Path
    kind: str
    attribute: Attribute | None

    @property
    def own_sure(self) -> bool:
        """Whether it may say by itself how it was made sure."""
        return self.attribute is not None and self.path[-1] not in _fixed(self.kind)


def move_fields(move: str) -> tuple[MoveGroup, ...]:
    """The fields of a move, and of one more leg. Raises Refused."""
    with in_plain_words():
        root = _root(move)
        legs = len(_legs(root))
        titles = {"move": "The move", "train": "The train"}
        groups: dict[str, list[Field]] = {}
        for place in _places(legs + 1):
            title = titles.get(place.kind) or f"Leg {int(place.path[1]) + 1}"
            groups.setdefault(title, []).append(_field(place, root))
        last = f"Leg {legs + 1}"
        return tuple(MoveGroup(title, tuple(fields), new=title == last) for title, fields in groups.items())


def with_fields(move: str, said: tuple[tuple[str, str], ...], sure: tuple[tuple[str, str], ...]) -> MoveWritten:
    """The move with what was typed into fields, by their keys, all or nothing, proven by reading it. sure: by the key,
    how a figure that can hardly be was made sure. Raises Refused, also for a field that there is not."""
    with in_plain_words():
        root = _root(move)
        legs = len(_legs(root))
        places = {dotted(one.path): one for one in _places(legs + 1)}
        plain = move.replace("\r\n", "\n")
        text = plain
        changed: list[str] = []
        one_more: list[str] = []
        refused: dict[str, tuple[Problem, ...]] = {}
        for key, typed in said:
            place = places.get(key)
            if place is None:
                raise Refused("not found", f"a move has no field {key[:80]}")
            value = _flow(place, typed, dict(sure).get(key, ""))
            changed.append(f"{key}: {value}")
            if place.path[:2] == ("legs", legs):
                one_more.append(f"{'  ' if one_more else '- '}{place.path[2]}: {value}")
                continue
            try:
                written = _node_at(root, place.path)
                says = written is not None and not written.is_empty and not is_not_known(written)
                text = (with_value if says else with_entry)(text, place.path, value)
            except CannotInsert as reason:
                found = f"`{key}` can't be written: {reason}"
                refused[key] = (Problem(Location(MOVE_FILE, 1, 1), found, remedy="write it in the text"),)
        try:
            text = with_item(text, "legs", one_more) if one_more else text
        except CannotInsert as reason:
            refused[""] = (Problem(Location(MOVE_FILE, 1, 1), f"{reason}", remedy="write the leg in the text"),)
        if not refused:
            refused = _problems_of(text, places.values())
        if refused:
            return MoveWritten(move, at_fields=tuple(refused.items()))
        return MoveWritten(with_line_ends(move, plain, text), tuple(changed))


def _root(move: str) -> Node:
    """The document of a move that can be read. Raises InputRefused."""
    read_move_text(move, MOVE_FILE)
    problems = ProblemList()
    root = read_document(move, MOVE_FILE, problems)
    if root is None:
        raise InputRefused(problems.problems)
    return root


def _legs(root: Node) -> tuple[Node, ...]:
    legs = root.get("legs")
    return () if legs is None or legs.is_empty else legs.as_sequence()


def _fixed(kind: str) -> tuple[str, ...]:
    return keys_of(_HEADS[kind]) if kind in _HEADS else ()


def _places(legs: int) -> Iterator[_Place]:
    """Every field of a move with so many legs."""
    yield from _places_of(("move",), "move")
    yield from _places_of(("train",), "train")
    for number in range(legs):
        yield from _places_of(("legs", number), "leg")


def _places_of(path: Path, kind: str) -> Iterator[_Place]:
    from carknocker.vocabulary import load_vocabulary

    for attribute in load_vocabulary().kinds[kind].attributes.values():
        if not attribute.derived:
            yield _Place((*path, attribute.name), kind, attribute)
    if kind in _HEADS:
        yield _Place((*path, _SURE), kind, None)


def _field(place: _Place, root: Node) -> Field:
    key, value = dotted(place.path), _said(_node_at(root, place.path))
    if place.attribute is None:
        return Field(key, _HOW_SURE, (), False, "", "", True, value, "")
    day = place.attribute.type == "date" and place.path[-1] in _fixed(place.kind)
    field = field_of(key, place.kind, place.attribute, value)
    return msgspec.structs.replace(field, day=day, may_be_sure=place.own_sure)


def _node_at(root: Node, path: Path) -> Node | None:
    node: Node | None = root
    for key in path:
        if node is None:
            return None
        if isinstance(key, int):
            nodes = node.as_sequence()
            node = nodes[key] if key < len(nodes) else None
        else:
            node = node.get(key)
    return node


def _said(node: Node | None) -> str:
    """A value as it stands in the text; nothing where it is not known."""
    if node is None or node.is_empty or is_not_known(node):
        return ""
    if node.kind == "mapping":
        return _said(node.get("reads"))
    return ", ".join(one.text for one in node.nodes) if node.kind == "sequence" else node.text


def _flow(place: _Place, typed: str, sure: str) -> str:
    """What was typed, as a move writes it."""
    from carknocker.forms.rows import unit_of, with_unit
    from carknocker.questions.enter.answer_values import flow_text
    from carknocker.questions.enter.filled_form import with_beside

    attribute = place.attribute
    if attribute is None:
        return plain_text(typed)
    value: Any = with_unit(typed, unit_of(attribute))
    if attribute.type == "list of":
        value = [one.strip() for one in typed.split(",")]
    return flow_text(with_beside(value, sure=sure) if place.own_sure else value)


def _problems_of(text: str, places: Iterable[_Place]) -> dict[str, tuple[Problem, ...]]:
    """What is wrong with a move, by the field at whose value it stands; under "" what stands at none."""
    try:
        read_move_text(text, MOVE_FILE)
    except InputRefused as refused:
        root = read_document(text, MOVE_FILE, ProblemList())
        at = {}
        for place in places:
            node = None if root is None else _node_at(root, place.path)
            if node is not None:
                at[node.where.line, node.where.column] = dotted(place.path)
        found: dict[str, list[Problem]] = {}
        for one in refused.problems:
            before = [(line, column) for line, column in at if line == one.where.line and column <= one.where.column]
            found.setdefault(at[max(before)] if before else "", []).append(one)
        return {key: tuple(problems) for key, problems in found.items()}
    return {}
