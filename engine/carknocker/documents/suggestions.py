"""What messages suggest: the nearest right word, and lists of what could stand there."""

import difflib
from collections.abc import Iterable

_MOST_LISTED = 12


def nearest(word: str, candidates: Iterable[str]) -> str:
    """The candidate most like `word`, or "" if none is near. Case, spaces, hyphens and underscores don't count."""
    plain = {_folded(candidate): candidate for candidate in candidates if candidate}
    found = difflib.get_close_matches(_folded(word)[:80], plain, n=1, cutoff=0.6)
    return plain[found[0]] if found else ""


def _folded(word: str) -> str:
    return word.lower().replace("_", " ").replace("-", " ")


def one_of(words: Iterable[str], otherwise: str = "nothing: there is none here") -> str:
    """`one of` a list, as `some` writes it; of an empty list, what stands there instead."""
    listed = some(words)
    return f"one of {listed}" if listed else otherwise


def some(words: Iterable[str]) -> str:
    """The words of a list, each as it is written in a file; the first few if there are many."""
    listed = [f"`{word}`" for word in words]
    shown = ", ".join(listed[:_MOST_LISTED])
    return f"{shown}, … ({len(listed)} in all)" if len(listed) > _MOST_LISTED else shown
