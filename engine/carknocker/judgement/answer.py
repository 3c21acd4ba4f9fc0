"""`check`: is the car ready for this move? Where an edition changes before the return, what either asks counts."""

from datetime import date

import msgspec

from carknocker.judgement.combine_editions import combine_editions
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement, Outcome
from carknocker.record.model import CarRecord, Move
from carknocker.rulebook.library import Library, RulebookChoice

_STRICTNESS: dict[Outcome, int] = {
    "ready": 0,
    "ready with restrictions": 1,
    "repair move only": 2,
    "not ready": 3,
}


class CheckAnswer(msgspec.Struct, frozen=True):
    """The judgement that counts, and the other one where a new edition comes into force before the return.

    notes: what the reader should know about the rulebook and the record. day: the day of the judgement.
    """

    judgement: Judgement
    other: Judgement | None
    choice: RulebookChoice
    day: date
    notes: tuple[str, ...]

    @property
    def outcome(self) -> Outcome:
        return self.judgement.outcome

    @property
    def complete(self) -> bool:
        """Whether nothing is missing of the law that binds the move."""
        return self.judgement.rulebook.complete


def check(car: CarRecord, move: Move, library: Library, as_of: date) -> CheckAnswer:
    """Judges a car for a move on a day. Raises InputRefused if no rulebook binds the move, CannotJudge if there is no
    provable answer."""
    choice = library.rulebooks(move)
    first = judge(car, move, choice.at_out, as_of)
    if choice.at_back is None:
        return CheckAnswer(first, None, choice, as_of, (*choice.notes, *first.notes))
    second = judge(car, move, choice.at_back, as_of)
    counts, other = (second, first) if _strictness(second) > _strictness(first) else (first, second)
    note = (
        "Both rulebooks were judged, and what either asks counts "
        f"(at departure: {first.outcome}; at the return: {second.outcome})."
    )
    both = combine_editions(counts, other)
    return CheckAnswer(both, other, choice, as_of, (*choice.notes, note, *counts.notes))


def _strictness(judgement: Judgement) -> tuple[int, int, int]:
    return _STRICTNESS[judgement.outcome], len(judgement.refusals), len(judgement.restrictions)
