"""The page on what can't be and what is doubted: its lists are those of the program."""

import re
from collections import defaultdict
from pathlib import Path

from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.doubts import load_doubts
from carknocker.vocabulary import load_vocabulary

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "plausible.md").read_text(encoding="utf-8")


def rows(heading: str) -> list[list[str]]:
    """The cells of the table under a heading."""
    section = PAGE.split(f"## {heading}\n", 1)[1].split("\n## ", 1)[0]
    table = [line for line in section.splitlines() if line.startswith("| ")][2:]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in table]


def names(cell: str) -> list[str]:
    return re.findall(r"`([a-z0-9-]+)`", cell)


def test_each_doubt_stands_once_under_its_kind_of_part() -> None:
    asked: dict[str, list[str]] = defaultdict(list)
    for doubt in load_doubts():
        asked[doubt.of].append(doubt.name)
    assert {of: names(doubts) for of, doubts in rows("Doubts that are asked")} == asked


def test_what_is_not_asked_has_a_name_a_reason_and_no_doubt() -> None:
    table = rows("Doubts that are not asked")
    assert len(table) == 38
    asked = {doubt.name for doubt in load_doubts()} | {row.id for row in load_vocabulary().together}
    for row, why in table:
        assert names(row), row
        assert len(why.split()) > 5, row
        assert not asked.intersection(names(row)), row
    every = [name for row, _ in table for name in names(row)]
    assert len(every) == len(set(every))


def test_a_doubt_that_a_reason_names_is_asked() -> None:
    """A reason may send to a doubt or to a criterion of trade practice that asks instead."""
    practice = load_library(rulesets_folders()).edition("trade-practice", "2026")
    asked = {doubt.name for doubt in load_doubts()} | {one.name for one in practice.criteria}
    sent = [name for _, why in rows("Doubts that are not asked") for name in names(why)]
    assert {"stored-air", "stored-emergency-air"} <= set(sent)
    assert [name for name in sent if name not in asked] == []
