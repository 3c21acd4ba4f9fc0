"""Wheel limits of 49 CFR, typed from the sections themselves and not from the rulesets: every boundary on both sides.

Read: the annual edition of 2015; 238.303(e)(8) and 215.103 also in later copies, with the same figures.
"""

import pytest
from federal_reading import NO_TEXT, Row, reading_of, table

# section (edition read) | train | kind of part | the value asked for, what else is known | verdict
LIMITS: list[Row] = table(
    """
    # one flat spot: "2 1/2 inches or more"
    238.303(e)(8)(i) (2015) | passenger | wheel | flat_spot_length: 2-31/64 in, second_flat_length: 0 in | met
    238.303(e)(8)(i) (2015) | passenger | wheel | flat_spot_length: 2-1/2 in,
        second_flat_length: 0 in | breached
    215.103(f)(1) (2015) | freight by part 215 | wheel | flat_spot_length: 2-1/2 in,
        second_flat_length: 0 in | met
    215.103(f)(1) (2015) | freight by part 215 | wheel | flat_spot_length: 2-33/64 in,
        second_flat_length: 0 in | breached
    230.113(b) (2015) | excursion by part 230 | wheel | flat_spot_length: 2-31/64 in,
        second_flat_length: 0 in | met
    230.113(b) (2015) | excursion by part 230 | wheel | flat_spot_length: 2-1/2 in,
        second_flat_length: 0 in | breached
    # two adjoining flat spots: "each two or more inches" against "each of which is more than two inches"
    238.303(e)(8)(i) (2015) | passenger | wheel | second_flat_length: 2 in, flat_spot_length: 2 in,
        second_flat_adjoins: yes | breached
    238.303(e)(8)(i) (2015) | passenger | wheel | second_flat_length: 1-63/64 in, flat_spot_length: 2 in,
        second_flat_adjoins: yes | met
    215.103(f)(2) (2015) | freight by part 215 | wheel | second_flat_length: 2 in, flat_spot_length: 2 in,
        second_flat_adjoins: yes | met
    215.103(f)(2) (2015) | freight by part 215 | wheel | second_flat_length: 2-1/64 in,
        flat_spot_length: 2-1/64 in, second_flat_adjoins: yes | breached
    230.113(b) (2015) | excursion by part 230 | wheel | second_flat_length: 2 in, flat_spot_length: 2 in,
        second_flat_adjoins: yes | breached
    # shelled spot
    238.303(e)(8)(iv) (2015) | passenger | wheel | shelled_spot_length: 2-31/64 in,
        second_shelled_length: 0 in | met
    238.303(e)(8)(iv) (2015) | passenger | wheel | shelled_spot_length: 2-1/2 in,
        second_shelled_length: 0 in | breached
    215.103(f) (2015) | freight by part 215 | wheel | shelled_spot_length: 2-1/2 in,
        second_shelled_length: 0 in | met
    215.103(f) (2015) | freight by part 215 | wheel | shelled_spot_length: 2-33/64 in,
        second_shelled_length: 0 in | breached
    # flange thickness: "7/8 inch thickness or less"; 230: "15/16 inch thickness or less"
    238.303(e)(8)(vi) (2015) | passenger | wheel | flange_thickness: 7/8 in | breached
    238.303(e)(8)(vi) (2015) | passenger | wheel | flange_thickness: 57/64 in | met
    215.103(a) (2015) | freight by part 215 | wheel | flange_thickness: 7/8 in | breached
    215.103(a) (2015) | freight by part 215 | wheel | flange_thickness: 57/64 in | met
    230.113(g) (2015) | excursion by part 230 | wheel | flange_thickness: 15/16 in | breached
    230.113(g) (2015) | excursion by part 230 | wheel | flange_thickness: 61/64 in | met
    # flange height: 1-1/2 in exactly condemns under 238 and 215 and passes under 230
    238.303(e)(8)(viii) (2015) | passenger | wheel | flange_height: 1-1/2 in | breached
    238.303(e)(8)(viii) (2015) | passenger | wheel | flange_height: 1-31/64 in | met
    215.103(b) (2015) | freight by part 215 | wheel | flange_height: 1-1/2 in | breached
    230.113(i) (2015) | excursion by part 230 | wheel | flange_height: 1-1/2 in | met
    230.113(i) (2015) | excursion by part 230 | wheel | flange_height: 1-33/64 in | breached
    230.113(i) (2015) | excursion by part 230 | wheel | flange_height: 1 in | met
    230.113(i) (2015) | excursion by part 230 | wheel | flange_height: 63/64 in | breached
    # rim: "less than 1 inch thick" against "11/16 of an inch, or less"
    238.303(e)(8)(ix) (2015) | passenger | wheel | rim_thickness: 1 in | met
    238.303(e)(8)(ix) (2015) | passenger | wheel | rim_thickness: 63/64 in | breached
    215.103(c) (2015) | freight by part 215 | wheel | rim_thickness: 63/64 in | met
    215.103(c) (2015) | freight by part 215 | wheel | rim_thickness: 45/64 in | met
    215.103(c) (2015) | freight by part 215 | wheel | rim_thickness: 11/16 in | breached
    230.113(j) (2015) | excursion by part 230 | wheel | rim_thickness: 1 in | met
    230.113(j) (2015) | excursion by part 230 | wheel | rim_thickness: 63/64 in | breached
    # hollow tread: "5/16 of an inch or more"; 215.103 has no such limit
    238.303(e)(8)(vii) (2015) | passenger | wheel | tread_hollow: 19/64 in | met
    238.303(e)(8)(vii) (2015) | passenger | wheel | tread_hollow: 5/16 in | breached
    230.113(h) (2015) | excursion by part 230 | wheel | tread_hollow: 5/16 in | breached
    215.103 (2015) | freight by part 215 | wheel | tread_hollow: 1/2 in | no text applies
    # gouge: length and width, both; 215 includes the figures themselves
    238.303(e)(8)(ii) (2015) | passenger | wheel | chip_length: 2 in, chip_width: 1/2 in | met
    238.303(e)(8)(ii) (2015) | passenger | wheel | chip_length: 1-1/2 in, chip_width: 1 in | met
    238.303(e)(8)(ii) (2015) | passenger | wheel | chip_length: 1-33/64 in, chip_width: 33/64 in | breached
    215.103(e) (2015) | freight by part 215 | wheel | chip_length: 1-1/2 in, chip_width: 1/2 in | breached
    215.103(e) (2015) | freight by part 215 | wheel | chip_length: 1-31/64 in, chip_width: 1 in | met
    # broken rim, seam, heat
    238.303(e)(8)(iii) (2015) | passenger | wheel | broken_rim_width: 3-3/4 in, broken_rim: yes | met
    238.303(e)(8)(iii) (2015) | passenger | wheel | broken_rim_width: 3-47/64 in, broken_rim: yes | breached
    238.303(e)(8)(v) (2015) | passenger | wheel | seam_distance: 3-3/4 in, seam: yes | breached
    238.303(e)(8)(v) (2015) | passenger | wheel | seam_distance: 3-49/64 in, seam: yes | met
    215.103(h) (2015) | freight by part 215 | wheel | discolored_plate_length: 4 in, overheated: yes | met
    215.103(h) (2015) | freight by part 215 | wheel | discolored_plate_length: 4-1/64 in,
        overheated: yes | breached
    238.303(e)(8)(x) (2015) | passenger | wheel | crack_or_break: yes | breached
    # a thermal crack is a crack in every text
    215.103(d) (2015) | freight by part 215 | wheel | thermal_crack: yes, crack_or_break: no, broken_rim: no | breached
    215.103(d) (2015) | freight by part 215 | wheel | thermal_crack: no, crack_or_break: no, broken_rim: no | met
    230.113(a) (2015) | excursion by part 230 | wheel | thermal_crack: yes, crack_or_break: no | breached
    230.113(a) (2015) | excursion by part 230 | wheel | thermal_crack: no, crack_or_break: no | met
    238.303(e)(8)(xi) (2015) | passenger | wheel | loose_on_axle: yes | breached
    238.303(e)(8)(xii) (2015) | passenger | wheel | weld: yes | breached
    """
)


