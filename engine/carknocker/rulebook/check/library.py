"""Checks all editions at hand, each by itself and in every rulebook that they can form."""

from collections.abc import Iterator
from datetime import date

from msgspec.structs import replace

from carknocker.documents import InputRefused, Problem, nearest
from carknocker.rulebook.check.completeness import check_completeness
from carknocker.rulebook.check.examples import check_consequence_examples, check_examples
from carknocker.rulebook.check.faults import check_fault_of_consequence, check_fault_of_criterion
from carknocker.rulebook.check.reach import check_reach
from carknocker.rulebook.check.satisfiable import check_consequence, check_criterion
from carknocker.rulebook.check.strictness import check_tightens, check_together
from carknocker.rulebook.choice import beside_the_law, editions_binding, in_force_on, overlaps, without_law
from carknocker.rulebook.compose import LAYERS, compose, may_not_relax, nothing_asked
from carknocker.rulebook.consequence_checks import check_causes, named_ids
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.holes import hole_problems
from carknocker.rulebook.library import Library
from carknocker.rulebook.model import Consequence, Criterion, Edition, Relieves, Rulebook
from carknocker.rulebook.reading_context import VocabularyLookup
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
        *check_reach(rulebook, VocabularyLookup(vocabulary)),
        *hole_problems(rulebook),
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
    """Relief of law by a higher layer, where the law does not say that it may be relaxed."""
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


def check_edition(edition: Edition) -> tuple[Problem, ...]:
    """Every problem of an edition that was read with its examples, at its place."""
    return tuple(_problems(edition))


def _problems(edition: Edition) -> Iterator[Problem]:
    entries: list[Criterion | Consequence] = [*edition.criteria, *edition.consequences]
    for entry in entries:
        if entry.source.kind == "law" and not entry.source.section:
            yield Problem(entry.where, f"{entry.id}: a source of law without a section", "`section: …`")
        if not entry.source.words and entry.source.kind in ("law", "published"):
            yield Problem(entry.where, f"{entry.id}: a source without its operative words", "`words: …`")
    for criterion in edition.criteria:
        yield from check_examples(criterion)
        yield from check_criterion(criterion)
        yield from check_fault_of_criterion(criterion)
        if criterion.may_be_relaxed and criterion.layer == "host":
            yield Problem(criterion.where, f"{criterion.id}: a host's criterion that may be relaxed",
                          "`may_be_relaxed` in a lower layer only")  # fmt: skip
    for consequence in edition.consequences:
        yield from check_causes(consequence)
        yield from check_consequence(consequence)
        yield from check_fault_of_consequence(consequence)
        yield from check_consequence_examples(consequence)


_Heads = tuple[EditionHead, ...]


def check_library(library: Library) -> tuple[Problem, ...]:
    """Every problem in a library, each once, in the order of the files. Editions are read with their examples."""
    library = library.reading_examples()
    found: dict[Problem, None] = {}
    for heads in library.heads.values():
        found.update(dict.fromkeys(overlaps(heads)))
        for head in heads:
            if head.ruleset in (head.builds_on or ()):
                problem = Problem(head.builds_on_where or head.where, f"{head} builds on itself", "other rulesets only",
                                  remedy=f"take `{head.ruleset}` out of `builds_on`")  # fmt: skip
                found[problem] = None
            try:
                edition = library.edition(head.ruleset, head.name)
                found.update(dict.fromkeys((*check_edition(edition), *check_completeness(head, edition))))
            except InputRefused as error:
                found.update(dict.fromkeys(error.problems))
    for heads in _combinations(library, found):
        try:
            rulebook = library.rulebook(heads)
        except InputRefused as error:
            found.update(dict.fromkeys(error.problems))
            lenient = _without_relaxing(heads, library)
            if lenient is None:
                continue
            rulebook = lenient
        found.update(dict.fromkeys(check_rulebook(rulebook, library.vocabulary)))
    return tuple(sorted(found, key=lambda problem: (problem.where, problem.found)))


def _without_relaxing(heads: _Heads, library: Library) -> Rulebook | None:
    """The rulebook without its editions' relaxations, so that a wrong relaxation does not hide other problems; None if
    it can't be composed even so. Relaxations of criteria that do not exist stay: they are problems too."""
    try:
        editions = [library.edition(head.ruleset, head.name) for head in heads]
        known = {criterion.id for edition in editions for criterion in edition.criteria}
        return compose(
            replace(edition, relaxes={name: why for name, why in edition.relaxes.items() if name not in known})
            for edition in editions
        )
    except InputRefused:
        return None


def _combinations(library: Library, found: dict[Problem, None]) -> list[_Heads]:
    """Every set of editions that may bind a move together: under each host's circular, and under none."""
    days = sorted({head.in_force for heads in library.heads.values() for head in heads})
    combinations: dict[_Heads, None] = {}
    for heads in library.heads.values():
        for head in heads:
            if head.layer == "host":
                combinations.update(dict.fromkeys(_under(head, days, library, found)))
    for day in days:
        start = [
            head for heads in library.heads.values() for head in in_force_on(heads, day)
            if head.layer != "host" and not head.only_where_named
        ]  # fmt: skip
        if not without_law(start, library.heads):
            try:
                combinations[editions_binding(start, day, library.heads, library.builds_on, {})] = None
            except InputRefused as error:
                found.update(dict.fromkeys(error.problems))
    return list(combinations)


def _under(head: EditionHead, days: list[date], library: Library, found: dict[Problem, None]) -> Iterator[_Heads]:
    """What binds under one host's edition, on the day it comes into force and on each day when an edition below it
    changes."""
    group = library.heads[head.ruleset]
    refused: dict[Problem, None] = {}
    composed = False
    for day in days:
        if head in in_force_on(group, day):
            try:
                bound = editions_binding([head], day, library.heads, library.builds_on, {})
                composed = True
                problem = beside_the_law(head, bound, library.heads, library.builds_on)
                if problem is None:
                    yield bound
                else:
                    found[problem] = None
            except InputRefused as error:
                refused.update(dict.fromkeys(error.problems))
    if not composed:
        found.update(refused)
