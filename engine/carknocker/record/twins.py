"""Two readings of one attribute of one part on one day: whether they agree."""

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.notes import Notes
from carknocker.record.values import Bound, Figure, NotAccessible, Opinion, PressureDrop, Value


def without_twins(readings: list[Evidence], notes: Notes) -> list[Evidence]:
    """The readings, each once a sheet. Notes two of one day that disagree, unless one was taken after work of that day
    and the other was not."""
    kept: dict[tuple[object, ...], Evidence] = {}
    same_day: dict[tuple[object, ...], list[Evidence]] = {}
    for reading in readings:
        once = (reading.part, reading.attribute, reading.sheet)
        before = kept.get(once)
        if before is not None and (before.value == reading.value or isinstance(reading.value, NotAccessible)):
            continue
        if before is not None and not isinstance(before.value, NotAccessible):
            _note(before, reading, notes)
            continue
        kept[once] = reading
        others = same_day.setdefault((reading.part, reading.attribute, reading.on, reading.after), [])
        unlike = next((one for one in others if not agree(one.value, reading.value)), None)
        if unlike is not None:
            _note(unlike, reading, notes)
        others.append(reading)
    return list(kept.values())


def _note(before: Evidence, reading: Evidence, notes: Notes) -> None:
    notes.note(
        reading.where,
        f"a second reading of `{reading.attribute}` of {reading.part} on {reading.on}, which disagrees with line "
        f"{before.where.line}",
        "one reading a day",
        remedy="keep the one that counts, or say with `after: ID` that it was taken after a job of that day",
    )


def agree(one: Value, other: Value) -> bool:
    """Whether both can be true: the same value, a figure within a bound, or nothing read at all."""
    if one == other or isinstance(one, NotAccessible) or isinstance(other, NotAccessible):
        return True
    words = [value.word if isinstance(value, Opinion) else getattr(value, "text", None) for value in (one, other)]
    if words[0] is not None:
        return words[0] == words[1]
    first, second = _as_bound(one), _as_bound(other)
    if first is None or second is None:
        return False
    return _reaches(first, second) and _reaches(second, first)


def _as_bound(value: Value) -> Bound | None:
    if isinstance(value, Bound):
        return value
    figure: Quantity | None = None
    if isinstance(value, Figure):
        figure = value.quantity
    elif isinstance(value, PressureDrop):
        figure = value.per_minute
    return None if figure is None else Bound(figure, False, figure, False)


def _reaches(lower: Bound, upper: Bound) -> bool:
    """Whether some figure lies above the low side of one and below the high side of the other."""
    if lower.low is None or upper.high is None:
        return True
    if lower.low == upper.high:
        return not (lower.low_open or upper.high_open)
    return lower.low < upper.high
