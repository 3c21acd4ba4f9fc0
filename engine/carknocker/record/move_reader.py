"""The move that is planned, with its legs and their days; and the moves that were made."""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType

from msgspec.structs import replace

from carknocker.documents import Node
from carknocker.documents.structure import keys_of
from carknocker.quantities import Period, write_quantity
from carknocker.record.contradictions import refuse_contradictions
from carknocker.record.entries import LegHead, MoveHead, MoveMadeEntry, read_entry, read_facts, read_head
from carknocker.record.files import MOVE_FORMAT, RecordReporter, read_file, read_whole
from carknocker.record.model import Evidence, Fitting, Leg, Move, MoveMade, Part
from carknocker.record.part_keys import leg_key
from carknocker.record.possible_values import refuse_impossible_entry
from carknocker.record.values import Figure, Value, Word
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import TRAIN


def check_leg_days(legs: Iterable[Leg], written: Node, out: date, back: date, reporter: RecordReporter) -> None:
    """Reports each day of a leg that lies before one written earlier, or outside the move. written: the list of legs.

    The first leg leaves on the day out, since that day is the departure.
    """
    nodes = written.as_sequence()
    earliest, told = out, f"the day out, {out}"
    for leg in legs:
        node = nodes[leg.number - 1]
        if leg.number == 1 and leg.on is not None and leg.on != out:
            found = f"leg 1 on {leg.on}, where the move goes out on {out}"
            reporter.note(node.get("on") or node, found, f"`on: {out}`, or no `on`")
            continue
        for key, day, does in (("on", leg.on, "leaves"), ("until", leg.until, "arrives")):
            if day is None:
                continue
            if earliest <= day <= back:
                earliest, told = day, f"{day}, the day on which leg {leg.number} {does}"
                continue
            reporter.note(
                node.get(key) or node, f"leg {leg.number}, which {does} on {day}",
                f"a day not before {told}, and not after the return on {back}",
                remedy="legs stand in the order in which they are made",
            )  # fmt: skip


def read_moves_made(section: Node | None, reporter: RecordReporter) -> tuple[MoveMade, ...]:
    """The moves, oldest first. Reports two at once: a car is in one train at a time."""
    moves: list[MoveMade] = []
    for node in reporter.sequence(section, "moves_made"):
        entry, _ = read_entry(node, MoveMadeEntry, reporter, "a move made")
        if entry is None:
            continue
        if entry.to < entry.from_day:
            reporter.note(node.get("to") or node, "a move that ends before it begins", "`to` on or after `from`")
            continue
        if not entry.sure:
            refuse_impossible_entry("moves_made.miles", entry.miles, node.get("miles") or node, reporter)
            longest = _A_YEAR.after(entry.from_day)
            if entry.to > longest:
                found = f"a move made until {entry.to}, more than a year after it began"
                remedy = "correct the day; if it is so, add `sure: WHY`"
                reporter.note(node.get("to") or node, found, f"{longest} or earlier", remedy=remedy)
        moves.append(MoveMade(entry.from_day, entry.to, entry.miles, entry.host, node.where))
    moves.sort(key=lambda one: (one.out, one.back))
    for before, move in pairwise(moves):
        if move.out < before.back:
            found = f"a move from {move.out.isoformat()}, when that of line {before.where.line} was still under way"
            reporter.note(
                move.where, found, f"a day from {before.back.isoformat()} on: the car is in one train at a time"
            )
    return tuple(moves)


def prove_moves(fittings: tuple[Fitting, ...], moves: Iterable[MoveMade], reporter: RecordReporter) -> None:
    """Reports a change of wheelset inside a move that was made: the miles of each wheelset can't be told."""
    for move in moves:
        for fitting in fittings:
            if fitting.first is not None and move.out < fitting.first < move.back:
                reporter.note(
                    move.where,
                    f"a move from {move.out.isoformat()} to {move.back.isoformat()}, inside which {fitting.began_with} "
                    f"put {fitting.wheelset} at axle {fitting.axle}",
                    "moves that end where wheelsets are changed",
                    remedy="write two moves, each with its own miles",
                )
                break


_NONE: Mapping[str, str] = MappingProxyType({})


def read_move(path: Path) -> Move:
    """The move in a file. Raises InputRefused with every problem found."""
    return read_file(path, read_move_text)


def read_move_text(text: str, file: str) -> Move:
    """The move that `text` says; `file` names it. Raises InputRefused with every problem found."""
    return read_whole(text, file, MOVE_FORMAT, lambda root, reporter: _read(root, text, file, reporter))


