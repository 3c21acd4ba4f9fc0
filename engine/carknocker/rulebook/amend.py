"""Amendments: an edition that names only what it adds, replaces or withdraws, made whole from the one it amends."""

from typing import TypeVar

from msgspec.structs import replace

from carknocker.documents import Problem, ProblemList, nearest, one_of
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.model import Consequence, Criterion, Edition, Withdrawn

_Entry = TypeVar("_Entry", Criterion, Consequence)


def amended(head: EditionHead, changes: Edition, base: Edition, problems: ProblemList) -> Edition:
    """The amending edition whole: entries with an id of `base` replace it in its place, others are added.

    What the head leaves out (builds_on, regimes, borderline, relaxes) stays as `base` has it. An entry that stays
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
    for name in head.withdrawn:
        if name in changed:
            problems.add(Problem(where, f"`{name[:60]}` is withdrawn and stated anew", "one of the two",
                                 remedy="an entry with an earlier one's id replaces it"))  # fmt: skip
        elif name in relaxed:
            del relaxed[name]
        elif name not in names:
            problems.add(Problem(where, f"`{name[:60]}` is withdrawn, but edition {base.name} does not have it",
                                 one_of(sorted(names), "nothing withdrawn: that edition has no rules"),
                                 nearest(name, names)))  # fmt: skip
    for name, entry in changed.items():
        if name in names and names[name] is not type(entry):
            problems.add(Problem(entry.where, f"`{name}` is another sort of entry in edition {base.name}",
                                 "a criterion for a criterion, a consequence for a consequence"))  # fmt: skip
    criteria = _merged(base.criteria, changes.criteria, head.withdrawn)
    if head.borderline_said:
        criteria = tuple(
            criterion if criterion.borderline == head.borderline else replace(criterion, borderline=head.borderline)
            for criterion in criteria
        )
    elif base.criteria:
        inherited = base.criteria[0].borderline
        criteria = tuple(replace(criterion, borderline=inherited) for criterion in criteria)
    taken_away = tuple(
        Withdrawn(name, "criterion" if names[name] is Criterion else "consequence", head.name)
        for name in dict.fromkeys(head.withdrawn) if name in names
    )  # fmt: skip
    return replace(
        changes, criteria=criteria, consequences=_merged(base.consequences, changes.consequences, head.withdrawn),
        withdrawn=(*(one for one in base.withdrawn if one.name not in changed), *taken_away),
        builds_on=base.builds_on if head.builds_on is None else head.builds_on,
        regimes={**base.regimes, **changes.regimes}, relaxes={**relaxed, **changes.relaxes},
        routine_note=changes.routine_note or base.routine_note,
    )  # fmt: skip


def _entries(edition: Edition) -> list[Criterion | Consequence]:
    return [*edition.criteria, *edition.consequences]


def _merged(base: tuple[_Entry, ...], changes: tuple[_Entry, ...], withdrawn: tuple[str, ...]) -> tuple[_Entry, ...]:
    new = {entry.name: entry for entry in changes}
    kept = [new.pop(entry.name, entry) for entry in base if entry.name not in withdrawn]
    return tuple(kept) + tuple(new.values())
