"""Tests and papers: evidence that someone signed."""

from carknocker.documents import Node
from carknocker.record.entries import PaperHead, TestHead, kind_named, read_entry
from carknocker.record.files import RecordReporter
from carknocker.record.model import Evidence
from carknocker.record.people_and_gauges import References
from carknocker.record.positions import Positions, parts_named_at
from carknocker.record.possible_values import NO_DAYS, refuse_impossible_entry
from carknocker.record.values import Day, Word
from carknocker.vocabulary.model import WorkKind


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
                )
            )
    return tests


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
