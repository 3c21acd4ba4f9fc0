"""How many slips in the record of a READY demo car leave its page as it was: `python tests/cases/unnoticed.py`.

Each value of the record is made false once in each way that its form allows (a figure times ten and a tenth of it, a
`yes` for a `no`, a date ten years off), and each entry is left out once. A change is noticed where the record is
refused or any word of the page of `check` changes. Line numbers of the record do not count as words. Words of choices
and names are not changed here: a name can be any name.

`--list` names every change that nobody noticed.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from copy import deepcopy
from datetime import date
from typing import Any

import msgspec
import yaml
from case_list import CASES, expected, library, names

from carknocker.cli.output import joined
from carknocker.documents import InputRefused
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.judgement.model import CannotJudge
from carknocker.questions.check.page import page_of
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import Move

Path_ = tuple[str | int, ...]
_NUMBER = re.compile(r"[0-9][0-9,]*(?:\.[0-9]+)?(?:-[0-9]+/[0-9]+|/[0-9]+)?")
_DATE = re.compile(r"([0-9]{4})(-[0-9]{2}){0,2}")
_LINE = re.compile(r"car\.yaml:[0-9]+(?::[0-9]+)?")
_OPPOSITE = {"yes": "no", "no": "yes"}


class Change(msgspec.Struct, frozen=True):
    """One slip: `sort` as the table names it; where; what stood there and what stands there now."""

    sort: str
    path: Path_
    before: str
    after: str


def leaves(node: Any, path: Path_ = ()) -> Iterator[tuple[Path_, str]]:
    """Every written value with its place."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield from leaves(value, (*path, key))
    elif isinstance(node, list):
        for number, value in enumerate(node):
            yield from leaves(value, (*path, number))
    else:
        yield path, str(node)


def entries(node: Any, path: Path_ = ()) -> Iterator[Path_]:
    """Every entry that can be left out: a key of a mapping or an item of a list, at any depth."""
    inside: Iterator[tuple[str | int, Any]] = iter(())
    if isinstance(node, dict):
        inside = iter(node.items())
    elif isinstance(node, list):
        inside = iter(enumerate(node))
    for key, value in inside:
        yield (*path, key)
        yield from entries(value, (*path, key))


def false_values(text: str) -> Iterator[tuple[str, str]]:
    """What a slip makes of a written value: the sort of slip and the value that stands there then."""
    if text in _OPPOSITE:
        yield "yes for no", _OPPOSITE[text]
        return
    dated = _DATE.fullmatch(text)
    if dated is not None and 1800 < int(dated[1]) < 2200:
        year = int(dated[1])
        yield "ten years early", f"{year - 10}{text[4:]}"
        yield "ten years late", f"{year + 10}{text[4:]}"
        return
    number = _NUMBER.match(text)
    if number is None or number[0] == "0" or "ft" in text or text.startswith("0 "):
        return
    yield "times ten", _scaled(number[0], 10) + text[number.end() :]
    yield "a tenth", _scaled(number[0], 0.1) + text[number.end() :]


def _scaled(written: str, factor: float) -> str:
    whole, _, rest = written.replace(",", "").rpartition("-")
    over, _, under = rest.partition("/")
    value = float(whole or 0) + float(over) / float(under or 1)
    return f"{value * factor:.6f}".rstrip("0").rstrip(".")


def changed(record: Any, path: Path_, value: str | None) -> Any:
    """The record with another value at a place; None leaves the entry out."""
    copy = deepcopy(record)
    node = copy
    for key in path[:-1]:
        node = node[key]
    if value is None:
        del node[path[-1]]
    else:
        node[path[-1]] = value
    return copy


def page(record: Any, move: Move, day: date) -> str:
    """The page of `check`, or why there is none; without the line numbers of the record."""
    try:
        text = yaml.safe_dump(record, sort_keys=False, allow_unicode=True, width=10_000)
        answer = check(read_car_text(text, "car.yaml"), move, library(), day)
        return _LINE.sub("car.yaml", joined([page_of(view_of(answer))]))
    except InputRefused as refused:
        return f"refused: {refused}"
    except CannotJudge as error:
        return f"cannot judge: {error}"


def changes_of(record: Any) -> Iterator[Change]:
    """Every single slip of a record. Its head (`format`) is left alone."""
    for path, text in leaves(record):
        if path != ("format",):
            for sort, value in false_values(text):
                yield Change(sort, path, text, value)
    for path in entries(record):
        if path != ("format",):
            yield Change("left out", path, "", "")


def ready_cases() -> list[str]:
    return [name for name in names() if str(expected(name)["outcome"]).startswith("ready")]


def read_case(name: str) -> tuple[Any, Move, date]:
    """The record of a case as plain data, every value as it is written; its move; its day."""
    folder = CASES / name
    written = yaml.load((folder / "car.yaml").read_text(encoding="utf-8"), yaml.BaseLoader)
    record = json.loads(json.dumps(written))  # what an alias repeats is written out, so that each can be changed alone
    day = expected(name)["as_of"]
    assert isinstance(day, date)
    return record, read_move_text((folder / "move.yaml").read_text(encoding="utf-8"), "move.yaml"), day


def unnoticed(name: str) -> Iterator[tuple[Change, bool]]:
    """Every slip in the record of a case, and whether nobody noticed it."""
    record, move, day = read_case(name)
    before = page(record, move, day)
    for change in changes_of(record):
        value = None if change.sort == "left out" else change.after
        yield change, page(changed(record, change.path, value), move, day) == before


def main() -> None:
    counted: dict[str, list[int]] = {}
    silent: list[str] = []
    for name in ready_cases():
        for change, nobody in unnoticed(name):
            row = counted.setdefault(change.sort, [0, 0])
            row[0] += 1
            row[1] += nobody
            if nobody:
                where = " > ".join(str(key) for key in change.path)
                silent.append(f"{name}: {change.sort}: {where} {change.before} -> {change.after}")
    print(f"{'slip':<20}{'made':>8}{'unnoticed':>12}")
    for sort, (made, nobody) in counted.items():
        print(f"{sort:<20}{made:>8}{nobody:>12}")
    false = [row for sort, row in counted.items() if sort != "left out"]
    print(f"{'all false values':<20}{sum(row[0] for row in false):>8}{sum(row[1] for row in false):>12}")
    if "--list" in sys.argv:
        print("\n".join(silent))


if __name__ == "__main__":
    main()
