"""Where a value stands in a file."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Location:
    """A place in a file: its name, and line and column counted from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"
