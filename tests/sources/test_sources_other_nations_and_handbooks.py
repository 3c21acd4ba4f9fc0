"""Figures of another nation and of handbooks, typed from the published texts and not from the rulesets: each boundary
on both sides.

Railway Passenger Car Inspection and Safety Rules, part II (Transport Canada); NAVFAC P-301; TM 55-203; TR0655;
TM 55-2210-224-34.
"""

import pytest
from federal_reading import reading_of

ROLLER = "class: grease-lubricated roller"
# kind of part | the value, what else is known | verdict; the figure as published stands above
TREAD = "flat_spot_length: 0 in, shelled_spot_length: 0 in, built_up_tread: no, thermal_crack: no"
CANADA = f"""
# flange 7/8 in or less at 3/8 in above the tread
wheel | flange_thickness: 57/64 in | met
wheel | flange_thickness: 7/8 in | breached
# flange height over 1-1/2 in: here 1-1/2 in passes, in 49 CFR 238 it does not
wheel | flange_height: 1-1/2 in | met
wheel | flange_height: 1-33/64 in | breached
# rim 7/8 in or less
wheel | rim_thickness: 57/64 in, plate_shape: curved | met
wheel | rim_thickness: 7/8 in, plate_shape: curved | breached
# straight-plate rim 1 in or less
wheel | rim_thickness: 1-1/64 in, plate_shape: straight, overheated: no, {TREAD} | met
wheel | rim_thickness: 1 in, plate_shape: straight | breached
wheel | rim_thickness: 1 in, plate_shape: curved | met
# slid flat over 2 in
wheel | flat_spot_length: 2 in, plate_shape: curved | met
wheel | flat_spot_length: 2-1/64 in | breached
# chip over 1-1/2 x 1/2 in: both
wheel | chip_length: 1-1/2 in, chip_width: 1 in | met
wheel | chip_length: 3 in, chip_width: 1/2 in | met
wheel | chip_length: 1-33/64 in, chip_width: 33/64 in | breached
# shelled over 1-1/4 x 1-1/4 in
wheel | shelled_spot_length: 1-1/4 in, plate_shape: curved | met
wheel | shelled_spot_length: 1-17/64 in | breached
# 9.1(1) a crack or break of rim, flange, plate or hub
wheel | crack_or_break: no, broken_rim: no | met
wheel | crack_or_break: yes, broken_rim: no | breached
# 9.1(5) evidence of being loose
wheel | loose_on_axle: no | met
wheel | loose_on_axle: yes | breached
# 9.1(9)(i) straight plate: discoloration more than 4 in into the plate
wheel | discolored_plate_length: 4 in, plate_shape: straight | met
wheel | discolored_plate_length: 4-1/64 in, plate_shape: straight | breached
# 9.1(9)(ii) straight plate: heat discoloration with a rim of 1-1/4 in or less
wheel | overheated: yes, rim_thickness: 1-17/64 in, plate_shape: straight | met
wheel | overheated: yes, rim_thickness: 1-1/4 in, plate_shape: straight | breached
# 10.1(1) axle cracked, bent or broken; (2) overheating or welding
axle | crack: no, bent: no, overheated_journal: no, welded: no | met
axle | crack: yes, bent: no | breached
axle | crack: no, bent: yes | breached
axle | overheated_journal: yes, welded: no | breached
axle | overheated_journal: no, welded: yes | breached
"""
HANDBOOKS = f"""
# NAVFAC P-301: narrow flange, under 53 in or over 53-1/2 in at three places
wheelset | back_to_back: 53 in, back_to_back_largest: 53 in, flange_kind: narrow | met
wheelset | back_to_back: 52-63/64 in, back_to_back_largest: 53 in, flange_kind: narrow | breached
wheelset | back_to_back: 53 in, back_to_back_largest: 53-1/2 in, flange_kind: narrow | met
wheelset | back_to_back: 53 in, back_to_back_largest: 53-33/64 in, flange_kind: narrow | breached
# NAVFAC P-301: end play, cylindrical not over 1/8 in, tapered not over 1/16 in; any visible vertical movement rejects
bearing | end_play: 1/8 in, rollers: cylindrical, {ROLLER} | met
bearing | end_play: 9/64 in, rollers: cylindrical, {ROLLER} | breached
bearing | end_play: 1/16 in, rollers: tapered, {ROLLER} | met
bearing | end_play: 5/64 in, rollers: tapered, {ROLLER} | breached
bearing | vertical_play: no, {ROLLER} | met
bearing | vertical_play: yes, {ROLLER} | breached
# TM 55-203: shim not over 1/4 in, bearing surface at least 1-1/8 in
center plate | liner_thickness: 1/4 in, liner_pieces: 1 | met
center plate | liner_pieces: 2, liner_thickness: 1/4 in | breached
center plate | liner_thickness: 17/64 in, liner_pieces: 1 | breached
center plate | bearing_surface: 1-1/8 in | met
center plate | bearing_surface: 1-7/64 in | breached
# TM 55-203: hanger worn to 3/4 in or less; 1 in pin worn to 7/8 in
brake rigging | hanger_thickness: 49/64 in | met
brake rigging | hanger_thickness: 3/4 in | breached
brake rigging | pin_diameter: 57/64 in, pin_nominal_diameter: 1 in | met
brake rigging | pin_diameter: 7/8 in, pin_nominal_diameter: 1 in | breached
# TM 55-2210-224-34: pedestal clearance, limit 3/8 in
box | pedestal_clearance_lengthwise: 3/8 in | met
box | pedestal_clearance_lengthwise: 25/64 in | breached
# TR0655 p. 18: out of round more than 3/64 in
wheel | out_of_round: 3/64 in | met
wheel | out_of_round: 1/16 in | breached
# TR0655 p. 16: slid flat of a passenger car, older manuals: limited to 1 in
wheel | flat_spot_length: 1 in | met
wheel | flat_spot_length: 1-1/64 in | breached
# TR0655, coupler maintenance: of an empty car, raise if 32-1/2 in or less
coupler | coupler_height: 32-33/64 in | met
coupler | coupler_height: 32-1/2 in | breached
"""
# common practice and definitions, without a published source
CUSTOM = """
# common practice, no source: the same wear of 1/8 in on a 1-1/4 in pin
brake rigging | pin_diameter: 1-9/64 in, pin_nominal_diameter: 1-1/4 in | met
brake rigging | pin_diameter: 1-1/8 in, pin_nominal_diameter: 1-1/4 in | breached
# by definition: an axle, at what it takes and past it; what it takes is checked with the loads
wheelset | journal_utilisation: 100 %, axle_class: D, move.train: passenger | met
wheelset | journal_utilisation: 100.01 %, axle_class: D, move.train: passenger | breached
# detectors, settings quoted without a source that was read: 170 °F above ambient, or 95 °F across the axle
bearing | detector_above_ambient: 169 °F | met
bearing | detector_above_ambient: 170 °F | breached
bearing | detector_across_axle: 94 °F | met
bearing | detector_across_axle: 95 °F | breached
# oil level looked at every 30 days
bearing | oil_level: {reads: right, aged: 30 days}, class: oil-lubricated roller | met
bearing | oil_level: {reads: right, aged: 31 days}, class: oil-lubricated roller | not shown
# side play of boxes: 5/8 in on a four-wheel truck, 1-1/4 in at the center axle of a six-wheel truck
axle position | lateral_motion: 5/8 in, truck.truck_kind: two-axle, middle_of_three: no | met
axle position | lateral_motion: 41/64 in, truck.truck_kind: two-axle, middle_of_three: no | breached
axle position | lateral_motion: 1-1/4 in, truck.truck_kind: three-axle, middle_of_three: yes | met
axle position | lateral_motion: 1-17/64 in, truck.truck_kind: three-axle, middle_of_three: yes | breached
"""
BOTH = ("refuse", "advise")


