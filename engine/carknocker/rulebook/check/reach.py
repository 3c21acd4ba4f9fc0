"""Checks that a refusal on a part reaches the car along `carries_up`."""

from collections.abc import Iterator
from typing import TypeGuard

from carknocker.documents import Location, Problem
from carknocker.rulebook.model import UNMET, CarriesUp, Cause, Consequence, Criterion, Requires, Rulebook, Yield
from carknocker.rulebook.reading_context import VocabularyLookup
from carknocker.vocabulary.program_names import MOVE_KINDS

_NO_PATH_NEEDED = frozenset((*MOVE_KINDS, "car", ""))


def check_reach(rulebook: Rulebook, lookup: VocabularyLookup) -> Iterator[Problem]:
    """Each kind of part that has refusing criteria, or duties that refuse, but no path to the car.

    A path counts only if it always holds: from every unmet verdict, without a further condition, through containers
    that every part of the kind has.
    """
    carrying = [
        (cause, given.kinds)
        for consequence in rulebook.consequences
        if consequence.when is None
        for cause in consequence.causes
        if cause.when is None
        for given in consequence.yields
        if isinstance(given, CarriesUp)
    ]
    ways = _Ways(carrying, lookup)
    lost: dict[str, list[Criterion]] = {}
    for criterion in rulebook.criteria:
        if criterion.effect == "refuse" and criterion.of not in _NO_PATH_NEEDED and not ways.from_finding(criterion):
            lost.setdefault(criterion.of, []).append(criterion)
    for kind, criteria in lost.items():
        yield _problem(
            kind, criteria[0].where, f"what is refused on a {kind}", [criterion.id for criterion in criteria],
            f"`cause: {{finding: unmet, of: {kind}, effect: refuse}}`",
        )  # fmt: skip
    open_duties: dict[str, list[Consequence]] = {}
    for consequence in rulebook.consequences:
        for given in consequence.yields:
            if _may_refuse(given) and not ways.from_duty(consequence.id, given.of):
                open_duties.setdefault(given.of, []).append(consequence)
    for kind, consequences in open_duties.items():
        names = list(dict.fromkeys(consequence.id for consequence in consequences))
        yield _problem(
            kind, consequences[0].where, f"a duty on a {kind} that is left open", names, "`cause: {duty: open}`"
        )


def _may_refuse(given: Yield) -> TypeGuard[Requires]:
    """A duty that stands against the move while it is open, on a part whose refusal must reach the car."""
    return (
        isinstance(given, Requires) and given.effect == "refuse" and given.when == "before departure"
        and given.of not in _NO_PATH_NEEDED
    )  # fmt: skip


class _Ways:
    def __init__(self, carrying: list[tuple[Cause, tuple[str, ...]]], lookup: VocabularyLookup) -> None:
        self._carrying = carrying
        self._lookup = lookup

    def from_finding(self, criterion: Criterion) -> bool:
        """From each unmet verdict of the criterion a path leads to the car."""
        found = [
            (cause, kinds)
            for cause, kinds in self._carrying
            if cause.sort == "finding"
            and cause.of in ("", criterion.of)
            and cause.effect in ("", "refuse")
            and (not cause.criteria or criterion.id in cause.criteria)
        ]
        return all(
            self._reaches(criterion.of, [kinds for cause, kinds in found if cause.unmet or verdict in cause.verdicts])
            for verdict in UNMET
        )

    def from_duty(self, consequence: str, kind: str) -> bool:
        return self._reaches(kind, [
            kinds for cause, kinds in self._carrying
            if cause.sort == "duty" and cause.of in ("", kind) and (not cause.names or consequence in cause.names)
        ])  # fmt: skip

    def _reaches(self, kind: str, steps: list[tuple[str, ...]]) -> bool:
        """Whether the car is unfit once these steps are taken from a part of a kind, and all that follow."""
        unfit: set[str] = set()
        waiting = [(kind, step) for step in steps]
        while waiting:
            start, step = waiting.pop()
            certain = self._lookup.certain_ancestors(start)
            for container in step:
                if container in certain and container not in unfit:
                    unfit.add(container)
                    waiting.extend(
                        (container, kinds)
                        for cause, kinds in self._carrying
                        if cause.sort == "unfit" and container in cause.names
                    )
        return "car" in unfit


def _problem(kind: str, where: Location, what: str, names: list[str], cause: str) -> Problem:
    listed = ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
    return Problem(
        where, f"{what} does not reach the car ({listed})", f"a path of `carries_up` from the {kind} to the car",
        remedy=f"a consequence with {cause} and `carries_up: […, car]`",
    )  # fmt: skip
