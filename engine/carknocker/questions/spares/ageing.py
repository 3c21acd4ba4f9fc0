"""What long standing does to a spare wheelset: rust, marks in the bearings, labels, when it was last turned over."""

from carknocker.judgement.model import Judgement
from carknocker.questions.told import Told, held_of, told
from carknocker.record.values import Day
from carknocker.wording.limits import value_words

_SIDES = ("left", "right")
_SIGNS = {"standing_rust": "yes", "standing_marks": "yes", "heat_label": "turned"}
"""Readings of a spare that speak against it, whether or not a rule asks (common practice, no source)."""


def ageing_of(judgement: Judgement, serial: str) -> tuple[Told, ...]:
    """What the record shows of a wheelset's age in store."""
    key = f"wheelset {serial}"
    lines = [told(judgement, key, "standing_rust"), _since(judgement, key, "bearings_turned_over_on")]
    for side in _SIDES:
        bearing = f"bearing {serial} {side}"
        lines.append(told(judgement, bearing, "standing_marks", f"{side} bearing: standing marks"))
        lines.append(told(judgement, bearing, "heat_label", f"{side} bearing: heat label"))
        lines.append(_since(judgement, bearing, "heat_label_stuck_on", f"{side} bearing: heat label stuck on"))
        lines.append(_since(judgement, bearing, "reconditioned_on", f"{side} bearing: reconditioned"))
    return tuple(lines)


def signs_of_standing(judgement: Judgement, serial: str) -> tuple[str, ...]:
    """The signs of long standing that are on record: each with the part, the value, its day and who read it."""
    signs_of_standing = []
    for name, bad in _SIGNS.items():
        for key in (f"wheelset {serial}", *(f"bearing {serial} {side}" for side in _SIDES)):
            held = held_of(judgement, key, name)
            if held is not None and value_words(held.value) == bad:
                line = told(judgement, key, name)
                signs_of_standing.append(f"{judgement.parts[key].label}: {line.label}: {line.text}")
    return tuple(signs_of_standing)


def _since(judgement: Judgement, key: str, attribute: str, label: str = "") -> Told:
    """A day, with how long ago it is on departure."""
    line = told(judgement, key, attribute, label)
    held = held_of(judgement, key, attribute)
    if held is None or not isinstance(held.value, Day):
        return line
    days = (judgement.move.out - held.value.last).days
    return Told(line.label, f"{line.text}, {days:,} days before departure", line.known)
