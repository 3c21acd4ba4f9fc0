"""What the reader of a judgement should know of the record and the day."""

from collections.abc import Iterable, Iterator
from datetime import date

from carknocker.documents import nearest
from carknocker.judgement.chain.setting import Setting
from carknocker.judgement.model import Relief
from carknocker.judgement.situation import Situation
from carknocker.record.later import later_words
from carknocker.record.model import Leave, Move


def notes_of(situation: Situation, setting: Setting, reliefs: Iterable[Relief], as_of: date) -> tuple[str, ...]:
    """A day of judgement beside the move, entries dated later, leaves that do nothing: in sentences."""
    notes: list[str] = []
    move = situation.move
    if as_of > move.back:
        notes.append(f"The move ended on {move.back.isoformat()}, before the day of this judgement.")
    elif as_of > move.out:
        notes.append(
            f"The move began on {move.out.isoformat()}: evidence dated after that day was not at hand on departure."
        )
    if situation.standing.later:
        notes.append(later_words(situation.standing.car, as_of))
    used = {relief.leave.id for relief in reliefs if relief.leave is not None}
    for leave in situation.standing.car.leaves:
        notes.extend(_of_leave(leave, leave.id in used, move, setting))
    return tuple(notes)


def _of_leave(leave: Leave, used: bool, move: Move, setting: Setting) -> Iterator[str]:
    """What is wrong with a leave; nothing is said of one for another host or for other days."""
    short = {name.partition("/")[2] for name in setting.layers}
    if not setting.resolve(leave.criterion) and leave.criterion not in setting.layers and leave.criterion not in short:
        names = [*setting.criteria, *(one.name for one in setting.criteria.values())]
        near = nearest(leave.criterion, names)
        words = f"Leave {leave.id} names `{leave.criterion}`, which no rule in force has"
        yield words + (f"; the nearest is `{near}`." if near else ".")
    elif not used and leave.host.casefold() == move.host.casefold():
        if leave.first <= move.out and leave.last >= move.back:
            yield (
                f"Leave {leave.id} relieves nothing: no rule in force lets this host's leave for a {leave.purpose} "
                f"cancel `{leave.criterion}` on the part that it names."
            )
        elif leave.first <= move.back and leave.last >= move.out:
            yield (
                f"Leave {leave.id} counts for nothing: it is from {leave.first.isoformat()} to "
                f"{leave.last.isoformat()}, and does not cover the whole move."
            )
