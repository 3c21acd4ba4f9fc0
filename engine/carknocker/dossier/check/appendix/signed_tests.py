"""Tests and papers on record: who signed them, whether the host accepts him, with which code and device."""

from collections.abc import Iterator

import msgspec

from carknocker.dossier.context import Context
from carknocker.judgement.situation import accepted_by_host
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Day, Value
from carknocker.wording.evidence import gauge_words, person_words
from carknocker.wording.limits import value_words
from carknocker.wording.parts import named
from carknocker.wording.sources import FileLines, lines_of

_OWN_COLUMNS = frozenset({"code", "device", "device_due"})


class SignedTest(msgspec.Struct, frozen=True):
    """One test on the parts on which it was signed alike.

    accepted: whether the host accepts the signer, and until when. device: with its due date. counts: `yes`, or why not.
    """

    test: str
    on: str
    parts: str
    result: str
    signed_by: str
    accepted: str
    code: str
    device: str
    more: str
    counts: str
    at: tuple[FileLines, ...]


class PaperOnRecord(msgspec.Struct, frozen=True):
    """One paper. signed, until: empty where the record names no day."""

    paper: str
    signed: str
    until: str
    more: str
    at: tuple[FileLines, ...]


def evidence_of_sort(context: Context, sort: str) -> Iterator[tuple[Part, Evidence]]:
    """All evidence of a sort, with the part that it is of, part by part."""
    judgement = context.judgement
    for key, attributes in judgement.situation.standing.evidence.items():
        part = judgement.parts.get(key)
        if part is not None:
            yield from ((part, one) for entries in attributes.values() for one in entries if one.sort == sort)


def signed_tests_of(context: Context) -> tuple[SignedTest, ...]:
    """The tests on record, newest first."""
    found = sorted(
        evidence_of_sort(context, "test"),
        key=lambda pair: (pair[1].on is not None, pair[1].on, pair[1].id),
        reverse=True,
    )
    alike: dict[SignedTest, list[tuple[Part, Evidence]]] = {}
    for part, test in found:
        alike.setdefault(_signed(test, part, context), []).append((part, test))
    return tuple(
        msgspec.structs.replace(
            row,
            parts=named((part for part, _ in pairs), context),
            at=lines_of(dict.fromkeys(test.where for _, test in pairs)),
        )
        for row, pairs in alike.items()
    )


def _signed(test: Evidence, part: Part, context: Context) -> SignedTest:
    """The row without parts and place."""
    attribute = context.vocabulary.attribute(part.kind, test.attribute)
    more = (f"{_fact_label(name, test, part, context)}: {value_words(value)}"
            for name, value in test.facts.items() if name not in _OWN_COLUMNS)  # fmt: skip
    return SignedTest(
        test=attribute.label if attribute is not None else test.attribute,
        on=test.on.isoformat() if test.on is not None else "undated",
        parts="",
        result=value_words(test.value),
        signed_by=person_words(test.by),
        accepted=_accepted(test, context),
        code=_fact(test.facts.get("code")),
        device=_device(test),
        more="; ".join(more),
        counts=_counts(test, context),
        at=(),
    )


def _fact(value: Value | None) -> str:
    return "" if value is None else value_words(value)


def _device(test: Evidence) -> str:
    device, due = test.facts.get("device"), test.facts.get("device_due")
    words = [_fact(device), gauge_words(test.gauge)]
    if due is not None:
        late = isinstance(due, Day) and test.on is not None and due.last < test.on
        words.append(f"due {value_words(due)}" + (": OVERDUE on the day of the test" if late else ""))
    return ", ".join(word for word in words if word)


def _accepted(test: Evidence, context: Context) -> str:
    person, host = test.by, context.judgement.move.host
    if person is None or test.on is None:
        return "no: nobody named"
    if not accepted_by_host(person, host, test.on):
        return "no, not on that day"
    return "yes" + (f", until {person.until.isoformat()}" if person.until is not None else "")


def _counts(test: Evidence, context: Context) -> str:
    situation = context.judgement.situation
    excluded = situation.excluded.get(test.id)
    if excluded:
        return f"no: {excluded}"
    counted = any(one.id == test.id for one in situation.counted(test.part, test.attribute))
    return "yes" if counted else "no: the host does not accept who signed it"


def _fact_label(name: str, evidence: Evidence, part: Part, context: Context) -> str:
    attribute = context.vocabulary.attribute(part.kind, evidence.attribute)
    fact = context.vocabulary.facts_of(attribute).get(name) if attribute is not None else None
    return fact.label if fact is not None else name.replace("_", " ")


def papers_of(context: Context) -> tuple[PaperOnRecord, ...]:
    """The papers on record, by their names."""
    rows = []
    for part, paper in sorted(evidence_of_sort(context, "paper"), key=lambda pair: pair[1].id):
        attribute = context.vocabulary.attribute(part.kind, paper.attribute)
        more = (
            f"{_fact_label(name, paper, part, context)}: {value_words(value)}" for name, value in paper.facts.items()
        )
        rows.append(
            PaperOnRecord(
                paper=attribute.label if attribute is not None else paper.attribute,
                signed=paper.on.isoformat() if paper.on is not None else "",
                until=paper.until.isoformat() if paper.until is not None else "",
                more="; ".join(more),
                at=lines_of((paper.where,)),
            )
        )
    return tuple(rows)
