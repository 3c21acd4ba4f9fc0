"""Workings: figures derived from readings, each with its worked line."""

from collections.abc import Mapping

from carknocker.workings import (
    ages,
    car_brakes,
    diameter,
    hand_brake,
    heat,
    journals,
    loads,
    middle_step,
    miles,
    route,
    tapes,
    train_swing,
    trucks,
    wear,
    wheels,
)
from carknocker.workings.model import Missing, OutOfRange, Readings, Share, Worked, Working

WORKINGS: Mapping[str, Working] = {
    "allowed width": route.leg_allowed_width,
    "axle load": loads.truck_axle_load,
    "back to back variation": wheels.back_to_back_variation,
    "bearing above ambient": heat.bearing_above_ambient,
    "bearings across the axle": heat.wheelset_across_axle,
    "brakes operative by axles": car_brakes.operative_by_axles,
    "car age": ages.car_age,
    "car spread": tapes.car_spread,
    "car spread in diameter": middle_step.car_spread_in_diameter,
    "coupler swing": train_swing.coupler_swing_needed,
    "days of notice": ages.move_notice,
    "days of the move": ages.move_days,
    "greatest axle load": loads.greatest_axle_load,
    "hand brake holding": hand_brake.holding,
    "journal utilisation": journals.journal_utilisation,
    "mate difference": tapes.mate_difference,
    "mate difference in diameter": middle_step.mate_difference_in_diameter,
    "middle axle step": middle_step.middle_axle_step,
    "middle axle step in diameter": middle_step.middle_axle_step_in_diameter,
    "middle of three": trucks.middle_of_three,
    "miles of the move": miles.move_miles,
    "miles since bearing work": miles.miles_since_bearing_work,
    "miles since mounted": miles.miles_since_mounted,
    "miles since turned": miles.miles_since_turned,
    "nominal braking ratio at 50 psi": car_brakes.nominal_ratio_at(50),
    "nominal braking ratio at 60 psi": car_brakes.nominal_ratio_at(60),
    "rim after turning": wheels.rim_after_turning,
    "rim wear": wear.rim_wear,
    "share of springs broken": trucks.share_of_springs_broken,
    "sharpest curve": route.sharpest_curve,
    "side bearing total clearance": trucks.side_bearing_total_clearance,
    "step to neighbour": tapes.step_to_neighbour,
    "swing in": route.leg_swing_in,
    "swing out": route.leg_swing_out,
    "truck age": ages.truck_age,
    "truck share of gross": loads.truck_share_of_gross,
    "truck spread": tapes.truck_spread,
    "truck spread in diameter": middle_step.truck_spread_in_diameter,
    "weight per foot": loads.car_weight_per_foot,
    "wheel diameter": diameter.wheel_diameter,
}
"""Workings by the name that the vocabulary's derived attributes give."""

__all__ = ["WORKINGS", "Missing", "OutOfRange", "Readings", "Share", "Worked", "Working"]
