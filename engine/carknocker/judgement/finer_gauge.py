"""Which single re-measurement would settle a borderline finding, and what its gauge must read to."""

from fractions import Fraction
from itertools import product

import msgspec

from carknocker.judgement.criteria import CompiledComparison, CompiledCriterion
from carknocker.judgement.figures import SIDES, margin_of
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.truth import NEAR
from carknocker.quantities import Quantity
from carknocker.record.model import Evidence, Gauge
from carknocker.record.sheets_reader import uncertainty_of_gauge
from carknocker.rulebook.clauses import AttributePath, FromPart
from carknocker.vocabulary import load_vocabulary
from carknocker.workings import Candidate, Share
from carknocker.workings.uncertainty import resolutions_that_settle


class SettlingReading(msgspec.Struct, frozen=True):
    """One reading that would settle the finding by itself, if read again with a finer gauge. reads_to: the resolution
    it was read to, plus the gauge's own uncertainty. needed: the resolution that its gauge must have, or finer. gauge:
    one on record of the same kind that reads so fine, or None."""

    evidence: Evidence
    reads_to: Quantity
    needed: Quantity
    gauge: Gauge | None


class SettlingReadings(msgspec.Struct, frozen=True):
    """What would settle a borderline finding. readings: each would by itself. together: none would by itself, these
    would together. Both empty: the figure lies exactly at its limit, and only another figure can settle it."""

    readings: tuple[SettlingReading, ...]
    together: tuple[Evidence, ...]


def settling_of(finding: Finding, one: CompiledCriterion, sight: PartView) -> SettlingReadings | None:
    """The readings that would settle a borderline finding. None for any other verdict, and if the finding is about
    parts inside."""
    if finding.verdict != "borderline":
        return None
    for leaf in one.leaves:
        if leaf.comparison.word in SIDES and leaf.test(sight) == NEAR:
            return _of_leaf(leaf, sight)
    return None


def _of_leaf(leaf: CompiledComparison, sight: PartView) -> SettlingReadings | None:
    held, limit = leaf.get(sight), limit_getter(leaf.comparison)(sight)
    margin = None if held is None or limit is None else margin_of(held, limit, leaf.comparison.word)
    if held is None or margin is None:
        return None
    candidates = [
        _together(value, against)
        for value, against in product(_candidates(leaf, sight, held.evidence), _limit_candidates(leaf, sight, limit))
    ]
    found = resolutions_that_settle(margin, candidates)
    readings = tuple(_settling(evidence, needed, sight) for evidence, needed in found)
    if readings or not margin:
        return SettlingReadings(readings, ())
    open_ = [share.evidence for one in candidates if one.uncertainty > margin for share in one.shares]
    return SettlingReadings((), tuple({evidence.id: evidence for evidence in open_}.values()))


def _candidates(leaf: CompiledComparison, sight: PartView, evidence: Evidence | None) -> tuple[Candidate, ...]:
    if evidence is not None:
        return (Candidate((Share(evidence),)),)
    return _derived_candidates(leaf.comparison.path, sight)


_NOTHING_OPEN = (Candidate(()),)


def _limit_candidates(leaf: CompiledComparison, sight: PartView, limit: ObservedValue | None) -> tuple[Candidate, ...]:
    """What a limit that is itself a reading, or follows from readings, leaves open."""
    if limit is None or not isinstance(leaf.comparison.limit, FromPart):
        return _NOTHING_OPEN
    if limit.evidence is not None:
        return (Candidate((Share(limit.evidence),)),)
    return _derived_candidates(leaf.comparison.limit.path, sight)


def _derived_candidates(path: AttributePath, sight: PartView) -> tuple[Candidate, ...]:
    owner = sight.situation.owner(sight.key, path.owner) if path.owner else sight.key
    found = () if owner is None else sight.situation.candidates(owner, path.attribute, shop=sight.shop)
    return found or _NOTHING_OPEN


def _together(value: Candidate, limit: Candidate) -> Candidate:
    """What one reading adds to the value and to the limit counts in full for both."""
    found: dict[str, Share] = {}
    for share in (*value.shares, *limit.shares):
        before = found.get(share.evidence.id)
        slope = abs(share.sensitivity) + (Fraction(0) if before is None else before.sensitivity)
        found[share.evidence.id] = Share(share.evidence, slope)
    return Candidate(tuple(found.values()), value.beyond + limit.beyond)


def _settling(evidence: Evidence, needed: Fraction, sight: PartView) -> SettlingReading:
    reads_to = evidence.uncertainty
    if reads_to is None:
        raise ValueError("a reading whose resolution is not known leaves nothing to settle")
    coarsest = Quantity.of(reads_to.dimension, step_within(needed, reads_to.dimension), reads_to.unit)
    kinds = load_vocabulary().gauge_kinds
    gauges = [
        gauge
        for gauge in sight.situation.standing.car.gauges.values()
        if gauge.reads_to is not None
        and evidence.gauge is not None
        and gauge.kind == evidence.gauge.kind
        and gauge.reads_to.dimension == reads_to.dimension
        and _together_within(gauge.reads_to, uncertainty_of_gauge(gauge, kinds), coarsest)
    ]
    return SettlingReading(evidence, reads_to, coarsest, gauges[0] if gauges else None)


def _together_within(reads_to: Quantity, own: Quantity | None, most: Quantity) -> bool:
    """Whether what a gauge reads to and its own uncertainty are together no more than what is needed."""
    return (reads_to if own is None or own.dimension != reads_to.dimension else reads_to.plus(own)) <= most


def step_within(needed: Fraction, dimension: str) -> Fraction:
    """The coarsest usual step of a gauge that is not over what is needed: a whole one, else a half, a quarter … down
    to a 64th for lengths and tapes, else 1, 2 or 5 of a decimal place."""
    if dimension in ("length", "tapes"):
        for halvings in range(7):
            step = Fraction(1, 2**halvings)
            if step <= needed:
                return step
    place = Fraction(1)
    while place > needed:
        place /= 10
    while place * 10 <= needed:
        place *= 10
    return max(place * digit for digit in (1, 2, 5) if place * digit <= needed)
