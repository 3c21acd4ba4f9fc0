"""The HTML of a page: well-formed, in order, one file that asks for nothing; what is folded, drawn, struck out."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree as ET

import html5lib
import pytest
from msgspec.structs import replace

from carknocker.page.html import css_string, html_of
from carknocker.page.model import (
    Blanks,
    Boxes,
    Bullets,
    Drawing,
    Emphasized,
    Item,
    Leaf,
    Page,
    Paragraph,
    Rows,
    Section,
    Table,
    Tree,
)

TONES = ("good", "care", "bad", "plain")
SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M0 0H10"/></svg>'
WHOLE = Page(
    "QWHX 27 Wren Hollow",
    Emphasized("NOT READY", ": 2 items keep this car from moving."),
    "bad",
    (
        Section("The move", (Rows((("host", "Kestrel & Northern"), ("rules", "one"), ("rules", "two"))),)),
        Section(
            "What keeps this car from moving",
            (Item("Wheel R5", (Rows(((Emphasized("MUST NOT"), "go"),)),), 1), Paragraph("And.")),
        ),
        Section("Every criterion", (Table("Wheels", ("Criterion", "Margin"), (("Flange", "0 in"),)),), folded=True),
        Section("Drawn", tuple(Drawing(f"plan-{n}", f"Plan {n}", f"Shown {n}.", SVG) for n in range(3))),
        Section("Why", (Tree((Leaf("void test", ("since 2026-09-24",), (Leaf("work"),), struck=True),)),)),
        Section("To fill in", (Boxes((("rim", "limit 1 in"),)), Blanks((("day", ""),)))),
        Section("The move", (Bullets(("twice named",)),)),
    ),
)


def tree_of(html: str) -> ET.Element:
    """The page, read by a strict reader: any fault of form raises."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)


@pytest.fixture(scope="module")
def tree() -> ET.Element:
    return tree_of(html_of([WHOLE]))


def words(element: ET.Element) -> str:
    return " ".join("".join(element.itertext()).split())


def test_the_form_is_in_order_and_the_language_named(tree):
    assert tree.get("lang") == "en"
    assert tree.find("head/title").text == "QWHX 27 Wren Hollow"
    assert [one.get("content") for one in tree.iter("meta") if one.get("name") == "viewport"]


def test_names_are_given_once_and_links_lead_to_them(tree):
    names = [one.get("id") for one in tree.iter() if one.get("id")]
    assert len(names) == len(set(names))
    links = [one.get("href") for one in tree.iter("a")]
    assert {"#the-move", "#the-move-2", "#page-1-says"} <= set(links)
    assert {link.removeprefix("#") for link in links} <= set(names)
    referred = {
        name for one in tree.iter() for attribute in ("aria-labelledby", "aria-describedby")
        for name in (one.get(attribute) or "").split()
    }  # fmt: skip
    assert referred <= set(names)


def test_nothing_is_asked_for_outside_and_nothing_runs(tree):
    policy = next(one.get("content") for one in tree.iter("meta") if one.get("http-equiv") == "Content-Security-Policy")
    assert policy == "default-src 'none'; style-src 'unsafe-inline'"
    assert not [one.tag for one in tree.iter() if one.tag in ("script", "link", "img", "iframe", "object", "form")]
    assert not [one for one in tree.iter() if one.get("src") or any(name.startswith("on") for name in one.attrib)]
    style = "".join(one.text or "" for one in tree.iter("style"))
    assert "url(" not in style
    assert "@import" not in style


def test_headings_go_down_one_step_at_a_time(tree):
    levels = [int(one.tag[1]) for one in tree.iter() if re.fullmatch(r"h[1-6]", str(one.tag))]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_the_outcome_is_said_by_word_and_shape(tree):
    outcome = next(one for one in tree.iter("p") if "outcome" in (one.get("class") or ""))
    assert words(outcome) == "NOT READY: 2 items keep this car from moving."
    assert words(outcome.find("span/strong")) == "NOT READY"
    shapes = {tone: re.findall(r'<path[^>]* d="([^"]+)"', html_of([Page("T", "V", tone, ())])) for tone in TONES}
    shapes = {tone: tuple(paths) for tone, paths in shapes.items()}
    assert len(set(shapes.values())) == len(TONES)
    assert shapes["plain"] == ()


def test_a_label_that_comes_again_is_said_once(tree):
    rows = next(tree.iter("dl"))
    assert [words(one) for one in rows.iter("dt")] == ["host", "rules"]
    assert [words(one) for one in rows.iter("dd")] == ["Kestrel & Northern", "one", "two"]


