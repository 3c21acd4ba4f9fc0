"""The parts that a job, an event or a test stands on."""

from datetime import date

from carknocker.documents import Node, nearest, one_of
from carknocker.record.notes import Notes
from carknocker.record.positions import Positions
from carknocker.vocabulary.model import WorkKind


def standing_on(
    node: Node, at: tuple[str, ...], kind: WorkKind, on: date, after: frozenset[str], positions: Positions, notes: Notes
) -> tuple[str, ...]:
    """Keys of the parts that `at` names on a day, each of the first kind of part that has such a position. Without `at`
    it is the one part of its kind (the car, the brake system); noted where there is no such one."""
    kinds = [notes.vocabulary.kinds[name] for name in kind.on]
    place = node.get("at") or node
    if not at:
        single = next((one for one in kinds if one.positions == "single"), None)
        if single is None:
            notes.note(place, f"`{kind.name}` without `at`", f"`at: …`: which {' or '.join(kind.on)}")
            return ()
        return tuple(part for part, _ in positions.find(single, single.name, place, on, after))
    found: list[str] = []
    for text in at:
        own = next((one for one in kinds if positions.knows(one, text, on, after)), None)
        if own is not None:
            found.extend(part for part, _ in positions.find(own, text, place, on, after))
        elif len(kinds) == 1:
            positions.find(kinds[0], text, place, on, after)
        else:
            known = [word for one in kinds for word in positions.words(one, on, after)]
            words = f"`at: {text[:40]}`, which is no {' or '.join(kind.on)}"
            expected = one_of(known, f"no `at`: the record has no {' or '.join(kind.on)}")
            notes.note(place, words, expected, nearest(text, known))
    return tuple(dict.fromkeys(found))
