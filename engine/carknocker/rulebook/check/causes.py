"""Which cause may have which consequence (docs/judgement.md, *Causes*)."""

from collections.abc import Iterator, Mapping

from carknocker.documents import Problem
from carknocker.rulebook.check.walk import comparisons, paths
from carknocker.rulebook.clauses import AttributePath
from carknocker.rulebook.lookup import MOVE_KINDS
from carknocker.rulebook.model import (
    UNMET,
    CarriesUp,
    Cause,
    CauseSort,
    Consequence,
    Relieves,
    Requires,
    Restricts,
    Withdraws,
    Yield,
)

NAMES: Mapping[type, str] = {
    Withdraws: "withdraws", CarriesUp: "carries_up", Requires: "requires", Restricts: "restricts", Relieves: "relieves",
}  # fmt: skip
_CHAIN = (CarriesUp, Requires, Restricts)
_ENTRY = (Withdraws, Requires, Restricts, Relieves)
ALLOWED: Mapping[CauseSort, tuple[type, ...]] = {
    "work": _ENTRY, "event": _ENTRY, "state": (Relieves, Requires, Restricts), "test": (Relieves,),
    "leave": (Relieves,), "finding": (*_CHAIN, Relieves), "seen": (Requires,), "unfit": _CHAIN, "restricted": _CHAIN,
    "duty": _CHAIN,
}  # fmt: skip


def check_causes(consequence: Consequence) -> Iterator[Problem]:
    """Every cause of a consequence from which one of its yields may not follow."""
    for cause in consequence.causes:
        for given in consequence.yields:
            yield from _pair(consequence, cause, given)


def _pair(consequence: Consequence, cause: Cause, given: Yield) -> Iterator[Problem]:
    name = NAMES[type(given)]
    allowed = ALLOWED[cause.sort]
    if not isinstance(given, allowed):
        can = ", ".join(NAMES[kind] for kind in allowed)
        yield _problem(
            consequence, cause, f"`{name}` from a cause on `{cause.sort}`", f"`{cause.sort}` may cause {can}"
        )
    elif cause.sort == "finding":
        yield from _finding(consequence, cause, given, name)
    elif cause.sort == "state" and isinstance(given, Relieves):
        for _, comparison in comparisons(cause.when):
            for path in paths(comparison):
                if _measured(path):
                    yield _problem(
                        consequence, cause, f"a state that relieves and looks at `{path}`, which is measured",
                        "descriptions and yes or no only: a worse reading may not relieve",
                    )  # fmt: skip


def _measured(path: AttributePath) -> bool:
    attribute = path.value_attribute
    return not attribute.description and attribute.type != "yes or no" and path.attribute.kind not in MOVE_KINDS


def _finding(consequence: Consequence, cause: Cause, given: Yield, name: str) -> Iterator[Problem]:
    verdicts = set(cause.verdicts)
    if isinstance(given, Relieves):
        yield from _relief(consequence, cause, given)
        return
    if "met" in verdicts:
        yield _problem(consequence, cause, f"`{name}` from a finding that is met", "an unmet finding")
    elif verdicts & {"lapses", "borderline"} and "breached" not in verdicts:
        yield _problem(
            consequence, cause, f"`{name}` from {' and '.join(cause.verdicts)} without breached",
            "`unmet`, or `breached` beside it: a worse reading may not lift a consequence",
        )  # fmt: skip
    if isinstance(given, CarriesUp) and not cause.effect:
        yield _problem(
            consequence, cause, "`carries_up` from a finding without an effect", "`effect: refuse` beside `finding`"
        )


def _relief(consequence: Consequence, cause: Cause, given: Relieves) -> Iterator[Problem]:
    if set(cause.verdicts) == {"met"}:
        if not cause.criteria:
            yield _problem(consequence, cause, "relief by whatever is met", "`criterion: …`, naming what is met")
        if given.finding_same:
            yield _problem(
                consequence, cause, "relief of a finding that is met", "`criterion: …`, naming what is relieved"
            )
    elif "met" in cause.verdicts:
        yield _problem(consequence, cause, "relief by met and unmet findings alike", "one of the two")
    elif not given.finding_same:
        yield _problem(
            consequence, cause, "relief of one criterion by another that is unmet", "`relieves: {finding: same}`"
        )
    elif not cause.unmet and not set(UNMET) <= set(cause.verdicts):
        yield _problem(
            consequence, cause, f"relief of a finding only where it is {' or '.join(cause.verdicts)}",
            "`finding: unmet`: a worse verdict may not be relieved where a better one is not",
        )  # fmt: skip


def _problem(consequence: Consequence, cause: Cause, found: str, expected: str) -> Problem:
    return Problem(cause.where, f"{found} ({consequence.id})", expected)
