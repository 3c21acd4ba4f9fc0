"""Checks all editions that are at hand, each by itself and in every rulebook that they can make together."""

from collections.abc import Iterator
from datetime import date

from msgspec.structs import replace

from carknocker.documents import InputRefused, Problem
from carknocker.rulebook.check.edition import check_edition
from carknocker.rulebook.check.rulebook import check_rulebook
from carknocker.rulebook.choice import beside_the_law, binding, without_law
from carknocker.rulebook.compose import compose
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.in_force import in_force_on, overlaps
from carknocker.rulebook.library import Library
from carknocker.rulebook.model import Rulebook

_Heads = tuple[EditionHead, ...]


def check_library(library: Library) -> tuple[Problem, ...]:
    """Every problem in a library, once each, in the order of the files. Editions are read with their examples."""
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
                found.update(dict.fromkeys(check_edition(library.edition(head.ruleset, head.name))))
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
    """The rulebook without what its editions relax, so that a relaxation that may not be hides nothing else that is
    wrong; None where it can't be put together even so. A relaxation of what is not there stays: it is wrong too."""
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
                combinations[binding(start, day, library.heads, library.builds_on, {})] = None
            except InputRefused as error:
                found.update(dict.fromkeys(error.problems))
    return list(combinations)


def _under(head: EditionHead, days: list[date], library: Library, found: dict[Problem, None]) -> Iterator[_Heads]:
    """What binds under one host's edition, on the day it comes into force and whenever something below it changes."""
    group = library.heads[head.ruleset]
    refused: dict[Problem, None] = {}
    composed = False
    for day in days:
        if head in in_force_on(group, day):
            try:
                bound = binding([head], day, library.heads, library.builds_on, {})
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
