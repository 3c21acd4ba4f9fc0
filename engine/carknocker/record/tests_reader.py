"""Tests and papers: evidence that someone signed."""

from carknocker.documents import Node
from carknocker.record.heads import read_facts, read_head
from carknocker.record.model import Evidence
from carknocker.record.named import Named
from carknocker.record.notes import Notes
from carknocker.record.positions import Positions
from carknocker.record.standing_on import standing_on
from carknocker.record.structures import PaperHead, TestHead
from carknocker.record.values import Day, Word
from carknocker.vocabulary.model import WorkKind


def read_tests(section: Node | None, positions: Positions, named: Named, notes: Notes) -> list[Evidence]:
    """Tests, each as evidence of every part that it stands on."""
    tests: list[Evidence] = []
    for number, node in enumerate(notes.sequence(section, "tests"), start=1):
        head = read_head(node, TestHead, notes, "a test")
        if head is None or not notes.known(node.get("test") or node, head.test, notes.vocabulary.tests, "test"):
            continue
        kind = notes.vocabulary.tests[head.test]
        facts = read_facts(node, TestHead, kind.facts, notes, f"the test `{head.test}`")
        if head.paper:
            facts["paper"] = Word(head.paper)
        if head.until is not None and head.until < head.on:
            notes.note(node.get("until") or node, "a last day before the test", "`until` on or after `on`")
        after = named.after(head.after, head.on, node, notes)
        own = notes.vocabulary.kinds[kind.on]
        by = named.person(head.by, node, notes)
        gauge = named.gauge(head.gauge, node.get("gauge") or node, notes)
        for part in standing_on(node, head.at, WorkKind(head.test, (kind.on,)), head.on, after, positions, notes):
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


def read_papers(section: Node | None, named: Named, notes: Notes) -> list[Evidence]:
    """Papers, as evidence of the car.

    `on` is the day a paper was signed, if the record gives it; the day it runs `from` is a fact. A policy that is at
    hand and begins only later is at hand all the same.
    """
    papers: list[Evidence] = []
    for number, node in enumerate(notes.sequence(section, "papers"), start=1):
        head = read_head(node, PaperHead, notes, "a paper")
        if head is None or not notes.known(node.get("paper") or node, head.paper, notes.vocabulary.papers, "paper"):
            continue
        kind = notes.vocabulary.papers[head.paper]
        facts = read_facts(node, PaperHead, kind.facts, notes, f"the paper `{head.paper}`")
        if head.from_day is not None:
            facts["from"] = Day(head.from_day, head.from_day, head.from_day.isoformat())
        start = head.from_day or head.on
        if start is not None and head.until is not None and head.until < start:
            notes.note(node.get("until") or node, "a last day before the first", "`until` on or after `from`")
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
                by=named.person(head.by, node, notes),
                facts=facts,
            )
        )
    return papers
