"""The HTML of a page: well-formed, in order, one file that asks for nothing; what is folded, drawn, struck out."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree as ET

import html5lib
import pytest

from carknocker.dossier.writing.html import html_of
from carknocker.dossier.writing.html_style import css_string
from carknocker.dossier.writing.page import (
    Blanks,
    Boxes,
    Bullets,
    Drawing,
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
    "NOT READY: 2 things stand against the move.",
    "bad",
    (
        Section("The move", (Rows((("host", "Kestrel & Northern"), ("rules", "one"), ("rules", "two"))),)),
        Section("What stands in the way", (Item("Wheel R5", (Rows((("MUST NOT", "go"),)),), 1), Paragraph("And."))),
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
    assert words(outcome) == "NOT READY: 2 things stand against the move."
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
    outcome = html_of([Page("T", verdict, "plain", ())]).split('<p class="outcome plain">')[1].split("</p>")[0]
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


def test_drawings_stand_in_pairs_with_caption_and_words(tree):
    pairs = [one for one in tree.iter("div") if one.get("class") == "pair"]
    assert [len(pair.findall("figure")) for pair in pairs] == [2, 1]
    figure = pairs[0].find("figure")
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
