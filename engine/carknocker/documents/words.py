"""Lists of words, for messages."""

from collections.abc import Iterable

_MOST_SHOWN = 12


def one_of(words: Iterable[str], otherwise: str = "nothing: there is none here") -> str:
    """`one of` a list, as `some` writes it; of an empty list, what stands there instead."""
    listed = some(words)
    return f"one of {listed}" if listed else otherwise


def some(words: Iterable[str]) -> str:
    """The words of a list, each as it is written in a file; the first few if there are many."""
    listed = [f"`{word}`" for word in words]
    shown = ", ".join(listed[:_MOST_SHOWN])
    return f"{shown}, … ({len(listed)} in all)" if len(listed) > _MOST_SHOWN else shown
