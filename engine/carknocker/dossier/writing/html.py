"""A page as one self-contained HTML file: its Markdown, rendered, in a plain shell with its own style sheet."""

from pathlib import Path

import jinja2
import markdown_it
from markupsafe import Markup

from carknocker.dossier.writing.wrapping import clean

SHELL = "page.html.jinja"


def html_of(markdown: str, title: str) -> str:
    """The HTML page of a Markdown text. Raw HTML in the Markdown is shown as text; nothing is loaded from outside."""
    renderer = markdown_it.MarkdownIt("commonmark", {"html": False}).enable("strikethrough")
    body = renderer.render(markdown)
    shell = jinja2.Environment(
        loader=jinja2.FileSystemLoader(Path(__file__).parent), autoescape=True, keep_trailing_newline=True
    ).get_template(SHELL)
    return shell.render(title=clean(title), body=Markup(body))
