"""Comparing a value with a limit: exact, without division, with the side of the boundary that the words give."""

from collections.abc import Callable
from fractions import Fraction

from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN
from carknocker.record.values import Bound

FigureTest = Callable[[ObservedValue, ObservedValue], int]

# word → (sign that makes the margin positive on the good side, whether the limit itself fails)
SIDES = {"over": (1, True), "at_least": (1, False), "under": (-1, True), "at_most": (-1, False)}


def at_limit(word: str, limit: ObservedValue) -> Callable[[ObservedValue], int]:
    """The test of a value against one limit for `over`, `at_least`, `under`, `at_most`.

    With value r = n/d and limit l = ln/ld, m = (n·ld - ln·d)·sign is the margin times d·ld: it fails where m < 0, or
    m = 0 if the limit itself fails; it is near where the margin is less than the uncertainty of the value and, where
    the limit is itself a reading or follows from readings, of the limit, the two added in full.
    """
    sign, strict = SIDES[word]
    limit_d, least = limit.d, 1 if strict else 0  # of a margin, which is a whole number
    up, down = limit_d * sign, limit.n * sign
    read = limit.uncertainty is not None or limit.uncertainty_d != 0

    def test(value: ObservedValue) -> int:
        d = value.d
        if not d or not limit_d:
            return _ranges(value, limit, sign, strict)
        margin = value.n * up - d * down
        if margin < least:
            return FAILS
        if read:
            return NEAR if _within_uncertainty(value, limit, margin, d * limit_d) else HOLDS
        if value.uncertainty is not None:
            value.work_out_uncertainty()
        if value.uncertainty_d and margin * value.uncertainty_d < value.uncertainty_n * d * limit_d:
            return NEAR
        return HOLDS

    return test


def against(word: str) -> FigureTest:
    """The same test where the limit is not known beforehand."""
    return lambda value, limit: at_limit(word, limit)(value)


def _within_uncertainty(value: ObservedValue, limit: ObservedValue, margin: int, divisor: int) -> bool:
    """Whether a margin, margin/divisor in the base unit, is less than both uncertainties together. What a go/no-go
    gauge told has none: it has decided."""
    uncertainty = Fraction(0)
    for one in (value, limit):
        one.work_out_uncertainty()
        if one.uncertainty_d:
            uncertainty += Fraction(one.uncertainty_n, one.uncertainty_d)
    return margin * uncertainty.denominator < uncertainty.numerator * divisor


def equal(value: ObservedValue, limit: ObservedValue) -> int:
    """The test for `is` between figures."""
    if value.d and limit.d:
        return HOLDS if value.n * limit.d == limit.n * value.d else FAILS
    upper, lower = _ranges(value, limit, -1, False), _ranges(value, limit, 1, False)
    return FAILS if FAILS in (upper, lower) else UNKNOWN


End = tuple[int, int, bool]
"""One end of what a value may be: n/d, and whether it lies beyond that, not at it."""


def ends(value: ObservedValue) -> tuple[End | None, End | None]:
    """The least and the greatest that a value may be; None where it has no such end, or is no figure."""
    if value.d:
        exact = (value.n, value.d, False)
        return exact, exact
    bound = value.value
    if not isinstance(bound, Bound):
        return None, None
    low = None if bound.low is None else (bound.low.n, bound.low.d, bound.low_open)
    high = None if bound.high is None else (bound.high.n, bound.high.d, bound.high_open)
    return low, high


def _ranges(value: ObservedValue, limit: ObservedValue, sign: int, strict: bool) -> int:
    """A value or a limit that is a range: a bound, or a figure that is enclosed since π or a root
    enters it. It decides where every value in the range decides alike, and is left open where the limit lies inside."""
    least, greatest = ends(value)
    limit_least, limit_greatest = ends(limit)
    # the pair that is worst, and the pair that is best, for the requirement
    worst, hardest = (least, limit_greatest) if sign > 0 else (greatest, limit_least)
    best, easiest = (greatest, limit_least) if sign > 0 else (least, limit_greatest)
    if worst is not None and hardest is not None:
        margin = (worst[0] * hardest[1] - hardest[0] * worst[1]) * sign
        if margin > 0 or (margin == 0 and (not strict or worst[2] or hardest[2])):
            return NEAR if _within_uncertainty(value, limit, margin, worst[1] * hardest[1]) else HOLDS
    if best is not None and easiest is not None:
        margin = (best[0] * easiest[1] - easiest[0] * best[1]) * sign
        if margin < 0 or (margin == 0 and (strict or best[2] or easiest[2])):
            return FAILS
    return UNKNOWN


def margin_of(value: ObservedValue, limit: ObservedValue, word: str) -> Fraction | None:
    """By how much a figure that passes is to spare at the least, in its base unit; None where a range has no end
    there, or nothing is a figure."""
    sign, _ = SIDES[word]
    worst = ends(value)[0 if sign > 0 else 1]
    hardest = ends(limit)[1 if sign > 0 else 0]
    if worst is None or hardest is None:
        return None
    return (Fraction(worst[0], worst[1]) - Fraction(hardest[0], hardest[1])) * sign
