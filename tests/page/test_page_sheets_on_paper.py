"""The sheets of a dossier on paper: their heads, the outcome and how heavy it is, where they break, what is written on
them by hand."""

from __future__ import annotations

from datetime import date, timedelta

import pypdfium2
import pytest
from msgspec.structs import replace
from pdf_samples import faults, letters, sheets, tags

from carknocker.page.html import html_of
from carknocker.page.markdown import markdown_of
from carknocker.page.model import (
    Blanks,
    Bullets,
    Calendar,
    CalendarRow,
    Decisions,
    Drawing,
    Emphasized,
    FaultRow,
    FaultRows,
    Head,
    Item,
    Noted,
    OutcomeBar,
    Page,
    Paragraph,
    Rows,
    Section,
    Span,
    Table,
    Tick,
    Ticks,
    ToWrite,
)
from carknocker.page.pdf.writer import NoPdf, pdf_of
from carknocker.page.text import text_of

HEAD = Head("QWHX 27 Wren Hollow", "as of 2026-10-08 · Kestrel & Northern, 2026-11-06 to 11-22", "921f·033f·97d9")
BAR = OutcomeBar("not ready", "NOT READY", "5 faults keep this car from moving.", "When they are cleared: 70 mph.")
FAULTS = FaultRows(
    (
        FaultRow(1, "Wheel R5", "flange 7/8 in or thinner; must be over 7/8 in", "law", "49 CFR 238.303(e)(8)(vi)"),
        FaultRow(2, "M-12 inspection", "runs out 2026-11-14; move ends 2026-11-22", "host", "circular 7, 1.4"),
    )
)
DAYS = tuple(date(2026, 11, 6) + timedelta(number) for number in range(17))


def dossier(*sections: Section, **more) -> Page:
    first = Section("What keeps the car from moving", (FAULTS,))
    verdict = Emphasized("NOT READY", ": 5 items keep this car from moving.")
    return Page(HEAD.name, verdict, "bad", (first, *sections), head=HEAD, bar=BAR, foot="It signs nothing.", **more)


def fault_item(number: int, lines: int = 1) -> Item:
    rows = Rows(tuple((f"row {one}", "words") for one in range(lines)), facts=True)
    return Item(Emphasized(f"Part {number}:", " wrong"), (rows,), number, "law", (Paragraph("Stops the car."),))


def test_the_head_of_every_sheet_names_the_car_the_outcome_the_move_and_the_digest():
    page = dossier(*(Section(f"Sheet {number}", (Paragraph("p"),), sheet=True, alone=True) for number in (2, 3)))
    texts = sheets(pdf_of([page]))
    assert len(texts) == 3
    for number, text in enumerate(texts, start=1):
        said = " ".join(text.split())
        assert "QWHX 27 Wren Hollow" in said
        assert "NOT READY" in said
        assert "as of 2026-10-08 · Kestrel & Northern, 2026-11-06 to 11-22" in said
        assert "digest 921f·033f·97d9" in said
        assert f"sheet {number} of 3" in said
        assert "It signs nothing." in said


def test_the_sheets_of_an_appendix_have_numbers_of_their_own():
    page = dossier(Section("More", (Paragraph("p"),), sheet=True))
    texts = sheets(pdf_of([replace(page, head=replace(HEAD, numbered="A-"))]))
    assert ["sheet A-1 of A-2" in texts[0], "sheet A-2 of A-2" in texts[1]] == [True, True]


def ink_of(pdf: bytes) -> float:
    """How much of the first sheet is black, from 0 to 1."""
    with pypdfium2.PdfDocument(pdf) as document:
        grey = document[0].render(scale=0.5, grayscale=True).to_numpy()
    return float((grey < 64).mean())


def test_a_worse_outcome_is_heavier_in_grey_too():
    outcomes = ("ready", "repair move only", "not ready")
    inks = [
        ink_of(pdf_of([Page("T", "V", "plain", (), head=HEAD, bar=OutcomeBar(one, "WORD", "why.", ""))]))
        for one in outcomes
    ]  # fmt: skip
    assert inks[0] < inks[1] < inks[2]


