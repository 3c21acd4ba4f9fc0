"""Combines editions into the rulebook that binds a move: each amending edition is completed from the one it amends; law
comes first, then the trade, then the host."""

import hashlib
from collections.abc import Iterable
from typing import TypeVar

from msgspec.structs import replace

from carknocker.documents import InputRefused, Problem, ProblemList, nearest, one_of
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.model import Consequence, Criterion, Edition, Removed, Rulebook

LAYERS = ("law", "trade", "host")


def compose(editions: Iterable[Edition]) -> Rulebook:
    """The rulebook of some editions, lower layers first. A relaxed criterion stays as advice, and says who relaxed it.

    Raises InputRefused if a host relaxes law that does not allow it.
    """
    ordered = _ordered(tuple(editions))
    problems: list[Problem] = []
    relaxed: dict[str, tuple[Edition, str]] = {}
    criteria = {criterion.id: criterion for edition in ordered for criterion in edition.criteria}
    for edition in ordered:
        for name, reason in edition.relaxes.items():
            criterion = criteria.get(name)
            if criterion is None:
                continue
            problem = may_not_relax(edition, criterion)
            if problem is not None:
                problems.append(problem)
            relaxed[name] = (edition, reason)
    consequences = tuple(consequence for edition in ordered for consequence in edition.consequences)
    if problems:
        raise InputRefused(tuple(problems))
    digest = hashlib.sha256("\n".join(edition.digest for edition in ordered).encode()).hexdigest()
    return Rulebook(
        ordered, tuple(_as_relaxed(criterion, relaxed) for criterion in criteria.values()), consequences, digest
    )


def nothing_asked(rulebook: Rulebook) -> Problem | None:
    """The problem if a rulebook has no criterion: every car would be ready by it."""
    if rulebook.criteria:
        return None
    editions = ", ".join(f"{edition.ruleset} {edition.name}" for edition in rulebook.editions)
    return Problem(
        rulebook.editions[-1].where, f"no criterion in the editions that bind a move together: {editions}",
        "at least one criterion: by none, every car would be ready",
        remedy="write what is asked of a car, or name in `builds_on` the ruleset that says it",
    )  # fmt: skip


def may_not_relax(edition: Edition, criterion: Criterion) -> Problem | None:
    """The problem if an edition may not relax this criterion; None if it may."""
    if LAYERS.index(edition.layer) <= LAYERS.index(criterion.layer):
        return Problem(edition.where, f"{edition.ruleset} {edition.name} relaxes {criterion.id}, which is of no lower "
                       "layer", "a criterion of a lower layer",
                       remedy="state a criterion anew in an amending edition")  # fmt: skip
    if criterion.layer == "law" and not criterion.may_be_relaxed:
        return Problem(edition.where, f"{edition.ruleset} {edition.name} relaxes {criterion.id}, which is law",
                       "a criterion of law that says `may_be_relaxed: yes`",
                       remedy="take the relaxation out: law binds the host as well")  # fmt: skip
    return None


def _as_relaxed(criterion: Criterion, relaxed: dict[str, tuple[Edition, str]]) -> Criterion:
    if criterion.id not in relaxed:
        return criterion
    edition, reason = relaxed[criterion.id]
    return replace(
        criterion, effect="advise", restrictions=(), relaxed_by=f"{edition.ruleset} {edition.name}: {reason}"
    )


def _ordered(editions: tuple[Edition, ...]) -> tuple[Edition, ...]:
    """Lower layers first; within a layer, an edition after those that it builds on; then by name."""
    by_name = {edition.ruleset: edition for edition in editions}
    depth: dict[str, int] = {}

    def depth_of(edition: Edition, above: frozenset[str]) -> int:
        if edition.ruleset not in depth:
            below = [by_name[name] for name in edition.builds_on if name in by_name and name not in above]
            depth[edition.ruleset] = 1 + max((depth_of(lower, above | {edition.ruleset}) for lower in below), default=0)
        return depth[edition.ruleset]

    return tuple(sorted(
        editions,
        key=lambda edition: (LAYERS.index(edition.layer), depth_of(edition, frozenset()), edition.ruleset),
    ))  # fmt: skip


_Entry = TypeVar("_Entry", Criterion, Consequence)


def amended(head: EditionHead, changes: Edition, base: Edition, problems: ProblemList) -> Edition:
    """The amending edition, completed: its entries replace those of `base` with the same id, others are added.

    What its head leaves out (builds_on, regimes, borderline, relaxes) is taken from `base`. An entry that is taken over
    keeps the name of the edition that wrote it.
    """
    where = head.where
    if head.layer != base.layer or head.host.casefold() != base.host.casefold():
        problems.add(Problem(where, f"edition {head.name} amends {base.name} of another layer or host",
                             f"layer {base.layer}" + (f", host {base.host}" if base.host else "")))  # fmt: skip
    if head.in_force <= base.in_force:
        problems.add(Problem(where, f"in force from {head.in_force}, and amends edition {base.name}",
                             f"a day after {base.in_force}, when that came into force"))  # fmt: skip
    names = {entry.name: type(entry) for entry in _entries(base)}
    changed = {entry.name: entry for entry in _entries(changes)}
    relaxed = dict(base.relaxes)
    for name in head.removed:
        if name in changed:
            problems.add(Problem(where, f"`{name[:60]}` is removed and stated anew", "one of the two",
                                 remedy="an entry with an earlier one's id replaces it"))  # fmt: skip
        elif name in relaxed:
            del relaxed[name]
        elif name not in names:
            problems.add(Problem(where, f"`{name[:60]}` is removed, but edition {base.name} does not have it",
                                 one_of(sorted(names), "nothing removed: that edition has no rules"),
                                 nearest(name, names)))  # fmt: skip
    for name, entry in changed.items():
        if name in names and names[name] is not type(entry):
            problems.add(Problem(entry.where, f"`{name}` is another sort of entry in edition {base.name}",
                                 "a criterion for a criterion, a consequence for a consequence"))  # fmt: skip
    criteria = _merged(base.criteria, changes.criteria, head.removed)
    if head.borderline_said:
        criteria = tuple(
            criterion if criterion.borderline == head.borderline else replace(criterion, borderline=head.borderline)
            for criterion in criteria
        )
    elif base.criteria:
        inherited = base.criteria[0].borderline
        criteria = tuple(replace(criterion, borderline=inherited) for criterion in criteria)
    taken_away = tuple(
        Removed(name, "criterion" if names[name] is Criterion else "consequence", head.name)
        for name in dict.fromkeys(head.removed) if name in names
    )  # fmt: skip
    return replace(
        changes, criteria=criteria, consequences=_merged(base.consequences, changes.consequences, head.removed),
        corrections=(*base.corrections, *changes.corrections),
        removed=(*(one for one in base.removed if one.name not in changed), *taken_away),
        builds_on=base.builds_on if head.builds_on is None else head.builds_on,
        regimes={**base.regimes, **changes.regimes}, relaxes={**relaxed, **changes.relaxes},
        routine_note=changes.routine_note or base.routine_note,
    )  # fmt: skip


def _entries(edition: Edition) -> list[Criterion | Consequence]:
    return [*edition.criteria, *edition.consequences]


def _merged(base: tuple[_Entry, ...], changes: tuple[_Entry, ...], removed: tuple[str, ...]) -> tuple[_Entry, ...]:
    new = {entry.name: entry for entry in changes}
    kept = [new.pop(entry.name, entry) for entry in base if entry.name not in removed]
    return tuple(kept) + tuple(new.values())
