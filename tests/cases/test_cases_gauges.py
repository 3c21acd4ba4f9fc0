"""Silence about a gauge is never better than speech: in a demo car, what a gauge read is worth no more without the
gauge, or without what is said of it, than with the gauge overdue, checked too late, or as coarse as its kind can be."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from case_list import answer
from left_out import better, gone
from test_cases_left_out import plain, written

from carknocker.documents import InputRefused
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.quantities import write_quantity
from carknocker.record import read_car_text
from carknocker.vocabulary import load_vocabulary

LATE, LONG_AGO = "2026-10-30", {"checked": "2015-03-01", "due": "2016-03-01"}
"""A check after every reading of the demo cars, and one that ran out before them."""


def named(node: Any, gauge: str) -> Iterator[dict[str, Any]]:
    """The sheets and the values that name a gauge."""
    if isinstance(node, dict):
        if node.get("gauge") == gauge:
            yield node
        for value in node.values():
            yield from named(value, gauge)
    elif isinstance(node, list):
        for value in node:
            yield from named(value, gauge)


def said_of(record: Any, gauge: str, **said: str | None) -> Any:
    """The record with that said of a gauge; None leaves it out."""
    changed = copy.deepcopy(record)
    for key, value in said.items():
        if value is None:
            changed["gauges"][gauge].pop(key, None)
        else:
            changed["gauges"][gauge][key] = value
    return changed


def unnamed(record: Any, gauge: str, number: int | None = None) -> Any:
    """The record of which no sheet and no value names a gauge, or only its n-th mention does not."""
    changed = copy.deepcopy(record)
    for count, node in enumerate(list(named(changed["sheets"], gauge))):
        if number in (None, count):
            del node["gauge"]
    return changed


def silences(record: Any, gauge: str) -> Iterator[tuple[str, Any, Any]]:
    """What is left out, the record that says something bad of the gauge, and the one that says nothing."""
    overdue = said_of(record, gauge, **LONG_AGO)
    yield "the gauge", overdue, unnamed(overdue, gauge)
    yield "due", overdue, said_of(overdue, gauge, due=None)
    yield "checked and due", overdue, said_of(overdue, gauge, checked=None, due=None)
    late = said_of(record, gauge, checked=LATE, due="2027-03-01")
    yield "checked", late, said_of(late, gauge, checked=None)
    never = said_of(record, gauge, checked=LATE, due="never")
    yield "the gauge that was checked too late", never, unnamed(never, gauge)
    yield "checked of one that is never due", never, said_of(never, gauge, checked=None)
    kind = load_vocabulary().gauge_kinds[record["gauges"][gauge]["kind"]]
    if kind.coarsest is not None and "reads_to" in record["gauges"][gauge]:
        step = kind.coarsest
        coarse = said_of(record, gauge, reads_to=write_quantity(step))
        yield "reads_to", coarse, said_of(coarse, gauge, reads_to=None)
        if kind.check:  # what any rule shows, the eye could have read to the usual step
            yield "the coarse gauge", coarse, unnamed(coarse, gauge)
    if kind.uncertainty is not None:
        unsure = said_of(record, gauge, uncertainty=write_quantity(kind.uncertainty))
        yield "uncertainty", unsure, said_of(unsure, gauge, uncertainty=None)


def gained(name: str) -> Iterator[tuple[str, str, str, list[Any]]]:
    """The gauges of a case of which silence is better than speech."""
    first, record = answer(name).judgement, plain(name)

    def judged(changed: Any) -> Judgement:
        return judge(read_car_text(written(changed), "car.yaml"), first.move, first.rulebook, first.as_of)

    for gauge in record["gauges"]:
        spoken: dict[str, Judgement] = {}
        for what, bad, silent in silences(record, gauge):
            text = written(bad)
            before = spoken[text] if text in spoken else spoken.setdefault(text, judged(bad))
            try:
                after = judged(silent)
            except InputRefused:
                continue
            if what in ("reads_to", "the coarse gauge") and before.doubts:
                continue  # a figure finer than its gauge: two entries that contradict each other
            lost = gone(before, after)
            if better(after, before) or lost:
                yield gauge, what, after.outcome, sorted(lost)


def test_no_silence_about_a_gauge_is_better_than_speech() -> None:
    assert list(gained("larkspur/freight")) == []


@pytest.mark.long
@pytest.mark.parametrize("name", ["larkspur/passenger", "two-nations/north", "wren-hollow/after", "wren-hollow/before"])
def test_no_silence_about_a_gauge_is_better_in_any_demo_car(name: str) -> None:
    assert list(gained(name)) == []


def test_each_reading_of_a_gauge_that_a_rule_asks_about_is_lost_with_it() -> None:
    """The test above looks at something: an overdue gauge keeps the car of the case from moving."""
    first, record = answer("larkspur/freight").judgement, plain("larkspur/freight")
    for gauge in ("F-1", "F-3", "F-4", "S-1"):
        overdue = read_car_text(written(said_of(record, gauge, **LONG_AGO)), "car.yaml")
        assert judge(overdue, first.move, first.rulebook, first.as_of).outcome == "not ready", gauge
