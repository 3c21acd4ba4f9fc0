"""Heat of bearings: above ambient, across the axle, and what a turned heat label calls for."""

from fractions import Fraction

from carknocker.record.model import Part
from carknocker.workings.formula import Result, result, written
from carknocker.workings.inputs import SIDES, bearing_of, derived, figures
from carknocker.workings.model import Missing, Readings, Worked


def above_ambient(running: Fraction, ambient: Fraction) -> Result:
    """Δ = T - T₀: bearing above ambient, °F (a difference: a degree Celsius is 9/5 of it, without the 32). Any T."""
    return result(
        "temperature difference", running - ambient, f"Δ = T - T₀ = {_degrees(running)} - {_degrees(ambient)}"
    )


def across_axle(left: Fraction, right: Fraction) -> Result:
    """Δ = |T₁ - T₂|: difference between the two bearings of an axle, °F, read within minutes of each other. Any T."""
    numbers = f"|{_degrees(left)} - {_degrees(right)}|"
    return result("temperature difference", abs(left - right), f"Δ = |T₁ - T₂| = {numbers}")


def _degrees(temperature: Fraction) -> str:
    return written("temperature", temperature)


def turned_label_calls_for(axle: str) -> tuple[str, ...]:
    """What a turned heat label calls for. A duty to inspect, not proof of a bad bearing (common practice, no source).
    axle: as a person names it, `axle 3`."""
    return (
        f"Both bearings of {axle} are inspected by a bearing shop before the next move, whatever the wayside detectors "
        "said.",
        f"The brakes of {axle} are looked at as a cause: a shoe that dragged, a hand brake left on.",
        f"New labels, with their date, go on both bearings of {axle} after the inspection.",
    )


def bearing_above_ambient(readings: Readings, part: Part) -> Worked | Missing:
    """Running temperature less ambient temperature of a bearing, both of the same sheet."""
    found = figures(readings, (part.key, "running_temperature"), (part.key, "ambient_temperature"))
    if isinstance(found, Missing):
        return found
    running, ambient = found
    if running.evidence.on != ambient.evidence.on:
        return Missing(part.key, "ambient_temperature", "not read on the day of the running temperature", unread=True)
    return derived(part.key, "ambient_temperature", found, lambda: above_ambient(running.amount, ambient.amount))


def wheelset_across_axle(readings: Readings, part: Part) -> Worked | Missing:
    """Difference of running temperature between the two bearings of a wheelset, both of the same day."""
    found = figures(readings, *((bearing_of(part.key, side), "running_temperature") for side in SIDES))
    if isinstance(found, Missing):
        return found
    left, right = found
    if left.evidence.on != right.evidence.on:
        return Missing(
            bearing_of(part.key, "right"), "running_temperature", "not read on the day of its mate", unread=True
        )
    return derived(part.key, "running_temperature", found, lambda: across_axle(left.amount, right.amount))
