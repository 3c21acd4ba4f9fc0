"""By how much a figure passes its limit, or misses it, in words."""

from carknocker.judgement.explanation import Margin
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity


def margin_words(margin: Margin | None) -> str:
    """`1/16 in to spare`, `1/16 in past the limit`; empty where there is no exact figure."""
    if margin is None:
        return ""
    if margin.side == "at the limit":
        return (
            "nothing to spare: exactly at the limit"
            if margin.limit_passes
            else "exactly at the limit, which does not pass"
        )
    return f"{_size(margin)} to spare" if margin.side == "within it" else f"{_size(margin)} past the limit"


def _size(margin: Margin) -> str:
    if margin.dimension == "count":
        return str(margin.amount)
    dimension = "temperature difference" if margin.dimension == "temperature" else margin.dimension
    return write_quantity(Quantity.of(dimension, margin.amount, "in" if dimension == "length" else "%"))
