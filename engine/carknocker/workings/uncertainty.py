"""How far a derived figure may be off because of what the gauges of its readings resolve, and their uncertainty.

Each reading is moved up and down by what its gauge leaves open, and the working is asked again: what the figure moves
is the formula's own sensitivity times the reading's uncertainty. All of it is added in full, the worst case. Where a
working takes the largest or the smallest of several figures, each of them that may truly be the largest counts.
"""

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from msgspec.structs import replace

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.standing import Standing
from carknocker.record.values import Bound, Figure, Value
from carknocker.workings.model import Candidate, Missing, OutOfRange, Readings, Share, Worked, Working

_NOTHING = Fraction(0)


class _Moved:
    """The same readings with some of them moved; by id."""

    def __init__(self, readings: Readings, moved: Mapping[str, Evidence]) -> None:
        self.standing: Standing = readings.standing
        self._readings = readings
        self._moved = moved

    def newest(self, part: str, attribute: str) -> Evidence | None:
        found = self._readings.newest(part, attribute)
        return None if found is None else self._moved.get(found.id, found)

    def counted(self, key: str, attribute: str) -> list[Evidence]:
        return [self._moved.get(one.id, one) for one in self._readings.counted(key, attribute)]


def candidates_of(readings: Readings, part: Part, working: Working, worked: Worked) -> tuple[Candidate, ...]:
    """All that may govern a figure, the one that was taken first.

    Descriptions, go/no-go gauges and readings whose resolution is not known leave nothing open.
    """
    if worked.candidates is not None:
        return worked.candidates()
    middle = amount_of(worked.value)
    if middle is None:
        return ()

    def asked(moved: Mapping[str, Evidence]) -> Fraction | None:
        found = working(_Moved(readings, moved), part)
        amount = None if isinstance(found, Missing) else amount_of(found.value)
        return None if amount is None else amount - middle

    shares: list[Share] = []
    raising: dict[str, Evidence] = {}
    lowering: dict[str, Evidence] = {}
    for evidence in {one.id: one for one in worked.used}.values():
        uncertainty = evidence.uncertainty
        if uncertainty is None:
            continue
        effects = [
            (effect, moved)
            for moved in _both_ends(evidence)
            if (effect := asked({evidence.id: moved})) is not None
        ]  # fmt: skip
        furthest = max((abs(effect) for effect, _ in effects), default=_NOTHING)
        if not furthest:
            continue
        shares.append(Share(evidence, furthest / uncertainty.amount))
        raising[evidence.id] = max(effects, key=lambda one: one[0])[1]
        lowering[evidence.id] = min(effects, key=lambda one: one[0])[1]
    added = sum((share.uncertainty for share in shares), _NOTHING)
    together = (asked(raising), asked(lowering)) if len(shares) > 1 else ()
    # a quotient or a product may move further when all its readings move together
    beyond = max([_NOTHING, *(abs(effect) - added for effect in together if effect is not None)])
    return (Candidate(tuple(shares), beyond),)


def _both_ends(evidence: Evidence) -> Iterable[Evidence]:
    """The reading moved up and down by what its gauge leaves open; none where it leaves nothing open."""
    uncertainty, value = evidence.uncertainty, evidence.value
    if uncertainty is None or not isinstance(value, Figure | Bound) or not _leaves_open(evidence):
        return
    for step in (uncertainty.amount, -uncertainty.amount):
        moved = (
            Figure(_by(value.quantity, step)) if isinstance(value, Figure)
            else replace(
                value,
                low=None if value.low is None else _by(value.low, step),
                high=None if value.high is None else _by(value.high, step),
            )
        )  # fmt: skip
        yield replace(evidence, value=moved)


def _by(quantity: Quantity, step: Fraction) -> Quantity:
    return Quantity.of(quantity.dimension, quantity.amount + step, quantity.unit)


