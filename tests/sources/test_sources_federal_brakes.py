"""Brake limits of 49 CFR under the three regimes, typed from the sections themselves and not from the rulesets.

Read: part 238 and appendix B of part 232 in the annual edition of 2015; 232.103, 232.205, 232.305, 232.701 also in a
copy with the rule of 11 December 2020 (85 FR 80544).
"""

import pytest
from federal_reading import Row, duty_words, reading_of, table

# section (edition read) | train | kind of part | the value asked for, what else is known | verdict
LIMITS: list[Row] = table(
    """
    # piston travel at a Class I test: passenger 7 to 9 in, freight 6 to 9 in
    238.313(g)(3) (2015) | passenger | brake cylinder | piston_travel: 7 in, diameter: 10 in,
        nominal_stroke: 12 in, mounting: body | met
    238.313(g)(3) (2015) | passenger | brake cylinder | piston_travel: 6-63/64 in, diameter: 10 in,
        nominal_stroke: 12 in, mounting: body | breached
    238.313(g)(3) (2015) | passenger | brake cylinder | piston_travel: 9 in, diameter: 10 in,
        nominal_stroke: 12 in, mounting: body | met
    238.313(g)(3) (2015) | passenger | brake cylinder | piston_travel: 9-1/64 in, diameter: 10 in,
        nominal_stroke: 12 in, mounting: body | breached
    232.205(c)(5) (2020) | freight | brake cylinder | piston_travel: 6 in, diameter: 10 in,
        nominal_stroke: 12 in, mounting: body | met
    232.205(c)(5) (2020) | freight | brake cylinder | piston_travel: 5-63/64 in, diameter: 10 in,
        nominal_stroke: 12 in, mounting: body | breached
    232.205(c)(5) (2020) | freight | brake cylinder | piston_travel: 9-1/64 in, diameter: 10 in,
        nominal_stroke: 12 in, mounting: body | breached
    App. B 232.12(f)(1) (2015) | excursion | brake cylinder | piston_travel: 7 in, diameter: 10 in,
        nominal_stroke: 12 in, mounting: body | met
    App. B 232.12(f)(1) (2015) | excursion | brake cylinder | piston_travel: 6-63/64 in, diameter: 10 in,
        nominal_stroke: 12 in, mounting: body | breached
    App. B 232.12(f)(2) (2015) | excursion | brake cylinder | piston_travel: 6 in, diameter: 7 in,
        nominal_stroke: 8 in, mounting: truck, badge_plate_travel: 9 in | met
    App. B 232.12(f)(2) (2015) | excursion | brake cylinder | piston_travel: 6-1/64 in, diameter: 7 in,
        nominal_stroke: 8 in, mounting: truck, badge_plate_travel: 9 in | breached
    # not effective: "exceeds 10 1/2 inches", in all three
    238.5 (2015) | passenger | brake cylinder | piston_travel: 10-1/2 in, diameter: 12 in,
        nominal_stroke: 12 in, mounting: body, badge_plate_least_travel: 6 in, badge_plate_travel: 10-1/2 in | met
    # "All the cars in the train consist shall be set up in the same operating mode"
    238.231(m)(1) (2015) | passenger | brake system | release_mode: graduated, train.release_mode: direct | breached
    238.231(m)(1) (2015) | passenger | brake system | release_mode: graduated, train.release_mode: graduated | met
    238.231(m)(1) (2015) | passenger | brake system | release_mode: either, train.release_mode: direct | met
    238.5 (2015) | passenger | brake cylinder | piston_travel: 10-33/64 in, diameter: 12 in,
        nominal_stroke: 12 in, mounting: body | breached
    232.103(f)(1) (2020) | freight | brake cylinder | piston_travel: 10-1/2 in, diameter: 12 in,
        nominal_stroke: 12 in, mounting: body, badge_plate_least_travel: 6 in, badge_plate_travel: 10-1/2 in | met
    # another diameter than 8-1/2 or 10 in: "within the piston travel stenciled or marked on the car or badge plate"
    232.205(c)(5) (2020) | freight | brake cylinder | piston_travel: 9 in, diameter: 16 in,
        nominal_stroke: 12 in, badge_plate_least_travel: 7 in, badge_plate_travel: 9 in | met
    232.205(c)(5) (2020) | freight | brake cylinder | piston_travel: 9-1/64 in, diameter: 16 in,
        nominal_stroke: 12 in, badge_plate_least_travel: 7 in, badge_plate_travel: 9 in | breached
    232.303(c) (2015) | freight | brake cylinder | piston_travel: 7 in, diameter: 16 in,
        nominal_stroke: 12 in, badge_plate_least_travel: 7 in, badge_plate_travel: 9 in | met
    232.303(c) (2015) | freight | brake cylinder | piston_travel: 6-63/64 in, diameter: 16 in,
        nominal_stroke: 12 in, badge_plate_least_travel: 7 in, badge_plate_travel: 9 in | breached
    # the plate itself: "Except for cars equipped with nominal 12-inch stroke (8 1/2 and 10-inch diameters)"
    232.103(g) (2015) | freight | brake cylinder | badge_plate: no, nominal_stroke: 12 in, diameter: 16 in | breached
    232.103(g) (2015) | freight | brake cylinder | badge_plate: no, nominal_stroke: 10 in, diameter: 10 in | breached
    232.103(g) (2015) | freight | brake cylinder | badge_plate: yes, nominal_stroke: 12 in, diameter: 16 in | met
    # "electronic or automated tracking system" in place of the stencil
    232.303(f) (2015) | freight | brake system | single_car_test_stenciled: no, single_car_test_tracked: yes | met
    232.303(f) (2015) | freight | brake system | single_car_test_stenciled: no, single_car_test_tracked: no | breached
    232.103(f)(1) (2020) | freight | brake cylinder | piston_travel: 10-33/64 in, diameter: 12 in,
        nominal_stroke: 12 in, mounting: body | breached
    App. B 232.11(c) (2015) | excursion | brake cylinder | piston_travel: 10-33/64 in, diameter: 12 in,
        nominal_stroke: 12 in, mounting: body | breached
    232.103(f)(2) (2020) | freight | brake cylinder | piston_travel: 9 in, diameter: 7 in,
        nominal_stroke: 8 in, mounting: truck, badge_plate_least_travel: 7 in, badge_plate_travel: 9 in | met
    232.103(f)(2) (2020) | freight | brake cylinder | piston_travel: 9-1/64 in, diameter: 7 in,
        nominal_stroke: 8 in, mounting: truck, badge_plate_travel: 9 in | breached
    # leakage: 5 psi a minute; in a passenger train only "if leakage will affect service performance"
    238.313(g)(7) (2015) | passenger | brake system | brake_pipe_leakage: 5 psi/min | met
    238.313(g)(7) (2015) | passenger | brake system | brake_pipe_leakage: 6 psi/min,
        leakage_affects_service: yes | breached
    238.313(g)(7) (2015) | passenger | brake system | brake_pipe_leakage: 6 psi/min,
        leakage_affects_service: no | met
    232.205(c)(1) (2020) | freight | brake system | brake_pipe_leakage: 5 psi/min | met
    232.205(c)(1) (2020) | freight | brake system | brake_pipe_leakage: 6 psi/min,
        leakage_affects_service: no | breached
    App. B 232.12(e) (2015) | excursion | brake system | brake_pipe_leakage: 6 psi/min | breached
    # pressure of the test: 90 psi; 90 psi in road service; 70 pounds
    238.313(g) (2015) | passenger | brake system | train.brake_pipe_pressure: 90 psi | met
    238.313(g) (2015) | passenger | brake system | train.brake_pipe_pressure: 89 psi | breached
    232.103(o)(1) (2020) | freight | brake system | train.brake_pipe_pressure: 89 psi | breached
    App. B 232.12(d)(1) (2015) | excursion | brake system | train.brake_pipe_pressure: 70 psi | met
    App. B 232.12(d)(1) (2015) | excursion | brake system | train.brake_pipe_pressure: 69 psi | breached
    232.205(c)(1)(i)(A) (2020) | freight | brake system | train.rear_pressure: 75 psi | met
    232.205(c)(1)(i)(A) (2020) | freight | brake system | train.rear_pressure: 74 psi | breached
    # operative cars: 85 percent
    232.103(e) (2020) | freight | brake system | train.operative_brakes: 85 %, train.brakes_lost: en route | met
    232.103(e) (2020) | freight | brake system | train.operative_brakes: 84 %, train.brakes_lost: en route | breached
    232.701 (2020) | excursion | brake system | train.operative_brakes: 85 % | met
    232.701 (2020) | excursion | brake system | train.operative_brakes: 84 % | breached
    # direct release: up to two cars
    238.231(m)(2) (2015) | passenger | brake system | train.direct_release_cars: 2, release_mode: direct,
        train.release_mode: graduated | met
    238.231(m)(2) (2015) | passenger | brake system | train.direct_release_cars: 3, release_mode: direct,
        train.release_mode: graduated | breached
    # safety valves: 58 to 62, HSC 58 to 77
    232.710(n)(2) (2020) | excursion | brake system | safety_valve_setting: 62 psi, control_valve: UC | met
    232.710(n)(2) (2020) | excursion | brake system | safety_valve_setting: 63 psi, control_valve: UC | breached
    232.710(n)(2) (2020) | excursion | brake system | safety_valve_setting: 57 psi, control_valve: LN | breached
    232.710(n)(2) (2020) | excursion | brake system | safety_valve_setting: 77 psi, control_valve: HSC | met
    232.710(n)(2) (2020) | excursion | brake system | safety_valve_setting: 78 psi,
        control_valve: HSC | breached
    """
)


