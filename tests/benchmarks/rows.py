"""Rows of the table: what was timed, the two times, their ratio, and whether that is within its bound."""

from __future__ import annotations

from typing import NamedTuple


class Row(NamedTuple):
    what: str
    took: str
    ratio: str = ""
    within: bool = True


def bounded(
    what: str, took: str, ratio: float, *, most: float | None = None, under: float | None = None,
    least: float | None = None, decimals: int = 1, shown: bool = True,
) -> Row:  # fmt: skip
    """A row with its bound in words: `(at most 4)`. shown: whether the ratio is told."""
    bounds = [
        f"{word} {bound:g}" for word, bound in (("at most", most), ("under", under), ("at least", least))
        if bound is not None
    ]  # fmt: skip
    within = (most is None or ratio <= most) and (under is None or ratio < under) and (least is None or ratio >= least)
    label = f"{what} ({', '.join(bounds)})" if bounds else what
    return Row(label, took, f"{ratio:.{decimals}f}" if shown else "", within)
