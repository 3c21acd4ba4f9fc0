"""Pages as one self-contained HTML file: their Markdown, rendered, in a shell with its own style sheet."""

import re
from base64 import b64encode
from collections.abc import Iterable, MutableMapping, Sequence
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any

import jinja2
import msgspec
from markdown_it import MarkdownIt
from markdown_it.common.utils import escapeHtml
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markupsafe import Markup

from carknocker.documents.visible_text import one_line
from carknocker.page.markdown import block_markdown, escape, table_markdown
from carknocker.page.model import (
    Blanks,
    Block,
    Box,
    Boxes,
    Bullets,
    Calendar,
    Commands,
    Decisions,
    Drawing,
    Emphasized,
    FaultRows,
    Item,
    Leaf,
    OutcomeBar,
    Page,
    Picture,
    Rows,
    Section,
    Table,
    Ticks,
    Tone,
    Tree,
    plain_block,
)
from carknocker.page.paper import (
    are_short,
    has_long_labels,
    head_words,
    labelled,
    outgrows_a_sheet,
    shortened_head,
    text_parts,
    to_fill_in,
)
from carknocker.page.plain_lines import calendar_lines
from carknocker.page.reading_grid import ReadingGrid
from carknocker.page.wrapping import keep_figures_whole

_PLAIN = re.compile(r"[^A-Za-z0-9 ]")
_EDGES = "border-left: .3mm solid #000; border-right: .3mm solid #000"


def css_string(text: str) -> str:
    """A text as a CSS string. Every character but letters, digits and spaces is written as an escape."""
    return '"' + _PLAIN.sub(lambda sign: f"\\{ord(sign[0]):x} ", text) + '"'


def style_of_page(name: str, title: str, outcome: str, foot: str = "") -> str:
    """The running head of a page's printed sheets, the car and its verdict; and its foot, if it has one of its own."""
    own = f"@bottom-left {{ content: {css_string(one_line(foot))} }} " if foot else ""
    return (
        f"@page {name} {{ @top-left {{ content: {css_string(shortened_head(title))} }} "
        f"@top-right {{ content: {css_string(shortened_head(outcome))} }} {own}}}\n#{name} {{ page: {name} }}"
    )


def style_of_table(name: str, columns: Sequence[str], to_fill_in: Sequence[int] = ()) -> str:
    """The style of a table: on a screen too narrow for columns, each cell has its column's heading in front; on paper,
    empty columns leave room for a pencil.

    to_fill_in: the empty columns, counted from one.
    """
    labels = " ".join(
        f"#{name} td:nth-child({number}):not(:empty)::before {{ content: {css_string(f'{column}: ')} }}"
        for number, column in enumerate(columns[1:], start=2)
    )
    rules = [f"@media screen and (max-width: 40rem) {{ {labels} }}"]
    if to_fill_in:
        room = " ".join(f"#{name} td:nth-child({number}) {{ width: 27mm; {_EDGES} }}" for number in to_fill_in)
        rules.append(f"@media print {{ #{name} tbody tr {{ height: 9.5mm }} {room} }}")
    return "\n".join(rules)


LONGEST_WORD = 24
_HYPHENED = re.compile(r"\d-\w|\w-\d")
_BREAKS_AFTER = re.compile(r"([/_@\-]+|[^/_@\-]{20})(?=.)")


class _Renderer(RendererHTML):
    """Adds what Markdown can't say: a table's caption, what its heading cells head, and where a word must not break."""

    def text(self, tokens: Sequence[Token], idx: int, options: Any, env: MutableMapping[str, Any]) -> str:
        return " ".join(map(_word, keep_figures_whole(tokens[idx].content).split(" ")))

    def table_open(self, tokens: Sequence[Token], idx: int, options: Any, env: MutableMapping[str, Any]) -> str:
        return f'<table>\n<caption id="{env["name"]}-caption">{env["caption"]}</caption>\n'

    def th_open(self, tokens: Sequence[Token], idx: int, options: Any, env: MutableMapping[str, Any]) -> str:
        return '<th scope="col">'

    def td_open(self, tokens: Sequence[Token], idx: int, options: Any, env: MutableMapping[str, Any]) -> str:
        return '<th scope="row">' if tokens[idx - 1].type == "tr_open" else "<td>"

    def td_close(self, tokens: Sequence[Token], idx: int, options: Any, env: MutableMapping[str, Any]) -> str:
        return "</th>\n" if tokens[idx - 3].type == "tr_open" else "</td>\n"


def _word(word: str) -> str:
    """A word; one with a figure and a hyphen, like a day or a serial, in a span that is kept on one line."""
    if len(word) <= LONGEST_WORD:
        shown = escapeHtml(word)
        return f"<span>{shown}</span>" if _HYPHENED.search(word) else shown
    return "<wbr>".join(escapeHtml(piece) for piece in _BREAKS_AFTER.sub("\\1\n", word).split("\n"))


_MARKDOWN = MarkdownIt("commonmark", {"html": False}, renderer_cls=_Renderer).enable(["strikethrough", "table"])


