"""Silence is never better than speech: from the record of a demo car no entry can be left out to gain by it."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
import yaml
from case_list import CASES, answer, names
from left_out import better, exceptions, gone

from carknocker.documents import InputRefused
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text

Entry = tuple[str | int, ...]
SAMPLE = 100
"""Of how many entries the usual run leaves out one."""


class _Dumper(yaml.SafeDumper):
    """Writes out what anchors repeat, so that each entry can be left out by itself."""

    def ignore_aliases(self, data: object) -> bool:
        return True


def plain(name: str) -> Any:
    """The record of a case, every value a text."""
    text = (CASES / name / "car.yaml").read_text(encoding="utf-8")
    return yaml.load(written(yaml.load(text, Loader=yaml.BaseLoader)), Loader=yaml.BaseLoader)


def written(record: Any) -> str:
    return yaml.dump(record, Dumper=_Dumper, allow_unicode=True, width=10**6, sort_keys=False)


def entries(record: Any, above: Entry = ()) -> Iterator[Entry]:
    """Every key of every mapping and every item of every list, at any depth."""
    inside = record.items() if isinstance(record, dict) else enumerate(record) if isinstance(record, list) else ()
    for key, value in inside:
        yield (*above, key)
        yield from entries(value, (*above, key))


def without(record: Any, entry: Entry) -> Any:
    changed = copy.deepcopy(record)
    place = changed
    for key in entry[:-1]:
        place = place[key]
    del place[entry[-1]]
    return changed


def gained(name: str, every: int) -> Iterator[tuple[Entry, str, list[Any]]]:
    """The entries without which the car would be better off, although no exception is theirs. every: of how many one is
    looked at."""
    first = answer(name).judgement
    record = plain(name)

    def judged(changed: Any) -> Judgement:
        return judge(read_car_text(written(changed), "car.yaml"), first.move, first.rulebook, first.as_of)

    before = judged(record)
    assert before.outcome == first.outcome
    for number, entry in enumerate(entries(record)):
        if number % every:
            continue
        try:
            after = judged(without(record, entry))
        except InputRefused:
            continue
        lost = gone(before, after)
        if (better(after, before) or lost) and not exceptions(before, after.car):
            yield entry, after.outcome, sorted(lost)


@pytest.mark.parametrize("name", [name for name in names() if name != "nothing-measured"])
def test_an_entry_left_out_makes_nothing_better(name: str) -> None:
    assert list(gained(name, SAMPLE)) == []


@pytest.mark.long
@pytest.mark.parametrize("name", names())
def test_no_entry_at_all_can_be_left_out_to_gain_by_it(name: str) -> None:
    assert list(gained(name, 1)) == []
