"""`rules list` and `rules show`: the editions at hand, and what one of them says, each figure with its status word."""

from collections.abc import Iterator
from datetime import date
from typing import Literal

import msgspec

from carknocker.documents import Location
from carknocker.judgement.names import NotFound
from carknocker.judgement.restrictions import restriction_words
from carknocker.rulebook import EditionHead, Library
from carknocker.rulebook.model import Consequence, Criterion, Edition, Source
from carknocker.wording.limits import clause_words
from carknocker.wording.rules import cause_words, example_words, remedy_words, yield_words


class EditionLine(msgspec.Struct, frozen=True):
    """One edition at hand. builds_on: its own word, or that of the edition it amends."""

    ruleset: str
    edition: str
    title: str
    layer: str
    publisher: str
    host: str
    in_force: date
    until: date | None
    checked: date
    amends: str
    builds_on: tuple[str, ...]
    where: Location


class RuleShown(msgspec.Struct, frozen=True):
    """One criterion or consequence. lines: (label, text), in reading order. status: the status word with its year."""

    id: str
    title: str
    sort: Literal["criterion", "consequence"]
    lines: tuple[tuple[str, str], ...]
    source: Source
    status: str
    where: Location


class RulesShown(msgspec.Struct, frozen=True):
    """An edition, or one rule of it. statuses: status word → how many of the rules shown rest on such a source."""

    edition: EditionLine
    regimes: tuple[tuple[str, str], ...]
    relaxes: tuple[tuple[str, str], ...]
    rules: tuple[RuleShown, ...]
    statuses: tuple[tuple[str, int], ...]


def list_rules(library: Library) -> tuple[EditionLine, ...]:
    """The editions at hand, by ruleset, oldest first."""
    return tuple(_line(head, library) for heads in library.heads.values() for head in heads)


def _line(head: EditionHead, library: Library) -> EditionLine:
    return EditionLine(
        head.ruleset, head.name, head.title, head.layer, head.publisher, head.host, head.in_force, head.until,
        head.checked, head.amends, library.builds_on(head), head.where,
    )  # fmt: skip


def show_rules(library: Library, ruleset: str, edition: str | None = None, rule: str | None = None) -> RulesShown:
    """What an edition says, with its amendments; `edition` None: the newest. rule: the short or full id of one.

    Raises NotFound for a ruleset, an edition or a rule that is not here, InputRefused if its files can't be read.
    """
    library = library.reading_examples()
    if ruleset not in library.heads:
        raise NotFound("ruleset", ruleset, library.heads, "here")
    heads = {head.name: head for head in library.heads[ruleset]}
    if edition is not None and edition not in heads:
        raise NotFound("edition", edition, heads, f"of {ruleset}")
    head = heads[edition] if edition is not None else library.heads[ruleset][-1]
    whole = library.edition(head.ruleset, head.name)
    rules = tuple(rule_shown(one, whole) for one in _chosen(whole, rule))
    counts: dict[str, int] = {}
    for shown in rules:
        counts[shown.source.status] = counts.get(shown.source.status, 0) + 1
    return RulesShown(
        _line(head, library), tuple(whole.regimes.items()), tuple(whole.relaxes.items()), rules, tuple(counts.items())
    )


def _chosen(edition: Edition, rule: str | None) -> list[Criterion | Consequence]:
    rules: list[Criterion | Consequence] = [*edition.criteria, *edition.consequences]
    if rule is None:
        return rules
    wanted = rule.strip().casefold()
    found = [one for one in rules if wanted in (one.id.casefold(), one.name.casefold())]
    if not found:
        choices = [one.id if "/" in rule else one.name for one in rules]
        raise NotFound("rule", rule, choices, f"in {edition.ruleset} {edition.name}")
    return found


def rule_shown(rule: Criterion | Consequence, edition: Edition) -> RuleShown:
    """One rule of an edition, line by line in words."""
    source = rule.source
    status = f"{source.status} ({source.year})" if source.year else source.status
    if isinstance(rule, Criterion):
        lines = tuple(line for line in _of_criterion(rule) if line[1])
        return RuleShown(rule.id, rule.title, "criterion", lines, source, status, rule.where)
    rules: list[Criterion | Consequence] = [*edition.criteria, *edition.consequences]
    titles = {one.id: one.title for one in rules}
    lines = tuple(_of_consequence(rule, titles))
    return RuleShown(rule.id, rule.title, "consequence", lines, source, status, rule.where)


def _of_criterion(criterion: Criterion) -> Iterator[tuple[str, str]]:
    yield "of", criterion.of
    yield "applies where", clause_words(criterion.when) if criterion.when is not None else ""
    yield "unless", clause_words(criterion.unless) if criterion.unless is not None else ""
    yield "must", clause_words(criterion.must)
    yield "reading not older than", str(criterion.read_within) if criterion.read_within is not None else ""
    yield "effect", criterion.effect
    yield "restricts", "; ".join(restriction_words(one) for one in criterion.restrictions)
    yield "shown by", criterion.shown_by
    if criterion.renewal is not None:
        every = f", every {criterion.renewal.every}" if criterion.renewal.every is not None else ""
        routine = ", routine" if criterion.renewal.routine else ""
        yield "renewed on the way", f"by the {criterion.renewal.by}{every}{routine}"
    yield "tightens", criterion.tightens
    yield "relaxed", criterion.relaxed_by
    yield "a host may relax it", "yes" if criterion.may_be_relaxed else ""
    for remedy in criterion.remedies:
        yield "remedy", remedy_words(remedy)
    for example in criterion.examples:
        yield "example", example_words(example)
    yield "edition", criterion.edition


def _of_consequence(consequence: Consequence, titles: dict[str, str]) -> Iterator[tuple[str, str]]:
    def title(name: str) -> str:
        return titles.get(name, name)

    if consequence.when is not None:
        yield "applies where", clause_words(consequence.when)
    for cause in consequence.causes:
        yield "cause", cause_words(cause, title)
    for given in consequence.yields:
        yield "follows", yield_words(given, title)
    for example in consequence.examples:
        yield "example", example_words(example)
    yield "edition", consequence.edition
