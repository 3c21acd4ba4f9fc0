"""Names that people give themselves, and that the history shows."""

import re
import unicodedata

_NAME = re.compile(r"[^\W_](?:[\w .'’-]{0,38}[^\W_.])?")
"""Letters and figures, and between them what names have; no comma, no bracket: those set off what the history adds."""

_NOT_FOR_A_PERSON = frozenset({"owner", "carknocker", "nobody", "anyone", "inspector", "shop"})
"""Names that the history gives to others."""


class NameRefused(Exception):
    """A name that can't be taken; says why."""


def plain_name(said: str) -> str:
    """The name as it is kept. Raises NameRefused."""
    name = " ".join(unicodedata.normalize("NFC", said).split())
    if not _NAME.fullmatch(name):
        raise NameRefused("a name has 1 to 40 letters or figures, with spaces, points, hyphens between them")
    if known_as(name) in _NOT_FOR_A_PERSON:
        raise NameRefused(f"`{name}` is what the history calls somebody else; take your own name")
    return name


def known_as(name: str) -> str:
    """A name without regard to case and to how its letters are written."""
    return unicodedata.normalize("NFKC", name).casefold()
