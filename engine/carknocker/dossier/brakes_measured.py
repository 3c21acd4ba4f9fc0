"""The brakes as last measured: every figure that somebody read off them, with what it must be."""

from collections.abc import Iterator

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.quantities import DIMENSIONS
from carknocker.record.model import Evidence, Part
from carknocker.record.value_words import value_words
from carknocker.vocabulary.model import Attribute
from carknocker.wording.parts import named
from carknocker.wording.verdicts import required_words

_SYSTEMS = ("air brake", "hand brake")


class BrakeReading(msgspec.Struct, frozen=True):
    """One attribute on all parts of a kind that it was read on. measured: the figure, where parts differ each with its
    parts. required: with signs, empty where no requirement is about it. on, by: of the newest of the readings."""

    what: str
    parts: str
    measured: str
    required: str
    on: str
    by: str


def brakes_measured(index: JudgementIndex) -> tuple[BrakeReading, ...]:
    """The figures in the order of the vocabulary; what was only looked at is no figure."""
    kinds = (kind for kind in index.vocabulary.kinds.values() if kind.system in _SYSTEMS)
    return tuple(
        found
        for kind in kinds
        for attribute in kind.attributes.values()
        if attribute.type in DIMENSIONS and not (attribute.description or attribute.derived)
        if (found := _reading(attribute, index)) is not None
    )


def _reading(attribute: Attribute, index: JudgementIndex) -> BrakeReading | None:
    by_figure: dict[str, list[Part]] = {}
    sheets: list[Evidence] = []
    parts = [one for one in index.standing.by_kind.get(attribute.kind, ()) if one.fitted]
    for part in index.in_order(parts):
        held = index.observed(part.key, attribute.name)
        if held is None or held.evidence is None or held.evidence.on is None:
            continue
        by_figure.setdefault(value_words(held.value), []).append(part)
        sheets.append(held.evidence)
    if not sheets:
        return None
    every = [part for own in by_figure.values() for part in own]
    newest = max(sheets, key=lambda one: (one.on is not None, one.on))
    return BrakeReading(
        attribute.label,
        named(every, index),
        next(iter(by_figure))
        if len(by_figure) == 1
        else "; ".join(f"{words} ({named(own, index)})" for words, own in by_figure.items()),
        "; ".join(dict.fromkeys(_required(attribute, every, index))),
        "" if newest.on is None else newest.on.isoformat(),
        "" if newest.by is None else newest.by.name,
    )


def _required(attribute: Attribute, parts: list[Part], index: JudgementIndex) -> Iterator[str]:
    """What the requirements that apply say of this attribute alone."""
    for part in parts:
        for finding in index.findings_on(part.key):
            if finding.verdict == "not applicable" or finding.effect != "refuse":
                continue
            explanation = index.explain(finding)
            if {path.attribute.name for path in explanation.attributes} == {attribute.name}:
                yield required_words(explanation.required, signs=True).removeprefix(f"{attribute.label}: ")
