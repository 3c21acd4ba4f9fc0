"""Workings: figures derived from readings, each with its worked line."""

from collections.abc import Mapping

from carknocker.workings.ages import car_age, move_days, move_notice, truck_age
from carknocker.workings.miles import move_miles, wheelset_miles
from carknocker.workings.model import Missing, Readings, Worked, Working
from carknocker.workings.wheels import back_to_back_variation, mate_difference, rim_after_turning, truck_spread

WORKINGS: Mapping[str, Working] = {
    "back to back variation": back_to_back_variation,
    "car age": car_age,
    "mate difference": mate_difference,
    "miles since mounted": wheelset_miles("mounted_on"),
    "miles since turned": wheelset_miles("turned_on"),
    "move days": move_days,
    "move miles": move_miles,
    "move notice": move_notice,
    "rim after turning": rim_after_turning,
    "truck age": truck_age,
    "truck spread": truck_spread,
}
"""Workings by the name that the vocabulary's derived attributes give."""

__all__ = ["WORKINGS", "Missing", "Readings", "Worked", "Working"]
