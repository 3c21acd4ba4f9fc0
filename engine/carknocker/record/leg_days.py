"""The days of the legs of a move: those that are written follow each other, from the day out to the return."""

from collections.abc import Iterable
from datetime import date

from carknocker.documents import Node
from carknocker.record.model import Leg
from carknocker.record.notes import Notes


def check_leg_days(legs: Iterable[Leg], written: Node, out: date, back: date, notes: Notes) -> None:
    """Notes each day of a leg that lies before one written earlier, or outside the move. written: the list of legs.

    The first leg leaves on the day out, since that day is the departure.
    """
    nodes = written.as_sequence()
    earliest, told = out, f"the day out, {out}"
    for leg in legs:
        node = nodes[leg.number - 1]
        if leg.number == 1 and leg.on is not None and leg.on != out:
            found = f"leg 1 on {leg.on}, where the move goes out on {out}"
            notes.note(node.get("on") or node, found, f"`on: {out}`, or no `on`")
            continue
        for key, day, does in (("on", leg.on, "leaves"), ("until", leg.until, "arrives")):
            if day is None:
                continue
            if earliest <= day <= back:
                earliest, told = day, f"{day}, the day on which leg {leg.number} {does}"
                continue
            notes.note(
                node.get(key) or node, f"leg {leg.number}, which {does} on {day}",
                f"a day not before {told}, and not after the return on {back}",
                remedy="legs stand in the order in which they are made",
            )  # fmt: skip
