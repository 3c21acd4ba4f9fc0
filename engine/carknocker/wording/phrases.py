"""Numbers as phrases."""


def counted(number: int, one: str, many: str = "") -> str:
    """`1 reading`, `2 readings`, `1,234 criteria`. many: where it is not `one` with an s."""
    return f"{number:,} {one if number == 1 else many or f'{one}s'}"
