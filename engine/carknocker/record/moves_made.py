"""Moves made: past trips with their days and miles."""

from collections.abc import Iterable
from itertools import pairwise

from carknocker.documents import Node
from carknocker.record.entries import read_entry
from carknocker.record.model import Fitting, MoveMade
from carknocker.record.notes import Notes
from carknocker.record.structures import MoveMadeEntry


def read_moves_made(section: Node | None, notes: Notes) -> tuple[MoveMade, ...]:
    """The moves, oldest first. Notes two at once: a car is in one train at a time."""
    moves: list[MoveMade] = []
    for node in notes.sequence(section, "moves_made"):
        entry, _ = read_entry(node, MoveMadeEntry, notes, "a move made")
        if entry is None:
            continue
        if entry.to < entry.from_day:
            notes.note(node.get("to") or node, "a move that ends before it begins", "`to` on or after `from`")
            continue
        moves.append(MoveMade(entry.from_day, entry.to, entry.miles, entry.host, node.where))
    moves.sort(key=lambda one: (one.out, one.back))
    for before, move in pairwise(moves):
        if move.out < before.back:
            found = f"a move from {move.out.isoformat()}, when that of line {before.where.line} was still under way"
            notes.note(move.where, found, f"a day from {before.back.isoformat()} on: the car is in one train at a time")
    return tuple(moves)


def prove_moves(fittings: tuple[Fitting, ...], moves: Iterable[MoveMade], notes: Notes) -> None:
    """No change of wheelset lies inside a move made: its miles could not be told apart."""
    for move in moves:
        for fitting in fittings:
            if fitting.first is not None and move.out < fitting.first < move.back:
                notes.note(
                    move.where,
                    f"a move from {move.out.isoformat()} to {move.back.isoformat()}, inside which {fitting.began_with} "
                    f"put {fitting.wheelset} at axle {fitting.axle}",
                    "moves that end where wheelsets are changed",
                    remedy="write two moves, each with its own miles",
                )
                break
