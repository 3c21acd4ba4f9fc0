"""The move, the train and the legs as parts, so that a criterion can look at them as at any other."""

from collections.abc import Iterator, Mapping

from carknocker.record.model import Evidence, Leg, Move, Part
from carknocker.record.part_keys import leg_key
from carknocker.record.values import Day, Figure, Value, Word


def move_parts(move: Move) -> Iterator[tuple[Part, Mapping[str, Value]]]:
    """The move, the train and each leg as parts, with what the move file says of them."""
    move_facts = {
        **move.facts,
        "host": Word(move.host),
        "train": Word(move.train),
        "rides": Word(move.rides),
        "out": Day(move.out, move.out, move.out.isoformat()),
        "back": Day(move.back, move.back, move.back.isoformat()),
    }
    yield Part("move", "move", "", "the move", None, True, move.where), move_facts
    yield Part("train", "train", "", "the train", "move", True, move.where), move.train_facts
    for leg in move.legs:
        key = leg_key(leg.number)
        label = f"leg {leg.number} ({leg.start} to {leg.end})"
        yield (
            Part(key, "leg", str(leg.number), label, "move", True, leg.where),
            {**leg.facts, "from": Word(leg.start), "to": Word(leg.end), "miles": Figure(leg.miles), **_days(leg)},
        )


def _days(leg: Leg) -> dict[str, Value]:
    """The days of a leg, where the move says them."""
    days = {"on": leg.on, "until": leg.until}
    return {name: Day(day, day, day.isoformat()) for name, day in days.items() if day is not None}


def stated(part: Part, name: str, value: Value) -> Evidence:
    """What the move file says of one of these parts, as a description."""
    return Evidence(f"{part.key} {name}", name, part.key, part.key, value, "description", None, part.where)
