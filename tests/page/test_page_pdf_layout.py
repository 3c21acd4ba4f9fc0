"""What stands on which sheet: rows and blockers are whole unless they are longer than a sheet, heads are repeated,
columns are as wide as their words."""

from __future__ import annotations

import pytest
from pdf_samples import letters, page_with, sheets, sheets_with, tags

from carknocker.page.model import Bullets, Drawing, Item, Leaf, Page, Paragraph, Rows, Section, Table, Tree
from carknocker.page.pdf.blocks import TEXT_WIDTH, data_of
from carknocker.page.pdf.columns import GAP, PENCIL, column_widths, shared
from carknocker.page.pdf.typeface import widths
from carknocker.page.pdf.writer import pdf_of

ROW = "A row of some lines, so that it would break if it could. " * 5
LONG = " ".join(f"w{number:04}" for number in range(3000))


def test_a_row_is_whole_and_the_head_stands_on_every_sheet():
    table = Table("Caption", ("First column", "Second"), tuple((f"begin{n} {ROW} end{n}.", "x") for n in range(40)))
    texts = [letters(sheet) for sheet in sheets_with(table)]
    assert len(texts) > 2
    for number in range(40):
        whole = [text for text in texts if f"begin{number}Arow" in text and f"end{number}x" in text]
        assert len(whole) == 1, number
    assert all("FirstcolumnSecond" in text for text in texts)


@pytest.mark.parametrize(
    "block",
    [
        Table("Caption", ("A", "B", "C"), (("before", "x", ""), ("row", LONG, "z"), ("after", "y", ""))),
        Rows((("before", "x"), ("row", LONG), ("after", "y"))),
        Item("Blocker", (Rows((("row", LONG),)),), 1),
        Item("Blocker", (Table("Caption", ("A", "B"), (("row", LONG),)),), 1),
        Item("Blocker", (Bullets(("short",) * 100 + (LONG,)),), 1),
        Paragraph(LONG),
        Bullets((LONG,)),
        Tree((Leaf("top", (LONG,), (Leaf(LONG),)),)),
    ],
)
def test_what_is_longer_than_a_sheet_flows_over_several(block):
    printed = " ".join(sheets_with(block)).split()
    words = [word.strip(",;") for word in printed]
    assert [word for word in LONG.split() if word not in words] == []


def test_a_blocker_is_whole_and_one_of_a_sheet_is_too():
    def blocker(number: int, lines: int) -> Item:
        return Item(
            f"begin{number}", (*[Paragraph(f"line {one}") for one in range(lines)], Paragraph(f"end{number}.")), number
        )

    texts = [
        letters(sheet)
        for sheet in sheets_with(*(blocker(number, lines) for number, lines in enumerate((5, 9, 30, 20, 34, 12), 1)))
    ]
    assert len(texts) > 2
    for number in range(1, 7):
        assert [text for text in texts if f"begin{number}" in text and f"end{number}" in text], number


def test_a_heading_is_never_alone_at_the_foot_of_a_sheet():
    blocks = [
        part for number in range(120) for part in (Paragraph(f"head{number}", strong=True), Paragraph(f"body{number}."))
    ]
    texts = [letters(sheet) for sheet in sheets_with(*blocks)]
    assert len(texts) > 1
    for number in range(120):
        assert any(f"head{number}body{number}" in text for text in texts), number


def test_empty_columns_leave_room_for_a_pencil():
    table = Table("T", ("What", "Found"), (("brakes apply", ""), ("brakes release", "")))
    (made,) = data_of([page_with(table)])["pages"][0]["sections"][0]["blocks"]
    assert made["pencil"] == [1]
    assert made["widths"][1] >= PENCIL
    assert sum(made["widths"]) == pytest.approx(TEXT_WIDTH)


def test_a_tall_drawing_fits_on_a_sheet():
    words = '<text y="9">top</text><text y="{0}">end</text>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 {{0}}">{words}</svg>'
    for height in (50, 160, 900):
        drawing = Drawing("d", "named", "words", svg.format(height), 100, height)
        texts = sheets_with(*(Paragraph("p"),) * 30, drawing)
        assert [text for text in texts if "top" in text and "end" in text and "named" in text], height


def test_a_page_of_nothing_is_a_sheet():
    assert len(sheets(pdf_of([Page("T", "V", "plain", ())]))) == 1
    assert len(sheets(pdf_of([Page("", "", "plain", (Section("", (Table("", ("",), ()),)),))]))) == 1


def test_numbered_items_of_several_pages_are_linked_each_to_its_own():
    page = Page("T", "V", "bad", (Section("S", (Item("one", (Paragraph("x"),), 1), Item("two", (), 1))),), brief=True)
    tree = tags(pdf_of([page, page]))
    assert [one.name for one in tree.all()].count("Link") == 4


# columns


def test_columns_fill_the_room():
    given = column_widths(("a", "b"), (("one", "two words"), ("three", "x" * 300)), 500, 9)
    assert sum(given) == pytest.approx(500)
    assert given[1] > given[0]


def test_no_column_is_narrower_than_its_longest_word():
    rows = [("a few words " * 20, "unbreakable-w", "words and more words " * 40)] * 5
    given = column_widths(("Head", "Verdict", "Long"), rows, 400, 9)
    assert given[1] - GAP >= widths().of("unbreakable-w", 9)
    assert given[2] > given[0]
    assert sum(given) == pytest.approx(400)


def test_a_column_gets_more_where_that_makes_rows_lower():
    assert shared([20, 20], [[100, 10], [100, 10]], 140) == pytest.approx([120 - 0, 20], abs=6)


def test_columns_too_many_for_the_room_are_narrowed_alike():
    assert shared([300, 100], [[300, 100]], 200) == [150, 50]


def test_a_part_of_a_section_is_whole_with_its_heading_unless_it_is_longer_than_a_sheet():
    parts = [Item(f"Part {part}", (Rows(tuple((f"row {part}-{n}", "x") for n in range(25))),)) for part in (1, 2, 3)]
    texts = [letters(sheet) for sheet in sheets_with(*parts)]
    for part in (1, 2, 3):
        (whole,) = (text for text in texts if f"Part{part}" in text)
        assert all(f"row{part}{n}x" in whole for n in range(25))
    long = Item("Long part", (Rows(tuple((f"row {n}", "x") for n in range(90))),))
    assert len(sheets_with(long)) > 1
