"""What the answer rests on: the oldest reading that it uses, what nobody measured, and what is said to be
none."""

from collections.abc import Iterator
from datetime import date

import msgspec

from carknocker.judgement.evidence_of_findings import looked_at
from carknocker.judgement.index import JudgementIndex
from carknocker.record.model import Part
from carknocker.record.value_reader import NONE_FITTED
from carknocker.record.values import Count, Value, Word
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.wording.evidence import day_and_person
from carknocker.wording.parts import label_of, named
from carknocker.wording.sources import FilePlaces, lines_of


class OldestUsed(msgspec.Struct, frozen=True):
    """A reading: what was read, of which part, on which day, and how many days that is before departure."""

    what: str
    part: str
    on: date
    days_before_departure: int
    at: FilePlaces


class SaidNone(msgspec.Struct, frozen=True):
    """What the record says the car has none of. what: `gas system`. parts: where, in words; empty for a part of which
    the car has one. by: day and person, empty where nobody signed it."""

    what: str
    parts: str
    by: str


class RestsOn(msgspec.Struct, frozen=True):
    """oldest: None where no reading on record meets anything. not_measured: how many findings are not shown;
    keeping: how many of them keep the car from moving."""

    oldest: OldestUsed | None
    not_measured: int
    keeping: int
    said_none: tuple[SaidNone, ...]


def rests_on(index: JudgementIndex) -> RestsOn:
    """What one answer rests on."""
    not_shown = [one for one in index.judgement.findings if one.verdict == "not shown" and one.part.fitted]
    kept = {refusal.finding.fact for refusal in index.judgement.refusals if refusal.finding is not None}
    return RestsOn(
        oldest=_oldest(index),
        not_measured=len(not_shown),
        keeping=sum(one.fact in kept for one in not_shown),
        said_none=tuple(_said_none(index)),
    )


def _oldest(index: JudgementIndex) -> OldestUsed | None:
    dated = [
        (evidence.on, evidence, index.judgement.parts.get(evidence.part, one.part))
        for one in index.judgement.findings if one.verdict in ("met", "borderline", "lapses") and one.part.fitted
        for evidence in looked_at(one, index)[0] if evidence.on is not None and evidence.sort == "reading"
    ]  # fmt: skip
    if not dated:
        return None
    on, evidence, part = min(dated, key=lambda found: found[0])
    attribute = index.vocabulary.attribute(part.kind, evidence.attribute)
    label = evidence.attribute.replace("_", " ") if attribute is None else attribute.short_label
    days = (index.judgement.move.out - on).days
    return OldestUsed(label, label_of(part), on, days, lines_of((evidence.where,)))


def _said_none(index: JudgementIndex) -> Iterator[SaidNone]:
    """In walking order of the parts, each thing once for all parts of which the same person says it."""
    said: dict[tuple[str, str], dict[str, Part]] = {}
    for part in index.judgement.parts.values():
        kind = index.vocabulary.kinds.get(part.kind)
        if kind is None or not part.fitted or part.kind in MOVE_KINDS:
            continue
        for attribute in kind.attributes.values():
            held = index.observed(part.key, attribute.name) if attribute.tells_presence or attribute.counts else None
            if held is not None and _says_none(held.value):
                key = _called(attribute, index), day_and_person(held.evidence)
                said.setdefault(key, {})[part.key] = part
    for (what, by), parts in said.items():
        several = any(len(index.standing.by_kind.get(part.kind, ())) > 1 for part in parts.values())
        yield SaidNone(what, named(parts.values(), index) if several else "", by)


def _called(attribute: Attribute, index: JudgementIndex) -> str:
    """What there is none of: of a number of parts, how those parts are called together."""
    counted = index.vocabulary.kinds.get(attribute.counts)
    rows = () if counted is None else counted.stands
    own = (row.called for row in rows if (row.container, row.number) == (attribute.kind, attribute.name))
    return next(own, attribute.short_label)


def _says_none(value: Value) -> bool:
    """Whether a value says that there is none of it."""
    match value:
        case Count(number):
            return number == 0
        case Word(text):
            return text.casefold() in ("no", "none", NONE_FITTED)
        case _:
            return False