def _rows(text: str) -> list[tuple[str, str, str]]:
    lines = [line for line in text.strip().splitlines() if not line.startswith("#")]
    return [(kind, facts, verdict) for kind, facts, verdict in (line.split(" | ") for line in lines)]


@pytest.mark.parametrize(("kind", "facts", "verdict"), _rows(CANADA))
def test_another_nations_wheel_limits(kind: str, facts: str, verdict: str) -> None:
    assert reading_of(kind, facts, "part-2", "canada-passenger") == verdict


@pytest.mark.parametrize(("kind", "facts", "verdict"), _rows(HANDBOOKS))
def test_limits_of_handbooks(kind: str, facts: str, verdict: str) -> None:
    assert reading_of(kind, facts, "2026", "trade-practice", BOTH) == verdict


@pytest.mark.transcription
@pytest.mark.parametrize(("kind", "facts", "verdict"), _rows(CUSTOM))
def test_limits_of_custom(kind: str, facts: str, verdict: str) -> None:
    assert reading_of(kind, facts, "2026", "trade-practice", BOTH) == verdict


@pytest.mark.parametrize(
    ("attribute", "value", "ours", "theirs"),
    [("flange_height", "1-1/2 in", "met", "breached"), ("rim_thickness", "15/16 in", "met", "breached"),
     ("flat_spot_length", "2-1/4 in", "breached", "met"), ("shelled_spot_length", "2 in", "breached", "met")],
)  # fmt: skip
def test_two_nations_read_one_figure_differently(attribute: str, value: str, ours: str, theirs: str) -> None:
    """Part II of the Canadian rules against 49 CFR 238.303(e)(8)."""
    more = "plate_shape: curved, second_flat_length: 0 in, second_shelled_length: 0 in"
    facts = f"{attribute}: {value}, {more}"
    assert reading_of("wheel", facts, "part-2", "canada-passenger") == ours
    assert reading_of("wheel", f"{facts}, move.train: passenger", "2020") == theirs