def html_of_markdown(markdown: str) -> Markup:
    """A Markdown text as HTML. Raw HTML in it is shown as text."""
    return Markup(_MARKDOWN.render(markdown))


def html_of_table(markdown: str, name: str, caption: str) -> Markup:
    """A table as HTML. name: the id of its element; caption: plain text."""
    return Markup(_MARKDOWN.render(markdown, {"name": name, "caption": inline_html(caption)}))


def inline_html(text: str) -> Markup:
    """A plain text as HTML within a line."""
    return Markup(_MARKDOWN.renderInline(escape(text)))


def rows_of(rows: Iterable[tuple[str, str]]) -> list[tuple[Markup, list[Markup]]]:
    """Labelled rows as HTML; rows in sequence with the same label share it."""
    return [(_emphasized_html(label), [_emphasized_html(text) for text in texts]) for label, texts in labelled(rows)]


def _emphasized_html(text: str) -> Markup:
    """A plain text as HTML, with its emphasized beginning in strong type."""
    if not isinstance(text, Emphasized):
        return inline_html(text)
    loud, rest = text_parts(text)
    space = " " if rest.startswith(" ") else ""
    return Markup("<strong>{}</strong>{}{}").format(inline_html(loud), space, inline_html(rest))


_SIGN_WIDTH, _CELL_PADDING, _NARROWEST = 8, 20, 600
"""In CSS pixels: the width of a usual character, the padding of a cell on both sides, the narrowest screen that shows
columns."""


def may_scroll(table: Table) -> bool:
    """Whether the table may be wider than the narrowest screen that shows it in columns. Such a table can take the
    keyboard focus, so that it can be scrolled."""
    columns = zip(table.columns, *table.rows, strict=True)
    longest = [max((len(word) for cell in column for word in cell.split()), default=0) for column in columns]
    return sum(min(one, LONGEST_WORD) * _SIGN_WIDTH + _CELL_PADDING for one in longest) > _NARROWEST


class ShownEntry(msgspec.Struct, frozen=True):
    """The heading of an item. name: the id of its element, for links; empty if nothing links to it."""

    name: str
    heading: Markup


class ShownSection(msgspec.Struct, frozen=True):
    """counted: what stands beside the heading of a folded section. columns: whether the section can be set in columns
    where it is in small print."""

    name: str
    heading: Markup
    lead: Markup
    body: Markup
    folded: bool
    small: bool
    counted: Markup
    columns: bool


class ShownPage(msgspec.Struct, frozen=True):
    """word: the emphasized beginning of the verdict, empty if it has none; rest: the rest of the verdict. beside: what
    stands directly under it. brief: the headings of the numbered items, listed under the verdict."""

    name: str
    title: str
    tone: Tone
    word: str
    rest: str
    beside: tuple[Markup, ...]
    brief: tuple[ShownEntry, ...]
    sections: tuple[ShownSection, ...]
    close: bool
    bar: OutcomeBar | None
    above: str
    dated: str


class ShownLeaf(msgspec.Struct, frozen=True):
    said: Markup
    notes: list[Markup]
    under: "list[ShownLeaf]"
    struck: bool


SHELL = Path(__file__).parent / "shell"
_NOT_IN_A_NAME = re.compile(r"[^a-z0-9]+")


def html_of(pages: Sequence[Page]) -> str:
    """One HTML file of some pages. It loads nothing from outside and runs no script."""
    writer = _Writer()
    shown = [writer.page(page, number) for number, page in enumerate(pages, start=1)]
    own_style = "\n".join(
        [
            *(
                style_of_page(one.name, one.title, _said_of(one), page.foot)
                for one, page in zip(shown, pages, strict=True)
            ),
            *writer.styles,
        ]
    )
    title = ", ".join(dict.fromkeys(one.title for one in shown))
    template = _shell().get_template("page.html.jinja")
    return template.render(title=title, pages=shown, own_style=Markup(own_style), photographs=writer.photographs)


def _bar(page: Page) -> OutcomeBar | None:
    bar = page.bar
    if bar is None:
        return None
    return OutcomeBar(bar.outcome, one_line(bar.word), one_line(bar.why), one_line(bar.limit))


def _said_of(page: ShownPage) -> str:
    return head_words(page.word, page.rest) if page.bar is None else page.bar.word


@cache
def _shell() -> jinja2.Environment:
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(SHELL), autoescape=True, keep_trailing_newline=True, trim_blocks=True,
        undefined=jinja2.StrictUndefined,
    )  # fmt: skip


