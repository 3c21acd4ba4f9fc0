"""By how much a figure passes its limit, or misses it."""

from fractions import Fraction

from carknocker.judgement.criteria import CompiledComparison
from carknocker.judgement.figures import SIDES
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.values import Bound


def margin_words(leaves: list[CompiledComparison], sight: PartView, finding: Finding) -> str:
    """How much the figure has to spare, or is short by. Empty where figure or limit is no exact figure."""
    if not leaves or leaves[0].comparison.word not in SIDES or finding.verdict not in ("met", "breached", "borderline"):
        return ""
    leaf = leaves[0]
    held = leaf.get(sight)
    if held is None or leaf.comparison.path.value_attribute.type == "period":
        return ""
    limit = limit_getter(leaf.comparison)(sight)
    ours, theirs = figure_of(held), None if limit is None else figure_of(limit)
    if ours is None or theirs is None:
        return ""
    sign, strict = SIDES[leaf.comparison.word]
    amount = (ours - theirs) * sign
    if amount == 0:
        return "nothing to spare: exactly at the limit" if not strict else "exactly at the limit, which does not pass"
    size = f"{abs(amount)}" if held_dimension(leaf) == "count" else _size(leaf, abs(amount))
    return f"{size} to spare" if amount > 0 else f"{size} past the limit"


def figure_of(held: ObservedValue) -> Fraction | None:
    """The figure of a value: exact, or the middle of a range so narrow that both its ends read alike, as π and roots
    leave it. None for anything else."""
    if held.d:
        return Fraction(held.n, held.d)
    bound = held.value
    if not isinstance(bound, Bound) or bound.low is None or bound.high is None or bound.low_open or bound.high_open:
        return None
    if write_quantity(bound.low) != write_quantity(bound.high):
        return None
    return (bound.low.amount + bound.high.amount) / 2


def held_dimension(leaf: CompiledComparison) -> str:
    """The dimension of the figures that a comparison compares."""
    type_ = leaf.comparison.path.value_attribute.type
    return "count" if type_ == "count" else type_


def _size(leaf: CompiledComparison, amount: "object") -> str:
    dimension = held_dimension(leaf)
    difference = "temperature difference" if dimension == "temperature" else dimension
    return write_quantity(Quantity.of(difference, amount, "in" if dimension == "length" else "%"))  # type: ignore[arg-type]
