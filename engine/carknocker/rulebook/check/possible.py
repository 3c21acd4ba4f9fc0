"""Rules that can't do anything: a condition that nothing fulfils, a limit that nothing keeps, one that all keep."""

from collections.abc import Iterator

from carknocker.documents import Location, Problem
from carknocker.rulebook.check.allowed import Allowed, allowed, certain, implied, open_to
from carknocker.rulebook.clauses import AllOf, Clause, Comparison
from carknocker.rulebook.model import Consequence, Criterion


def check_criterion(criterion: Criterion) -> Iterator[Problem]:
    """A criterion that never applies, that no part can meet, or that every part meets to which it applies."""
    where = criterion.where
    applies = allowed([criterion.when])
    path = _impossible(applies)
    if path:
        yield Problem(where, f"{criterion.id} can never apply: its `when` leaves nothing open to `{path}`",
                      "a condition that some part fulfils",
                      remedy="the `when` of the chapter counts too: take one of the two out")  # fmt: skip
        return
    if criterion.unless is not None and _all_implied(applies, criterion.unless):
        yield Problem(where, f"{criterion.id} can never apply: wherever its `when` holds, its `unless` holds too",
                      "an `unless` that takes out a part of what `when` lets in")  # fmt: skip
        return
    path = _impossible(allowed([criterion.must]))
    if path:
        yield Problem(where, f"{criterion.id} can never be met: its `must` leaves nothing open to `{path}`",
                      "a lower limit below the upper one",
                      remedy="`over` and `at_least` are lower limits, `under` and `at_most` upper ones")  # fmt: skip
        return
    path = _impossible(allowed([criterion.when, criterion.must]))
    if path:
        yield Problem(where, f"{criterion.id} can never be met where it applies: `when` and `must` leave nothing open "
                      f"to `{path}`", "a `must` that a part can meet to which `when` applies")  # fmt: skip
    elif _all_implied(applies, criterion.must):
        yield Problem(where, f"{criterion.id} can never be breached: wherever its `when` holds, its `must` holds too",
                      "a `must` that asks more than `when`",
                      remedy="a limit on the wrong side, or one that stands in both")  # fmt: skip


def check_consequence(consequence: Consequence) -> Iterator[Problem]:
    """A consequence whose condition, or one of whose causes, nothing fulfils."""
    yield from _never(consequence, consequence.when, consequence.where, "its `when`")
    for cause in consequence.causes:
        said = "a state" if cause.sort == "state" else f"the `when` of a cause on `{cause.sort}`"
        yield from _never(consequence, cause.when, cause.where, said)


def _never(consequence: Consequence, clause: Clause | None, where: Location, said: str) -> Iterator[Problem]:
    path = _impossible(allowed([clause]))
    if path:
        yield Problem(where, f"{consequence.id} can never follow: {said} leaves nothing open to `{path}`",
                      "a condition that some part fulfils")  # fmt: skip


def _impossible(left: Allowed) -> str:
    """The first attribute to which nothing is left open, "" if there is none."""
    return next((path for path, one in left.items() if one.empty), "")


def _all_implied(applies: Allowed, clause: Clause) -> bool:
    """Whether every comparison of a clause holds wherever `applies` does; False where that can't be told."""
    if not isinstance(clause, Comparison | AllOf):
        return False
    comparisons = list(certain(clause))
    whole = isinstance(clause, Comparison) or len(comparisons) == len(clause.clauses)
    for comparison in comparisons:
        left, asked = applies.get(str(comparison.path)), open_to(comparison)
        if left is None or asked is None or not implied(left, asked):
            return False
    return whole and bool(comparisons)
