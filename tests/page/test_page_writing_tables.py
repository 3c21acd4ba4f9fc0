"""Tables in text and Markdown: nothing is lost, no line is too wide, a cell is one cell whatever is written in it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from carknocker.documents.visible_text import one_line
from carknocker.page.markdown import markdown_of
from carknocker.page.model import Blanks, Boxes, Drawing, Page, Section, Table
from carknocker.page.text import lines_of, table_lines, text_of

MARGINS = Table(
    "Margins", ("Criterion", "Measured", "Margin"),
    (("Flange thicker than 7/8 in", "1-1/8 in", "1/4 in to spare"), ("Rim at least 1 in", "1-3/8 in", "")),
)  # fmt: skip
cells = st.text() | st.sampled_from(["|", "\\|", "a | b", "`x|y`", "---", "word " * 12, "w" * 90, "7/8 in"])
tables = st.integers(1, 5).flatmap(
    lambda count: st.builds(
        lambda caption, columns, rows: Table(caption, tuple(columns), tuple(map(tuple, rows))),
        cells,
        st.lists(cells, min_size=count, max_size=count),
        st.lists(st.lists(cells, min_size=count, max_size=count), max_size=4),
    )
)


def page(*blocks: object) -> Page:
    return Page("Page", "Verdict", "plain", (Section("Section", blocks),))


def test_a_table_that_fits_stands_in_columns():
    assert list(table_lines(MARGINS, 80)) == [
        "Margins",
        "Criterion                   Measured  Margin",
        "--------------------------  --------  ---------------",
        "Flange thicker than 7/8 in  1-1/8 in  1/4 in to spare",
        "Rim at least 1 in           1-3/8 in",
    ]


def test_wide_cells_are_wrapped_in_their_column():
    lines = list(table_lines(MARGINS, 44))
    assert max(map(len, lines)) <= 44
    assert lines[3].startswith("Flange thicker")
    assert lines[4].startswith("7/8 in ") or lines[4].startswith("than 7/8 in")


def test_a_table_too_wide_for_columns_has_its_cells_labelled():
    long = Table("Long", ("Rule", "Source", "Words"), (("One", "x" * 50, "y" * 50), ("Two", "", "z")))
    assert list(table_lines(long, 80)) == [
        "Long", "- One", f"    Source: {'x' * 50}", f"    Words: {'y' * 50}", "- Two", "    Words: z",
    ]  # fmt: skip


@given(tables, st.integers(80, 120))
def test_no_line_is_too_wide_and_no_word_is_lost(table, width):
    lines = [line.text for line in lines_of(page(table), width)]
    assert max(map(len, lines)) <= width
    shown = "".join("".join(lines).split())
    for row in table.rows:
        for cell in row:
            for word in one_line(cell).split():
                assert len(word) > 8 or word in shown


@given(tables)
def test_a_cell_of_markdown_is_one_cell_that_shows_its_text(table):
    found: list[list[str]] = []
    for token in MarkdownIt("commonmark").enable(["table", "strikethrough"]).parse(markdown_of(page(table))):
        if token.type == "tr_open":
            found.append([])
        elif token.type == "inline" and found and len(found[-1]) < len(table.columns):
            assert {child.type for child in token.children or ()} <= {"text"}
            found[-1].append("".join(child.content for child in token.children or ()))
    assert found == [[one_line(cell) for cell in row] for row in (table.columns, *table.rows)]


def test_boxes_and_blanks_can_be_written_on():
    fill_in = page(Boxes((("rim thickness", "limit 1 in"), ("hollow", ""))), Blanks((("day", ""), ("by", "who read"))))
    text = text_of(fill_in)
    assert "- [__________] rim thickness. limit 1 in\n- [__________] hollow\n" in text
    assert f"day         {'_' * 32}\n" in text
    assert f"by          {'_' * 32} (who read)\n" in text
    markdown = markdown_of(fill_in).replace("\\", "")
    assert "- [__________] rim thickness. limit 1 in\n" in markdown
    assert f"- **by:** {'_' * 32} (who read)\n" in markdown


def test_a_drawing_is_told_in_words_where_it_can_not_be_shown():
    drawn = page(Drawing("axle-plan", "Axle plan", "Wheel R5 is against the limit.", "<svg></svg>"))
    assert "Drawing: Axle plan. Wheel R5 is against the limit.\n" in text_of(drawn)
    assert "**Axle plan**: Wheel R5 is against the limit.\n" in markdown_of(drawn)
    assert "svg" not in text_of(drawn) + markdown_of(drawn)


def test_no_column_breaks_a_figure_or_an_empty_box():
    """`100 %` in a column that its words alone would make narrower, and a box beside it."""
    told = "All brakes of the train operative where it starts (49 CFR 232.103(d)), and where cars are added"
    table = Table(
        "Items", ("Item", "Must be", "Reading", "OK", "Found"),
        ((told, "at least 1,000 psi", "not measured", "", ""),) * 3,
        ("text", "text", "text", "tick", "line"),
    )  # fmt: skip
    text = "\n".join(table_lines(table, 60))
    assert text.count("1,000 psi") == 3
    assert text.count("[ ]") == 3
