"""What the answer rests on: tests with signer and device, papers, sheets, gauges; and the digests of what was read."""

from collections.abc import Iterator

from carknocker.dossier.check.entries import Entry
from carknocker.dossier.context import Context
from carknocker.dossier.part_names import named
from carknocker.judgement.model import Judgement
from carknocker.judgement.situation import accepted_by_host
from carknocker.judgement.wording import value_words
from carknocker.record.model import Evidence, Part


def evidence_of(context: Context) -> tuple[Entry, ...]:
    """Tests, papers and sheets on record up to the day, newest first, each group only if there is one."""
    tests: list[Evidence] = []
    papers: list[Evidence] = []
    readings: list[Evidence] = []
    parts = context.judgement.situation.standing.evidence
    for attributes in parts.values():
        for entries in attributes.values():
            for entry in entries:
                {"test": tests, "paper": papers, "reading": readings}.get(entry.sort, []).append(entry)
    groups = (
        ("Tests", tuple(_tests(tests, context))),
        ("Papers", tuple(_papers(papers, context))),
        ("Sheets", tuple(_sheets(readings))),
    )
    return tuple(Entry(title, lines) for title, lines in groups if lines)


def _tests(tests: list[Evidence], context: Context) -> Iterator[str]:
    alike: dict[tuple[str, ...], list[Part]] = {}
    for test in sorted(tests, key=lambda one: (one.on is None, one.on, one.id), reverse=True):
        part = context.judgement.parts.get(test.part)
        if part is not None:
            alike.setdefault(_test_words(test, part, context), []).append(part)
    for (before, after), parts in alike.items():
        yield f"{before}: {named(parts, context)}; {after}"


def _test_words(test: Evidence, part: Part, context: Context) -> tuple[str, str]:
    attribute = context.vocabulary.attribute(part.kind, test.attribute)
    label = attribute.label if attribute is not None else test.attribute
    on = test.on.isoformat() if test.on is not None else "undated"
    words = [value_words(test.value), _signed(test, context)]
    words.extend(f"{_fact_label(name, test, part, context)} {value_words(value)}" for name, value in test.facts.items())
    excluded = context.judgement.situation.excluded.get(test.id)
    if excluded:
        words.append(excluded)
    return f"{on} {label}", "; ".join(word for word in words if word)


def _signed(evidence: Evidence, context: Context) -> str:
    person, host = evidence.by, context.judgement.move.host
    if person is None:
        return "nobody named"
    accepted = evidence.on is not None and accepted_by_host(person, host, evidence.on)
    until = f" until {person.until.isoformat()}" if accepted and person.until is not None else ""
    by_host = f"accepted by {host}{until}" if accepted else f"not accepted by {host}"
    return f"signed by {person.full_name or person.name} ({person.role}, {by_host})"


def _fact_label(name: str, evidence: Evidence, part: Part, context: Context) -> str:
    attribute = context.vocabulary.attribute(part.kind, evidence.attribute)
    fact = context.vocabulary.facts_of(attribute).get(name) if attribute is not None else None
    return fact.label if fact is not None else name.replace("_", " ")


def _papers(papers: list[Evidence], context: Context) -> Iterator[str]:
    for paper in sorted(papers, key=lambda one: one.id):
        part = context.judgement.parts.get(paper.part)
        attribute = None if part is None else context.vocabulary.attribute(part.kind, paper.attribute)
        label = attribute.label if attribute is not None else paper.attribute
        on = f", from {paper.on.isoformat()}" if paper.on is not None else ""
        until = f", until {paper.until.isoformat()}" if paper.until is not None else ""
        yield f"{label}{on}{until}"


def _sheets(readings: list[Evidence]) -> Iterator[str]:
    sheets: dict[tuple[str, str, str], int] = {}
    for reading in readings:
        on = reading.on.isoformat() if reading.on is not None else "undated"
        by = (
            f"{reading.by.full_name or reading.by.name} ({reading.by.role})"
            if reading.by is not None
            else "nobody named"
        )
        gauge = _gauge_words(reading)
        sheets[on, by, gauge] = sheets.get((on, by, gauge), 0) + 1
    for (on, by, gauge), count in sorted(sheets.items(), reverse=True):
        yield f"{on}, {by}{f', {gauge}' if gauge else ''}: {count:,} reading{'' if count == 1 else 's'}"


def _gauge_words(reading: Evidence) -> str:
    gauge = reading.gauge
    if gauge is None:
        return ""
    checked = f", checked {gauge.checked.isoformat()}" if gauge.checked is not None else ", never checked"
    due = f", due {gauge.due.isoformat()}" if gauge.due is not None else ""
    return f"{gauge.kind} {gauge.name}{checked}{due}"


def digests_of(judgement: Judgement) -> tuple[tuple[str, str], ...]:
    """Name and SHA-256 digest of everything that the answer was made from."""
    found = [(judgement.car.file, judgement.car.digest), (judgement.move.file, judgement.move.digest)]
    found.extend((f"{edition.ruleset} {edition.name}", edition.digest) for edition in judgement.rulebook.editions)
    found.append(("rulebook", judgement.rulebook.digest))
    return tuple((name, digest) for name, digest in found if digest)