def test_the_word_of_a_plan_is_never_reversed():
    plan = Page("T", Emphasized("PLAN", ": NOT READY"), "bad", (), head=HEAD)
    finding = Page("T", Emphasized("PLAN", ": NOT READY"), "bad", (), head=HEAD, bar=BAR)
    assert ink_of(pdf_of([plan])) < ink_of(pdf_of([finding])) / 3


def test_levels_are_those_of_sheets_and_what_stands_on_them():
    page = dossier(
        Section("The move", (Paragraph("p"),), half=True), Section("The car", (Paragraph("p"),), half=True),
        Section("Faults", (fault_item(1), Item("Restriction", (Paragraph("p"),), half=True),
                           Item("Asked for", (Paragraph("p"),), half=True)), sheet=True, lead="Each must be cleared."),
    )  # fmt: skip
    pdf = pdf_of([page])
    assert faults(pdf) == []
    named = [(one.name, one.title) for one in tags(pdf).all() if one.name.startswith("H") and one.name[1:].isdigit()]
    assert named == [
        ("H1", "QWHX 27 Wren Hollow"), ("H2", "What keeps the car from moving"), ("H2", "The move"), ("H2", "The car"),
        ("H1", "Faults"), ("H2", "Part 1: wrong"), ("H2", "Restriction"), ("H2", "Asked for"),
    ]  # fmt: skip


def test_a_fault_is_linked_to_what_is_said_of_it_where_that_stands_on_the_page():
    with_items = tags(pdf_of([dossier(Section("Faults", (fault_item(1), fault_item(2)), sheet=True))]))
    assert [one.name for one in with_items.all()].count("Link") == 2
    assert "Link" not in [one.name for one in tags(pdf_of([dossier()])).all()]
    html = html_of([dossier(Section("Faults", (fault_item(1), fault_item(2)), sheet=True))])
    assert html.count('href="#entry-1"') == html.count('id="entry-1"') == 1


def test_a_fault_is_whole_on_a_sheet():
    items = tuple(fault_item(number, 9) for number in range(1, 13))
    texts = [letters(text) for text in sheets(pdf_of([dossier(Section("Faults", items, sheet=True))]))]
    assert len(texts) >= 3
    for number in range(1, 13):
        (text,) = [text for text in texts[1:] if f"Part{number}wrong" in text]
        assert text.split(f"Part{number}wrong")[1].startswith("row0wordsrow1words")
        assert "row8words" in text.split(f"Part{number}wrong")[1]


@pytest.mark.parametrize(("days", "boxes"), [(DAYS, 17), (DAYS[:1], 1)])
def test_a_calendar_has_a_head_over_each_day(days, boxes):
    spans = (Span("1", days[0], days[0], True), Span("lays over", days[0] + timedelta(1), days[-1], False))
    calendar = Calendar("Duties", days, spans, (CalendarRow("Class I brake test", "the car; host", days[:1]),))
    pdf = pdf_of([dossier(Section("Duties", (calendar,), sheet=True))])
    assert faults(pdf) == []
    heads = [one for part in tags(pdf).all() if part.name == "THead" for one in part.inside[-1].inside]
    assert len(heads) == 1 + boxes


def test_a_long_move_has_its_days_in_parts_and_loses_none():
    days = tuple(date(2026, 11, 6) + timedelta(number) for number in range(50))
    calendar = Calendar("Duties", days, (), (CalendarRow("Boxes opened", "", days),))
    (text,) = sheets(pdf_of([dossier(Section("Duties", (calendar,), sheet=True))]))[1:]
    assert text.count("Boxes opened") == 3
    assert "November 2026" in text
    assert "December 2026" in text


