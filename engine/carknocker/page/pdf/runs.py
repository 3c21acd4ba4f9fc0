"""A text as runs for the typesetter: what must not break, where a long word may, fractions, raised and lowered signs.

A run is a plain text, or an object with one key: `fraction` (`7/8`, set with the face's own fraction), `raised`,
`lowered`, `whole` (runs kept on one line), `break` (a line may end here; shows nothing), `code` (runs in
heavier type: on paper it stands for the backquotes around what is to be typed).
"""

import re
import unicodedata
from collections.abc import Iterator
from typing import TypeAlias

from carknocker.documents.visible_text import one_line
from carknocker.page.pdf.typeface import LOWERED, RAISED, has, in_its_place
from carknocker.page.wrapping import keep_figures_whole

Run: TypeAlias = "str | dict[str, str | list[Run]]"
Runs: TypeAlias = "str | list[Run]"

LONGEST_WORD = 24
"""The longest word that is never broken."""

BREAK: Run = {"break": ""}
_FRACTION = re.compile(r"(?<![\w/.])(?:\d+-)?(\d{1,2}/(?:2|4|8|16|32|64))(?![\w/]|\.\d)")
_KEPT = re.compile(r"\d-[^\W\d]|\)\(|[^\s\u00a0][–—][^\s\u00a0]")
_NOT_PLAIN = re.compile(r"\d/\d|\d-[^\W\d]|\)\(|[^ ]{25}")
_CODE = re.compile(r"`((?:carknocker |--|\{)[^`]+|[a-z_]{3,}|[a-z_]+:(?: \{[^`]+| [a-z][a-z0-9, -]*)?)`")
"""What the program says is to be typed: commands, keys, a key with its word. Any other text in backquotes may be the
owner's, and keeps them."""
_BREAKS_AFTER = re.compile(r"([/_@\-–]+|[^/_@\-–]{20})(?=.)")


def shown(text: str) -> str:
    """A text on one line in characters that the face has."""
    line = unicodedata.normalize("NFC", one_line(text))
    if line.isascii():
        return line
    return "".join(sign if sign.isascii() or has(sign) else in_its_place(sign) for sign in line)


def runs_of(text: str) -> Runs:
    """The runs of a text; the text itself where it is one plain run."""
    line = unicodedata.normalize("NFC", one_line(text))
    if "`" not in line:
        return _runs_of_words(line)
    made: list[Run] = []
    for place, piece in enumerate(_CODE.split(line)):
        runs = _runs_of_words(piece) if piece else ""
        each: list[Run] = [runs] if isinstance(runs, str) else runs
        if place % 2:
            made.append({"code": each})
        else:
            for run in each:
                _add(made, run)
    return made[0] if len(made) == 1 and isinstance(made[0], str) else made


def rest_runs(rest: str) -> Runs:
    """The runs of what follows an emphasized beginning, with the space between them."""
    runs = runs_of(rest)
    return [" ", *([runs] if isinstance(runs, str) else runs)] if rest.startswith(" ") else runs


def _runs_of_words(line: str) -> Runs:
    whole = keep_figures_whole(line)
    if line.isascii() and _NOT_PLAIN.search(whole) is None:
        return whole
    runs: list[Run] = []
    for number, word in enumerate(whole.split(" ")):
        if number:
            _add(runs, " ")
        if len(word) > LONGEST_WORD:
            for place, piece in enumerate(_pieces(word)):
                if place:
                    runs.append(BREAK)
                for run in _marked(piece):
                    _add(runs, run)
        elif _KEPT.search(word):
            runs.append({"whole": _joined(_marked(word))})
        else:
            for run in _marked(word):
                _add(runs, run)
    if not runs:
        return ""
    return runs[0] if len(runs) == 1 and isinstance(runs[0], str) else runs


def _pieces(word: str) -> list[str]:
    return _BREAKS_AFTER.sub("\\1\n", word).split("\n")


def _add(runs: list[Run], run: Run) -> None:
    last = runs[-1] if runs else None
    if isinstance(run, str) and isinstance(last, str):
        runs[-1] = last + run
    elif run:
        runs.append(run)


def _joined(given: Iterator[Run]) -> list[Run]:
    runs: list[Run] = []
    for run in given:
        _add(runs, run)
    return runs


def _marked(word: str) -> Iterator[Run]:
    """A word with its fractions, and the signs that the face lacks, as runs of their own."""
    begin = 0
    if "/" in word:
        for found in _FRACTION.finditer(word):
            yield from _signs(word[begin : found.start(1)])
            yield {"fraction": found[1]}
            begin = found.end()
    yield from _signs(word[begin:])


def _signs(text: str) -> Iterator[Run]:
    if text.isascii():
        yield text
        return
    for sign in text:
        if sign.isascii() or has(sign):
            yield sign
        elif sign in RAISED:
            yield {"raised": in_its_place(sign)}
        elif sign in LOWERED:
            yield {"lowered": in_its_place(sign)}
        else:
            yield in_its_place(sign)


def longest_piece(text: str) -> str:
    """The longest piece of a text that stays on one line."""
    words = keep_figures_whole(one_line(text)).split(" ")
    pieces = (piece for word in words for piece in (_pieces(word) if len(word) > LONGEST_WORD else (word,)))
    return max(pieces, key=len, default="")