@pytest.mark.parametrize("row", LIMITS, ids=str)
def test_limit(row: Row) -> None:
    assert reading_of(row.kind, row.facts, row.edition) == row.verdict


@pytest.mark.parametrize(
    ("valve", "days"),
    [
        ("AB", 2208), ("ABD", 2208), ("ABDX", 2208),  # (d)(1)
        ("26-C", 1476),  # (d)(2)
        ("D-22", 1104), ("UC", 1104), ("LN", 1104), ("PM", 1104),  # (d)(3)
    ],
)  # fmt: skip
def test_brake_maintenance_interval_by_valve(valve: str, days: int) -> None:
    """238.309(d)(1) to (3), edition 2015: the interval itself is kept, the day after it is overdue."""

    def verdict(age: int) -> str:
        facts = f"brake_maintenance_done_on: {{aged: {age} days}}, control_valve: {valve}, move.train: passenger"
        return reading_of("brake system", facts, "2015")

    assert verdict(days) == "met"
    assert verdict(days + 1) == "breached"


@pytest.mark.parametrize(
    ("code", "months", "days_past"), [("manual", 12, 367), ("automated", 24, 732), ("four-pressure", 48, 1462)]
)
def test_single_car_test_on_a_shop_track_by_its_code(code: str, months: int, days_past: int) -> None:
    """232.305(b)(2)(i) to (iii), copy with the rule of December 2020."""

    def verdict(age: str) -> str:
        test = f"single_car_test: {{aged: {age}, result: passed, code: {code}}}"
        return reading_of("brake system", f"{test}, shop_track_since_test: yes, move.train: freight", "2020")

    assert verdict(f"{months} months") == "met"
    assert verdict(f"{days_past} days") == "breached"