def test_what_is_written_by_hand_reads_on_in_plain_text():
    blocks = (
        Rows((("Owner", ToWrite("not on file")),), facts=True), Ticks((Tick("Insurance", True), Tick("Log", False)),
        ("on file", "not on file")), Decisions(("Received", "Declined"), ("name and title", "date")),
        Table("T", ("Item", "OK", "Found"), ((Noted("Doors latch", "49 CFR 238.305(c)"), "", ""),),
              ("text", "tick", "line")),
    )  # fmt: skip
    page = dossier(Section("S", blocks))
    text = text_of(page)
    assert "[x] Insurance" in text
    assert "[ ] Log" in text
    assert "[ ] Received: name and title __________, date __________" in text
    assert "Doors latch (49 CFR 238.305(c))  [ ]  __________" in text
    assert "not on file" in text
    markdown = markdown_of(page)
    assert "| Doors latch (49 CFR 238.305(c)) | \\[ \\] | \\_\\_\\_\\_\\_\\_\\_\\_\\_\\_ |" in markdown


def test_what_is_filled_in_by_hand_is_empty_on_paper():
    heads = ("Received", "Accepted", "Declined")
    page = dossier(Section("For the host", (Decisions(heads, ("name and title", "date")),), foot=True))
    (text,) = sheets(pdf_of([page]))
    written = letters(text[text.index("For the host") :]).removeprefix("Forthehost").split("Itsigns")[0]
    labels = letters("".join(heads)) + 3 * "nameandtitledate"
    assert sorted(written) == sorted(labels)


def test_a_drawing_in_millimeters_is_set_at_its_size():
    svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 46 20"><rect width="46" height="20"/></svg>'
    pdf = pdf_of([dossier(Section("S", (Drawing("d", "t", "words", svg, 46, 20),), sheet=True))])
    with pypdfium2.PdfDocument(pdf) as document:
        black = document[1].render(scale=1, grayscale=True).to_numpy() < 64
    across = max(row.sum() for row in black[100:400])
    assert across == pytest.approx(46 * 72 / 25.4, abs=2)


def test_a_table_without_column_headings_is_refused():
    with pytest.raises(NoPdf, match="a table has no column headings: Wheels"):
        pdf_of([dossier(Section("S", (Table("Wheels", ("", ""), (("a", "b"),)),)))])


def test_a_sheet_that_is_little_more_than_half_full_takes_in_the_next_one_where_that_has_room():
    """And one that is fuller takes in a few lines, which would be alone on theirs."""

    def sheet(heading: str, lines: int, **more: bool) -> Section:
        return Section(heading, (Bullets(("one line",) * lines),), sheet=True, **more)

    def on(*sections: Section) -> list[list[str]]:
        texts = sheets(pdf_of([dossier(*sections)]))
        return [[one.heading for one in sections if one.heading in text] for text in texts[1:]]

    assert on(sheet("First", 20), sheet("Second", 15), sheet("Third", 12)) == [["First", "Second"], ["Third"]]
    assert on(sheet("First", 38), sheet("Second", 12)) == [["First"], ["Second"]]
    assert on(sheet("First", 38), sheet("Second", 3)) == [["First", "Second"]]
    assert on(sheet("First", 20), sheet("Second", 40)) == [["First"], ["Second"]]
    assert on(sheet("First", 20), sheet("Second", 3, alone=True), sheet("Third", 3)) == [
        ["First"],
        ["Second"],
        ["Third"],
    ]
    assert on(sheet("First", 60), sheet("Second", 3))[-1] == ["Second"]


def test_what_is_filled_in_together_stands_on_one_sheet():
    """Two lines at the foot of one sheet and two at the head of the next say no longer what they are of."""
    lines = tuple((label, "") for label in ("renewed at", "by whom", "ordered from", "arrives on"))
    for filled in range(36, 52, 2):
        rows = Section("Steps", (Bullets(tuple(f"step {number}" for number in range(filled))),))
        page = Page("plan", "PLAN", "care", (rows, Section("Wheelsets: to be filled in", (Blanks(lines),))))
        (own,) = [text for text in sheets(pdf_of([page])) if "by whom" in text]
        assert all(label in own for label, _ in lines), filled
        assert "to be filled in" in own, filled
