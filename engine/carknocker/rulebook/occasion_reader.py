"""Reads when a duty on the way falls due: how often it comes round, or within which first part of the move."""

from collections.abc import Mapping

from carknocker.documents import Node
from carknocker.quantities import Period, QuantityError, read_period, read_quantity
from carknocker.rulebook.model import Occasion
from carknocker.rulebook.reading_context import Context

_EXPECTED = "`day in service`, `leg`, a period such as `30 days`, or a distance such as `1500 mi`"


def read_occasions(
    entries: Mapping[str, Node], when: str, is_spare: bool, context: Context
) -> tuple[tuple[Occasion, ...], Occasion | None]:
    """`every` and `within_first` of a duty. Problems are reported."""
    every_node, first_node = entries.get("every"), entries.get("within_first")
    for key, node in (("every", every_node), ("within_first", first_node)):
        if node is not None and when != "on the way":
            context.note(node, f"`{key}` of a duty before departure", f"`{key}` only with `when: on the way`")
        elif node is not None and is_spare:
            context.note(node, f"`{key}` of a spare, which stays aboard all the way", "a test or a duty")
    if every_node is not None and first_node is not None:
        context.note(
            first_node, "`every` and `within_first` of one duty", "one of them: it comes round, or is done once"
        )
    every = () if every_node is None else tuple(_occasions(every_node, context))
    first = None if first_node is None else _occasion(first_node, context)
    if first is not None and first_node is not None and first.sort == "day in service":
        context.note(first_node, first_node.describe(), "`leg`, a period, or a distance")
    return every, first


def _occasions(node: Node, context: Context) -> list[Occasion]:
    items = node.as_sequence()
    if not items:
        context.note(node, "an empty list", _EXPECTED)
    return [found for item in items if (found := _occasion(item, context)) is not None]


def _occasion(node: Node, context: Context) -> Occasion | None:
    text = context.text(node, "an occasion")
    if text == "day in service":
        return Occasion("day in service")
    if text == "leg":
        return Occasion("leg")
    return read_interval(node, context, _EXPECTED)


def read_interval(
    node: Node, context: Context, expected: str = "a period such as `30 days`, or a distance such as `1500 mi`"
) -> Occasion | None:
    """A period or a distance above zero. None, and reported, for anything else."""
    text = context.text(node, "a period or a distance")
    try:
        found = _interval(text)
    except QuantityError as error:
        if text:
            context.note(node, error.found, expected)
        return None
    if found.period == Period() or (found.miles is not None and found.miles.n <= 0):
        context.note(node, f"`{text}`, which never passes", expected)
        return None
    return found


def _interval(text: str) -> Occasion:
    """A period or a distance. Raises QuantityError if it is neither."""
    try:
        return Occasion("period", period=read_period(text))
    except QuantityError:
        return Occasion("miles", miles=read_quantity(text, "distance"))