def _read(root: Node, text: str, file: str, reporter: RecordReporter) -> Move | None:
    for key in root.keys():
        if key not in ("format", "move", "train", "legs", "notes"):
            reporter.unknown_key(root, key, ("format", "move", "train", "legs", "notes"), "a move")
    node = root.get("move")
    if node is None:
        reporter.note(root, "a move file without `move`", "`move:` with `host`, `train`, `out`, `back`, `rides`")
        return None
    head = read_head(node, MoveHead, reporter, "the move")
    facts = (
        read_facts(node, keys_of(MoveHead), _written("move", reporter), reporter, "the move")
        if node.kind == "mapping"
        else {}
    )
    train_facts, neighbors = _train(root.get("train"), reporter)
    _prove_train(root.get("train"), train_facts, reporter)
    written = root.get("legs")
    legs = _legs(written, root, reporter)
    if head is None:
        return None
    _refuse_other_railroads(legs, written, head.host, reporter)
    if head.rides == "passengers" and train_facts.get("carries_passengers") == Word("no"):
        train = root.get("train")
        reporter.note(
            (train and train.get("carries_passengers")) or node,
            "a train without passengers, with passengers in this car (`rides: passengers`)",
            "`carries_passengers: yes`, or `rides: crew` or `rides: nobody`",
            remedy="the train's passengers are those of all its cars, this one's too",
        )  # fmt: skip
    _prove_public(head, facts, train_facts, root.get("train") or node, reporter)
    if head.back < head.out:
        reporter.note(node.get("back") or node, f"a return on {head.back}, before the day out", f"{head.out} or later")
    else:
        _prove_length(head, legs, train_facts, node, reporter)
        if written is not None:
            check_leg_days(legs, written, head.out, head.back, reporter)
    return Move(
        host=head.host, train=head.train, out=head.out, back=head.back, rides=head.rides, legs=legs, facts=facts,
        train_facts=train_facts, editions=dict(head.editions) or _NONE, circular=head.circular != "none", file=file,
        digest=hashlib.sha256(text.encode()).hexdigest(), where=node.where, neighbors=neighbors,
        sure=tuple(sorted(reporter.sure, key=lambda one: one.where)), host_is_not=head.host_is_not,
    )  # fmt: skip


def _prove_public(
    head: MoveHead, facts: Mapping[str, Value], train: Mapping[str, Value], written: Node, reporter: RecordReporter
) -> None:
    """Reports passengers elsewhere in a freight train of whom nobody says that they are not the public: by 49 CFR 238.5
    a train that carries the public is a passenger train. Of those in this car the rules ask."""
    carries, public = train.get("carries_passengers"), facts.get("public_rides")
    if head.train != "freight" or head.rides == "passengers":
        return
    if carries == Word("yes") and public != Word("no"):
        said = "not said" if public is None else "yes"
        place = written.get("carries_passengers") or written
        found = f"a freight train that carries passengers, with `public_rides` {said}"
    elif public == Word("yes"):
        place, found = written, "a freight train in which the general public rides"
    else:
        return
    reporter.note(
        place,
        found,
        "`train: passenger`, or `public_rides: no` under `move`",
        remedy="a train that carries the general public, in any of its cars, is a passenger train (49 CFR 238.5)",
    )


def _written(kind: str, reporter: RecordReporter) -> dict[str, Attribute]:
    """What a move file may say of a kind: everything but what is worked out."""
    return {name: one for name, one in reporter.vocabulary.kinds[kind].attributes.items() if not one.derived}


def _train(node: Node | None, reporter: RecordReporter) -> tuple[dict[str, Value], dict[str, dict[str, Value]]]:
    """What the file says of the train, and of the cars ahead of and behind this one."""
    neighbors: dict[str, dict[str, Value]] = {}
    if node is None or node.is_empty:
        return {}, neighbors
    facts = read_facts(node, ("neighbors",), _written("train", reporter), reporter, "the train")
    of_cars = {name: one for name, one in _written("car", reporter).items() if one.description}
    speed, written = facts.get("speed"), node.get("speed")
    said_sure = written is not None and _is_sure(written)
    if isinstance(speed, Figure) and speed.quantity.n <= 0 and said_sure:  # else its range says so
        reporter.note(written or node, "a train that stands still", "`speed`: the most it runs at, above zero")
    around = node.get("neighbors")
    for place, neighbor in reporter.mapping(around, "neighbors"):
        if around is not None and place not in ("ahead", "behind"):
            reporter.unknown_key(around, place, ("ahead", "behind"), "neighbors")
        else:
            neighbors[place] = read_facts(neighbor, (), of_cars, reporter, f"the neighbor {place}")
    return facts, neighbors


_A_YEAR = Period(months=12)
_AFTER_THE_LAST_LEG = 2
"""Days from the arrival of the last leg to the return. Common practice: set out the day after, or on the next working
day."""
_HOURS_OF_A_DAY = 24


