"""The kinds of value that a sheet can hold."""

from datetime import date

import msgspec

from carknocker.quantities import Period, Quantity


class Figure(msgspec.Struct, frozen=True, tag=True):
    """A figure with a unit."""

    quantity: Quantity


class Bound(msgspec.Struct, frozen=True, tag=True):
    """The value lies between `low` and `high`.

    None on a side means not bounded there; `low_open`: the value is over, not at, `low`. go_or_no_go: whether a
    go/no-go gauge told it, which decides at its figure and leaves nothing open there.
    """

    low: Quantity | None
    low_open: bool
    high: Quantity | None
    high_open: bool
    go_or_no_go: bool = False


class Word(msgspec.Struct, frozen=True, tag=True):
    """A word: `yes`, `no`, one of a list, an identity, a text, the result of a test."""

    text: str


class Words(msgspec.Struct, frozen=True, tag=True):
    """A list of words."""

    texts: tuple[str, ...]


class Count(msgspec.Struct, frozen=True, tag=True):
    """A number of things. written: `none fitted`, where it is said in words."""

    number: int
    written: str = ""


class Day(msgspec.Struct, frozen=True, tag=True):
    """A day, or a span that is all one knows (`1927`, `2019-05`)."""

    first: date
    last: date
    written: str


class Interval(msgspec.Struct, frozen=True, tag=True):
    """A period: an age, a shelf life."""

    period: Period


class PressureDrop(msgspec.Struct, frozen=True, tag=True):
    """Pressure before and after a wait; `per_minute` is the exact rate."""

    before: Quantity
    after: Quantity
    minutes: Quantity
    per_minute: Quantity


class Opinion(msgspec.Struct, frozen=True, tag=True):
    """A dated opinion of the person named on the evidence: the word that a criterion tests, and his text."""

    word: str
    text: str


class NotAccessible(msgspec.Struct, frozen=True, tag=True):
    reason: str


Value = Figure | Bound | Word | Words | Count | Day | Interval | PressureDrop | Opinion | NotAccessible
