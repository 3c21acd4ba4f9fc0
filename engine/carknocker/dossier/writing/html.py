"""Pages as one self-contained HTML file: their Markdown, rendered, in a shell with its own style sheet."""

import re
from collections.abc import Iterable, Sequence
from functools import cache
from itertools import groupby
from pathlib import Path

import jinja2
from markupsafe import Markup

from carknocker.dossier.drawings.on_page import renamed
from carknocker.dossier.writing.html_sizes import are_short, is_tall, may_scroll, outgrows_a_sheet, to_fill_in
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
    Leaf,
    Page,
    Rows,
    Section,
    Table,
    Tree,
)
from carknocker.dossier.writing.shown import ShownEntry, ShownLeaf, ShownPage, ShownSection
from carknocker.dossier.writing.wrapping import clean

SHELL = Path(__file__).parent / "shell"
_LOUD_WORD = re.compile(r"([A-Z][A-Z0-9 .→-]{2,}[A-Z0-9.])(?![a-z0-9])(.*)")
_LONG_LABEL = 14
_NOT_IN_A_NAME = re.compile(r"[^a-z0-9]+")


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
        self._numbered: list[ShownEntry] = []
        self.styles: list[str] = []
        self._macros = _shell().get_template("blocks.html.jinja").module

    def page(self, page: Page, number: int) -> ShownPage:
        word, rest = _parted(clean(page.verdict))
        name = self._name(f"page-{number}")
        self._numbered = []
        sections = tuple(self._section(section) for section in page.sections)
        brief = tuple(self._numbered) if page.brief else ()
        return ShownPage(name, clean(page.title), page.tone, word, rest, brief, sections, page.close)

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
        columns = not any(isinstance(block, Table | Drawing) for block in section.blocks)
        body = self._blocks_of(section.blocks)
        return ShownSection(name, inline_html(section.heading), body, section.folded, columns)

    def _blocks_of(self, blocks: Iterable[Block | Item]) -> Markup:
        """The blocks one after the other; drawings that follow each other in pairs, side by side on paper."""
        made = Markup("")
        for drawn, group in groupby(blocks, lambda block: isinstance(block, Drawing)):
            listed = list(group)
            each = [self._block(block) for block in listed]
            if drawn:
                tall = is_tall(listed[-1])
                each = [self._made("pair", each[first : first + 2], tall) for first in range(0, len(each), 2)]
            made += Markup("").join(each)
        return made

    def _block(self, block: Block | Item) -> Markup:
        match block:
            case Item(heading, blocks, number):
                shown = ShownEntry(self._name(f"entry-{number}") if number else "", inline_html(heading))
                if number:
                    self._numbered.append(shown)
                return self._made("item", number, shown, self._blocks_of(blocks), outgrows_a_sheet(block))
            case Rows():
                wide = any(len(label) > _LONG_LABEL for label, _ in block.rows)
                return self._made("rows", rows_of(block_markdown(block)), wide)
            case Box(heading, items):
                return self._made("box", inline_html(heading), html_of_markdown(block_markdown(Bullets(items))))
            case Boxes(lines):
                return self._made("boxes", _inline(lines), are_short(block))
            case Blanks(lines):
                return self._made("blanks", _inline(lines))
            case Tree(leaves):
                return self._made("tree", [_leaf(leaf) for leaf in leaves])
            case Table(caption, columns):
                name = self._name(f"table-{caption}")
                self.styles.append(style_of_table(name, [clean(column) for column in columns], to_fill_in(block)))
                body = html_of_table("\n".join(table_markdown(block)), name, caption)
                return self._made("table", name, body, may_scroll(block))
            case Drawing(wanted, title, described):
                name = self._name(wanted)
                return self._made("drawing", name, clean(title), clean(described), Markup(renamed(block, name).svg))
            case _:
                return html_of_markdown(block_markdown(block))

    def _made(self, macro: str, *given: object) -> Markup:
        return Markup(getattr(self._macros, macro)(*given))


def _parted(verdict: str) -> tuple[str, str]:
    """The beginning of a verdict that is in capitals, and the rest of it."""
    if verdict.isupper():
        return verdict, ""
    loud = _LOUD_WORD.fullmatch(verdict)
    return (loud[1], loud[2]) if loud else ("", verdict)


def _leaf(leaf: Leaf) -> ShownLeaf:
    notes = [inline_html(note) for note in leaf.notes]
    return ShownLeaf(inline_html(leaf.text), notes, [_leaf(one) for one in leaf.under], leaf.struck)


def _inline(lines: Iterable[tuple[str, str]]) -> list[tuple[Markup, Markup]]:
    return [(inline_html(label), inline_html(told)) for label, told in lines]
