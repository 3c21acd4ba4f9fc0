"""Lists as phrases."""

from collections.abc import Iterable


def listed(words: Iterable[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    names = list(words)
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + f" and {names[-1]}" if names else "nothing"
