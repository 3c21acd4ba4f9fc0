"""What of the style sheet depends on a page: its running head in print, the labels of its tables on a narrow screen."""

import re
from collections.abc import Sequence

_PLAIN = re.compile(r"[^A-Za-z0-9 ]")
_LONGEST_HEAD = 90


def css_string(text: str) -> str:
    """A text as a string of a style sheet, every sign but letters, figures and spaces written by its number."""
    return '"' + _PLAIN.sub(lambda sign: f"\\{ord(sign[0]):x} ", text) + '"'


def style_of_page(name: str, title: str, outcome: str) -> str:
    """The running head of a page's sheets: the car, and what was said of it."""
    return (
        f"@page {name} {{ @top-left {{ content: {css_string(title[:_LONGEST_HEAD])} }} "
        f"@top-right {{ content: {css_string(outcome[:_LONGEST_HEAD])} }} }}\n#{name} {{ page: {name} }}"
    )


def style_of_table(name: str, columns: Sequence[str]) -> str:
    """The heading of each column before its cells, for a screen too narrow for columns."""
    labels = " ".join(
        f"#{name} td:nth-child({number}):not(:empty)::before {{ content: {css_string(f'{column}: ')} }}"
        for number, column in enumerate(columns[1:], start=2)
    )
    return f"@media screen and (max-width: 40rem) {{ {labels} }}"