class _Writer:
    """Lays out blocks. Keeps the ids it has given, so that each is unique in the file, the styles of the tables, and
    whether there are photographs."""

    def __init__(self) -> None:
        self._names: set[str] = set()
        self._numbered: list[ShownEntry] = []
        self._entries: dict[int, str] = {}
        self._finding = False
        self.styles: list[str] = []
        self.photographs = False
        self._macros = _shell().get_template("blocks.html.jinja").module

    def page(self, page: Page, number: int) -> ShownPage:
        word, rest = text_parts(page.verdict)
        name = self._name(f"page-{number}")
        self._numbered = []
        self._finding = page.bar is not None
        self._entries = self._entry_names(page)
        sections = tuple(self._section(section) for section in page.sections)
        return ShownPage(
            name, one_line(page.title), page.tone, word, rest, tuple(map(inline_html, page.beside)),
            tuple(self._numbered) if page.brief else (), sections, page.close, _bar(page), one_line(page.above),
            one_line(page.dated),
        )  # fmt: skip

    def _entry_names(self, page: Page) -> dict[int, str]:
        """Number → id of the first item of that number on the page, so that what stands before it can link to it."""
        numbers = (
            block.number for section in page.sections for block in section.blocks if isinstance(block, Item)
        )  # fmt: skip
        return {number: self._name(f"entry-{number}") for number in dict.fromkeys(numbers) if number}

    def _name(self, wanted: str) -> str:
        """An id for an element, made from a text and not used before in this file."""
        base = _NOT_IN_A_NAME.sub("-", wanted.lower()).strip("-")[:60] or "part"
        name, number = base, 1
        while name in self._names:
            number += 1
            name = f"{base}-{number}"
        self._names.add(name)
        return name

    def _section(self, section: Section) -> ShownSection:
        name = self._name(section.heading)
        columns = not any(isinstance(block, Table | ReadingGrid | Drawing) for block in section.blocks)
        heading = inline_html(section.heading)
        body = self._blocks_of(section.blocks)
        lead, counted = inline_html(section.lead), inline_html(section.counted)
        return ShownSection(
            name, heading, lead, body, section.folded, section.folded and not self._finding, counted, columns
        )

    def _blocks_of(self, blocks: Iterable[Block | Item]) -> Markup:
        """The blocks in order. Drawings in sequence stand side by side on paper where they are small enough."""
        made = Markup("")
        for drawn, group in groupby(blocks, lambda block: isinstance(block, Drawing)):
            listed = list(group)
            each = [self._block(block) for block in listed]
            if drawn:
                each = [self._made("drawings", each)]
            made += Markup("").join(each)
        return made

    def _block(self, given: Block | Item) -> Markup:
        block = given if isinstance(given, Item) else plain_block(given)
        match block:
            case Item(heading, blocks, number):
                name = (self._entries.pop(number, "") or self._name(f"entry-{number}")) if number else ""
                shown = ShownEntry(name, _emphasized_html(heading))
                if number:
                    self._numbered.append(shown)
                body, aside = self._blocks_of(blocks), self._blocks_of(block.aside)
                return self._made("item", number, shown, body, outgrows_a_sheet(block), block.binds, aside)
            case Rows():
                return self._made("rows", rows_of(block.rows), has_long_labels(block))
            case FaultRows(lines, more):
                faults = [
                    (
                        line.number, inline_html(f"{line.part}:"), inline_html(line.says), line.binds,
                        inline_html(line.cite), self._entries.get(line.number, ""),
                    )
                    for line in lines
                ]  # fmt: skip
                return self._made("faults", faults, inline_html(more))
            case Ticks(ticks, means, columns):
                listed = [(inline_html(tick.text), tick.on) for tick in ticks]
                return self._made("ticks", listed, inline_html(means[0]), inline_html(means[1]), columns)
            case Decisions(heads, lines, signed, signed_lines):
                boxes = [(inline_html(head), True, [*map(inline_html, lines)]) for head in heads]
                if signed:
                    boxes.insert(0, (inline_html(signed), False, [*map(inline_html, signed_lines)]))
                return self._made("decisions", boxes)
            case Calendar():
                told = block_markdown(Bullets(calendar_lines(block)))
                return self._made("listed", inline_html(block.caption), html_of_markdown(told))
            case Commands(commands):
                return self._made("commands", [*map(inline_html, commands)])
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
                self.styles.append(style_of_table(name, [one_line(column) for column in columns], to_fill_in(block)))
                body = html_of_table("\n".join(table_markdown(block)), name, caption)
                return self._made("table", name, body, may_scroll(block), block.headed)
            case Picture(title, described, jpeg, width, height):
                self.photographs = True
                data = Markup(f"data:image/jpeg;base64,{b64encode(jpeg).decode('ascii')}")
                return self._made("picture", one_line(title), one_line(described), data, width, height)
            case Drawing(wanted, title, described):
                name = self._name(wanted)
                svg = Markup(block.svg)
                narrow = "" if block.narrow is None else Markup(block.narrow.svg)
                return self._made("drawing", name, one_line(title), one_line(described), svg, narrow, block.headed)
            case _:
                return html_of_markdown(block_markdown(block))

    def _made(self, macro: str, *given: object) -> Markup:
        return Markup(getattr(self._macros, macro)(*given))


def _leaf(leaf: Leaf) -> ShownLeaf:
    notes = [inline_html(note) for note in leaf.notes]
    return ShownLeaf(inline_html(leaf.text), notes, [_leaf(one) for one in leaf.under], leaf.struck)


def _inline(lines: Iterable[tuple[str, str]]) -> list[tuple[Markup, Markup]]:
    return [(inline_html(label), inline_html(told)) for label, told in lines]
