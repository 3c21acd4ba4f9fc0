"""A broken, missing or loose part stops a passenger car in every train and under either nation's law."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.cli.output import joined
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.judgement.model import Judgement
from carknocker.questions.check.page import page_of
from carknocker.record import read_car_text, read_move, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

CASES = Path(__file__).parents[2] / "cases"
LIBRARY = load_library(rulesets_folders())
DAY = date(2026, 9, 1)
FREIGHT, PASSENGER, CANADA = "larkspur/freight", "larkspur/passenger", "two-nations/north"
FILE = "broken-parts.yaml"


def judged(case: str, readings: str) -> Judgement:
    """A demo car with one more sheet of the day before the page."""
    sheet = f"\nsheets:\n  - {{on: 2026-08-31, by: NB, gauge: F-1, access: pit, readings: {{{readings}}}}}\n"
    text = (CASES / case / "car.yaml").read_text(encoding="utf-8")
    assert text.count("\nsheets:\n") == 1
    move = read_move(CASES / case / "move.yaml")
    return check(read_car_text(text.replace("\nsheets:\n", sheet), "car.yaml"), move, LIBRARY, DAY).judgement


def refusing(case: str, readings: str) -> set[str]:
    return {one.finding.criterion.id for one in judged(case, readings).refusals if one.finding is not None}


BROKEN = [
    ("springs: {1: {coil_broken: yes}}", "springs: {1: {coil_broken: no}}", "coil-whole"),
    ("bolsters: {A: {spring_plank: cracked}}", "bolsters: {A: {spring_plank: sound}}", "spring-plank"),
    (
        "trucks: {B: {frame_condition: cracked in a stress area}}",
        "trucks: {B: {frame_condition: sound}}",
        "truck-frame",
    ),
    ("axles: {1: {welded: yes}}", "axles: {1: {welded: no}}", "axle-not-welded"),
    ("brake_rigging: {B: {beam_safety_support: no}}", "brake_rigging: {B: {beam_safety_support: yes}}", "beam-support"),
    ("shock_absorbers: {1: {secure: no}}", "shock_absorbers: {1: {secure: yes}}", "shock-absorber"),
    (
        "shock_absorbers: {1: {leaking: clearly formed droplets}}",
        "shock_absorbers: {1: {leaking: none}}",
        "shock-absorber",
    ),
    ("air_hoses: {1: {gasket: missing}}", "air_hoses: {1: {gasket: worn}}", "hose-gasket"),
    ("air_hoses: {1: {hanging_height_right: no}}", "air_hoses: {1: {hanging_height_right: yes}}", "hose-at-its-height"),
    ("air_hoses: {1: {clear_on_full_swing: no}}", "air_hoses: {1: {clear_on_full_swing: yes}}", "hose-clear"),
    ("brake_shoes: {L1: {thickness: 0 in}}", "brake_shoes: {L1: {thickness: 1 in}}", "shoe-not-worn-through"),
    ("hand_brakes: {B: {chain: missing}}", "hand_brakes: {B: {chain: worn}}", "hand-brake-parts-whole"),
    ("hand_brakes: {B: {pawl: broken}}", "hand_brakes: {B: {pawl: worn}}", "hand-brake-parts-whole"),
    (
        "side_bearings: {BL: {parts_complete: no}}",
        "side_bearings: {BL: {parts_complete: yes}}",
        "side-bearing-complete",
    ),
    ("couplers: {B: {lock_lift_works: no}}", "couplers: {B: {lock_lift_works: yes}}", "lock-lifts"),
    ("couplers: {B: {lever_clearance: no}}", "couplers: {B: {lever_clearance: yes}}", "lever-clear"),
    ("couplers: {A: {pin_condition: cracked}}", "couplers: {A: {pin_condition: worn}}", "knuckle-pin-whole"),
    (
        "draft_gears: {A: {follower_plate_condition: missing}}",
        "draft_gears: {A: {follower_plate_condition: sound}}",
        "follower-plate-whole",
    ),
    ("bearings: {L1: {external_damage: yes}}", "bearings: {L1: {external_damage: no}}", "bearing-without-damage"),
    (
        "underframe: {crossbearer_condition: broken}",
        "underframe: {crossbearer_condition: sound}",
        "crossbearer-and-side-sill-whole",
    ),
    (
        "body: {underbody_equipment_secure: no}",
        "body: {underbody_equipment_secure: yes}",
        "underbody-equipment-secure",
    ),
    ("axle_positions: {3: {brake_applies: no}}", "axle_positions: {3: {brake_applies: yes}}", "axle-brakes-work"),
    ("axle_positions: {3: {brake_releases: no}}", "axle_positions: {3: {brake_releases: yes}}", "axle-brakes-work"),
    (
        "brake_system: {control_valves_operative: 0}",
        "brake_system: {control_valves_operative: 1}",
        "control-valves-work",
    ),
    ("brake_cylinders: {1: {holds_minutes: 0}}", "brake_cylinders: {1: {holds_minutes: 1}}", "cylinder-holds"),
    (
        "brake_cylinders: {1: {cylinder_leakage: 30 psi/min}}",
        "brake_cylinders: {1: {cylinder_leakage: 5 psi/min}}",
        "cylinder-holds",
    ),
    ("bolsters: {A: {safety_hangers: no}}", "bolsters: {A: {safety_hangers: yes}}", "safety-hangers-in-place"),
    ("center_pins: {A: {condition: missing}}", "center_pins: {A: {condition: worn}}", "center-pin-whole"),
    ("center_pins: {A: {condition: broken}}", "center_pins: {A: {condition: bent}}", "center-pin-whole"),
    ("center_plates: {A: {condition: broken}}", "center_plates: {A: {condition: worn}}", "center-plate-not-broken"),
    ("center_plates: {A: {condition: loose}}", "center_plates: {A: {condition: sound}}", "center-plate-not-broken"),
    (
        "center_plates: {A: {all_parts_there: no}}",
        "center_plates: {A: {all_parts_there: yes}}",
        "center-plate-not-broken",
    ),
    (
        "draft_gears: {A: {draft_gear_condition: inoperative}}",
        "draft_gears: {A: {draft_gear_condition: worn}}",
        "draft-gear-works",
    ),
    (
        "draft_gears: {A: {draft_gear_condition: cracked}}",
        "draft_gears: {A: {draft_gear_condition: leaking}}",
        "draft-gear-works",
    ),
    ("hand_brakes: {B: {bell_crank: broken}}", "hand_brakes: {B: {bell_crank: bent}}", "hand-brake-parts-whole"),
    ("hand_brakes: {B: {sheaves: broken}}", "hand_brakes: {B: {sheaves: none fitted}}", "hand-brake-parts-whole"),
]


@pytest.mark.parametrize("case", [FREIGHT, PASSENGER, CANADA])
@pytest.mark.parametrize(("body", "refused"), [("bent", True), ("cracked", True), ("worn", False)])
def test_a_coupler_that_is_bent_is_refused_in_every_train(case: str, body: str, refused: bool) -> None:
    found = refusing(case, f"couplers: {{A: {{body_condition: {body}}}}}")
    assert ("trade-practice/coupler-looked-at" in found) is refused


@pytest.mark.parametrize("case", [FREIGHT, PASSENGER])  # part II of the other nation asks nothing of a weld
@pytest.mark.parametrize(
    ("said", "refused"),
    [
        ("safety_appliances: {1: {weld_crack: yes}}", {"appliance-weld-crack", "safety-appliance-whole"}),
        ("trucks: {B: {frame_crack_in_stress_area: yes}}", {"truck-frame-freight-text", "truck-frame"}),
    ],
)
def test_a_crack_beside_a_word_that_there_is_none_is_believed(case: str, said: str, refused: set[str]) -> None:
    """The part is called sound, or without a weld, on an older sheet."""
    assert refused & {one.partition("/")[2] for one in refusing(case, said)}


@pytest.mark.parametrize(("cut_out", "refused"), [("yes", True), ("no", False)])
@pytest.mark.parametrize("train", ["passenger", "freight", "excursion"])
def test_no_train_leaves_with_a_brake_cut_out(train: str, cut_out: str, refused: bool) -> None:
    move = (CASES / FREIGHT / "move.yaml").read_text(encoding="utf-8")
    text = (CASES / FREIGHT / "car.yaml").read_text(encoding="utf-8").replace("cut_out: no", f"cut_out: {cut_out}")
    moved = read_move_text(move.replace("train: freight", f"train: {train}", 1), "move.yaml")
    judgement = check(read_car_text(text, "car.yaml"), moved, LIBRARY, DAY).judgement
    names = {one.finding.criterion.name for one in judgement.refusals if one.finding is not None}
    asked = {"brakes-cut-in", "freight-brakes-cut-in", "excursion-brake-not-cut-out"}
    assert bool(names & asked) is refused


@pytest.mark.parametrize("case", [FREIGHT, PASSENGER, CANADA])
@pytest.mark.parametrize(("broken", "sound", "criterion"), BROKEN)
def test_what_is_broken_is_refused_in_every_train(case: str, broken: str, sound: str, criterion: str) -> None:
    name = f"trade-practice/{criterion}"
    refusal = next(
        one.finding
        for one in judged(case, broken).refusals
        if one.finding is not None and one.finding.criterion.id == name
    )
    assert refusal.criterion.where.file.endswith(FILE)
    assert name not in refusing(case, sound)


@pytest.mark.parametrize(
    ("broken", "sound", "criterion"),
    [
        ("wheels: {L1: {thermal_crack: yes}}", "wheels: {L1: {thermal_crack: no}}", "wheel-without-crack-seam-or-weld"),
        ("wheels: {L1: {seam: yes}}", "wheels: {L1: {seam: no}}", "wheel-without-crack-seam-or-weld"),
        ("wheels: {L1: {weld: yes}}", "wheels: {L1: {weld: no}}", "wheel-without-crack-seam-or-weld"),
        ("trucks: {B: {retention_secured: no}}", "trucks: {B: {retention_secured: yes}}", "truck-held-to-body"),
        (
            "center_plates: {B: {visible_condition: broken}}",
            "center_plates: {B: {visible_condition: sound}}",
            "center-plate-whole",
        ),
        (
            "safety_appliances: {1: {condition: broken}}",
            "safety_appliances: {1: {condition: sound}}",
            "safety-appliance-whole",
        ),
        (
            "safety_appliances: {1: {fastening_tight: no}}",
            "safety_appliances: {1: {fastening_tight: yes}}",
            "safety-appliance-whole",
        ),
        ("couplers: {B: {lock_drops: no}}", "couplers: {B: {lock_drops: yes}}", "coupler-locks"),
        ("couplers: {B: {anti_creep_works: no}}", "couplers: {B: {anti_creep_works: yes}}", "coupler-locks"),
        (
            "couplers: {B: {carrier_condition: broken}}",
            "couplers: {B: {carrier_condition: worn}}",
            "coupler-carried-and-held",
        ),
        (
            "couplers: {B: {pin_or_key_secured: no}}",
            "couplers: {B: {pin_or_key_secured: yes}}",
            "coupler-carried-and-held",
        ),
        ("bearings: {L1: {seal: loose or damaged}}", "bearings: {L1: {seal: dry}}", "roller-bearing-closed"),
        (
            "bearings: {L1: {cap_screws_loose_or_missing: 1}}",
            "bearings: {L1: {cap_screws_loose_or_missing: 0}}",
            "roller-bearing-closed",
        ),
        ("body: {doors_traps_steps_secure: no}", "body: {doors_traps_steps_secure: yes}", "doors-traps-steps-secure"),
        (
            "brake_cylinders: {1: {piston_travel: 9-1/8 in}}",
            "brake_cylinders: {1: {piston_travel: 9 in}}",
            "piston-travel-on-its-plate",
        ),
        (
            "brake_cylinders: {1: {piston_travel: 6-7/8 in}}",
            "brake_cylinders: {1: {piston_travel: 7 in}}",
            "piston-travel-on-its-plate",
        ),
        ("axles: {1: {gouge_depth: 3/16 in}}", "axles: {1: {gouge_depth: 1/16 in}}", "axle-gouge"),
        ("body: {lowest_part_over_rail: 2-1/4 in}", "body: {lowest_part_over_rail: 2-1/2 in}", "lowest-part"),
        (
            "brake_system: {brake_pipe_leakage: {before: 90 psi, after: 84 psi, minutes: 1}}",
            "brake_system: {brake_pipe_leakage: {before: 90 psi, after: 85 psi, minutes: 1}}",
            "brake-pipe-leakage",
        ),
    ],
)
def test_what_the_other_nations_text_was_not_read_for_is_refused_there(broken: str, sound: str, criterion: str) -> None:
    name = f"canada-passenger/{criterion}"
    assert name in refusing(CANADA, broken)
    assert name not in refusing(CANADA, sound)


@pytest.mark.parametrize("case", [FREIGHT, PASSENGER, CANADA])
def test_a_coupler_whose_pin_nothing_holds_is_refused(case: str) -> None:
    text = (CASES / case / "car.yaml").read_text(encoding="utf-8")
    assert text.count("pin_or_key_retention: retainer plate") == 2
    loose = text.replace("pin_or_key_retention: retainer plate", "pin_or_key_retention: none", 1)
    move = read_move(CASES / case / "move.yaml")

    def refused(car: str) -> set[str]:
        found = check(read_car_text(car, "car.yaml"), move, LIBRARY, DAY).judgement.refusals
        return {one.finding.criterion.id for one in found if one.finding is not None}

    assert {name.partition("/")[2] for name in refused(loose) - refused(text)} <= {
        "drawbar-pin-device",
        "drawbar-pin-freight-text",
        "freight-car-drawbar-pin",
        "coupler-carried-and-held",
    }
    assert refused(loose) - refused(text)


@pytest.mark.parametrize(
    ("travel", "refused"), [("7 in", False), ("6-7/8 in", True), ("9 in", False), ("9-1/8 in", True)]
)
def test_piston_travel_has_two_ends_in_a_passenger_train(travel: str, *, refused: bool) -> None:
    found = refusing(PASSENGER, f"brake_cylinders: {{1: {{piston_travel: {travel}}}}}")
    assert ("us-federal/piston-travel-on-its-plate" in found) is refused


def test_a_brake_that_fails_at_one_axle_keeps_the_car_though_every_axle_was_said_to_apply() -> None:
    every = "brake_system: {applies_on_every_axle: yes, releases_on_every_axle: yes}"
    assert judged(FREIGHT, f"{every}, axle_positions: {{all: {{brake_applies: yes}}}}").outcome == "ready"
    assert judged(FREIGHT, f"{every}, axle_positions: {{2: {{brake_applies: no}}}}").outcome == "not ready"


@pytest.mark.parametrize(("working", "refused"), [("2", False), ("1", True), ("0", True)])
def test_of_two_control_valves_both_work(working: str, *, refused: bool) -> None:
    text = (CASES / FREIGHT / "car.yaml").read_text(encoding="utf-8")
    assert text.count("\nbrake_system:\n") == 1
    text = text.replace("\nbrake_system:\n", "\nbrake_system:\n  control_valves: 2\n")
    readings = f"readings: {{brake_system: {{control_valves_operative: {working}}}}}"
    sheet = f"\nsheets:\n  - {{on: 2026-08-31, by: NB, gauge: F-1, access: pit, {readings}}}\n"
    car = read_car_text(text.replace("\nsheets:\n", sheet), "car.yaml")
    found = check(car, read_move(CASES / FREIGHT / "move.yaml"), LIBRARY, DAY).judgement.refusals
    names = {one.finding.criterion.id for one in found if one.finding is not None}
    assert ("trade-practice/control-valves-work" in names) is refused


def test_what_is_said_of_a_control_valve_names_no_number_that_nobody_told() -> None:
    """The car does not say how many control valves it has."""
    text = (CASES / FREIGHT / "car.yaml").read_text(encoding="utf-8")
    readings = "readings: {brake_system: {control_valves_operative: 0}, axle_positions: {3: {brake_applies: no}}}"
    sheet = f"\nsheets:\n  - {{on: 2026-08-31, by: NB, gauge: F-1, access: pit, {readings}}}\n"
    car = read_car_text(text.replace("\nsheets:\n", sheet), "car.yaml")
    page = joined([page_of(view_of(check(car, read_move(CASES / FREIGHT / "move.yaml"), LIBRARY, DAY)))])
    assert "The brake system: a control valve does not work; must be at least 1 (practice)" in " ".join(page.split())
    assert "Truck A: brake does not apply or release: axle 3 (practice)" in page


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ("body: {doors_traps_steps_secure: WORD}", "doors-traps-steps-latched"),
        ("jumpers: {1: {hanging_free: WORD, clear_of_the_track: yes}}", "jumper-hung-up"),
        ("jumpers: {1: {hanging_free: no, clear_of_the_track: WORD}}", "jumper-hung-up"),
    ],
)
def test_what_can_swing_out_or_drag_is_refused_in_a_freight_train(said: str, rule: str) -> None:
    """In a passenger train the law asks it: 49 CFR 238.303(e)(11), 238.305(c)(8)."""
    bad, good = ("yes", "no") if "hanging_free: WORD" in said else ("no", "yes")
    assert f"trade-practice/{rule}" in refusing(FREIGHT, said.replace("WORD", bad))
    assert f"trade-practice/{rule}" not in refusing(FREIGHT, said.replace("WORD", good))
    assert f"trade-practice/{rule}" not in refusing(PASSENGER, said.replace("WORD", bad))
