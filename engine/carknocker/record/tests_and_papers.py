"""Tests and papers: evidence that someone signed."""

from collections.abc import Mapping

from carknocker.documents import Node
from carknocker.record.entries import PaperHead, TestHead, kind_named, read_entry
from carknocker.record.files import RecordReporter
from carknocker.record.model import Evidence, Gauge
from carknocker.record.people_and_gauges import References
from carknocker.record.positions import Positions, parts_named_at
from carknocker.record.possible_values import NO_DAYS, refuse_impossible_entry
from carknocker.record.values import Day, Value, Word
from carknocker.vocabulary.model import TestKind, WorkKind


def read_tests(
    section: Node | None, positions: Positions, references: References, reporter: RecordReporter
) -> list[Evidence]:
    """Tests, each as evidence of every part that it stands on."""
    tests: list[Evidence] = []
    for number, node in enumerate(reporter.sequence(section, "tests"), start=1):
        kind = kind_named(node, "test", reporter.vocabulary.tests, reporter, "test")
        what = f"the test `{kind.name}`" if kind is not None else "a test"
        head, facts = read_entry(node, TestHead, reporter, what, None if kind is None else kind.facts)
        if head is None or kind is None:
            continue
        if head.paper:
            facts["paper"] = Word(head.paper)
        if head.until is not None and head.until < head.on:
            reporter.note(node.get("until") or node, "a last day before the test", "`until` on or after `on`")
        after = references.after(head.after, head.on, node, reporter)
        own = reporter.vocabulary.kinds[kind.on]
        by = references.person(head.by, node, reporter)
        gauge = references.gauge(head.gauge, node.get("gauge") or node, reporter)
        if gauge is not None and not kind.gauge:
            _refuse_gauge(kind, node.get("gauge") or node, reporter)
        for part in parts_named_at(node, head.at, WorkKind(head.test, (kind.on,)), head.on, after, positions, reporter):
            tests.append(
                Evidence(
                    id=f"{part} {kind.attribute}, test {number} of {head.on.isoformat()}",
                    attribute=kind.attribute,
                    part=part,
                    place=positions.place_of(own, part, head.on, after),
                    value=Word(head.result),
                    sort="test",
                    on=head.on,
                    where=node.where,
                    until=head.until,
                    by=by,
                    gauge=gauge,
                    sheet=head.paper,
                    after=after,
                    facts=facts,
                    sure=head.sure,
                    ungauged=head.result == "passed" and _lacks_gauge(kind, facts, gauge, reporter),
                )
            )
    return tests


def _lacks_gauge(kind: TestKind, facts: Mapping[str, Value], gauge: Gauge | None, reporter: RecordReporter) -> bool:
    """Whether a test that a gauge shows was made without one that can."""
    if not kind.gauge:
        return False
    if gauge is not None:
        return gauge.kind in reporter.vocabulary.gauge_kinds and gauge.kind not in kind.gauge
    said = {name: value.text for name, value in facts.items() if isinstance(value, Word)}
    return not any(said.get(name) in words for name, words in kind.no_gauge.items())


def _refuse_gauge(kind: TestKind, place: Node, reporter: RecordReporter) -> None:
    remedy = "write what it was made with as `device`, and `device_due`" if "device" in kind.facts else "leave it out"
    reporter.note(place, f"a gauge for the test `{kind.name}`", "a test that a gauge shows", remedy=remedy)


def read_papers(section: Node | None, references: References, reporter: RecordReporter) -> list[Evidence]:
    """Papers, as evidence of the car.

    `on` is the day a paper was signed, if the record gives it; the day it runs `from` is a fact. A policy that is at
    hand and begins only later is at hand all the same.
    """
    papers: list[Evidence] = []
    for number, node in enumerate(reporter.sequence(section, "papers"), start=1):
        kind = kind_named(node, "paper", reporter.vocabulary.papers, reporter, "paper")
        what = f"the paper `{kind.name}`" if kind is not None else "a paper"
        head, facts = read_entry(node, PaperHead, reporter, what, None if kind is None else kind.facts)
        if head is None or kind is None:
            continue
        if head.from_day is not None:
            facts["from"] = Day(head.from_day, head.from_day, head.from_day.isoformat())
        start = head.from_day or head.on
        if start is not None and head.until is not None and head.until < start:
            reporter.note(node.get("until") or node, "a last day before the first", "`until` on or after `from`")
        elif not head.sure:
            since = NO_DAYS if start is None else {"from": (start, start)}
            refuse_impossible_entry("papers.until", head.until, node.get("until") or node, reporter, since)
            refuse_impossible_entry("papers.from", head.from_day, node.get("from") or node, reporter)
        papers.append(
            Evidence(
                id=f"car {kind.attribute}, paper {number}",
                attribute=kind.attribute,
                part="car",
                place="car",
                value=Word("yes"),
                sort="paper",
                on=head.on,
                where=node.where,
                until=head.until,
                by=references.person(head.by, node, reporter),
                facts=facts,
            )
        )
    return papers