@pytest.mark.parametrize("row", LIMITS, ids=str)
def test_limit(row: Row) -> None:
    assert reading_of(row.kind, row.facts, row.edition) == row.verdict


PART_215 = [
    ("rim_thickness: 45/64 in", "met"),
    ("rim_thickness: 11/16 in", "breached"),
    ("flange_thickness: 57/64 in", "met"),
    ("flange_thickness: 7/8 in", "breached"),
    ("tread_hollow: 1/2 in", NO_TEXT),
]


@pytest.mark.transcription
@pytest.mark.parametrize("train", ["freight", "excursion"])
@pytest.mark.parametrize(("value", "verdict"), PART_215)
def test_part_215_is_the_prudent_limit_of_a_car_that_carries_the_public(train: str, value: str, verdict: str) -> None:
    """A choice of ours where no text is agreed: no section says so."""
    facts = f"{value}, move.train: {train}, move.wheel_text: none agreed, car.designed_to_carry: the public"
    assert reading_of("wheel", facts, "2015") == verdict


@pytest.mark.parametrize("train", ["freight", "excursion"])
@pytest.mark.parametrize(("value", "verdict"), PART_215)
@pytest.mark.parametrize("carries", ["railroad personnel", "freight"])
def test_part_215_outside_a_passenger_train(train: str, value: str, verdict: str, carries: str) -> None:
    """215.5(c): a car designed to carry railroad personnel or freight is a freight car, 215.3(c)(4): outside passenger
    trains. No text has a hollow tread but 238.303 and 230.113."""
    facts = f"{value}, move.train: {train}, move.wheel_text: none agreed, car.designed_to_carry: {carries}"
    assert reading_of("wheel", facts, "2015") == verdict