def _prove_length(
    head: MoveHead, legs: Sequence[Leg], train: Mapping[str, Value], node: Node, reporter: RecordReporter
) -> None:
    """Reports a move of more than a year, one that returns days after its last leg, and a leg that no train of this
    speed makes in its days."""
    longest = _A_YEAR.after(head.out)
    if head.back > longest and not head.sure:
        reporter.note(
            node.get("back") or node, f"a return on {head.back}, more than a year after the day out",
            f"{longest} or earlier", remedy="correct the day; if it is so, add `sure: WHY` to the move",
        )  # fmt: skip
    last = max(legs, key=lambda leg: leg.number, default=None)
    if last is not None and last.until is not None and last.until >= (last.on or head.out) and not head.sure:
        stands = (head.back - last.until).days
        if stands > _AFTER_THE_LAST_LEG:
            reporter.note(
                node.get("back") or node,
                f"a return on {head.back}, {stands} days after the last leg arrives at {last.end[:60]}",
                f"`back: {last.until}`, or the legs of the way back",
                remedy="write down the missing leg, or correct the day; if it is so, add `sure: WHY` to the move",
            )
    speed = train.get("speed")
    if not isinstance(speed, Figure):
        return
    for leg in legs:
        if leg.on is None or leg.until is None or leg.until < leg.on:
            continue
        days = (leg.until - leg.on).days + 1
        if leg.miles.amount > speed.quantity.amount * _HOURS_OF_A_DAY * days:
            reporter.note(
                leg.where, f"leg {leg.number} of {write_quantity(leg.miles)} in {days} day{'' if days == 1 else 's'} "
                f"at {write_quantity(speed.quantity)}",
                f"at most {write_quantity(speed.quantity)} on each of its hours",
                remedy="correct the miles, the days or the speed",
            )  # fmt: skip


def _prove_train(node: Node | None, facts: Mapping[str, Value], reporter: RecordReporter) -> None:
    """Reports what the file says of the train that can't all be true."""
    if node is None or node.kind != "mapping":
        return
    said = {
        name: (Evidence(name, name, TRAIN, TRAIN, value, "description", None, given.where, sure=_is_sure(given)),)
        for name, value in facts.items()
        if (given := node.get(name)) is not None
    }
    train = Part(TRAIN, TRAIN, "", "the train", None, True, node.where)
    refuse_contradictions((train,), {TRAIN: said}, (), (), reporter)


def _is_sure(node: Node) -> str:
    """What a value that was read without a fault says with `sure`; "" where it says nothing."""
    given = node.get("sure") if node.kind == "mapping" else None
    return "" if given is None else given.text


def _legs(written: Node | None, root: Node, reporter: RecordReporter) -> tuple[Leg, ...]:
    attributes = {name: one for name, one in _written("leg", reporter).items() if name not in keys_of(LegHead)}
    nodes = reporter.sequence(written, "legs")
    if not nodes:
        reporter.note(written or root, "a move without legs", "`legs:`, each with `from`, `to` and `miles`")
    legs: list[Leg] = []
    before: LegHead | None = None
    for number, node in enumerate(nodes, start=1):
        told = len(reporter.sure)
        head = read_head(node, LegHead, reporter, "a leg")
        facts = read_facts(node, keys_of(LegHead), attributes, reporter, "a leg") if node.kind == "mapping" else {}
        reporter.sure[told:] = [replace(one, of=leg_key(number)) for one in reporter.sure[told:]]
        if head is not None:
            _prove_leg(number, head, before, node, reporter)
            legs.append(Leg(number, head.from_place, head.to, head.miles, facts, node.where, head.on, head.until))
        before = head
    return tuple(legs)


def _prove_leg(number: int, head: LegHead, before: LegHead | None, node: Node, reporter: RecordReporter) -> None:
    """A leg goes somewhere, from where the one before it ended. before: None where that can't be read.

    Zero miles from a place to itself, as in a move whose route is still to be named, are no contradiction.
    """
    if head.miles.n <= 0 and _place(head.from_place) != _place(head.to):
        found = f"leg {number} of {write_quantity(head.miles)} from {head.from_place[:60]} to {head.to[:60]}"
        reporter.note(node.get("miles") or node, found, "miles above zero between two places")
    if before is not None and _place(head.from_place) != _place(before.to):
        reporter.note(
            node.get("from") or node,
            f"leg {number} from {head.from_place[:60]}, where leg {number - 1} ends at {before.to[:60]}",
            f"`from: {before.to[:60]}`: each leg begins where the one before it ended",
            remedy="correct the place, or write down the leg that is missing",
        )


def _refuse_other_railroads(legs: Iterable[Leg], written: Node | None, host: str, reporter: RecordReporter) -> None:
    """A move is judged by the rules of one host: a leg on another railroad would be judged by rules that are not its
    own."""
    nodes = reporter.sequence(written, "legs")
    for leg in legs:
        said = leg.facts.get("railroad")
        if not isinstance(said, Word) or _place(said.text) == _place(host):
            continue
        node = nodes[leg.number - 1]
        reporter.note(
            node.get("railroad") or node, f"leg {leg.number} on the {said.text[:60]}, where the host is {host[:60]}",
            f"`railroad: {host[:60]}`, or no `railroad`",
            remedy="write that leg as a move of its own, with that railroad as its host, and judge it by its circular",
        )  # fmt: skip


def _place(name: str) -> str:
    """The name of a place without regard to capitals and spaces."""
    return " ".join(name.split()).casefold()
