"""How the sources of the rules that judged this car were read, and which of them an owner should look up."""

from collections.abc import Iterable

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.rulebook.model import Consequence, Criterion, Source, Status

_HOW: dict[Status, str] = {
    "read": "read in the text of the year named beside it",
    "read again later": "checked against a later text: read in that text, and again in a later copy",
    "secondary": "secondary: read in another's report of the text",
    "computed": "computed from a published figure",
    "common practice": "common practice, without a text",
    "from memory": "from memory",
    "inference": "inference: the text says it of something else, or leaves it open",
    "invented": "invented, for a demonstration",
}


class SourceList(msgspec.Struct, frozen=True):
    """lines: how many rules were read in which way, and which to look up. rules: how many apply. to_check: how many of
    those rest on memory or inference."""

    title: str
    lines: tuple[str, ...]
    rules: int
    to_check: int

    @property
    def to_check_sentence(self) -> str:
        """How many rules should be looked up in the current text."""
        are = "rests" if self.to_check == 1 else "rest"
        count = f"{self.to_check:,} of the {self.rules:,} rules that apply here"
        return f"{count} {are} on memory or inference: check the current text."


def sources_of(index: JudgementIndex) -> SourceList:
    """The status of every rule that applied to the car or fired for it; those to be looked up, with their places."""
    rules = rules_that_apply(index)
    counts: dict[Status, int] = {}
    for rule in rules:
        counts[rule.source.status] = counts.get(rule.source.status, 0) + 1
    lines = [f"{counts[status]:,} {words}" for status, words in _HOW.items() if status in counts]
    doubtful = [rule.source for rule in rules if rule.source.to_be_checked]
    if doubtful:
        lines.append(f"CHECK THE CURRENT TEXT of what rests on memory or inference: {_places(doubtful)}")
    title = "How the sources of the rules that apply here were read"
    return SourceList(title, tuple(lines), len(rules), len(doubtful))


def rules_that_apply(index: JudgementIndex) -> list[Criterion | Consequence]:
    """Criteria that apply to a part of the car, and consequences that fired, each once."""
    judgement = index.judgement
    applied = {
        finding.criterion.id: finding.criterion for finding in judgement.findings if finding.verdict != "not applicable"
    }
    fired = {firing.consequence.id: firing.consequence for firing in judgement.firings}
    return [*applied.values(), *fired.values()]


def _places(sources: Iterable[Source]) -> str:
    """`49 CFR 215.105(a), 229.63(a); a manual, part II`."""
    by_document: dict[str, dict[str, None]] = {}
    for source in sources:
        by_document.setdefault(source.document, {})[source.section] = None
    return "; ".join(
        f"{document} {', '.join(sorted(section for section in sections if section))}".strip()
        for document, sections in by_document.items()
    )
