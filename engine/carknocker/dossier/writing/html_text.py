"""From Markdown to HTML: markdown-it-py, with tables that a screen reader can follow and long words that may break."""

import re
from collections.abc import Iterable, MutableMapping, Sequence
from typing import Any, cast

from markdown_it import MarkdownIt
from markdown_it.common.utils import escapeHtml
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markupsafe import Markup

from carknocker.dossier.writing.markdown import escape
from carknocker.dossier.writing.wrapping import together

LONGEST_WORD = 24
_HYPHENED = re.compile(r"\d-\w|\w-\d")
_CAPITALS = re.compile(r"^([A-Z][A-Z ]{3,}[A-Z])(?![\w-])")
_BREAKS_AFTER = re.compile(r"([/_@\-]+|[^/_@\-]{20})(?=.)")


class _Renderer(RendererHTML):
    """Marks up what Markdown can't say: a table's caption and what its heading cells head, where a word may break."""

    def text(self, tokens: Sequence[Token], idx: int, options: Any, env: MutableMapping[str, Any]) -> str:
        return " ".join(map(_word, together(tokens[idx].content).split(" ")))

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
_RENDERER = cast(_Renderer, _MARKDOWN.renderer)


def html_of_markdown(markdown: str) -> Markup:
    """A Markdown text as HTML. Raw HTML in it is shown as text."""
    return Markup(_MARKDOWN.render(markdown))


def html_of_table(markdown: str, name: str, caption: str) -> Markup:
    """A table as HTML. name: its id; caption: a plain text."""
    return Markup(_MARKDOWN.render(markdown, {"name": name, "caption": inline_html(caption)}))


def inline_html(text: str) -> Markup:
    """A plain text as it stands within a line of HTML."""
    return Markup(_MARKDOWN.renderInline(escape(text)))


def rows_of(markdown: str) -> list[tuple[Markup, list[Markup]]]:
    """The labelled rows of a Markdown list (`- **label:** text`), rows that follow one of their own label with it."""
    groups: list[tuple[Markup, list[Markup]]] = []
    for token in _MARKDOWN.parse(markdown):
        if token.type == "inline":
            label, text = _label_and_text(token.children or [])
            if groups and groups[-1][0] == label:
                groups[-1][1].append(text)
            else:
                groups.append((label, [text]))
    return groups


def _label_and_text(children: Sequence[Token]) -> tuple[Markup, Markup]:
    kinds = [token.type for token in children]
    start, end = kinds.index("strong_open"), kinds.index("strong_close")
    children[end - 1].content = children[end - 1].content.removesuffix(":")
    return Markup(_loud(_inline(children[start + 1 : end]))), Markup(_loud(_inline(children[end + 1 :]).strip()))


def _loud(html: str) -> str:
    """The text with its beginning in capitals, such as `MISSING` or `MUST NOT`, made strong."""
    return _CAPITALS.sub(r"<strong>\1</strong>", html)


def _inline(tokens: Iterable[Token]) -> str:
    return _RENDERER.renderInline(list(tokens), _MARKDOWN.options, {})
