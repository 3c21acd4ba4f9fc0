"""Comparing a value with a limit: exact, without division, with the side of the boundary that the words give."""

from collections.abc import Callable

from carknocker.judgement.held import Held
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN
from carknocker.record.values import Bound

FigureTest = Callable[[Held, Held], int]

# word → (sign that makes the margin positive on the good side, whether the limit itself fails)
SIDES = {"over": (1, True), "at_least": (1, False), "under": (-1, True), "at_most": (-1, False)}


def against(word: str) -> FigureTest:
    """The test of a value against a limit for `over`, `at_least`, `under`, `at_most`.

    With value r = n/d and limit l = ln/ld, m = (n·ld - ln·d)·sign is the margin times d·ld: it fails where m < 0, or
    m = 0 if the limit itself fails; it is near where the margin is less than the resolution.
    """
    sign, strict = SIDES[word]

    def test(held: Held, limit: Held) -> int:
        if not limit.d:
            return UNKNOWN
        if not held.d:
            return _bound_against(held, limit, sign, strict)
        margin = (held.n * limit.d - limit.n * held.d) * sign
        if margin < 0 or (strict and margin == 0):
            return FAILS
        if held.reso_d and margin * held.reso_d < held.reso_n * held.d * limit.d:
            return NEAR
        return HOLDS

    return test


def equal(held: Held, limit: Held) -> int:
    """The test for `is` between figures."""
    if not limit.d:
        return UNKNOWN
    if held.d:
        return HOLDS if held.n * limit.d == limit.n * held.d else FAILS
    upper, lower = _bound_against(held, limit, -1, False), _bound_against(held, limit, 1, False)
    return FAILS if FAILS in (upper, lower) else UNKNOWN


def _bound_against(held: Held, limit: Held, sign: int, strict: bool) -> int:
    """A go/no-go gauge decides a limit on its own side and otherwise leaves it open."""
    bound = held.value
    if not isinstance(bound, Bound):
        return UNKNOWN
    # the side that could be worst, and the side that could be best, for the requirement
    worst, worst_open = (bound.low, bound.low_open) if sign > 0 else (bound.high, bound.high_open)
    best, best_open = (bound.high, bound.high_open) if sign > 0 else (bound.low, bound.low_open)
    if worst is not None:
        margin = (worst.n * limit.d - limit.n * worst.d) * sign
        if margin > 0 or (margin == 0 and (worst_open or not strict)):
            return HOLDS
    if best is not None:
        margin = (best.n * limit.d - limit.n * best.d) * sign
        if margin < 0 or (margin == 0 and (best_open or strict)):
            return FAILS
    return UNKNOWN
