"""The words of a value, the same on every page and in every message."""

from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.values import (
    Bound,
    Count,
    Day,
    Figure,
    Interval,
    NotAccessible,
    Opinion,
    PressureDrop,
    Value,
    Word,
    Words,
)


def value_words(value: Value, below_zero: str = "") -> str:
    """A value as a person writes it. below_zero: what a figure below zero is called (`smaller`), where it is a
    difference; without a word its sign says it, but of tapes, which are counted."""
    match value:
        case Figure(quantity) if quantity.n < 0 and (below_zero or quantity.dimension == "tapes"):
            return f"{write_quantity(_turned(quantity))} {below_zero or 'smaller'}"
        case Figure(quantity):
            return write_quantity(quantity)
        case Bound():
            lacks = _what_it_lacks(value) if below_zero else None
            return _bound_words(value) if lacks is None else f"{_bound_words(lacks)} {below_zero}"
        case Word(text):
            return text
        case Words(texts):
            return ", ".join(texts) if texts else "none"
        case Count(number, written):
            return written or f"{number:,}"
        case Day(written=written):
            return written
        case Interval(period):
            return str(period)
        case PressureDrop(before, after, minutes, per_minute):
            fall = f"{write_quantity(before)} to {write_quantity(after)} in {write_quantity(minutes)}"
            return f"{write_quantity(per_minute)} ({fall})"
        case Opinion(word, text):
            return f"{word} (“{text}”)" if text else word
        case NotAccessible(reason):
            return f"not accessible ({reason})" if reason else "not accessible"


def _turned(quantity: Quantity) -> Quantity:
    """A figure below zero as what it lacks."""
    return Quantity.of(quantity.dimension, -quantity.amount, quantity.unit)


def _what_it_lacks(bound: Bound) -> Bound | None:
    """A range below zero from the other side; None of any other."""
    if bound.low is None or bound.high is None or bound.high.n >= 0:
        return None
    return Bound(_turned(bound.high), bound.high_open, _turned(bound.low), bound.low_open)


def _bound_words(bound: Bound) -> str:
    if bound.low is not None and bound.high is not None and not (bound.low_open or bound.high_open):
        # a range from a working; one that encloses an irrational figure is written as that figure
        low, high = write_quantity(bound.low), write_quantity(bound.high)
        return low if low == high else f"between {low} and {high}"
    words = []
    if bound.low is not None:
        words.append(f"over {write_quantity(bound.low)}" if bound.low_open else f"{write_quantity(bound.low)} or more")
    if bound.high is not None:
        high = write_quantity(bound.high)
        words.append(f"under {high}" if bound.high_open else f"{high} or less")
    return " and ".join(words) + (" by go/no-go gauge" if bound.go_or_no_go else "")
