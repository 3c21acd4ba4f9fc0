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
    215.103(h) (2015) | freight by part 215 | wheel | discoloured_plate_length: 4 in, overheated: yes | met
    215.103(h) (2015) | freight by part 215 | wheel | discoloured_plate_length: 4-1/64 in,
        overheated: yes | breached
    238.303(e)(8)(x) (2015) | passenger | wheel | crack_or_break: yes | breached
    238.303(e)(8)(xi) (2015) | passenger | wheel | loose_on_axle: yes | breached
    238.303(e)(8)(xii) (2015) | passenger | wheel | weld: yes | breached
    """
)


@pytest.mark.parametrize("row", LIMITS, ids=str)
def test_limit(row: Row) -> None:
    assert reading_of(row.kind, row.facts, row.edition) == row.verdict


@pytest.mark.parametrize("train", ["freight", "excursion"])
@pytest.mark.parametrize(
    "value", ["flat_spot_length: 5 in, second_flat_length: 0 in", "flange_thickness: 1/2 in", "rim_thickness: 1/2 in"]
)
def test_no_federal_wheel_text_outside_a_passenger_train(train: str, value: str) -> None:
    """215.5(c): a passenger car is not in the list of freight cars; 238.3 binds passenger trains (edition 2015)."""
    assert reading_of("wheel", f"{value}, move.train: {train}, move.wheel_text: none agreed", "2015") == NO_TEXT


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
