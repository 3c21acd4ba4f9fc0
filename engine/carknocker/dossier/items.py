"""All that keeps a car from moving, as items in one order: the same on every page that counts them."""

from itertools import takewhile

import msgspec

from carknocker.dossier.blockers import Blocker, blockers_of
from carknocker.dossier.missing import Missing, may_be_shown, missing_now
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Refusal
from carknocker.vocabulary.program_names import MOVE_KINDS

Item = Blocker | Missing


class Items(msgspec.Struct, frozen=True):
    """blockers: of the car. missing: all that is not shown, one item. against_the_move: what the move asks for more
    than the car may do."""

    blockers: tuple[Blocker, ...]
    missing: Missing | None
    against_the_move: tuple[Blocker, ...]

    @property
    def of_the_car(self) -> tuple[Item, ...]:
        """Faults first, then what is not shown, then spares that are not aboard, which are the least of it."""
        if self.missing is None:
            return self.blockers
        after = len(self.blockers) - sum(1 for _ in takewhile(lambda one: one.spare, reversed(self.blockers)))
        return (*self.blockers[:after], self.missing, *self.blockers[after:])

    @property
    def in_order(self) -> tuple[Item, ...]:
        """Those of the car, then those of the move."""
        return (*self.of_the_car, *self.against_the_move)


def items_of(index: JudgementIndex) -> Items:
    """The items of a judgement."""
    others = [refusal for refusal in index.judgement.refusals if not may_be_shown(refusal, index)]
    return Items(
        blockers_of([one for one in others if not _of_the_move(one)], index),
        missing_now(index),
        blockers_of([one for one in others if _of_the_move(one)], index),
    )


def _of_the_move(refusal: Refusal) -> bool:
    finding = refusal.finding
    return refusal.against is not None or (finding is not None and finding.part.kind in MOVE_KINDS)


def fault_text(item: Item) -> str:
    """The item in one line."""
    return f"Not measured: {item.counted}" if isinstance(item, Missing) else item.fault.text
