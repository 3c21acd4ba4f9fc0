"""What of the style sheet depends on a page: its running head in print, the labels of its tables on a narrow screen."""

import re
from collections.abc import Sequence

_PLAIN = re.compile(r"[^A-Za-z0-9 ]")
_CLAUSE = re.compile(r"(.{20,})[:;.] ")
_LONGEST_HEAD = 60
_EDGES = "border-left: .3mm solid #000; border-right: .3mm solid #000"


def css_string(text: str) -> str:
    """A text as a string of a style sheet, every sign but letters, figures and spaces written by its number."""
    return '"' + _PLAIN.sub(lambda sign: f"\\{ord(sign[0]):x} ", text) + '"'


def _shortened(text: str) -> str:
    """A text that fits a running head: as it is, or as many of its clauses or words as do, with an ellipsis."""
    if len(text) <= _LONGEST_HEAD:
        return text
    start = text[: _LONGEST_HEAD - 1]
    clause = _CLAUSE.match(start)
    whole = clause[1] if clause else start.rpartition(" ")[0] or start
    return whole.rstrip(" ,;:.") + "…"


def style_of_page(name: str, title: str, outcome: str) -> str:
    """The running head of a page's sheets: the car, and what was said of it."""
    return (
        f"@page {name} {{ @top-left {{ content: {css_string(_shortened(title))} }} "
        f"@top-right {{ content: {css_string(_shortened(outcome))} }} }}\n#{name} {{ page: {name} }}"
    )


def style_of_table(name: str, columns: Sequence[str], to_fill_in: Sequence[int] = ()) -> str:
    """The heading of each column before its cells, for a screen too narrow for columns; room for a pencil on paper.
    to_fill_in: the columns, counted from one, that stand empty."""
    labels = " ".join(
        f"#{name} td:nth-child({number}):not(:empty)::before {{ content: {css_string(f'{column}: ')} }}"
        for number, column in enumerate(columns[1:], start=2)
    )
    rules = [f"@media screen and (max-width: 40rem) {{ {labels} }}"]
    if to_fill_in:
        room = " ".join(f"#{name} td:nth-child({number}) {{ width: 27mm; {_EDGES} }}" for number in to_fill_in)
        rules.append(f"@media print {{ #{name} tbody tr {{ height: 9.5mm }} {room} }}")
    return "\n".join(rules)
