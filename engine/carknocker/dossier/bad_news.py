"""Bad news on record that costs nothing: words that the vocabulary knows as bad, and tests that failed, which no rule
at hand asks about, which is only advised against, which the host's inspector is left to judge, or which every rule that
asks lets pass."""

from collections.abc import Iterator
from typing import Literal

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.record.model import Evidence, Part
from carknocker.record.values import NotAccessible, Word
from carknocker.rulebook.clauses import comparisons, paths
from carknocker.vocabulary import load_vocabulary

_FAILED = "failed"
_News = tuple[str, str, str]
"""Kind of part, attribute, word."""


Standing = Literal["not asked", "advised against", "for the day", "allowed"]
"""How bad news passes, the worst first: no rule asks about it; only advice is against it; the host's inspector is left
to judge it; every rule that asks lets it pass."""

STANDINGS: tuple[Standing, ...] = ("not asked", "advised against", "for the day", "allowed")


class BadNews(msgspec.Struct, frozen=True):
    """One bad word of one attribute, and the parts that have it. label: of the attribute. standing: how it passes."""

    standing: Standing
    label: str
    word: str
    parts: tuple[Part, ...]


def bad_news_that_passes(index: JudgementIndex) -> tuple[BadNews, ...]:
    """The bad news of the fitted parts that no criterion counts against them.

    A criterion looks at what its `must` compares: of its own part, of a part that this one is in, or of parts inside.
    The newest word on record counts, also where its gauge or its reader does not.
    """
    found: dict[_News, list[Part]] = {}
    for part, attribute, word in bad_words_on_record(index):
        found.setdefault((part.kind, attribute, word), []).append(part)
    if not found:
        return ()
    looking = _findings_that_look_at({(kind, attribute) for kind, attribute, _ in found}, index)
    news = []
    for (kind, attribute, word), parts in found.items():
        passes = {part.key: _standing_of(_about(part, looking.get((kind, attribute), []), index)) for part in parts}
        for standing in STANDINGS:
            passing = tuple(part for part in parts if passes[part.key] == standing)
            if passing:
                news.append(BadNews(standing, _label(kind, attribute), word, passing))
    return tuple(news)


def bad_words_on_record(index: JudgementIndex) -> Iterator[tuple[Part, str, str]]:
    """Part, attribute and word of all bad news of the fitted parts, whatever any criterion makes of it."""
    kinds, standing = load_vocabulary().kinds, index.judgement.situation.standing
    for key, attributes in standing.evidence.items():
        part = standing.parts.get(key)
        if part is None or not part.fitted or part.kind not in kinds:
            continue
        known = kinds[part.kind].attributes
        for name, entries in attributes.items():
            attribute = known.get(name)
            if attribute is None or not (attribute.bad or attribute.type == "test"):
                continue
            bad = attribute.bad or (_FAILED,)
            word = _newest_word(entries, index)
            if word in bad:
                yield part, name, word


def _newest_word(entries: tuple[Evidence, ...], index: JudgementIndex) -> str:
    """The newest word that later work did not make void; of two tests of one day the one that failed."""
    standing = [one for one in entries if one.id not in index.voided and not isinstance(one.value, NotAccessible)]
    if not standing:
        return ""
    last = standing[-1]
    of_that_day = [last] if last.sort != "test" or last.after else [one for one in standing if one.on == last.on]
    words = [one.value.text for one in of_that_day if isinstance(one.value, Word)]
    return _FAILED if _FAILED in words else "".join(words[-1:])


def _findings_that_look_at(
    wanted: set[tuple[str, str]], index: JudgementIndex
) -> dict[tuple[str, str], list[Finding]]:  # fmt: skip
    """Kind and attribute → the findings that look at it, those left out that do not apply."""
    looked_at: dict[str, set[tuple[str, str]]] = {}
    found: dict[tuple[str, str], list[Finding]] = {}
    for finding in index.judgement.findings:
        if finding.verdict == "not applicable":
            continue
        criterion = finding.criterion
        if criterion.id not in looked_at:
            looked_at[criterion.id] = wanted & {
                (path.attribute.kind, path.attribute.name)
                for _, comparison in comparisons(criterion.must)
                for path in paths(comparison)
            }
        for each in looked_at[criterion.id]:
            found.setdefault(each, []).append(finding)
    return found


def _about(part: Part, findings: list[Finding], index: JudgementIndex) -> list[Finding]:
    standing = index.judgement.situation.standing
    around = {part.key, *standing.containers(part.key)}
    return [
        finding
        for finding in findings
        if finding.part.key in around or part.key in standing.containers(finding.part.key)
    ]


def _standing_of(findings: list[Finding]) -> Standing | None:
    """How bad news passes the findings that look at it; None where one of them counts it against the car."""
    verdicts = {"advised against" if _is_advice(one) else one.verdict for one in findings}
    if verdicts - {"met", "advised against", "for the day"}:
        return None
    if "advised against" in verdicts:
        return "advised against"
    if "for the day" in verdicts:
        return "for the day"
    return "allowed" if verdicts else "not asked"


def _is_advice(finding: Finding) -> bool:
    return finding.effect == "advise" and finding.verdict != "met"


def _label(kind: str, attribute: str) -> str:
    return load_vocabulary().kinds[kind].attributes[attribute].label
