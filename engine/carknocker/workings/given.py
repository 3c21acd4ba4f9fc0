"""Whether a move file gives a figure at all. A limit that the host was not asked for, or a train that was not tested
yet, is nothing that an owner has to show; what is given binds."""

from carknocker.record.model import Part
from carknocker.record.values import Word
from carknocker.workings.model import Missing, Readings, Worked, Working


def _given(attribute: str, says: str) -> Working:
    """Whether the move file gives a leg or the train a figure of its own."""

    def working(readings: Readings, part: Part) -> Worked | Missing:
        told = readings.newest(part.key, attribute)
        if told is None:
            return Worked(Word("no"), f"the {part.kind} has no such figure on record")
        return Worked(Word("yes"), f"the {part.kind} has such a figure on record", (told,))

    working.__doc__ = says
    return working


clearance_height_given = _given("clearance_height", "Whether the greatest height that passes on a leg is given.")
clearance_width_given = _given("clearance_width", "Whether the greatest width that passes on a leg is given.")
clearance_truck_centers_given = _given(
    "clearance_truck_centers", "Whether the truck centers that the clearance plate is drawn for are given for a leg."
)
gross_limit_given = _given("gross_limit", "Whether the greatest gross weight of a car is given for a leg.")
axle_load_limit_given = _given("axle_load_limit", "Whether the greatest load on an axle is given for a leg.")
weight_per_foot_limit_given = _given(
    "weight_per_foot_limit", "Whether the greatest weight per foot is given for a leg."
)
train_leakage_given = _given("brake_pipe_leakage", "Whether the brake pipe leakage of the train is given.")


def clearance_plate_given(readings: Readings, part: Part) -> Worked | Missing:
    """Whether a clearance plate is given for a leg."""
    told = readings.newest(part.key, "clearance")
    if told is None:
        return Worked(Word("no"), "the leg has no clearance plate on record")
    plate = isinstance(told.value, Word) and told.value.text != "no plate"
    return Worked(Word("yes" if plate else "no"), "the leg says which clearance plate it has", (told,))


def neighbors_given(readings: Readings, part: Part) -> Worked | Missing:
    """Whether the move names the car ahead or behind, so that the swing of a coupler can be worked out."""
    move = readings.standing.move
    if move is None or not move.neighbors:
        return Worked(Word("no"), "no neighbor is named")
    return Worked(Word("yes"), f"named: the car {' and the car '.join(move.neighbors)}")
