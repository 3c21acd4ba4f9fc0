"""Values that are more than one figure: what a go/no-go gauge tells, and a pressure before and after a wait."""

import re

from carknocker.documents import Node, ProblemReporter
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.plain_values import read_plain, read_quantity_at
from carknocker.record.value_text import in_words
from carknocker.record.values import Bound, Figure, PressureDrop
from carknocker.vocabulary.model import Attribute

BOUNDS = ("takes_at", "does_not_take_at", "over", "at_least", "under", "at_most")
DROP = ("before", "after", "minutes")
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")


def read_bound(node: Node, attribute: Attribute, notes: ProblemReporter) -> Bound | None:
    """The bound that a mapping such as `{takes_at: 7/8 in}` says for an attribute, by those of its keys that are words
    for a bound; None, noted, if it says none."""
    low: tuple[Quantity | None, bool] = (None, False)
    high: tuple[Quantity | None, bool] = (None, False)
    for key, member in node.pairs():
        if key not in BOUNDS:
            continue
        value = read_plain(member, attribute, notes)
        word = _word(key, attribute, node, notes)
        if value is None or not word:
            return None
        if not isinstance(value, Figure):
            notes.note(node, node.describe(), f"{in_words(attribute)}: a bound is for figures")
            return None
        below = word in ("over", "at_least")
        if (low if below else high)[0] is not None:
            notes.note(node.key_where(key), f"`{key}` beside another bound on the same side", "one bound on each side")
            return None
        if below:
            low = value.quantity, word == "over"
        else:
            high = value.quantity, word == "under"
    if low[0] is None and high[0] is None:
        notes.note(node, node.describe(), f"a value of `{attribute.name}`: {in_words(attribute)}, or a go/no-go bound")
        return None
    if low[0] is not None and high[0] is not None and (high[0] < low[0] or (high[0] == low[0] and (low[1] or high[1]))):
        notes.note(node, "bounds with nothing between them", "a lower bound below the upper one")
        return None
    return Bound(*low, *high)


def _word(key: str, attribute: Attribute, node: Node, notes: ProblemReporter) -> str:
    """What a go/no-go gauge's answer means for the attribute, as a word of comparison; "" and noted if nothing."""
    if key not in ("takes_at", "does_not_take_at"):
        return key
    if not attribute.gauge_takes:
        expected = "a figure, or `over` or `under` a figure: no go/no-go gauge is known for it"
        notes.note(node.key_where(key), f"`{key}` for `{attribute.name}`", expected)
        return ""
    takes = key == "takes_at"
    if attribute.gauge_takes == "at most":
        return "at_most" if takes else "over"
    return "at_least" if takes else "under"


def read_drop(node: Node, attribute: Attribute, notes: ProblemReporter) -> PressureDrop | None:
    """The drop that `{before: 110 psi, after: 107 psi, minutes: 1}` says; None, noted, if it says none."""
    first, last, wait = (node.get(key) for key in DROP)
    if attribute.type != "pressure per minute" or first is None or last is None or wait is None:
        notes.note(node, node.describe(), "`{before: 110 psi, after: 107 psi, minutes: 1}`, for a leakage")
        return None
    before = read_quantity_at(first, "pressure", notes)
    after = read_quantity_at(last, "pressure", notes)
    minutes = _minutes(wait, notes)
    if before is None or after is None or minutes is None:
        return None
    if minutes.n <= 0 or after > before:
        notes.note(node, "a drop over no time, or a pressure that rose", "minutes over zero, and `after` not higher")
        return None
    rate = Quantity.of("pressure per minute", (before.amount - after.amount) / minutes.amount, "psi/min")
    return PressureDrop(before, after, minutes, rate)


def _minutes(node: Node, notes: ProblemReporter) -> Quantity | None:
    """A number of minutes; here a bare number will do, since the key says what it counts."""
    text = notes.text(node, "minutes")
    try:
        return read_quantity(f"{text} min" if _NUMBER.fullmatch(text) else text, "minutes")
    except QuantityError as error:
        notes.note_error(node, error)
        return None
