"""Refuses a value that can't be: outside of what its attribute can have at all, unless it says `sure: WHY`."""

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType

from carknocker.documents import Location, Node, ProblemReporter
from carknocker.quantities import Quantity, QuantityError, read_quantity, write_quantity
from carknocker.record.model import NO_END
from carknocker.record.value_words import value_words
from carknocker.record.values import Bound, Count, Day, Figure, Interval, PressureDrop, Value
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.ranges import Days, Range

NO_DAYS: Days = MappingProxyType({})
ANCHOR_WORDS: Mapping[str, str] = {
    "as-of": "the day judged", "built": "the day the car was built", "read": "the day of the sheet",
    "mounted": "the day the wheelset was mounted", "on": "the day of the entry", "checked": "the day of its check",
    "from": "its first day", "out": "the day out", "back": "the day back",
}  # fmt: skip


def is_within(value: Value, possible: Range, days: Days = NO_DAYS) -> bool:
    """Whether a value lies in a range. Words always do; a bound does if it leaves any figure in the range, a month or a
    year if any of its days does. days: what the ends count from, as far as it is known."""
    match value:
        case Figure(quantity):
            return possible.holds(quantity)
        case Count(number):
            return possible.holds(number)
        case Day(first, last):
            return possible.meets_day(first, last, days)
        case Bound(low, low_open, high, high_open):
            return possible.meets(low, low_open, high, high_open)
        case PressureDrop():
            return possible.holds(value.per_minute)
        case Interval(period):
            return possible.holds_period(period)
        case _:
            return True


def refuse_impossible(
    value: Value, attribute: Attribute, node: Node, reporter: ProblemReporter, days: Days = NO_DAYS
) -> None:
    """Reports a value outside of what is possible for its attribute. days: as in `is_within`."""
    ranges = attribute.ranges
    if ranges is None or ranges.possible is None or is_within(value, ranges.possible, days):
        return
    found = f"`{_written(value, node)}` for `{attribute.name}`{_in_other_words(value, node)}"
    note_impossible(node, found, ranges.possible, reporter, days, _with_a_point(value, attribute, node))


def refuse_impossible_entry(
    name: str, said: date | int | Quantity | None, place: Node, reporter: ProblemReporter, days: Days = NO_DAYS,
) -> None:  # fmt: skip
    """Reports what an entry says beside parts (`gauges.due`), where it lies outside of what is possible. What has no
    end lies nowhere."""
    ranges = load_vocabulary().entry_ranges.get(name)
    if said is None or said == NO_END or ranges is None or ranges.possible is None:
        return
    possible = ranges.possible
    inside = possible.meets_day(said, said, days) if isinstance(said, date) else possible.holds(said)
    if not inside:
        key = name.partition(".")[2].partition(" ")[0]
        found = f"`{place.text.strip()[:60]}` for `{key}`" if place.kind == "scalar" else f"`{key}`"
        note_impossible(place, found, possible, reporter, days, remedy="look again; if it is so, add `sure: WHY`")


WRITE_SURE = "look again; if it is so, write `{reads: …, sure: WHY}`"
"""What to do about a value outside of its range, where it is written in a record."""


def note_impossible(
    place: Node | Location, found: str, possible: Range, reporter: ProblemReporter, days: Days = NO_DAYS,
    near: str = "", remedy: str = WRITE_SURE,
) -> None:  # fmt: skip
    """Reports what lies outside of a range, with the range and what to do."""
    reporter.note(place, found, in_range(possible, days), near, remedy)


def in_range(possible: Range, days: Days = NO_DAYS) -> str:
    """A range in words; a day that an end counts from is named, with its date where that is known."""
    sides = []
    for word, end in (("from", possible.least), ("to", possible.most)):
        if end is None:
            continue
        text = end.written
        if end.anchor:
            text = ANCHOR_WORDS[end.anchor] + text.removeprefix(end.anchor)
            span = end.days(days)
            text += f" ({_day(span)})" if span is not None else ""
        sides.append(f"{word} {text}")
    return " ".join(sides)


def _day(span: tuple[date, date]) -> str:
    first, last = span
    return first.isoformat() if first == last else f"{first.isoformat()} to {last.isoformat()}"


def _written(value: Value, node: Node) -> str:
    """The value as its owner wrote it, or in words where it is written out."""
    return node.text.strip()[:60] if node.kind == "scalar" else value_words(value)


def _in_other_words(value: Value, node: Node) -> str:
    """What the figure is in the unit of the trade, where it was written in another: `22,225 mm` is 875 in."""
    if not isinstance(value, Figure) or node.kind != "scalar":
        return ""
    plain = write_quantity(Quantity.of(value.quantity.dimension, value.quantity.amount))
    return "" if _same(plain, node.text) else f", which is {plain}"


def _same(one: str, other: str) -> bool:
    return _bare(one) == _bare(other)


def _bare(text: str) -> str:
    return text.replace(",", "").replace(" ", "").replace("-", "")


def _with_a_point(value: Value, attribute: Attribute, node: Node) -> str:
    """The figure with a decimal point for its comma, if it lies in the range so; else ""."""
    ranges = attribute.ranges
    if not isinstance(value, Figure) or node.kind != "scalar" or node.text.count(",") != 1 or ranges is None:
        return ""
    written = node.text.strip().replace(",", ".")
    try:
        quantity = read_quantity(written, attribute.type, signed=attribute.signed)
    except QuantityError:
        return ""
    return written if ranges.possible is not None and ranges.possible.holds(quantity) else ""