@pytest.mark.parametrize(("carries", "verdict"), [("the public", "met"), ("railroad personnel", "breached")])
def test_an_agreed_text_does_not_stand_in_for_the_law(carries: str, verdict: str) -> None:
    """230.113(i) passes a flange of 1-1/2 in, 215.103(b) does not; nobody may agree part 215 away."""
    facts = "flange_height: 1-1/2 in, move.train: freight, move.wheel_text: 49 CFR 230"
    assert reading_of("wheel", f"{facts}, car.designed_to_carry: {carries}", "2015") == verdict


@pytest.mark.parametrize(
    ("age", "train", "carries", "verdict"),
    [
        ("50 years", "freight", "railroad personnel", NO_TEXT),
        ("18264 days", "freight", "railroad personnel", "not shown"),
        ("18264 days", "excursion", "freight", "not shown"),
        ("18264 days", "freight", "the public", NO_TEXT),
        ("18264 days", "passenger", "railroad personnel", NO_TEXT),
    ],
)
def test_a_freight_car_over_fifty_years_old(age: str, train: str, carries: str, verdict: str) -> None:
    """215.203(a)(1), (b): more than 50 years old, only under conditions approved by the FRA."""
    facts = f"approved_conditions: no, age: {age}, move.train: {train}, car.designed_to_carry: {carries}"
    assert reading_of("car", facts, "2015") == verdict


@pytest.mark.parametrize(
    ("replacement", "plate", "stamped", "verdict"),
    [
        ("yes", "straight", "rim", "breached"),
        ("yes", "curved", "rim", "met"),
        ("yes", "straight", "hub", "met"),
        ("no", "straight", "rim", NO_TEXT),  # a private car may keep the wheels it has, 238.119(a)(1)
    ],
)
def test_rim_stamped_straight_plate_wheel_as_replacement(
    replacement: str, plate: str, stamped: str, verdict: str
) -> None:
    """238.119(b), edition 2015."""
    facts = f"plate_shape: {plate}, stamped_on: {stamped}, fitted_as_replacement: {replacement}"
    assert reading_of("wheel", f"{facts}, axle_position.braked: yes, move.train: passenger", "2015") == verdict
