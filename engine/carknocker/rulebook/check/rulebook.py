"""What can be told wrong of editions only when they stand together."""

from collections.abc import Iterator

from carknocker.documents import Problem, nearest
from carknocker.rulebook.check.reach import check_reach
from carknocker.rulebook.check.strictness import check_tightens
from carknocker.rulebook.check.together import check_together
from carknocker.rulebook.compose import LAYERS, may_not_relax, nothing_asked
from carknocker.rulebook.consequence_checks import named_ids
from carknocker.rulebook.lookup import Lookup
from carknocker.rulebook.model import Consequence, Criterion, Relieves, Rulebook
from carknocker.vocabulary.model import Vocabulary


def check_rulebook(rulebook: Rulebook, vocabulary: Vocabulary) -> tuple[Problem, ...]:
    """Every problem between the editions of a rulebook, at its place."""
    criteria = {criterion.id: criterion for criterion in rulebook.criteria}
    consequences = {consequence.id: consequence for consequence in rulebook.consequences}
    empty = nothing_asked(rulebook)
    return (
        *(() if empty is None else (empty,)),
        *_names(rulebook, criteria, consequences),
        *_tightened(rulebook, criteria),
        *_relaxed(rulebook, criteria),
        *(problem for each in rulebook.consequences for problem in _relieved(each, criteria, consequences)),
        *check_together(rulebook),
        *check_reach(rulebook, Lookup(vocabulary)),
    )


def _names(
    rulebook: Rulebook, criteria: dict[str, Criterion], consequences: dict[str, Consequence]
) -> Iterator[Problem]:
    for consequence, where, what, name in named_ids(rulebook.consequences):
        known = criteria if what == "criterion" else consequences
        if name not in known and not name.startswith(f"{consequence.ruleset}/"):
            yield Problem(where, f"{consequence.id}: the {what} `{name[:80]}`, which the rulebook does not have",
                          f"a {what} of a lower layer", nearest(name, known))  # fmt: skip


def _tightened(rulebook: Rulebook, criteria: dict[str, Criterion]) -> Iterator[Problem]:
    for criterion in rulebook.criteria:
        if not criterion.tightens:
            continue
        lower = criteria.get(criterion.tightens)
        if lower is None:
            found = f"{criterion.id} tightens `{criterion.tightens[:80]}`, which the rulebook does not have"
            yield Problem(criterion.where, found, "a criterion of a lower layer", nearest(criterion.tightens, criteria))
        elif LAYERS.index(lower.layer) >= LAYERS.index(criterion.layer):
            yield Problem(criterion.where, f"{criterion.id} tightens {lower.id}, which is of no lower layer",
                          "a criterion of a lower layer")  # fmt: skip
        else:
            yield from check_tightens(criterion, lower)


def _relaxed(rulebook: Rulebook, criteria: dict[str, Criterion]) -> Iterator[Problem]:
    for edition in rulebook.editions:
        for name in edition.relaxes:
            if name not in criteria:
                found = f"{edition.ruleset} {edition.name} relaxes `{name[:80]}`, which the rulebook does not have"
                yield Problem(edition.where, found, "a criterion of a lower layer", nearest(name, criteria))
            else:
                problem = may_not_relax(edition, criteria[name])
                if problem is not None:
                    yield problem


def _relieved(
    consequence: Consequence, criteria: dict[str, Criterion], consequences: dict[str, Consequence]
) -> Iterator[Problem]:
    """Relief of law by a layer above it, where the law does not say that it may be relaxed."""
    if consequence.layer == "law":
        return
    for given in consequence.yields:
        if not isinstance(given, Relieves):
            continue
        for criterion in _covered(consequence, given, criteria):
            if criterion.layer == "law" and not criterion.may_be_relaxed:
                yield Problem(consequence.where, f"{consequence.id} relieves {criterion.id}, which is law",
                              "a criterion of law that says `may_be_relaxed: yes`")  # fmt: skip
        for name in given.consequences:
            if name in consequences and consequences[name].layer == "law":
                yield Problem(consequence.where, f"{consequence.id} relieves {name}, which is law",
                              "a consequence of the trade or of the host")  # fmt: skip


def _covered(consequence: Consequence, given: Relieves, criteria: dict[str, Criterion]) -> list[Criterion]:
    if not given.finding_same:
        return [criteria[name] for name in given.criteria if name in criteria]
    return [
        criterion for criterion in criteria.values()
        if any(
            cause.sort == "finding" and cause.of in ("", criterion.of)
            and (not cause.criteria or criterion.id in cause.criteria)
            for cause in consequence.causes
        )
    ]  # fmt: skip
