"""The move: one YAML file, read whole or refused whole with every problem in it."""

import hashlib
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from carknocker.documents import Node
from carknocker.documents.structure import keys_of
from carknocker.quantities import write_quantity
from carknocker.record.entries import read_facts, read_head
from carknocker.record.leg_days import check_leg_days
from carknocker.record.model import Leg, Move
from carknocker.record.notes import Notes
from carknocker.record.structures import LegHead, MoveHead
from carknocker.record.values import Figure, Value
from carknocker.record.whole_file import read_file, read_whole
from carknocker.vocabulary.model import Attribute

FORMAT = "carknocker-move/1"
_NONE: Mapping[str, str] = MappingProxyType({})


def read_move(path: Path) -> Move:
    """The move in a file. Raises InputRefused with every problem found."""
    return read_file(path, read_move_text)


def read_move_text(text: str, file: str) -> Move:
    """The move that `text` says; `file` names it. Raises InputRefused with every problem found."""
    return read_whole(text, file, FORMAT, lambda root, notes: _read(root, text, file, notes))


def _read(root: Node, text: str, file: str, notes: Notes) -> Move | None:
    for key in root.keys():
        if key not in ("format", "move", "train", "legs", "notes"):
            notes.unknown_key(root, key, ("format", "move", "train", "legs", "notes"), "a move")
    node = root.get("move")
    if node is None:
        notes.note(root, "a move file without `move`", "`move:` with `host`, `train`, `out`, `back`, `rides`")
        return None
    head = read_head(node, MoveHead, notes, "the move")
    facts = (
        read_facts(node, keys_of(MoveHead), _written("move", notes), notes, "the move")
        if node.kind == "mapping"
        else {}
    )
    train_facts, neighbours = _train(root.get("train"), notes)
    written = root.get("legs")
    legs = _legs(written, root, notes)
    if head is None:
        return None
    if head.back < head.out:
        notes.note(node.get("back") or node, f"a return on {head.back}, before the day out", f"{head.out} or later")
    elif written is not None:
        check_leg_days(legs, written, head.out, head.back, notes)
    return Move(
        host=head.host, train=head.train, out=head.out, back=head.back, rides=head.rides, legs=legs, facts=facts,
        train_facts=train_facts, editions=dict(head.editions) or _NONE, circular=head.circular != "none", file=file,
        digest=hashlib.sha256(text.encode()).hexdigest(), where=node.where, neighbours=neighbours,
    )  # fmt: skip


def _written(kind: str, notes: Notes) -> dict[str, Attribute]:
    """What a move file may say of a kind: everything but what is worked out."""
    return {name: one for name, one in notes.vocabulary.kinds[kind].attributes.items() if not one.derived}


def _train(node: Node | None, notes: Notes) -> tuple[dict[str, Value], dict[str, dict[str, Value]]]:
    """What the file says of the train, and of the cars ahead of and behind this one."""
    neighbours: dict[str, dict[str, Value]] = {}
    if node is None or node.is_empty:
        return {}, neighbours
    facts = read_facts(node, ("neighbours",), _written("train", notes), notes, "the train")
    of_cars = {name: one for name, one in _written("car", notes).items() if one.description}
    speed = facts.get("speed")
    if isinstance(speed, Figure) and speed.quantity.n <= 0:
        notes.note(node.get("speed") or node, "a train that stands still", "`speed`: the most it runs at, above zero")
    around = node.get("neighbours")
    for place, neighbour in notes.mapping(around, "neighbours"):
        if around is not None and place not in ("ahead", "behind"):
            notes.unknown_key(around, place, ("ahead", "behind"), "neighbours")
        else:
            neighbours[place] = read_facts(neighbour, (), of_cars, notes, f"the neighbour {place}")
    return facts, neighbours


def _legs(written: Node | None, root: Node, notes: Notes) -> tuple[Leg, ...]:
    attributes = {name: one for name, one in _written("leg", notes).items() if name not in keys_of(LegHead)}
    nodes = notes.sequence(written, "legs")
    if not nodes:
        notes.note(written or root, "a move without legs", "`legs:`, each with `from`, `to` and `miles`")
    legs: list[Leg] = []
    before: LegHead | None = None
    for number, node in enumerate(nodes, start=1):
        head = read_head(node, LegHead, notes, "a leg")
        facts = read_facts(node, keys_of(LegHead), attributes, notes, "a leg") if node.kind == "mapping" else {}
        if head is not None:
            _prove_leg(number, head, before, node, notes)
            legs.append(Leg(number, head.from_place, head.to, head.miles, facts, node.where, head.on, head.until))
        before = head
    return tuple(legs)


def _prove_leg(number: int, head: LegHead, before: LegHead | None, node: Node, notes: Notes) -> None:
    """A leg goes somewhere, from where the one before it ended. before: None where that can't be read.

    Zero miles from a place to itself, as in a move whose route is still to be named, are no contradiction.
    """
    if head.miles.n <= 0 and _place(head.from_place) != _place(head.to):
        found = f"leg {number} of {write_quantity(head.miles)} from {head.from_place[:60]} to {head.to[:60]}"
        notes.note(node.get("miles") or node, found, "miles above zero between two places")
    if before is not None and _place(head.from_place) != _place(before.to):
        notes.note(
            node.get("from") or node,
            f"leg {number} from {head.from_place[:60]}, where leg {number - 1} ends at {before.to[:60]}",
            f"`from: {before.to[:60]}`: each leg begins where the one before it ended",
            remedy="correct the place, or write down the leg that is missing",
        )


def _place(name: str) -> str:
    """The name of a place, whatever its capitals and spaces."""
    return " ".join(name.split()).casefold()
