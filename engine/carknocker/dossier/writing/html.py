"""Pages as one self-contained HTML file: their Markdown, rendered, in a shell with its own style sheet."""

import re
from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path

import jinja2
import msgspec
from markupsafe import Markup

from carknocker.dossier.writing.html_style import style_of_page, style_of_table
from carknocker.dossier.writing.html_text import html_of_markdown, html_of_table, inline_html, rows_of
from carknocker.dossier.writing.markdown import block_markdown, table_markdown
from carknocker.dossier.writing.page import (
    Blanks,
    Block,
    Box,
    Boxes,
    Bullets,
    Drawing,
    Item,
    Page,
    Rows,
    Section,
    Table,
    Tone,
)
from carknocker.dossier.writing.wrapping import clean

SHELL = Path(__file__).parent / "shell"
_LOUD_WORD = re.compile(r"([A-Z][A-Z ,]+)([:.;].*|)")
_NOT_IN_A_NAME = re.compile(r"[^a-z0-9]+")


class ShownSection(msgspec.Struct, frozen=True):
    name: str
    heading: Markup
    body: Markup
    folded: bool


class ShownPage(msgspec.Struct, frozen=True):
    """A page laid out in HTML. word: the loud beginning of its verdict, empty where it has none; rest: what follows."""

    name: str
    title: str
    tone: Tone
    word: str
    rest: str
    sections: tuple[ShownSection, ...]


def html_of(pages: Sequence[Page]) -> str:
    """One HTML file of some pages. Nothing in it is loaded from outside, and nothing runs."""
    writer = _Writer()
    shown = [writer.page(page, number) for number, page in enumerate(pages, start=1)]
    own_style = "\n".join(
        [*(style_of_page(one.name, one.title, one.word or clean(one.rest)) for one in shown), *writer.styles]
    )
    title = ", ".join(dict.fromkeys(one.title for one in shown))
    return _shell().get_template("page.html.jinja").render(title=title, pages=shown, own_style=Markup(own_style))


@cache
def _shell() -> jinja2.Environment:
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(SHELL), autoescape=True, keep_trailing_newline=True, trim_blocks=True,
        undefined=jinja2.StrictUndefined,
    )  # fmt: skip


class _Writer:
    """Lays out blocks. Keeps the names that it gave, so that each is given once in a file, and the tables' styles."""

    def __init__(self) -> None:
        self._names: set[str] = set()
        self.styles: list[str] = []
        self._blocks = _shell().get_template("blocks.html.jinja").module

    def page(self, page: Page, number: int) -> ShownPage:
        loud = _LOUD_WORD.fullmatch(clean(page.verdict))
        word, rest = (loud[1], loud[2]) if loud else ("", clean(page.verdict))
        name = self._name(f"page-{number}")
        sections = tuple(self._section(section) for section in page.sections)
        return ShownPage(name, clean(page.title), page.tone, word, rest, sections)

    def _name(self, wanted: str) -> str:
        """A name for an element, made of a text, not given before."""
        base = _NOT_IN_A_NAME.sub("-", wanted.lower()).strip("-")[:60] or "part"
        name, number = base, 1
        while name in self._names:
            number += 1
            name = f"{base}-{number}"
        self._names.add(name)
        return name

    def _section(self, section: Section) -> ShownSection:
        name = self._name(section.heading)
        body = Markup("").join(self._one(block) for block in section.blocks)
        return ShownSection(name, inline_html(section.heading), body, section.folded)

    def _one(self, block: Block | Item) -> Markup:
        if isinstance(block, Item):
            inner = Markup("").join(self._block(one) for one in block.blocks)
            return self._made("item", block.number, inline_html(block.heading), inner)
        return self._block(block)

    def _block(self, block: Block) -> Markup:
        match block:
            case Rows():
                return self._made("rows", rows_of(block_markdown(block)))
            case Box(heading, items):
                return self._made("box", inline_html(heading), html_of_markdown(block_markdown(Bullets(items))))
            case Boxes(lines):
                return self._made("boxes", _inline(lines))
            case Blanks(lines):
                return self._made("blanks", _inline(lines))
            case Table(caption, columns):
                name = self._name(f"table-{caption}")
                self.styles.append(style_of_table(name, [clean(column) for column in columns]))
                return self._made("table", name, html_of_table("\n".join(table_markdown(block)), name, caption))
            case Drawing(wanted, title, described, svg):
                name = self._name(wanted)
                return self._made("drawing", name, clean(title), clean(described), Markup(svg))
            case _:
                return html_of_markdown(block_markdown(block))

    def _made(self, macro: str, *given: object) -> Markup:
        return Markup(getattr(self._blocks, macro)(*given))


def _inline(lines: Iterable[tuple[str, str]]) -> list[tuple[Markup, Markup]]:
    return [(inline_html(label), inline_html(told)) for label, told in lines]
