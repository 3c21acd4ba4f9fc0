"""What may hold the end that stands while the other is lifted: chocks always, a hand brake only where it acts there."""

from typing import Literal

import msgspec

from carknocker.record.values import Words
from carknocker.wording.parts import compact_labels
from carknocker.workings.inputs import axles_of_truck
from carknocker.workings.model import Readings

HandBrake = Literal["acts there", "acts elsewhere", "does not agree", "not on record"]


class Holding(msgspec.Struct, frozen=True):
    """hand_brake: whether one acts on the truck that stands, by the record. words: what to do, as a caution."""

    hand_brake: HandBrake
    words: str


def _has_its_chain(readings: Readings, truck: str) -> bool | None:
    """Whether the hand-brake chain is among what joins a truck to the body; None where nobody says what does."""
    found = readings.newest(f"truck {truck}", "connections_to_body")
    if found is None or not isinstance(found.value, Words):
        return None
    return "hand-brake chain" in found.value.texts


def holding_of(readings: Readings, end: str) -> Holding:
    """What may hold the car while an end is lifted. end: the lifted one. A hand brake of which nobody says on which
    axles it acts is none, nor is one whose chain the record has at the other truck alone: it holds the lifted one."""
    other = "A" if end == "B" else "B"
    standing = {readings.standing.parts[key].position for key in axles_of_truck(readings, f"truck {other}")}
    chocks = f"Truck {other} stands: chock it on both sides of a wheel, on both rails"
    known, unknown = False, False
    for part in readings.standing.by_kind.get("hand brake", ()):
        found = readings.newest(part.key, "acts_on")
        if found is None or not isinstance(found.value, Words):
            unknown = True
            continue
        known = True
        there = [axle for axle in found.value.texts if axle in standing]
        if there:
            axles = compact_labels(f"axle {axle}" for axle in there)
            if _has_its_chain(readings, end) and _has_its_chain(readings, other) is False:
                return Holding(
                    "does not agree",
                    f"{chocks}. The hand brake at end {part.position} acts on {axles} by the record, which has its "
                    f"chain at truck {end} alone: do not count on it, and look.",
                )
            return Holding(
                "acts there", f"{chocks}, and set the hand brake at end {part.position} (it acts on {axles})."
            )
    if known and not unknown:
        return Holding("acts elsewhere", f"{chocks}. No hand brake acts on it: the one on record holds nothing here.")
    return Holding("not on record", f"{chocks}. No record says that a hand brake acts on it: do not count on one.")
