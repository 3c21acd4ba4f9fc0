"""What would have to be otherwise, in words."""

from carknocker.judgement.observed_value import exact
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.record.values import Value
from carknocker.whatif.model import Change, Way, Window
from carknocker.wording.parts import of_part

_AFTERWARDS = {
    "not shown": "then it is no longer breached, but not shown for want of something else",
    "for the day": "then it is for the host's inspector on the day",
    "borderline": "then it is borderline",
    "lapses": "then it lapses before the return",
    "void": "then it is no longer breached, but void",
}


def way_words(way: Way, part: Part) -> str:
    """One way as a line: `flange thickness 15/16 in or more; 1/16 in short`. part: of the finding; others are named."""
    after = _AFTERWARDS.get(way.verdict, "")
    return " and ".join(_change(one, part) for one in way.changes) + (f" ({after})" if after else "")


def _change(change: Change, part: Part) -> str:
    subject = change.attribute.label
    if change.fact is not None:
        subject = f"{change.fact.label} of the {subject}"
    if change.part.key != part.key:
        subject = of_part(subject, change.part)
    return f"{subject}{': ' if change.side == 'one of' else ' '}{_values(change)}{_short(change)}"


def _values(change: Change) -> str:
    words = [value_words(one) for one in change.values]
    match change.side:
        case "one of":
            listed = words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"
            return listed
        case "to":
            return f"from {words[0]} to {words[-1]}"
        case "exactly":
            return f"of exactly {words[0]}"
        case "until":
            return f"in force until {words[0]} or later"
        case "on or after" | "on or before":
            done = "made " if change.attribute.type == "test" else "read "
            return f"{done if change.dated else ''}{change.side} {words[0]}"
        case _:
            return f"{words[0]} {change.side}" if _has_more(change) else words[0]


def _has_more(change: Change) -> bool:
    """`0 in or less` says no more than `0 in`."""
    return not (change.side == "or less" and _is_zero(change.values[0]))


def _is_zero(value: Value) -> bool:
    figure = exact(value)
    return figure is not None and figure.n == 0


def _short(change: Change) -> str:
    said = []
    if change.short:
        match change.side:
            case "on or after" | "until":
                said.append(f"{change.short} too early")
            case "on or before":
                said.append(f"{change.short} too late")
            case "or more":
                said.append(f"{change.short} short")
            case "or less":
                said.append(f"{change.short} over")
            case _:
                said.append(f"{change.short} away")
    if change.borderline is not None:
        said.append(f"at exactly {value_words(change.borderline)} borderline")
    return "".join(f"; {one}" for one in said)


def window_words(window: Window) -> str:
    """`leaving from 2026-10-09 to 2026-10-12 (back from 2026-10-23 to 2026-10-26)`."""
    if window.first == window.last:
        return f"leaving on {window.first.isoformat()}, back on {window.first_back.isoformat()}"
    if window.open_ended:
        return (
            f"leaving on or after {window.first.isoformat()} (back on {window.first_back.isoformat()}; tried up to "
            f"leaving on {window.last.isoformat()})"
        )
    return (
        f"leaving from {window.first.isoformat()} to {window.last.isoformat()} (back from "
        f"{window.first_back.isoformat()} to {window.last_back.isoformat()})"
    )
