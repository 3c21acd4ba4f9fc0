"""The kinds of value that a sheet can hold."""

from dataclasses import dataclass
from datetime import date

from carknocker.quantities import Period, Quantity


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure with a unit."""

    quantity: Quantity


@dataclass(frozen=True, slots=True)
class Bound:
    """What a go/no-go gauge tells: the value lies between `low` and `high`.

    None on a side means not bounded there; `low_open`: the value is over, not at, `low`.
    """

    low: Quantity | None
    low_open: bool
    high: Quantity | None
    high_open: bool


@dataclass(frozen=True, slots=True)
class Word:
    """A word: `yes`, `no`, one of a list, an identity, a text, the result of a test."""

    text: str


@dataclass(frozen=True, slots=True)
class Words:
    """A list of words."""

    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Count:
    number: int


@dataclass(frozen=True, slots=True)
class Day:
    """A day, or a span that is all one knows (`1927`, `2019-05`)."""

    first: date
    last: date
    written: str


@dataclass(frozen=True, slots=True)
class Interval:
    """A period: an age, a shelf life."""

    period: Period


@dataclass(frozen=True, slots=True)
class PressureDrop:
    """Pressure before and after a wait; `per_minute` is the exact rate."""

    before: Quantity
    after: Quantity
    minutes: Quantity
    per_minute: Quantity


@dataclass(frozen=True, slots=True)
class Opinion:
    """A dated opinion of the person named on the evidence: the word that a criterion tests, and his text."""

    word: str
    text: str


@dataclass(frozen=True, slots=True)
class NotAccessible:
    reason: str


Value = Figure | Bound | Word | Words | Count | Day | Interval | PressureDrop | Opinion | NotAccessible
