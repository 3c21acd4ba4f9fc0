"""The nearest right word, for messages."""

import difflib
from collections.abc import Iterable


def nearest(word: str, candidates: Iterable[str]) -> str:
    """The candidate most like `word`, or "" if none is near. Case, spaces, hyphens and underscores don't count."""
    plain = {_folded(candidate): candidate for candidate in candidates if candidate}
    found = difflib.get_close_matches(_folded(word)[:80], plain, n=1, cutoff=0.6)
    return plain[found[0]] if found else ""


def _folded(word: str) -> str:
    return word.lower().replace("_", " ").replace("-", " ")