@pytest.mark.parametrize(
    ("age", "rebuilt", "since", "verdict"),
    [
        ("5 years", "2923 days", "yes", "met"), ("1828 days", "2923 days", "yes", "breached"),
        ("1828 days", "8 years", "yes", "met"), ("1828 days", "8 years", "no", "breached"),
    ],
)  # fmt: skip
def test_single_car_test_within_five_years_or_eight_from_a_rebuilding(
    age: str, rebuilt: str, since: str, verdict: str
) -> None:
    """232.305(c), (d), edition 2015; (e): "on each new or rebuilt car prior to placing or using the car"."""
    facts = (
        f"single_car_test: {{aged: {age}, result: passed}}, car.rebuilt_on: {{aged: {rebuilt}}}, "
        f"single_car_test_since_rebuilding: {since}, shop_track_since_test: no, "
        "car.built_on: {aged: 30000 days}, move.train: freight"
    )
    assert reading_of("brake system", facts, "2015") == verdict


@pytest.mark.transcription
def test_time_off_air_before_a_new_brake_test() -> None:
    """232.205(a)(3): more than four hours in 2015, more than 24 hours from 11 December 2020; 238.313(c) unchanged."""
    assert "more than four hours" in duty_words("freight-off-air", "2015")
    assert "more than 24 hours" in duty_words("freight-off-air", "2020")
    assert "more than four hours" in duty_words("brake-test-when-added", "2020")
