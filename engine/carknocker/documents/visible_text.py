"""Text that a person can see.

Control characters, signs that turn the direction of the text, and others that show nothing could make a page say what
no one wrote: a record may not hold them, and no writer lets them out.

Hidden are the characters of the Unicode categories Cc (but for line feed and tab), Cf, Zl, Zp and Cs.
"""

import re

REPLACEMENT = "\ufffd"
"""What stands in the place of a character that is not shown."""

_HIDDEN_BUT_RETURN = (
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u00ad\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2\u180e\u200b-\u200f"
    "\u2028-\u202e\u2060-\u206f\ud800-\udfff\ufeff\ufff0-\ufffb\U000110bd\U000110cd\U00013430-\U0001343f"
    "\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e007f"
)
_HIDDEN = re.compile(f"[\r{_HIDDEN_BUT_RETURN}]")
_ESCAPE = re.compile(r"\\(?:u00..|.)")
_SHOWN_ESCAPES = frozenset({r"\\", r"\"", r"\n", r"\t"})
_HIDDEN_IN_LINES = re.compile(f"\r(?!\n)|[{_HIDDEN_BUT_RETURN}]")


def first_hidden(text: str) -> str:
    """The first hidden character of a text, "" if there is none."""
    found = None if text.isprintable() else _HIDDEN.search(text)
    return "" if found is None else found.group()


def visible(text: str) -> str:
    """A whole answer as it is written out: its line ends and tabs stay, each hidden character is replaced."""
    return _HIDDEN_IN_LINES.sub(REPLACEMENT, text)


def visible_json(text: str) -> str:
    """JSON as it is written out: each hidden character in its texts is replaced, also one that stands as an escape."""
    if any(escape in text for escape in ("\\u00", "\\b", "\\f", "\\r")):
        text = _ESCAPE.sub(lambda found: found[0] if found[0] in _SHOWN_ESCAPES else REPLACEMENT, text)
    return visible(text)


def visible_line(text: str) -> str:
    """A text on one line, as long as it was: each kind of white space is a space, what can't be shown is replaced."""
    if text.isprintable():
        return text
    return "".join(
        character if character.isprintable() else " " if character.isspace() else REPLACEMENT for character in text
    )


def one_line(text: str, hidden: str = REPLACEMENT) -> str:
    """A text on one line, white space collapsed. hidden: what stands in the place of what can't be shown."""
    if not text.isprintable():
        text = "".join(character if character.isprintable() or character.isspace() else hidden for character in text)
    return " ".join(text.split())
