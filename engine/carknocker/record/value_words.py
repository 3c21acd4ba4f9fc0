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


def value_words(value: Value) -> str:
    """A value as a person writes it."""
    match value:
        case Figure(quantity) if quantity.dimension == "tapes" and quantity.n < 0:
            smaller = Quantity.of("tapes", -quantity.amount)
            return f"{write_quantity(smaller)} smaller"
        case Figure(quantity):
            return write_quantity(quantity)
        case Bound():
            return _bound_words(value)
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