def test_a_label_with_a_serial_has_no_colon_left():
    html = html_of([Page("T", "V", "plain", (Section("S", (Rows((("W-51", "stays"), ("a:b:", "c"))),)),))])
    assert "<dt><span>W-51</span></dt><dd>stays</dd>" in html
    assert "<dt>a:b:</dt>" in html


@pytest.mark.parametrize(
    ("verdict", "loud"),
    [
        ("READY if it leaves before 2026-11-26", "READY"),
        ("READY WITH RESTRICTIONS ON 2026-10-13, 24 days before departure", "READY WITH RESTRICTIONS ON 2026-10-13"),
        ("NOT READY → READY", "NOT READY → READY"),
        ("COPY 1 OF 2, FOR THE LEFT SIDE. NOT SIGNED.", "COPY 1 OF 2, FOR THE LEFT SIDE. NOT SIGNED."),
        ("62 readings to take", ""),
        ("No spare wheelset is on record", ""),
        ("A car", ""),
    ],
)
def test_the_loud_beginning_of_a_verdict_is_set_apart(verdict, loud):
    said = Emphasized(loud, verdict[len(loud) :]) if loud else verdict
    outcome = html_of([Page("T", said, "plain", ())]).split('<p class="outcome plain">')[1].split("</p>")[0]
    assert f"<strong>{loud}</strong>{verdict[len(loud) :]}" in outcome if loud else "<strong>" not in outcome


def test_a_loud_label_is_strong(tree):
    assert [words(one) for dt in tree.iter("dt") for one in dt.iter("strong")] == ["MUST NOT"]


def test_a_table_has_a_caption_and_its_headings_say_what_they_head(tree):
    table = next(tree.iter("table"))
    assert words(table.find("caption")) == "Wheels"
    assert [(words(one), one.get("scope")) for one in table.iter("th")] == [
        ("Criterion", "col"), ("Margin", "col"), ("Flange", "row"),
    ]  # fmt: skip
    assert [words(one) for one in table.iter("td")] == ["0 in"]


def test_what_is_folded_is_closed_and_keeps_its_heading(tree):
    folded = [one for one in tree.iter("details") if one.find("summary/h2") is not None]
    assert [words(one.find("summary")) for one in folded] == ["Every criterion"]
    assert all(one.get("open") is None for one in folded)
    assert folded[0].find(".//table") is not None


def test_drawings_stand_in_a_row_with_caption_and_words(tree):
    rows = [one for one in tree.iter("div") if one.get("class") == "drawings"]
    assert [len(row.findall("figure")) for row in rows] == [3]
    figure = rows[0].find("figure")
    sheet = figure.find("div")
    assert (sheet.get("role"), sheet.get("aria-label")) == ("img", "Plan 0")
    described = next(one for one in figure.iter("p") if one.get("id") == sheet.get("aria-describedby"))
    assert words(described) == "Shown 0."
    assert words(figure.find("figcaption")).startswith("Plan 0")


def test_what_is_struck_out_says_so(tree):
    leaf = next(one for one in tree.iter("li") if one.find("s") is not None)
    assert words(leaf) == "void test (struck out) since 2026-09-24 work"


def test_several_pages_are_several_articles():
    both = tree_of(html_of([WHOLE, WHOLE]))
    assert [one.get("id") for one in both.iter("article")] == ["page-1", "page-2"]
    names = [one.get("id") for one in both.iter() if one.get("id")]
    assert len(names) == len(set(names))


def test_the_running_head_names_the_car_and_the_outcome():
    style = html_of([WHOLE]).split("<style>")[1].split("</style>")[0]
    head = style.split("@page page-1 {")[1].split("}\n")[0]
    assert css_string("QWHX 27 Wren Hollow") in head
    assert css_string("NOT READY") in head


@pytest.mark.parametrize(
    ("text", "written"),
    [("plain 1", '"plain 1"'), ('a"b', '"a\\22 b"'), ("</style>", '"\\3c \\2f style\\3e "'), ("7/8", '"7\\2f 8"')],
)
def test_a_text_in_the_style_sheet_can_not_end_it(text, written):
    assert css_string(text) == written


def test_long_words_may_break_and_days_may_not():
    html = html_of([Page("T", "V", "plain", (Section("S", (Paragraph("on 2026-09-24 " + "a" * 64),)),))])
    assert "<span>2026-09-24</span>" in html
    assert max(map(len, re.split(r"<wbr>|[ >]", html.split("</span> ")[-1].split("</p>")[0]))) <= 20


def test_the_same_page_gives_the_same_file():
    assert html_of([WHOLE]) == html_of([WHOLE])


