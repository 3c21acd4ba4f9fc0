"""Limits of 49 CFR on axles, bearings, trucks, couplers, body, safety appliances, marker and inspections, typed from
the sections themselves and not from the rulesets. Read: the annual edition of 2015, and later copies where named."""

import pytest
from federal_reading import NO_TEXT, Row, reading_of, table

# section (edition read) | train | kind of part | the value asked for, what else is known | verdict
LIMITS: list[Row] = table(
    """
    215.105(b) (2015) | freight | axle | gouge_depth: 1/8 in | met
    215.105(b) (2015) | freight | axle | gouge_depth: 9/64 in | breached
    238.303(e)(16)(ii) (2015) | passenger | bearing | cap_screws_loose_or_missing: 0,
        class: grease-lubricated roller | met
    238.303(e)(16)(ii) (2015) | passenger | bearing | cap_screws_loose_or_missing: 1,
        class: grease-lubricated roller | breached
    238.303(e)(16)(iv) (2015) | passenger | bearing | seal: wet, class: grease-lubricated roller | met
    238.303(e)(16)(iv) (2015) | passenger | bearing | seal: clearly formed droplets,
        class: grease-lubricated roller | breached
    238.303(e)(16) (2015) | passenger | bearing | seal: clearly formed droplets, class: plain | no text applies
    215.107(a) (2015) | freight | bearing | visible_free_oil: no, class: plain | breached
    215.109(a) (2015) | freight | bearing | pad: torn half or more, class: plain | breached
    238.303(e)(7)(i) (2015) | passenger | side bearing | share_of_springs_broken: 25 %,
        side_bearing_kind: spring | met
    238.303(e)(7)(i) (2015) | passenger | side bearing | share_of_springs_broken: 26 %,
        side_bearing_kind: spring | breached
    238.303(e)(7)(ii) (2015) | passenger | side bearing | in_contact: yes, made_to_touch: yes | met
    238.303(e)(7)(ii) (2015) | passenger | side bearing | in_contact: yes, made_to_touch: no | breached
    215.119(c)(3) (2015) | freight | truck | side_bearing_total_clearance: 3/4 in | met
    215.119(c)(3) (2015) | freight | truck | side_bearing_total_clearance: 49/64 in | breached
    215.119(a)(2) (2015) | freight | truck | frame_crack_length: 15/64 in, frame_condition: cracked | met
    215.119(a)(2) (2015) | freight | truck | frame_crack_length: 1/4 in, frame_condition: cracked | breached
    238.303(e)(5)(ii) (2015) | passenger | spring | leaf_springs_broken: 1, spring_kind: elliptic,
        leaf_broken: yes, springs_in_nest: 3 | met
    238.303(e)(5)(ii) (2015) | passenger | spring | leaf_springs_broken: 2, spring_kind: elliptic,
        leaf_broken: yes, springs_in_nest: 3 | breached
    238.303(e)(5)(ii) (2015) | passenger | spring | leaf_springs_broken: 1, spring_kind: elliptic,
        leaf_broken: yes, springs_in_nest: 2 | breached
    238.307(c)(7)(i) (2015) | passenger | coupler | knuckle_to_guard_arm: 5-1/8 in,
        coupler_type: MCB contour 1904 | met
    238.307(c)(7)(i) (2015) | passenger | coupler | knuckle_to_guard_arm: 5-9/64 in,
        coupler_type: MCB contour 1904 | breached
    238.307(c)(7)(i) (2015) | passenger | coupler | knuckle_to_guard_arm: 5-5/16 in, coupler_type: type E | met
    238.307(c)(7)(i) (2015) | passenger | coupler | knuckle_to_guard_arm: 5-21/64 in,
        coupler_type: type E | breached
    238.307(c)(7)(ii) (2015) | passenger | draft gear | free_slack: 1/2 in | met
    238.307(c)(7)(ii) (2015) | passenger | draft gear | free_slack: 33/64 in | breached
    231.31(a)(1) (2015) | freight | coupler | coupler_height: 31-1/2 in | met
    231.31(a)(1) (2015) | freight | coupler | coupler_height: 31-31/64 in | breached
    231.31(a)(1) (2015) | passenger | coupler | coupler_height: 34-1/2 in | met
    231.31(a)(1) (2015) | passenger | coupler | coupler_height: 34-33/64 in | breached
    238.303(e)(9) (2015) | passenger | body | lowest_part_over_rail: 2-1/2 in | met
    238.303(e)(9) (2015) | passenger | body | lowest_part_over_rail: 2-31/64 in | breached
    231.14(c) (2015) | any train | safety appliance | clear_length: 16 in, appliance_kind: side handhold,
        end.end_kind: no platform, lies: level, diameter: 5/8 in | met
    231.14(c) (2015) | any train | safety appliance | clear_length: 15-63/64 in,
        appliance_kind: side handhold, end.end_kind: no platform, lies: level, diameter: 5/8 in | breached
    231.14(c) (2015) | any train | safety appliance | clearance: 2 in, appliance_kind: side handhold,
        end.end_kind: no platform, lies: level, diameter: 5/8 in | met
    231.14(c) (2015) | any train | safety appliance | clearance: 1-63/64 in, appliance_kind: side handhold,
        end.end_kind: no platform, lies: level, diameter: 5/8 in | breached
    231.12(b) (2015) | any train | safety appliance | clearance: 1-1/4 in, appliance_kind: side handhold,
        end.end_kind: wide vestibule | met
    231.12(b) (2015) | any train | safety appliance | clearance: 1-15/64 in, appliance_kind: side handhold,
        end.end_kind: wide vestibule | breached
    231.18 (2015) | any train | safety appliance | clearance: 1-1/4 in, appliance_kind: side handhold,
        end.end_kind: narrow vestibule, end.nearest_type: wide vestibule | met
    231.18 (2015) | any train | safety appliance | clearance: 1-15/64 in, appliance_kind: side handhold,
        end.end_kind: narrow vestibule, end.nearest_type: wide vestibule | breached
    231.14(c) (2015) | any train | safety appliance | height_over_coupler_center: 30 in,
        appliance_kind: side handhold, end.end_kind: no platform, lies: level, diameter: 5/8 in | met
    231.14(c) (2015) | any train | safety appliance | height_over_coupler_center: 30-1/64 in,
        appliance_kind: side handhold, end.end_kind: no platform, lies: level, diameter: 5/8 in | breached
    231.14(c) (2015) | any train | safety appliance | height_over_coupler_center: 23-63/64 in,
        appliance_kind: side handhold, end.end_kind: no platform, lies: level, diameter: 5/8 in | breached
    231.12(c) (2015) | any train | safety appliance | projection: 1 in, appliance_kind: end handhold,
        end.end_kind: wide vestibule, diameter: 5/8 in | met
    231.12(c) (2015) | any train | safety appliance | projection: 1-1/64 in, appliance_kind: end handhold,
        end.end_kind: wide vestibule, diameter: 5/8 in | breached
    231.12(c) (2015) | any train | safety appliance | distance_from_side: 16 in,
        appliance_kind: end handhold, end.end_kind: wide vestibule, diameter: 5/8 in | met
    231.12(c) (2015) | any train | safety appliance | distance_from_side: 16-1/64 in,
        appliance_kind: end handhold, end.end_kind: wide vestibule, diameter: 5/8 in | breached
    231.13(c) (2015) | any train | safety appliance | height_over_platform: 40 in,
        appliance_kind: end-platform handhold, clear_length: 24 in, end.end_kind: open platform | met
    231.13(c) (2015) | any train | safety appliance | height_over_platform: 40-1/64 in,
        appliance_kind: end-platform handhold, clear_length: 24 in, end.end_kind: open platform | breached
    231.14(e) (2015) | any train | safety appliance | height_over_platform: 30 in,
        appliance_kind: end handrail, diameter: 5/8 in, end.end_kind: no platform | met
    231.14(e) (2015) | any train | safety appliance | height_over_platform: 60-1/64 in,
        appliance_kind: end handrail, diameter: 5/8 in, end.end_kind: no platform | breached
    231.14(b) (2015) | any train | safety appliance | tread_length: 10 in, appliance_kind: sill step,
        clear_depth: 8 in, height: 24 in | met
    231.14(b) (2015) | any train | safety appliance | tread_length: 9-63/64 in, appliance_kind: sill step,
        clear_depth: 8 in, height: 24 in | breached
    231.14(b) (2015) | any train | safety appliance | height: 24-1/64 in, appliance_kind: sill step,
        clear_depth: 8 in, tread_length: 10 in | breached
    231.12(d) (2015) | passenger | coupler | lever_length: 42 in | met
    231.12(d) (2015) | freight | coupler | lever_length: 41-63/64 in | breached
    221.13(d) (2015) | any train | rear marker | height: 48 in, train.place: rear | met
    221.13(d) (2015) | any train | rear marker | height: 47-63/64 in, train.place: rear | breached
    238.307(c) (2015) | passenger | car | periodic_inspection: {aged: 184 days, result: passed} | met
    238.307(c) (2015) | passenger | car | periodic_inspection: {aged: 185 days, result: passed} | breached
    238.307(d) (2015) | passenger | car | inspection_368_days: {aged: 368 days, result: passed} | met
    238.307(d) (2015) | passenger | car | inspection_368_days: {aged: 369 days, result: passed} | breached
    238.307(c) (2015) | freight | car | periodic_inspection: {aged: 900 days, result: passed} | no text applies
    238.229(d) (2015) | passenger | safety appliance | weld_crack: yes, welded_directly: no,
        bracket_welded: yes | breached
    # a welded bracket wants the list and the six years; one that is part of the car body the initial inspection alone
    238.229(g)(1) (2015) | passenger | safety appliance | weld_inspection: {aged: 6 years, result: passed},
        bracket_welded: yes, welded_directly: no, fastening: bolts, listed_with_the_authority: yes,
        bracket_part_of_car_body: no | met
    238.229(g)(1) (2015) | passenger | safety appliance | weld_inspection: {aged: 2193 days, result: passed},
        bracket_welded: yes, welded_directly: no, fastening: bolts, listed_with_the_authority: yes,
        bracket_part_of_car_body: no | breached
    238.229(c)(1) (2015) | passenger | safety appliance | weld_inspection: {aged: 2193 days, result: passed},
        bracket_welded: yes, welded_directly: no, fastening: bolts, listed_with_the_authority: yes,
        bracket_part_of_car_body: yes | met
    238.229(e) (2015) | passenger | safety appliance | weld_inspection: {aged: 1 day, result: passed},
        bracket_welded: yes, welded_directly: no, fastening: bolts, listed_with_the_authority: no,
        bracket_part_of_car_body: no | breached
    # a direct weld: the list alone does not do, nor the inspection alone; outside part 238 nothing does
    238.229(c)(2) (2015) | passenger | safety appliance | weld_inspection: {aged: 6 years, result: passed},
        welded_directly: yes, fastening: welded directly, bracket_welded: no, listed_with_the_authority: yes | met
    238.229(c)(2) (2015) | passenger | safety appliance | weld_inspection: {aged: 2193 days, result: passed},
        welded_directly: yes, fastening: welded directly, bracket_welded: no, listed_with_the_authority: yes | breached
    238.229(c)(2)(i) (2015) | passenger | safety appliance | welded_directly: yes, fastening: welded directly,
        listed_with_the_authority: no, weld_crack: no, weld_inspection: {aged: 1 day, result: passed} | breached
    231.12(c)(4) (2015) | freight | safety appliance | welded_directly: yes, appliance_kind: end handhold,
        fastening: welded directly, listed_with_the_authority: yes, weld_crack: no,
        weld_inspection: {aged: 1 day, result: passed} | breached
    231.12(c)(4) (2015) | excursion | safety appliance | welded_directly: no, appliance_kind: end handhold,
        fastening: bolts, bracket_welded: no, weld_crack: no | met
    # screws hold a side handhold, never an end handhold or a step
    231.12(c)(4) (2015) | any train | safety appliance | fastening: screws, appliance_kind: end handhold,
        welded_directly: no, bracket_welded: no | breached
    231.12(b)(4) (2015) | any train | safety appliance | fastening: screws, appliance_kind: side handhold,
        welded_directly: no, bracket_welded: no | met
    231.14(b)(4)(ii) (2015) | any train | safety appliance | fastening: screws, appliance_kind: sill step,
        welded_directly: no, bracket_welded: no | breached
    # projection of an end handhold: the same inch on an open platform and on a car without platforms
    231.13(b)(2) (2015) | any train | safety appliance | projection: 1 in, appliance_kind: end handhold,
        end.end_kind: open platform | met
    231.13(b)(2) (2015) | any train | safety appliance | projection: 1-1/64 in, appliance_kind: end handhold,
        end.end_kind: open platform | breached
    231.14(d)(4)(i) (2015) | any train | safety appliance | projection: 1-1/64 in, appliance_kind: end handhold,
        end.end_kind: no platform | breached
    # where end-platform handholds and end handrails run to
    231.13(c)(3) (2015) | any train | safety appliance | level_part_from_corner: 12 in,
        appliance_kind: end-platform handhold, lower_end_over_platform: 6 in | met
    231.13(c)(3) (2015) | any train | safety appliance | level_part_from_corner: 12-1/64 in,
        appliance_kind: end-platform handhold, lower_end_over_platform: 6 in | breached
    231.13(c)(3) (2015) | any train | safety appliance | lower_end_over_platform: 6-1/64 in,
        appliance_kind: end-platform handhold, level_part_from_corner: 12 in | breached
    231.14(e)(3) (2015) | any train | safety appliance | level_part_from_corner: 6 in,
        appliance_kind: end handrail, lower_end_over_platform: 6 in | met
    231.14(e)(3) (2015) | any train | safety appliance | level_part_from_corner: 6-1/64 in,
        appliance_kind: end handrail, lower_end_over_platform: 6 in | breached
    231.14(f)(3) (2015) | any train | safety appliance | distance_inside_face: 2 in,
        appliance_kind: side-door step | met
    231.14(f)(3) (2015) | any train | safety appliance | distance_inside_face: 2-1/64 in,
        appliance_kind: side-door step | breached
    # the lever at the left, in freight and in mixed trains
    231.12(d)(3) (2015) | freight | coupler | lever_on_left_side: no | breached
    231.13(d)(3) (2015) | passenger | coupler | lever_on_left_side: no, train.mixed: yes | breached
    231.14(g)(3) (2015) | passenger | coupler | lever_on_left_side: no, train.mixed: no | no text applies
    231.12(a)(2) (2015) | any train | hand brake | safely_worked_in_motion: no | breached
    231.12(a)(2) (2015) | any train | hand brake | safely_worked_in_motion: yes | met
    # jumpers, and a shock absorber that is only wet
    238.303(e)(11)(i) (2015) | passenger | jumper | clear_of_the_track: no, insulation: sound,
        hanging_free: no | breached
    238.303(e)(11)(iii) (2015) | passenger | jumper | plugs_and_terminals: broken, wire_strands: sound | breached
    238.303(e)(11)(iv) (2015) | passenger | jumper | wire_strands: protruding, plugs_and_terminals: sound | breached
    238.303(e)(11)(iv) (2015) | passenger | jumper | wire_strands: sound, plugs_and_terminals: sound | met
    238.303(e)(5)(vi) (2015) | passenger | shock absorber | leaking: none | met
    238.303(e)(5)(vi) (2015) | passenger | shock absorber | leaking: wet | breached
    # marker sockets in reach
    231.12(c)(4) (2015) | any train | end | marker_sockets: reached from the platform, end_kind: wide vestibule | met
    231.12(c)(4) (2015) | any train | end | marker_sockets: out of reach, end_kind: wide vestibule | breached
    231.13 (2015) | any train | end | marker_sockets: out of reach, end_kind: open platform | no text applies
    # steps of a car without end platforms: section, bolts, place, a second tread
    231.14(b) (2015) | any train | safety appliance | tread_section_thickness: 1/2 in, appliance_kind: sill step,
        tread_section_width: 1-1/2 in, bolt_diameter: 1/2 in, clear_depth: 8 in, height: 24 in, tread_length: 10 in,
        distance_from_corner: 24 in, distance_inside_face: 2 in | met
    231.14(b) (2015) | any train | safety appliance | tread_section_thickness: 31/64 in, appliance_kind: sill step,
        tread_section_width: 1-1/2 in, bolt_diameter: 1/2 in | breached
    231.14(b) (2015) | any train | safety appliance | tread_section_width: 1-31/64 in, appliance_kind: sill step,
        tread_section_thickness: 1/2 in, bolt_diameter: 1/2 in | breached
    231.14 (2015) | any train | safety appliance | bolt_diameter: 31/64 in, appliance_kind: sill step,
        tread_section_thickness: 1/2 in, tread_section_width: 1-1/2 in | breached
    231.14(b) (2015) | any train | safety appliance | distance_from_corner: 24-1/64 in, appliance_kind: sill step,
        distance_inside_face: 2 in | breached
    231.14(b) (2015) | any train | safety appliance | distance_inside_face: 2-1/64 in, appliance_kind: sill step,
        distance_from_corner: 24 in | breached
    231.14(b) (2015) | any train | safety appliance | extra_tread: no, clear_depth: 18-1/64 in,
        appliance_kind: sill step | breached
    # side bearings in a freight train: both in contact, and diagonally
    215.119(c)(4) (2015) | freight | car | side_bearing_diagonal_clearance: 3/4 in | met
    215.119(c)(4) (2015) | freight | car | side_bearing_diagonal_clearance: 49/64 in | breached
    215.119(c)(4) (2015) | passenger | car | side_bearing_diagonal_clearance: 49/64 in | no text applies
    # springs that do not keep travel or load; a center plate with two cracks, or a part missing
    215.119(d)(1) (2015) | freight | spring | keeps_travel_and_load: no,
        compressed_solid: no, coils_broken: 0 | breached
    215.119(d)(3) (2015) | freight | spring | coils_broken: 1, compressed_solid: no,
        keeps_travel_and_load: yes | met
    215.119(d)(3) (2015) | freight | spring | coils_broken: 2, compressed_solid: no,
        keeps_travel_and_load: yes | breached
    215.121(e) (2015) | freight | center plate | visible_cracks: 1, visible_condition: cracked,
        all_parts_there: yes | met
    215.121(e) (2015) | freight | center plate | visible_cracks: 2, visible_condition: cracked,
        all_parts_there: yes | breached
    215.121(e) (2015) | freight | center plate | all_parts_there: no, visible_cracks: 0,
        visible_condition: sound | breached
    215.121(c)(3) (2015) | freight | coupler | carrier_resilient: yes, coupler_type: type F | met
    215.121(c)(3) (2015) | freight | coupler | carrier_resilient: no, coupler_type: type F | breached
    215.121(c)(3) (2015) | freight | coupler | carrier_resilient: no, coupler_type: type E | no text applies
    215.121(b) (2015) | freight | underframe | center_sill_crack_length: 6 in, center_sill_condition: cracked,
        center_sill_bend: 2-1/2 in | met
    215.121(b) (2015) | freight | underframe | center_sill_bend: 2-33/64 in, center_sill_condition: sound,
        center_sill_crack_length: 0 in | breached
    238.303(e)(5)(vii) (2015) | passenger | spring | air_bag_works: no, spring_kind: air bag | breached
    """
)


