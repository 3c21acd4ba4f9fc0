"""Lists as phrases."""

from collections.abc import Iterable


def listed(words: Iterable[str], last: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`. last: the word before the last one."""
    names = list(words)
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + f" {last} {names[-1]}" if names else "nothing"


def counted(number: int, one: str, many: str = "") -> str:
    """`1 reading`, `2 readings`, `1,234 criteria`. many: where it is not `one` with an s."""
    return f"{number:,} {one if number == 1 else many or f'{one}s'}"