def test_the_numbered_items_stand_in_short_under_the_verdict_of_a_page_that_wants_it():
    numbered = Section("Ways", (Item("<First>", (Paragraph("one"),), 1), Item("Second", (), 2), Item("Unnumbered", ())))
    both = tree_of(html_of([replace(WHOLE, sections=(numbered,), brief=True)] * 2))
    briefs = [one for one in both.iter("div") if one.get("class") == "brief"]
    assert len(briefs) == 2
    for brief in briefs:
        links = list(brief.iter("a"))
        assert [words(link) for link in links] == ["<First>", "Second"]
        for link in links:
            (target,) = (one for one in both.iter("div") if one.get("id") == link.get("href")[1:])
            assert words(target.find("h3")).endswith(words(link))
    targets = [link.get("href") for brief in briefs for link in brief.iter("a")]
    assert len(set(targets)) == 4
    silent = tree_of(html_of([replace(WHOLE, sections=(numbered,))]))
    assert not [one for one in silent.iter("div") if one.get("class") == "brief"]


def test_a_drawing_for_a_sheet_has_another_for_a_phone_beside_it():
    small = Drawing("one", "One", "Shown.", '<svg viewBox="0 0 80 9"></svg>', 80, 9)
    both = Drawing("one", "One", "Shown.", '<svg viewBox="0 0 178 9"></svg>', 178, 9, small)
    tree = tree_of(html_of([replace(WHOLE, sections=(Section("Drawn", (small, both)),))]))
    figures = [one for one in tree.iter("figure")]
    assert [one.get("class") for one in figures] == ["drawing", "drawing wide"]
    sheets = [one.get("class") for one in figures[1].findall("div")]
    assert sheets == ["sheet roomy", "sheet narrow"]
    assert len({one.get("aria-describedby") for one in figures[1].findall("div")}) == 1


def test_what_is_folded_is_set_small_and_in_columns_where_it_is_no_table():
    table = Table("T", ("a", "b"), (("1", "2"),))
    page = replace(
        WHOLE, sections=(Section("Lists", (Bullets(("x",)),), True), Section("Tables", (Bullets(("x",)), table), True))
    )
    small = [one.get("class") for one in tree_of(html_of([page])).iter("div") if "small" in (one.get("class") or "")]
    assert small == ["small columns", "small"]


def test_an_empty_column_is_wide_enough_for_a_pencil_on_paper():
    empty = Table("To fill in", ("what", "read", "found"), (("a", "1", ""), ("b", "", "")))
    full = Table("Full", ("what", "read"), (("a", "1"), ("b", "")))
    page = replace(WHOLE, sections=(Section("S", (empty, full)),))
    style = html_of([page])
    assert "#table-to-fill-in td:nth-child(3) { width: 27mm;" in style
    assert "#table-to-fill-in td:nth-child(2) { width" not in style
    assert "#table-full tbody tr { height" not in style


@pytest.mark.parametrize(
    ("verdict", "head"),
    [
        ("40 readings to take", "40 readings to take"),
        ("For a move with Kestrel & Northern from 2026-11-06; as on record on 2026-10-08",
         "For a move with Kestrel & Northern from 2026-11-06…"),
        ("One long verdict without any clause in it that a running head could end at",
         "One long verdict without any clause in it that a running…"),
        ("x" * 80, "x" * 59 + "…"),
    ],
)  # fmt: skip
def test_a_running_head_ends_at_a_clause_or_a_word(verdict, head):
    style = html_of([replace(WHOLE, verdict=verdict)]).split("@page page-1 {")[1].split("}\n")[0]
    assert f"@top-right {{ content: {css_string(head)} }}" in style


def test_boxes_with_little_beside_them_stand_side_by_side_on_paper():
    short, long = Boxes((("depth", "with the gauge"),)), Boxes((("depth", "x " * 80),))
    lists = tree_of(html_of([replace(WHOLE, sections=(Section("S", (short, long)),))])).iter("ul")
    assert [one.get("class") for one in lists if "boxes" in (one.get("class") or "")] == ["boxes short", "boxes"]


def test_an_item_longer_than_a_sheet_may_be_split_and_no_other():
    lines = tuple(f"wheel L{number}: rim thickness" for number in range(60))
    items = (Item("Long", (Bullets(lines),), 1), Item("Short", (Bullets(lines[:20]),), 2), Item("Plain", ()))
    made = tree_of(html_of([replace(WHOLE, sections=(Section("S", items),))])).iter("div")
    classes = [one.get("class") for one in made if (one.get("class") or "").startswith("item")]
    assert classes == ["item numbered long", "item numbered", "item"]
