"""What a car is called at the head of a page."""

from typing import Protocol


class Marked(Protocol):
    """Whatever has a reporting mark and a name, either of which may be empty."""

    @property
    def mark(self) -> str: ...

    @property
    def name(self) -> str: ...


def car_title(car: Marked) -> str:
    """Reporting mark and name: `QWHX 27 Wren Hollow`."""
    return " ".join(word for word in (car.mark, car.name) if word)