def candidate_of_sum(terms: Iterable[tuple[Evidence, Fraction]]) -> tuple[Candidate, ...]:
    """The one candidate of a figure that is a sum of readings, each times a constant: no need to ask the working again.
    terms: each reading with what it is multiplied by."""
    shares = [Share(evidence, abs(times)) for evidence, times in terms if _leaves_open(evidence)]
    return (Candidate(tuple(shares)),)


def _leaves_open(evidence: Evidence) -> bool:
    uncertainty = evidence.uncertainty
    value = evidence.value
    figure = isinstance(value, Figure) or (isinstance(value, Bound) and not value.go_or_no_go)
    return evidence.sort == "reading" and figure and uncertainty is not None and uncertainty.n != 0


def candidates_of_largest(figures: Iterable[tuple[Fraction, tuple[Share, ...]]]) -> tuple[Candidate, ...]:
    """What may truly be the largest of several figures, with the shares of their readings: the largest as read, then
    each whose gauges leave open that it is larger still. Of equals the first is taken."""
    ranked = sorted(figures, key=lambda one: one[0], reverse=True)
    found = [Candidate(shares, amount - ranked[0][0]) for amount, shares in ranked]
    return (*found[:1], *(one for one in found[1:] if one.uncertainty > 0))


def scaled(candidates: Sequence[Candidate], factor: Fraction) -> tuple[Candidate, ...]:
    """The candidates of a figure that is `factor` times another; factor over 0."""
    return tuple(
        Candidate(tuple(Share(one.evidence, one.sensitivity * factor) for one in found.shares), found.beyond * factor)
        for found in candidates
    )


def uncertainty_of(candidates: Sequence[Candidate]) -> Fraction:
    """How far a figure may be off, in its own base unit: the worst case over all that may govern it."""
    return max((one.uncertainty for one in candidates), default=_NOTHING)


def amount_of(value: Value) -> Fraction | None:
    """The amount of a figure; of a range its middle, or the one end that it has. None for anything else."""
    if isinstance(value, Figure):
        return value.quantity.amount
    if not isinstance(value, Bound):
        return None
    ends = [end.amount for end in (value.low, value.high) if end is not None]
    return sum(ends, _NOTHING) / len(ends) if ends else None


def resolutions_that_settle(margin: Fraction, candidates: Sequence[Candidate]) -> tuple[tuple[Evidence, Fraction], ...]:
    """What a gauge must resolve so that one re-measurement alone settles a figure with this margin (0 or more): the
    reading and the greatest resolution, in the unit of that reading, the one that asks least of its gauge first,
    compared with what was used.

    Empty where the margin is settled already or no single reading is enough: exactly at the limit, or with too much
    left open by the others. Raises OutOfRange for a margin below 0, which has failed.
    """
    if margin < 0:
        raise OutOfRange("a figure past its limit has failed; a re-measurement is then a new reading")
    if uncertainty_of(candidates) <= margin:
        return ()
    readings = {share.evidence.id: share.evidence for one in candidates for share in one.shares if share.uncertainty}
    found: list[tuple[Fraction, str, Fraction]] = []
    for name, evidence in readings.items():
        needed = _needed(margin, candidates, name)
        if needed is not None and evidence.uncertainty is not None:
            found.append((evidence.uncertainty.amount / needed, name, needed))
    return tuple((readings[name], needed) for _, name, needed in sorted(found))


def _needed(margin: Fraction, candidates: Sequence[Candidate], name: str) -> Fraction | None:
    """The greatest resolution of one reading that leaves every candidate within the margin; None where there is none
    over 0."""
    needed: Fraction | None = None
    for one in candidates:
        own = [share for share in one.shares if share.evidence.id == name]
        left = margin - one.uncertainty + sum((share.uncertainty for share in own), _NOTHING)
        slope = sum((abs(share.sensitivity) for share in own), _NOTHING)
        if left < 0 or (slope and not left):
            return None
        if slope and (needed is None or left / slope < needed):
            needed = left / slope
    return needed
