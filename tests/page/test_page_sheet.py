"""The pages of set-out sheet and wheel-shop order: what the shop writes has a box, what is missing says so."""

from __future__ import annotations

from datetime import date

from carknocker.page.model import Boxes, Bullets, Rows
from carknocker.page.sheet import RecordLine, SheetAnswer, SheetSection, sheet_page


def blocks_of(*lines, notes=()):
    answer = SheetAnswer("title", "for whom", date(2026, 10, 8), (SheetSection("section", lines, notes),))
    return sheet_page(answer).sections[0].blocks


def test_lines_that_are_all_to_be_filled_in_are_boxes():
    blocks = blocks_of(
        RecordLine("wheel made", "", box=True), RecordLine("crack test", "day, by whom", box=True), notes=("A note.",)
    )
    assert blocks == (Boxes((("wheel made", ""), ("crack test", "day, by whom"))), Bullets(("A note.",)))


def test_something_to_tick_among_lines_that_are_known_stays_a_line():
    blocks = blocks_of(RecordLine("equalized", "yes"), RecordLine("disconnect", "air hose", box=True))
    assert blocks == (Rows((("equalized", "yes"), ("disconnect", "[  ] air hose"))),)


def test_what_is_missing_says_so():
    assert blocks_of(RecordLine("light weight", "not on record", known=False)) == (
        Rows((("light weight", "MISSING: not on record"),)),
    )


def test_what_the_owner_can_not_supply_is_not_called_missing():
    line = RecordLine("axle length", "not on record", known=False, owner_supplies=False)
    assert blocks_of(line) == (Rows((("axle length", "not on record"),)),)
    answer = SheetAnswer("title", "for whom", date(2026, 10, 8), (SheetSection("section", (line,)),), word="ORDER")
    assert (answer.missing, sheet_page(answer).verdict) == (0, "ORDER: for whom")


def test_a_section_of_notes_alone_has_no_boxes():
    assert blocks_of(notes=("A note.",)) == (Bullets(("A note.",)),)
