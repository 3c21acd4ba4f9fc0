"""Where a value stands in a file."""

import msgspec


class Location(msgspec.Struct, frozen=True, order=True):
    """A place in a file: its name, and line and column counted from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"
