"""What 49 CFR 238.307(c) asks of the inside of a car at its 184-day inspection, typed from the section and from
238.305(c), which its (c)(12) takes over. Read: the annual edition of 2015, last amended 78 FR 71814 and 71815."""

import pytest
from federal_reading import Row, reading_of, table

# section (edition read) | train | kind of part | the value asked for, what else is known | verdict
LIMITS: list[Row] = table(
    """
    # "Seats and seat attachments are not broken or loose"; "Luggage racks are not broken or loose"
    238.307(c)(1) (2015) | passenger | body | seats: sound | met
    238.307(c)(1) (2015) | passenger | body | seats: broken or loose | breached
    238.307(c)(1) (2015) | freight | body | seats: broken or loose | no text applies
    238.307(c)(2) (2015) | passenger | body | luggage_racks: sound | met
    238.307(c)(2) (2015) | passenger | body | luggage_racks: broken or loose | breached
    # "all restraints or safety latches and straps are in place and function as intended"
    238.307(c)(3) (2015) | passenger | body | beds_and_bunks: sound | met
    238.307(c)(3) (2015) | passenger | body | beds_and_bunks: latch or strap missing or not working | breached
    238.307(c)(3) (2015) | passenger | body | beds_and_bunks: broken or loose | breached
    # "a potential of more than 150 volts ... are covered and are operative from the outside of the cover"
    238.307(c)(6)(i) (2015) | passenger | electrical | load_switches: not covered,
        highest_voltage: 150 | no text applies
    238.307(c)(6)(i) (2015) | passenger | electrical | load_switches: not covered, highest_voltage: 151 | breached
    238.307(c)(6)(i) (2015) | passenger | electrical | load_switches: covered, highest_voltage: 151 | met
    # "A means is provided to display whether the switches are open or closed"; those not for load "are legibly marked"
    238.307(c)(6)(ii) (2015) | passenger | electrical | switches_show_position: no,
        switches_not_for_load: marked | breached
    238.307(c)(6)(iii) (2015) | passenger | electrical | switches_show_position: yes,
        switches_not_for_load: not marked | breached
    238.307(c)(6)(iii) (2015) | passenger | electrical | switches_show_position: yes,
        switches_not_for_load: marked | met
    # the six general conditions of (c)(10)
    238.307(c)(10) (2015) | passenger | body | general_conditions: none found | met
    238.307(c)(10)(i) (2015) | passenger | body | general_conditions: accumulation of oil or grease | breached
    238.307(c)(10)(ii) (2015) | passenger | body | general_conditions: improper functioning | breached
    238.307(c)(10)(iii) (2015) | passenger | body | general_conditions: crack or weakness | breached
    238.307(c)(10)(iv) (2015) | passenger | body | general_conditions: leak | breached
    238.307(c)(10)(v) (2015) | passenger | body | general_conditions: used beyond its design | breached
    238.307(c)(10)(vi) (2015) | passenger | body | general_conditions: insecure attachment | breached
    # (c)(12): "All of the items identified in the interior calendar day mechanical inspection"
    238.305(c)(1) (2015) | passenger | body | moving_and_hot_parts_guarded: yes | met
    238.305(c)(1) (2015) | passenger | body | moving_and_hot_parts_guarded: no | breached
    238.305(c)(2) (2015) | passenger | body | floors_clear: yes | met
    238.305(c)(2) (2015) | passenger | body | floors_clear: no | breached
    238.305(c)(3) (2015) | passenger | body | door_release_handles: in place | met
    238.305(c)(3) (2015) | passenger | body | door_release_handles: missing | breached
    238.305(c)(4) (2015) | passenger | body | emergency_equipment_in_place: yes | met
    238.305(c)(4) (2015) | passenger | body | emergency_equipment_in_place: no | breached
    238.305(c)(5) (2015) | passenger | brake system | emergency_valve_marked: marked | met
    238.305(c)(5) (2015) | passenger | brake system | emergency_valve_marked: not marked | breached
    238.305(c)(6) (2015) | passenger | electrical | high_voltage_marked: yes, highest_voltage: 480 | met
    238.305(c)(6) (2015) | passenger | electrical | high_voltage_marked: no, highest_voltage: 480 | breached
    238.305(c)(7) (2015) | passenger | body | safety_signs_legible: yes | met
    238.305(c)(7) (2015) | passenger | body | safety_signs_legible: no | breached
    238.305(c)(8) (2015) | passenger | body | doors_traps_steps_secure: yes | met
    238.305(c)(8) (2015) | passenger | body | doors_traps_steps_secure: no | breached
    238.305(c)(9) (2015) | passenger | body | vestibule_steps_lit: lit | met
    238.305(c)(9) (2015) | passenger | body | vestibule_steps_lit: not lit | breached
    """
)


@pytest.mark.parametrize("row", LIMITS, ids=str)
def test_limit(row: Row) -> None:
    assert reading_of(row.kind, row.facts, row.edition) == row.verdict
