"""What messages suggest: the nearest right word, and lists of what could stand there."""

import difflib
from collections.abc import Iterable

_MOST_LISTED = 12
_MOST_COMPARED = 300
"""Of more candidates only those with the same first letter are compared, and no more than these."""


def nearest(word: str, candidates: Iterable[str]) -> str:
    """The candidate most like `word`, or "" if none is near. Case, spaces, hyphens and underscores don't count."""
    wanted = _folded(word)[:80]
    plain = {_folded(candidate): candidate for candidate in candidates if candidate}
    if len(plain) > _MOST_COMPARED:
        alike = [candidate for candidate in plain if candidate[:1] == wanted[:1]]
        plain = {candidate: plain[candidate] for candidate in alike[:_MOST_COMPARED]}
    found = difflib.get_close_matches(wanted, plain, n=1, cutoff=0.6)
    return plain[found[0]] if found else ""


def _folded(word: str) -> str:
    return word.lower().replace("_", " ").replace("-", " ")


def one_of(words: Iterable[str], otherwise: str = "nothing: there is none here") -> str:
    """`one of` a list, as `some` writes it; of an empty list, what stands there instead."""
    listed = some(words)
    return f"one of {listed}" if listed else otherwise


def some(words: Iterable[str]) -> str:
    """The words of a list, each as it is written in a file; the first few if there are many."""
    listed = list(words)
    shown = ", ".join(f"`{word}`" for word in listed[:_MOST_LISTED])
    return f"{shown}, … ({len(listed)} in all)" if len(listed) > _MOST_LISTED else shown
