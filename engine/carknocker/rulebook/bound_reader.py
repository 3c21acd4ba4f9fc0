"""Values that are more than one figure: what a go/no-go gauge tells, and a pressure before and after a wait."""

from carknocker.documents import Node
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.values import Bound, Figure, PressureDrop
from carknocker.rulebook.context import Context
from carknocker.rulebook.value_reader import read_value
from carknocker.vocabulary.model import Attribute

BOUNDS = ("takes_at", "does_not_take_at", "over", "at_least", "under", "at_most")


def quantity_at(node: Node, dimension: str, context: Context) -> Quantity | None:
    """The quantity that a scalar says; None, noted, if it says none."""
    text = context.text(node, f"a {dimension}")
    if not text:
        return None
    try:
        return read_quantity(text, dimension)
    except QuantityError as error:
        context.note(node, error.found, error.expected, error.nearest, error.remedy)
        return None


def read_bound(node: Node, attribute: Attribute, context: Context) -> Bound | None:
    """The bound that a mapping such as `{takes_at: 7/8 in}` says for an attribute."""
    entries = context.entries(node, BOUNDS, "a bound")
    if entries is None or not entries:
        return None
    low: tuple[Quantity | None, bool] = (None, False)
    high: tuple[Quantity | None, bool] = (None, False)
    for key, value in entries.items():
        read = read_value(value, attribute, context)
        if not isinstance(read, Figure):
            if read is not None:
                context.note(node, node.describe(), f"a plain value of `{attribute.name}`")
            return None
        word = _gauge_word(key, attribute, node, context)
        if word in ("over", "at_least"):
            low = (read.quantity, word == "over")
        elif word:
            high = (read.quantity, word == "under")
    return Bound(low[0], low[1], high[0], high[1])


def _gauge_word(key: str, attribute: Attribute, node: Node, context: Context) -> str:
    """What a go/no-go gauge's answer means for the attribute, as a word of comparison."""
    if key not in ("takes_at", "does_not_take_at"):
        return key
    if not attribute.gauge_takes:
        context.note(
            node.key_where(key), f"`{key}` for `{attribute.name}`", "a figure: no go/no-go gauge is used for it here"
        )
        return ""
    takes = key == "takes_at"
    if attribute.gauge_takes == "at most":
        return "at_most" if takes else "over"
    return "at_least" if takes else "under"


def read_drop(node: Node, attribute: Attribute, context: Context) -> PressureDrop | None:
    """The drop that `{before: 110 psi, after: 107 psi, minutes: 1}` says."""
    entries = context.entries(node, ("before", "after", "minutes"), "a pressure drop")
    if entries is None:
        return None
    if attribute.type != "pressure per minute" or len(entries) != 3:
        context.note(node, node.describe(), "`{before: 110 psi, after: 107 psi, minutes: 1}` for a leakage")
        return None
    before = quantity_at(entries["before"], "pressure", context)
    after = quantity_at(entries["after"], "pressure", context)
    text = context.text(entries["minutes"], "minutes")
    try:
        minutes = read_quantity(f"{text} min" if text.replace(".", "").isdigit() else text, "minutes")
    except QuantityError as error:
        context.note(entries["minutes"], error.found, error.expected, error.nearest, error.remedy)
        return None
    if before is None or after is None:
        return None
    if minutes.n <= 0 or after > before:
        context.note(node, "a drop over no time, or a pressure that rose", "minutes over zero, and `after` not higher")
        return None
    rate = Quantity.of("pressure per minute", (before.amount - after.amount) / minutes.amount, "psi/min")
    return PressureDrop(before, after, minutes, rate)
