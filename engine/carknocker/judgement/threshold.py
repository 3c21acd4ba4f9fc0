"""Where an answer flips along a line of positions: days, tape sizes, steps of a gauge, each as a whole number.

All searches for such a place go through these functions, so that none asks about every position in turn.
"""

from collections.abc import Callable, Iterable

Asked = Callable[[int], bool]
"""Whether something holds at a position."""


def last_before_flip(holds: Asked, good: int, bad: int) -> int:
    """The last position, going from `good` towards `bad`, at which it still holds. It holds at `good`, not at `bad`,
    and flips once between them. Halves the span, so that ten years of days take a dozen questions."""
    while abs(bad - good) > 1:
        middle = (good + bad) // 2
        if holds(middle):
            good = middle
        else:
            bad = middle
    return good


def first_outward(holds: Asked, most: int) -> int | None:
    """The first of the positions 1 to `most` at which it holds, where it does not hold at 0 and flips once on the way;
    None where it is not found. Doubles the distance, then halves it."""
    bad, good = 0, min(1, most)
    while not holds(good):
        if good >= most:
            return None
        bad, good = good, min(2 * good, most)
    return last_before_flip(holds, good, bad)


def last_outward(holds: Asked, most: int) -> int | None:
    """The last of the positions 0 to `most` up to which it holds, where it holds at 0 and flips once; None where it
    holds as far as `most`. Doubles the distance, then halves it."""
    good, bad = 0, min(1, most)
    while holds(bad):
        if bad >= most:
            return None
        good, bad = bad, min(2 * bad, most)
    return last_before_flip(holds, good, bad)


def last_in_run(holds: Asked, first: int, last: int, changes: Iterable[int]) -> int:
    """The last position up to which it holds without a break from `first` on, at which it holds. changes: every
    position at which the answer may differ from that at the position before; only those are asked about."""
    good = first
    for position in sorted({one for one in changes if first < one <= last} | {last}):
        if not holds(position):
            before = position - 1
            return before if before == good or holds(before) else last_before_flip(holds, good, before)
        good = position
    return last


def first_holding(holds: Asked, first: int, last: int, changes: Iterable[int]) -> int | None:
    """The first position from `first` to `last` at which it holds, None where there is none. changes: as above."""
    for position in sorted({one for one in changes if first < one <= last} | {first}):
        if position <= last and holds(position):
            return position
    return None


def last_holding(holds: Asked, first: int, last: int, changes: Iterable[int]) -> int | None:
    """The last position from `first` to `last` at which it holds, None where there is none. changes: as above."""
    ends = sorted({one - 1 for one in changes if first < one <= last} | {last}, reverse=True)
    return next((position for position in ends if position >= first and holds(position)), None)
