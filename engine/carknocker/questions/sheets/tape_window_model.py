"""The tape sizes wanted at an axle, as plain data."""

import msgspec

from carknocker.wording.record_lines import RecordLine


class TapeWindow(msgspec.Struct, frozen=True):
    """least, most: sizes that pass, "" where that side is free. because: the rules at either end. mates: what they ask
    of the two wheels between themselves. tape: which tape. missing: why nothing can be said; then all else is empty.
    """

    axle: int
    least: str
    most: str
    tape: str
    because: tuple[str, ...]
    mates: tuple[str, ...]
    missing: str


def window_line(window: TapeWindow) -> RecordLine:
    """The window as a line of a sheet: the size wanted, or why none can be told."""
    label = "tape size wanted"
    if window.missing:
        return RecordLine(label, f"can't be told: {window.missing}", False)
    if window.least and window.most:
        wanted = window.least if window.least == window.most else f"{window.least} to {window.most}"
    else:
        wanted = f"{window.least} or more" if window.least else f"{window.most} or less" if window.most else "any"
    return RecordLine(label, f"{wanted}, by {window.tape}, both wheels alike")