@pytest.mark.parametrize("row", LIMITS, ids=str)
def test_limit(row: Row) -> None:
    assert reading_of(row.kind, row.facts, row.edition) == row.verdict


@pytest.mark.transcription
@pytest.mark.parametrize(("drops", "verdict"), [("yes", "met"), ("no", "breached")])
def test_couplers_couple_by_impact(drops: str, verdict: str) -> None:
    """49 U.S.C. 20302(a)(1)(A), from memory: the statute was not read, only the sections that cite it."""
    assert reading_of("coupler", f"lock_drops: {drops}, move.train: passenger", "2015") == verdict


@pytest.mark.parametrize(
    ("age", "verdict"), [("50 years", "breached"), ("18264 days", "met"), ("70 years", "met")]
)  # fmt: skip
def test_glazing_is_exempt_by_age_above_fifty_years(age: str, verdict: str) -> None:
    """223.3(b)(3)(i), read in an excerpt of 2016 or later: "historic or more than 50 years old"."""
    facts = f"car.age: {age}, glazing_class: exempt by age"
    assert reading_of("body", facts, "2016", effects=("advise",)) == verdict


WINDOWS = [
    # 223.3(c)(1), 223.9(c), 223.15(c): at least four emergency windows, in a car built after 1945
    ("emergency_exits: 4, emergency_exits_marked_and_open: yes, car.built_on: 1946-01-01", "met"),
    ("emergency_exits: 3, emergency_exits_marked_and_open: yes, car.built_on: 1946-01-01", "breached"),
    ("emergency_exits: 3, emergency_exits_marked_and_open: yes, car.built_on: 1945-12-31", NO_TEXT),
    ("emergency_exit_tools: marked with instructions, car.built_on: 1946-01-01", "met"),
    ("emergency_exit_tools: not marked, car.built_on: 1946-01-01", "breached"),
    # 223.3(c)(2): what was certified on February 9, 2016, stays so
    ("glazing_class: exempt by age, car.built_on: 1946-01-01, glazing_certified_in_2016: yes", "breached"),
    ("glazing_class: exempt by age, car.built_on: 1945-12-31, glazing_certified_in_2016: yes", "met"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "verdict"), WINDOWS)
def test_glazing_and_emergency_windows_of_2016(facts: str, verdict: str) -> None:
    """Asked as advice: part 223 names passenger cars, and a private car is none."""
    given = f"{facts}, move.train: passenger, move.rides: passengers"
    assert reading_of("body", given, "2016", effects=("advise",)) == verdict
    assert reading_of("body", given, "2020", effects=("advise",)) == verdict
