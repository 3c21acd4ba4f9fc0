"""By how much a figure passes its limit, or misses it, and what finer gauge would settle it, in words."""

from collections.abc import Mapping

from carknocker.judgement.explanation import Margin
from carknocker.judgement.finer_gauge import Settled
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.wording.parts import attribute_words, part_words


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


def settling_words(settled: Settled, parts: Mapping[str, Part]) -> tuple[str, ...]:
    """In words, a line for each reading that settles it by itself."""
    if settled.readings:
        return tuple(
            f"settled by reading again {_named(one.evidence, parts)}, to {write_quantity(one.needed)} or finer"
            + (f" (gauge {one.gauge.name} reads to that)" if one.gauge is not None else "")
            for one in settled.readings
        )
    if settled.together:
        names = ", ".join(_named(one, parts) for one in settled.together)
        return (f"no single reading settles it; together these do, read again with a finer gauge: {names}",)
    return ("exactly at the limit: no finer gauge settles it, only another figure",)


def _named(evidence: Evidence, parts: Mapping[str, Part]) -> str:
    part = parts.get(evidence.part)
    if part is None:
        return f"{evidence.attribute.replace('_', ' ')} of {evidence.part}"
    return f"{attribute_words(part.kind, evidence.attribute)} of {part_words(part)}"
