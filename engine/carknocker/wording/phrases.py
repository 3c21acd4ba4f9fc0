"""Numbers as phrases, and verbs that go with them."""

import re
from collections.abc import Sequence

_AFTER_THE_NOUN = re.compile(r" (?:of|for|with|who|approved) ")


def counted(number: int, one: str, many: str = "") -> str:
    """`1 reading`, `2 readings`, `1,234 criteria`. many: where it is not `one` with an s."""
    return f"{number:,} {one if number == 1 else many or f'{one}s'}"


def run_out(names: Sequence[str]) -> str:
    """`runs out` of one paper or test, `run out` of several, and of one whose name is of many: *owner's drawings*."""
    many = len(names) != 1 or _AFTER_THE_NOUN.split(names[0])[0].endswith("s")
    return "run out" if many else "runs out"
