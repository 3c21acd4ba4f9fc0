"""Checks the consequences of an edition: whether each cause may have that consequence (docs/judgement.md, *Causes*),
and whether the ids that they name exist."""

from collections.abc import Iterator, Mapping

from carknocker.documents import Location, Problem, ProblemList, nearest, one_of
from carknocker.rulebook.clauses import AttributePath, comparisons, paths
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.model import (
    UNMET,
    CarriesUp,
    Cause,
    CauseSort,
    Consequence,
    Edition,
    Relieves,
    Requires,
    Restricts,
    Voids,
    Yield,
)
from carknocker.vocabulary.program_names import MOVE_KINDS

NAMES: Mapping[type, str] = {
    Voids: "voids", CarriesUp: "carries_up", Requires: "requires", Restricts: "restricts", Relieves: "relieves",
}  # fmt: skip
_CHAIN = (CarriesUp, Requires, Restricts)
_ENTRY = (Voids, Requires, Restricts, Relieves)
ALLOWED: Mapping[CauseSort, tuple[type, ...]] = {
    "work": _ENTRY, "event": _ENTRY, "state": (Relieves, Requires, Restricts), "test": (Relieves,),
    "leave": (Relieves,), "finding": (*_CHAIN, Relieves), "seen": (Requires,), "unfit": _CHAIN, "restricted": _CHAIN,
    "duty": _CHAIN,
}  # fmt: skip


def check_causes(consequence: Consequence) -> Iterator[Problem]:
    """Every cause of a consequence with a yield that may not follow from it."""
    for cause in consequence.causes:
        for given in consequence.yields:
            yield from _pair(consequence, cause, given)
    if any(isinstance(given, Relieves) for given in consequence.yields):
        yield from _narrowed(consequence)


def note_causes(edition: Edition, problems: ProblemList) -> bool:
    """Reports what `check_causes` finds in an edition. Returns whether there was anything."""
    found = [problem for consequence in edition.consequences for problem in check_causes(consequence)]
    for problem in found:
        problems.add(problem)
    return bool(found)


def _narrowed(consequence: Consequence) -> Iterator[Problem]:
    """Relief that depends on a measured figure, in a cause, in its own `when` or in its chapter's. Then a worse reading
    might relieve where a better one does not, or a missing one might."""
    doors = [
        (cause.when, "a state" if cause.sort == "state" else f"the `when` of a cause on `{cause.sort}`", cause.where)
        for cause in consequence.causes
    ]
    doors.append((consequence.when, "a `when`, its own or its chapter's,", consequence.where))
    for clause, said, where in doors:
        looked_at = dict.fromkeys(path for _, one in comparisons(clause) for path in paths(one) if _measured(path))
        for path in looked_at:
            yield Problem(
                where, f"{said} that relieves and looks at `{path}`, which is measured ({consequence.id})",
                "descriptions, yes or no, and facts of the move and the train only: a worse reading may not relieve",
            )  # fmt: skip


def _pair(consequence: Consequence, cause: Cause, given: Yield) -> Iterator[Problem]:
    name = NAMES[type(given)]
    allowed = ALLOWED[cause.sort]
    if not isinstance(given, allowed):
        can = ", ".join(NAMES[kind] for kind in allowed)
        yield _problem(
            consequence, cause, f"`{name}` from a cause on `{cause.sort}`", f"`{cause.sort}` may cause {can}"
        )
    elif cause.sort == "state" and cause.when is None and isinstance(given, Relieves):
        yield _problem(
            consequence, cause, "`relieves` from `state: always`",
            "a state by which some parts are told from others; what is relieved of all is relaxed in `edition.yaml`",
        )  # fmt: skip
    elif cause.sort == "finding":
        yield from _finding(consequence, cause, given, name)


def _measured(path: AttributePath) -> bool:
    """Whether the value can get worse: readings other than yes or no, tests, papers, and figures reported of an
    event."""
    attribute = path.value_attribute
    if path.owner == "fact":
        return attribute.type not in ("yes or no", "one of", "list of", "text", "identity")
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


def check_named_ids(edition: Edition, head: EditionHead, problems: ProblemList) -> None:
    """Reports each criterion and consequence of the edition's own ruleset that a consequence names and that does not
    exist.

    What an earlier edition wrote may still name what this one removes; it then finds nothing.
    """
    criteria = {criterion.id for criterion in edition.criteria}
    consequences = {consequence.id for consequence in edition.consequences}
    own = f"{edition.ruleset}/"
    for consequence, where, what, name in named_ids(edition.consequences):
        known = criteria if what == "criterion" else consequences
        inherited = consequence.edition != head.name and name.removeprefix(own) in head.removed
        if name.startswith(own) and name not in known and not inherited:
            short = [known_id.removeprefix(own) for known_id in sorted(known)]
            problems.add(Problem(
                where, f"the {what} `{name.removeprefix(own)[:60]}` in {consequence.name}, which {edition.ruleset} "
                f"{edition.name} does not have",
                f"{one_of(short, 'nothing of its own')}, or `ruleset/{what}` of a lower layer",
                nearest(name.removeprefix(own), short),
            ))  # fmt: skip


def named_ids(consequences: tuple[Consequence, ...]) -> list[tuple[Consequence, Location, str, str]]:
    """Every id that consequences name: (consequence, place, `criterion` or `consequence`, id)."""
    found: list[tuple[Consequence, Location, str, str]] = []
    for consequence in consequences:
        for cause in consequence.causes:
            found.extend((consequence, cause.where, "criterion", name) for name in cause.criteria)
            if cause.sort == "duty":
                found.extend((consequence, cause.where, "consequence", name) for name in cause.names)
        for given in consequence.yields:
            for what, names in (("criterion", getattr(given, "criteria", ())),
                                ("consequence", getattr(given, "consequences", ()))):  # fmt: skip
                found.extend((consequence, consequence.where, what, name) for name in names)
    return found
