"""Four degrees of truth, ordered so that *all of* is the least and *any of* the greatest."""

FAILS = 0
"""It does not hold."""
UNKNOWN = 1
"""Nothing shows whether it holds."""
NEAR = 2
"""It holds, but by less than the gauge can resolve."""
HOLDS = 3
"""It holds."""


def opposite(truth: int) -> int:
    """Not so: what holds fails, what fails holds. What nothing shows stays unknown, and so does what holds by less than
    the gauge can resolve: an exemption is not granted by so little."""
    if truth in (UNKNOWN, NEAR):
        return UNKNOWN
    return HOLDS if truth == FAILS else FAILS
