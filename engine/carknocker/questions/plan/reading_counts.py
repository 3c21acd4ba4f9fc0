"""How many readings a step of a plan asks for: by the count of what is not shown now that every answer gives."""

from collections.abc import Collection, Mapping
from datetime import date
from typing import TypeAlias

from carknocker.record.standing import Standing
from carknocker.vocabulary import Stage
from carknocker.whatif.work.offers import truck_of
from carknocker.whatif.work.rows import Row
from carknocker.wording.phrases import counted

Pair: TypeAlias = "tuple[str, str]"
"""Part and attribute."""
ReadingStep: TypeAlias = "tuple[Stage, str, date | None]"
"""A step of readings: when, in which truck (empty: the whole car), not before which day."""


def reading_words(rows: Collection[Row], now: frozenset[Pair], void_after: Collection[Pair]) -> str:
    """`take 669 readings not shown now, and what they call for`; `take 28 readings: 10 new, and 18 again that the work
    makes void`.

    now: those of the step that are not shown now.
    """
    pairs = {(row.part, row.attribute.name) for row in rows}
    again = {pair for pair in pairs if pair in void_after}
    fresh = pairs - again
    if now:
        more = "" if fresh <= now else ", and what they call for"
        also = f"; and {counted(len(again), 'reading')} again" if again else ""
        return f"take {counted(len(now), 'reading')} not shown now{more}{also}"
    if fresh and again:
        return f"take {counted(len(pairs), 'reading')}: {len(fresh):,} new, and {len(again):,} again"
    return f"take {counted(len(pairs), 'reading')}{' again' if again else ''}"


def not_shown_by_step(
    steps: Mapping[ReadingStep, Collection[Row]],
    not_shown: Collection[Pair],
    early: Collection[Pair],
    void_after: Collection[Pair],
    standing: Standing,
) -> Mapping[ReadingStep, frozenset[Pair]]:
    """The readings that are not shown now, each in one of the steps that read more than what the work makes void: in
    that of its truck, else in that of the whole car. What is not fitted after the work is not read."""
    open_ = [
        step for step, rows in steps.items() if any((row.part, row.attribute.name) not in void_after for row in rows)
    ]
    found: dict[ReadingStep, set[Pair]] = {}
    for pair in not_shown:
        part = standing.parts.get(pair[0])
        if part is None or not part.fitted or not open_:
            continue
        first = pair in early
        stage: Stage = "read first" if first else "read anew"
        truck = "" if first else truck_of(pair[0], standing) or ""
        nearest = min(open_, key=lambda step: (step[0] != stage, step[1] != truck, step[1] != ""))
        found.setdefault(nearest, set()).add(pair)
    return {step: frozenset(pairs) for step, pairs in found.items()}
