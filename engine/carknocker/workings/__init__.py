"""Workings: figures derived from readings, each with its worked line."""

from collections.abc import Mapping

from carknocker.workings import ages, diameter, loads, miles, tapes, trucks, wheels
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked, Working

WORKINGS: Mapping[str, Working] = {
    "axle load": loads.truck_axle_load,
    "back to back variation": wheels.back_to_back_variation,
    "car age": ages.car_age,
    "days of notice": ages.move_notice,
    "days of the move": ages.move_days,
    "mate difference": tapes.mate_difference,
    "middle of three": trucks.middle_of_three,
    "miles of the move": miles.move_miles,
    "miles since bearing work": miles.miles_since_bearing_work,
    "miles since mounted": miles.miles_since_mounted,
    "miles since turned": miles.miles_since_turned,
    "rim after turning": wheels.rim_after_turning,
    "share of springs broken": trucks.share_of_springs_broken,
    "side bearing total clearance": trucks.side_bearing_total_clearance,
    "step to neighbour": tapes.step_to_neighbour,
    "truck age": ages.truck_age,
    "truck share of gross": loads.truck_share_of_gross,
    "truck spread": tapes.truck_spread,
    "weight per foot": loads.car_weight_per_foot,
    "wheel diameter": diameter.wheel_diameter,
}
"""Workings by the name that the vocabulary's derived attributes give."""

__all__ = ["WORKINGS", "Missing", "OutOfRange", "Readings", "Worked", "Working"]
