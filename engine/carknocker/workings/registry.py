"""The workings by the name that the vocabulary's derived attributes give. A module is imported when one of its workings
is asked for: start-up is felt at every check, and a car asks for few of them."""

from collections.abc import Iterator, Mapping
from importlib import import_module

from carknocker.workings.model import Working

_PLACES: Mapping[str, str] = {
    "allowed height": "clearance.leg_allowed_height",
    "allowed width": "clearance.leg_allowed_width",
    "ambient over running": "agreement.ambient_over_running",
    "ambient temperatures apart": "agreement.ambient_apart",
    "axle beyond journals": "agreement.axle_beyond_journals",
    "axle load of its limit": "loads.axle_load_of_limit",
    "axle load limit given": "given.axle_load_limit_given",
    "axle load": "loads.truck_axle_load",
    "back to back variation": "wheels.back_to_back_variation",
    "bearing above ambient": "heat.bearing_above_ambient",
    "bearings across the axle": "heat.wheelset_across_axle",
    "bolster springs apart": "agreement.bolster_springs_apart",
    "brakes operative by axles": "brakes.operative_by_axles",
    "brakes operative by control valves": "brakes.operative_by_control_valves",
    "buffers and couplers apart": "agreement.buffers_and_couplers_apart",
    "called B": "agreement.called_b",
    "car age": "age_and_miles.car_age",
    "car spread in diameter": "tapes.car_spread_in_diameter",
    "car spread": "tapes.car_spread",
    "clearance height given": "given.clearance_height_given",
    "clearance plate given": "given.clearance_plate_given",
    "clearance truck centers given": "given.clearance_truck_centers_given",
    "clearance width given": "given.clearance_width_given",
    "compound lever ratio": "brakes.compound_lever_ratio",
    "coupler heights apart": "agreement.coupler_heights_apart",
    "coupler swing": "coupler_swing.coupler_swing_needed",
    "cylinder diameters apart": "agreement.cylinder_diameters_apart",
    "cylinder force at 50 psi": "brakes.cylinder_force_at_50_psi",
    "cylinder force at 60 psi": "brakes.cylinder_force_at_60_psi",
    "days of notice": "age_and_miles.move_notice",
    "days of the move": "age_and_miles.move_days",
    "diameter over nominal": "wheels.over_nominal",
    "diameter to fit": "wheels.diameter_to_fit",
    "diameters apart": "wheels.diameters_apart",
    "equalizer springs apart": "agreement.equalizer_springs_apart",
    "flange over hollow": "agreement.flange_over_hollow",
    "greatest axle load": "loads.greatest_axle_load",
    "gross limit given": "given.gross_limit_given",
    "gross of light weight": "agreement.gross_of_light",
    "gross weight of its limit": "loads.gross_of_limit",
    "gross weight with carried wheelsets": "loads.gross_weight_with_carried_wheelsets",
    "hand brake holding": "brakes.holding_on_steepest_grade",
    "journal centers off": "wheels.journal_centers_off",
    "journal utilisation": "journals.journal_utilisation",
    "least travels apart": "agreement.least_travels_apart",
    "leg lengths apart": "agreement.leg_lengths_apart",
    "later trucks of gross": "agreement.later_trucks_of_gross",
    "lever ratio of arms": "agreement.lever_ratio_of_arms",
    "lowest part less far end": "agreement.lowest_less_far_end",
    "lowest part less outboard": "agreement.lowest_less_outboard",
    "marker over roof": "agreement.marker_over_roof",
    "mate difference in diameter": "tapes.mate_difference_in_diameter",
    "mate difference": "tapes.mate_difference",
    "middle axle step in diameter": "tapes.middle_axle_step_in_diameter",
    "middle axle step": "tapes.middle_axle_step",
    "middle of three": "trucks.middle_of_three",
    "miles of the move": "age_and_miles.move_miles",
    "miles since bearing work": "age_and_miles.miles_since_bearing_work",
    "miles since mounted": "age_and_miles.miles_since_mounted",
    "miles since turned": "age_and_miles.miles_since_turned",
    "most travels apart": "agreement.most_travels_apart",
    "neighbors given": "given.neighbors_given",
    "net braking ratio at 50 psi": "brakes.net_ratio_at_50_psi",
    "nominal braking ratio at 50 psi": "brakes.nominal_ratio_at_50_psi",
    "nominal braking ratio at 60 psi": "brakes.nominal_ratio_at_60_psi",
    "over flanges": "agreement.over_flanges",
    "overhang left": "agreement.overhang_left",
    "overhang less half": "agreement.overhang_less_half",
    "pin over new": "agreement.pin_over_new",
    "rear pressure drop": "agreement.rear_pressure_drop",
    "rim after turning": "wheels.rim_after_turning",
    "rim wear": "wear.rim_wear",
    "rims of mates apart": "agreement.mate_rims_apart",
    "share of springs broken": "trucks.share_of_springs_broken",
    "sharpest curve": "curves.sharpest_curve",
    "side bearing diagonal clearance": "trucks.side_bearing_diagonal_clearance",
    "side bearing total clearance": "trucks.side_bearing_total_clearance",
    "side bearings apart": "agreement.side_bearings_apart",
    "step to neighbor": "tapes.step_to_neighbor",
    "stores apart": "agreement.stores_apart",
    "strokes apart": "agreement.strokes_apart",
    "swing in": "curves.leg_swing_in",
    "swing out": "curves.leg_swing_out",
    "train leakage given": "given.train_leakage_given",
    "truck age": "age_and_miles.truck_age",
    "truck centers of length": "agreement.centers_of_length",
    "truck share of gross": "loads.truck_share_of_gross",
    "truck spread in diameter": "tapes.truck_spread_in_diameter",
    "truck spread": "tapes.truck_spread",
    "truck weights apart": "agreement.truck_weights_apart",
    "truck weights of gross": "agreement.truck_weights_of_gross",
    "trucks apart in weight": "agreement.trucks_own_weights_apart",
    "trucks of gross": "agreement.trucks_of_gross",
    "weight per foot of its limit": "loads.weight_per_foot_of_limit",
    "weight per foot limit given": "given.weight_per_foot_limit_given",
    "weight per foot": "loads.car_weight_per_foot",
    "wheel diameter": "wheels.wheel_diameter",
    "wheel diameters apart": "tapes.wheel_diameters_apart",
    "wheelset carried": "loads.wheelset_carried",
    "wheel load": "loads.truck_wheel_load",
}
"""Name → module and function."""


class _Workings(Mapping[str, Working]):
    def __init__(self) -> None:
        self._found: dict[str, Working] = {}

    def __getitem__(self, name: str) -> Working:
        found = self._found.get(name)
        if found is None:
            module, function = _PLACES[name].split(".")
            found = self._found[name] = getattr(import_module(f"carknocker.workings.{module}"), function)
        return found

    def __iter__(self) -> Iterator[str]:
        return iter(_PLACES)

    def __len__(self) -> int:
        return len(_PLACES)


WORKINGS: Mapping[str, Working] = _Workings()
