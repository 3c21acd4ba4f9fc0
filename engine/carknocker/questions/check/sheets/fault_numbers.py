"""The faults of a car in one numbering, the same on every sheet."""

from collections.abc import Iterator, Mapping

import msgspec

from carknocker.dossier.blockers import Blocker
from carknocker.dossier.missing import Missing
from carknocker.dossier.view import View
from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.rulebook.model import Source


class NumberedFault(msgspec.Struct, frozen=True):
    """number: from 1. sources: of the rules that say so, each once."""

    number: int
    blocker: Blocker
    sources: tuple[Source, ...]

    @property
    def part(self) -> str:
        """What it is on, as the beginning of a line."""
        subject = self.blocker.fault.subject
        return subject[:1].upper() + subject[1:]


def numbered_faults(view: View, index: JudgementIndex) -> tuple[NumberedFault, ...]:
    """The faults of the car and then those of the move; what nobody measured is no fault, and has a number among
    them."""
    return tuple(
        NumberedFault(number, one, tuple(_sources(one, index)))
        for number, one in enumerate(view.items.in_order, start=1)
        if not isinstance(one, Missing)
    )


def number_of_the_missing(view: View) -> int:
    """The number of what nobody measured; 0 where all is."""
    return next((number for number, one in enumerate(view.items.in_order, 1) if isinstance(one, Missing)), 0)


def _sources(blocker: Blocker, index: JudgementIndex) -> Iterator[Source]:
    seen: dict[Source, None] = {}
    for identifier in blocker.criterion.split(", "):
        rule = index.criteria.get(identifier) or index.consequences.get(identifier)
        if rule is not None:
            seen[rule.source] = None
    yield from seen


def fault_of_rule(faults: tuple[NumberedFault, ...]) -> Mapping[str, int]:
    """The id of a rule → the number of the fault that it says."""
    return {rule: one.number for one in reversed(faults) for rule in one.blocker.criterion.split(", ")}


def numbers_for_drawings(faults: tuple[NumberedFault, ...], index: JudgementIndex) -> FaultNumbers:
    """The numbers of the faults by the refusals that they are made of."""
    return FaultNumbers.by_rule(index.judgement.refusals, fault_of_rule(faults))
