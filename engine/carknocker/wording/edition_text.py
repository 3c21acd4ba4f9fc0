"""Editions and their rules in words, line by line."""

from collections.abc import Iterator
from datetime import date
from typing import Literal

import msgspec

from carknocker.documents import Location
from carknocker.judgement.restrictions import restriction_words
from carknocker.rulebook import EditionHead, Library
from carknocker.rulebook.clauses import Unanswered
from carknocker.rulebook.model import Completeness, Consequence, Correction, Criterion, Edition, FaultWords, Source
from carknocker.wording.limits import clause_words
from carknocker.wording.rules import cause_words, example_words, remedy_words, yield_words


class EditionLine(msgspec.Struct, frozen=True):
    """One edition at hand. builds_on: as it says itself, or as the edition that it amends says."""

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
    checked_against: str
    revision: int
    corrections: tuple[Correction, ...]
    complete: Completeness | None


class RuleShown(msgspec.Struct, frozen=True):
    """One criterion or consequence. lines: (label, text) in reading order. status: the status word with its year."""

    id: str
    title: str
    sort: Literal["criterion", "consequence"]
    lines: tuple[tuple[str, str], ...]
    source: Source
    status: str
    where: Location


def edition_line(head: EditionHead, library: Library) -> EditionLine:
    return EditionLine(
        head.ruleset, head.name, head.title, head.layer, head.publisher, head.host, head.in_force, head.until,
        head.checked, head.amends, library.builds_on(head), head.where, 
        head.checked_against, head.revision, head.corrections, head.complete,
    )  # fmt: skip


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
    for said in criterion.fault:
        yield "fault", fault_text(said)
    yield "applies where", clause_words(criterion.when) if criterion.when is not None else ""
    yield "unless", clause_words(criterion.unless) if criterion.unless is not None else ""
    yield "must", clause_words(criterion.must)
    yield "reading not older than", str(criterion.read_within) if criterion.read_within is not None else ""
    yield "effect", criterion.effect
    yield "restricts", "; ".join(restriction_words(one) for one in criterion.restrictions)
    yield "shown by", "" if isinstance(criterion.must, Unanswered) else criterion.shown_by
    if criterion.renewal is not None:
        every = f", every {criterion.renewal.every}" if criterion.renewal.every is not None else ""
        routine = ", routine" if criterion.renewal.routine else ""
        yield "renewed on the way", f"by the {criterion.renewal.by}{every}{routine}"
    yield "tightens", criterion.tightens
    yield "relaxed", criterion.relaxed_by
    yield "a host may relax it", "yes" if criterion.may_be_relaxed else ""
    for one in criterion.not_asked:
        yield "not asked", f"{one.path.replace('_', ' ')}: {one.word}: {one.reason}"
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
    for said in consequence.fault:
        yield "fault", fault_text(said)
    for given in consequence.yields:
        yield "follows", yield_words(given, title)
    for example in consequence.examples:
        yield "example", example_words(example)
    yield "edition", consequence.edition


def fault_text(fault: FaultWords) -> str:
    """The words of a fault as the edition has them, places included."""
    return f"{fault.of}: {fault.words}" if fault.of else fault.words


def correction_words(correction: Correction) -> str:
    """`2026-02-01: words (rule, rule)`."""
    rules = f" ({', '.join(correction.rules)})" if correction.rules else ""
    return f"{correction.on.isoformat()}: {correction.what}{rules}"


def edition_rows(one: EditionLine) -> tuple[tuple[str, str], ...]:
    until = f" until {one.until.isoformat()}" if one.until is not None else ""
    rows = [
        ("title", one.title),
        ("layer", one.layer + (f" of {one.host}" if one.host else "")),
        ("publisher", one.publisher),
        ("in force", f"since {one.in_force.isoformat()}{until}"),
        ("revision", str(one.revision) if one.revision > 1 else ""),
        *(("corrected", words) for words in _corrections_words(one.corrections)),
        ("checked", f"text compared with its source on {one.checked.isoformat()}"),
        ("compared", one.checked_against),
        ("amends", one.amends),
        ("builds on", ", ".join(one.builds_on)),
        ("text", _completeness_words(one.complete)),
        ("file", one.where.file),
    ]
    return tuple((label, text) for label, text in rows if text)


_MOST_CORRECTIONS = 3


def _corrections_words(corrections: tuple[Correction, ...]) -> Iterator[str]:
    """The newest corrections of an edition, and how many more its head names."""
    newest = sorted(corrections, key=lambda one: one.on, reverse=True)
    for one in newest[:_MOST_CORRECTIONS]:
        yield correction_words(one)
    more = len(newest) - _MOST_CORRECTIONS
    if more > 0:
        yield f"and {more} more: see `corrections:` in the file"


def _completeness_words(complete: Completeness | None) -> str:
    if complete is None:
        return ""
    return f"in part: {complete.reason}; not at hand: {'; '.join(complete.lacks)}" if complete.lacks else "in full"
