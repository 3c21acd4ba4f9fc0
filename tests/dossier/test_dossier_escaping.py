"""Whatever an owner writes shows as exactly that, in Markdown, HTML and on the terminal; it never becomes markup."""

from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from carknocker.dossier.writing.html import html_of
from carknocker.dossier.writing.markdown import escape, markdown_of
from carknocker.dossier.writing.page import Bullets, Item, Leaf, Page, Paragraph, Rows, Section, Tree
from carknocker.dossier.writing.text import text_of
from carknocker.dossier.writing.wrapping import clean, wrap

ALLOWED = {
    "html", "head", "meta", "title", "style", "body", "main", "h1", "h2", "h3", "p", "ul", "li", "strong", "s",
}  # fmt: skip
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
    if not clean(text):
        assert shown == []
        return
    assert len(shown) == 1
    assert {kind for kind, _ in shown[0]} <= {"text"}
    assert "".join(content for _, content in shown[0]) == clean(text)


@given(texts)
def test_an_escaped_text_is_one_list_item_that_shows_it(text):
    shown = inline_texts(f"- {escape(text)}")
    assert "".join(content for line in shown for _, content in line) == clean(text)
    assert len(shown) <= 1


def page_with(text: str) -> Page:
    blocks = (
        Paragraph(text, strong=True), Paragraph(text), Rows(((text, text),)), Bullets((text, text)),
        Tree((Leaf(text, (text,), (Leaf(text, struck=True),)),)), Item(text, (Bullets((text,)),), 3),
    )  # fmt: skip
    return Page(text, text, "plain", (Section(text, blocks),))


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes.update(name for name, _ in attrs)


@given(texts)
def test_no_text_becomes_html(text):
    page = page_with(text)
    html = html_of(markdown_of(page), page.title)
    tags = Tags()
    tags.feed(html)
    assert tags.tags <= ALLOWED
    assert tags.attributes <= {"lang", "charset", "name", "content", "http-equiv"}


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
