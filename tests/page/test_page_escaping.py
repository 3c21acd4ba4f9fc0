"""Whatever an owner writes shows as exactly that, in Markdown, HTML and on the terminal; it never becomes markup."""

from datetime import date
from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from carknocker.documents.visible_text import one_line
from carknocker.page.html import html_of
from carknocker.page.markdown import escape
from carknocker.page.model import (
    Blanks,
    Box,
    Boxes,
    Bullets,
    Calendar,
    CalendarRow,
    Commands,
    Decisions,
    Drawing,
    Emphasized,
    FaultRow,
    FaultRows,
    Item,
    Leaf,
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
    Tree,
)
from carknocker.page.text import text_of
from carknocker.page.wrapping import wrap

ALLOWED = {
    "html", "head", "meta", "title", "style", "body", "a", "main", "article", "header", "section", "details", "summary",
    "h1", "h2", "h3", "p", "span", "ul", "li", "dl", "dt", "dd", "div", "strong", "s", "wbr", "table", "caption",
    "thead", "tbody", "tr", "th", "td", "figure", "figcaption",
}  # fmt: skip
ATTRIBUTES = {
    "lang", "charset", "name", "content", "http-equiv", "class", "id", "href", "role", "tabindex", "scope",
    "aria-label", "aria-labelledby", "aria-describedby",
}  # fmt: skip
DAY = date(2026, 11, 6)
NASTY = [
    "<script>alert(1)</script>",
    "[x](javascript:alert(1))",
    "![i](http://host.invalid/i.png)",
    "# head",
    "- item",
    "1. one",
    "2) two",
    "> quote",
    "***",
    "---",
    "===",
    "`code`",
    "~~gone~~",
    "&lt;b&gt;",
    "| a | b |",
    "a\\*b",
    "<http://host.invalid>",
    "\x1b[31mred",
    "a\n\n# b",
    "    code",
    "+ plus",
    "\u202egnp.exe",
    "$x$",
    "^",
    "```",
]
texts = st.text(min_size=1) | st.sampled_from(NASTY) | st.text("\\`*_{}[]<>()#+-.!|&~1) \n", min_size=1)
renderer = MarkdownIt("commonmark", {"html": False}).enable("strikethrough")


def inline_texts(markdown: str) -> list[tuple[str, ...]]:
    """For each block of text its pieces, as (type, content)."""
    found = []
    for token in renderer.parse(markdown):
        if token.type == "inline":
            found.append([(child.type, child.content) for child in token.children or ()])
        else:
            assert token.type in ("paragraph_open", "paragraph_close", "bullet_list_open", "bullet_list_close",
                                  "list_item_open", "list_item_close"), token.type  # fmt: skip
    return found


@given(texts)
def test_an_escaped_text_is_one_paragraph_that_shows_it(text):
    shown = inline_texts(escape(text))
    if not one_line(text):
        assert shown == []
        return
    assert len(shown) == 1
    assert {kind for kind, _ in shown[0]} <= {"text"}
    assert "".join(content for _, content in shown[0]) == one_line(text)


@given(texts)
def test_an_escaped_text_is_one_list_item_that_shows_it(text):
    shown = inline_texts(f"- {escape(text)}")
    assert "".join(content for line in shown for _, content in line) == one_line(text)
    assert len(shown) <= 1


def page_with(text: str) -> Page:
    blocks = (
        Paragraph(text, strong=True), Paragraph(text), Rows(((text, text),)), Bullets((text, text)),
        Tree((Leaf(text, (text,), (Leaf(text, struck=True),)),)), Item(text, (Bullets((text,)),), 3),
        Box(text, (text,)), Boxes(((text, text),)), Blanks(((text, text),)), Table(text, (text, text), ((text, text),)),
        Drawing("drawing", text, text, ""), FaultRows((FaultRow(3, text, text, "law", text),), text),
        Ticks((Tick(text, True), Tick(text, False)), (text, text)), Decisions((text,), (text,)), Commands((text,)),
        Calendar(text, (DAY,), (Span(text, DAY, DAY, True),), (CalendarRow(text, text, (DAY,)),)),
        Rows(((text, ToWrite(text)),), facts=True),
        Table(text, (text, text), ((text, Noted(text, text)),), headed=True),
        Item(Emphasized(text, text), (Paragraph(text),), 4, "host", (Paragraph(text),)),
    )  # fmt: skip
    sections = (Section(text, blocks, lead=text), Section(text, blocks, folded=True, counted=text, sheet=True))
    bar = OutcomeBar("not ready", text, text, text)
    return Page(text, text, "plain", sections, bar=bar, above=text, dated=text, foot=text)


class Shown(HTMLParser):
    """What of a page is markup, what is text, and what its style sheet says."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: dict[str, set[str]] = {}
        self.texts: list[str] = []
        self.style = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        for name, value in attrs:
            self.attributes.setdefault(name, set()).add(value or "")
        if tag not in ("span", "wbr", "strong", "s"):
            self.texts.append("\n")

    def handle_endtag(self, tag):
        if tag not in ("span", "wbr", "strong", "s"):
            self.texts.append("\n")

    def handle_data(self, data):
        if self.lasttag == "style" and not self.style:
            self.style = data
        self.texts.append(data.replace("\xa0", " "))


@given(texts)
def test_no_text_becomes_html(text):
    shown = Shown(html_of([page_with(text)]))
    assert shown.tags <= ALLOWED
    assert set(shown.attributes) <= ATTRIBUTES
    assert all(link.startswith("#") for link in shown.attributes["href"])
    if one_line(text):
        lines = [" ".join(line.split()) for line in "".join(shown.texts).split("\n")]
        assert lines.count(" ".join(one_line(text).replace("\xa0", " ").split())) >= 12


@given(texts)
def test_no_text_becomes_a_rule_of_the_style_sheet(text):
    own, plain, empty = (Shown(html_of([page_with(one)])).style for one in (text, "plain", " "))
    assert own.count("{") in (plain.count("{"), empty.count("{"))  # a table without words is one to fill in
    assert "url(" not in own
    assert own.count("content") == plain.count("content")


@given(texts)
def test_no_control_character_reaches_the_terminal(text):
    shown = text_of(page_with(text))
    assert all(char.isprintable() or char == "\n" for char in shown)


FIGURES = ["7/8 in", "1-1/16 in", "82 ft 6 in", "171,400 lb", "40 mph", "10° 30'", "49 CFR 238.5", "words", "L1–L6,"]


@given(st.lists(st.sampled_from(FIGURES), min_size=1, max_size=60), st.integers(20, 120))
def test_figures_are_never_broken_over_two_lines(words, width):
    lines = wrap(" ".join(words), width)
    assert " ".join(line.strip() for line in lines) == " ".join(words)
    for line in lines:
        assert not line.endswith(("7/8", "1-1/16", "82", "ft", "171,400", "40", "10°", "CFR", "49"))
