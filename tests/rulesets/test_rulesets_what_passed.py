"""What passed because no law at hand asks for it, and what was asked of a car that does not have it."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.answer import check
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

CASES = Path(__file__).parents[2] / "cases"
LIBRARY = load_library(rulesets_folders())
DAY = date(2026, 9, 1)
FREIGHT, PASSENGER, CANADA = "larkspur/freight", "larkspur/passenger", "two-nations/north"
TRADE = "trade-practice/"


def judged(
    case: str, readings: str = "", *changes: tuple[str, str], move: tuple[tuple[str, str], ...] = (), gauge: str = "F-1"
) -> Judgement:
    """A demo car with one more sheet, and with its texts changed."""
    car = (CASES / case / "car.yaml").read_text(encoding="utf-8")
    moves = (CASES / case / "move.yaml").read_text(encoding="utf-8")
    sheet = f"  - {{on: 2026-08-31, by: NB, gauge: {gauge}, access: wheelset out, readings: {{{readings}}}}}\n"
    added = (("\nsheets:\n", f"\nsheets:\n{sheet}"),) if readings else ()
    for old, new in (*changes, *added):
        assert old in car, old
        car = car.replace(old, new)
    for old, new in move:
        assert old in moves, old
        moves = moves.replace(old, new)
    return check(read_car_text(car, "car.yaml"), read_move_text(moves, "move.yaml"), LIBRARY, DAY).judgement


def verdicts(judgement: Judgement, criterion: str) -> set[str]:
    return {one.verdict for one in judgement.findings if one.criterion.id == criterion}


def refusing(judgement: Judgement) -> set[str]:
    return {one.finding.criterion.id for one in judgement.refusals if one.finding is not None}


# ------------------------------------------------------------------------------------------- words of an honest car


@pytest.mark.parametrize("case", [FREIGHT, PASSENGER, CANADA])
def test_another_device_holds_the_truck_to_the_body(case: str) -> None:
    held = ("held_to_body_by: locking center pin", "held_to_body_by: other device")
    assert not {one for one in refusing(judged(case, "", held)) if one.endswith("truck-held-to-body")} - {
        "kestrel-and-northern/truck-held-to-body"  # the circular lists what it takes
    }
    assert not {one for one in refusing(judged(case, "", held)) if one.endswith("in-other-trains")}
    none = ("held_to_body_by: locking center pin", "held_to_body_by: none")
    assert {one for one in refusing(judged(case, "", none)) if "truck-held-to-body" in one}


@pytest.mark.parametrize("case", [FREIGHT, PASSENGER, CANADA])
def test_a_rubber_spring_is_asked_about_its_rubber(case: str) -> None:
    rubber = ("spring_kind: coil", "spring_kind: rubber")
    name = f"{TRADE}rubber-whole"
    assert verdicts(judged(case, "", rubber), name) == {"for the day"}
    before, after = refusing(judged(case)), refusing(judged(case, "", rubber))
    assert after <= before
    assert name in refusing(judged(case, "springs: {1: {rubber_condition: split}}", rubber))
    assert name not in refusing(judged(case, "springs: {all: {rubber_condition: checked at the surface}}", rubber))


def test_a_tired_wheel_passes_by_its_rim_and_its_tire() -> None:
    tired = ("wear_kind: multiple-wear", "wear_kind: tired")
    tires = "wheels: {all: {tire_thickness: 2 in, tire_loose: no}}"
    assert refusing(judged(FREIGHT, tires, tired)) == refusing(judged(FREIGHT))
    thin = "wheels: {all: {tire_thickness: 1-7/16 in, tire_loose: no}}"
    assert "us-federal/tire-thickness" in refusing(judged(FREIGHT, thin, tired))
    assert "canada-passenger/tire-thickness" in refusing(judged(CANADA, thin, tired))
    assert "canada-passenger/tire-thickness" not in refusing(judged(CANADA, tires, tired))


def test_an_appliance_of_another_kind_is_asked_whether_it_is_whole_and_no_more() -> None:
    more = ("\nsafety_appliances:\n", "\nsafety_appliances:\n  77: {at: B, appliance_kind: other, fastening: bolts}\n")
    good = "safety_appliances: {77: {condition: sound, fastening_tight: yes, welded_directly: no, bracket_welded: no}}"
    assert refusing(judged(FREIGHT, good, more)) == refusing(judged(FREIGHT))
    broken = "safety_appliances: {77: {condition: broken, fastening_tight: yes, welded_directly: no}}"
    assert "us-federal/appliance-whole" in refusing(judged(FREIGHT, broken, more))


# ---------------------------------------------------------------------------------------- asked of what is not there


@pytest.mark.parametrize("connection", ["drive belt", "drive shaft", "generator cable"])
def test_a_generator_is_driven_by_belt_or_shaft_or_stands_on_the_truck(connection: str) -> None:
    driven = ("braked: yes, driven: nothing", "braked: yes, driven: generator")
    parted = ("connections_to_body: [brake rod", f"connections_to_body: [{connection}, brake rod")
    names = {one.name for one in judged(FREIGHT, "", driven, parted).doubts}
    assert "drive-of-a-generator" not in names
    assert "drive-of-a-generator" in {one.name for one in judged(FREIGHT, "", driven).doubts}


def test_an_axle_without_a_brake_is_asked_for_none() -> None:
    """Of each truck one axle has a brake."""
    some = 'axle_positions:\n  "1, 3": {braked: no}\n  "2, 4": {braked: yes}\n'
    here = judged("nothing-measured", "", ("wheelsets:\n  T-1", f"{some}wheelsets:\n  T-1"))
    for name in ("shoe-keyed", "shoe-not-worn-through"):
        found = {one.part.label: one.verdict for one in here.findings if one.criterion.id == TRADE + name}
        assert {axle: found[f"brake shoe L{axle}"] for axle in (1, 2, 3, 4)} == {
            1: "not applicable", 2: "for the day", 3: "not applicable", 4: "for the day",
        }  # fmt: skip


def test_of_each_axle_it_is_on_record_whether_it_has_a_brake() -> None:
    some = ("  all: {braked: yes, driven: nothing}", '  all: {driven: nothing}\n  "1, 3": {braked: yes}')
    assert f"{TRADE}brake-on-every-truck" in refusing(judged(FREIGHT, "", some))
    assert f"{TRADE}brake-on-every-truck" not in refusing(judged(FREIGHT))


# ---------------------------------------------------------------------------------------------------------- couplers


@pytest.mark.parametrize(
    ("kind", "gap", "name"),
    [
        ("type E", "6-1/2 in", "contour-of-type-d-or-e"),
        ("type D", "5-3/8 in", "contour-of-type-d-or-e"),
        ("type E", "5-5/16 in", ""),
        ("MCB contour 1904", "5-3/16 in", "contour-of-mcb-coupler"),
        ("MCB contour 1904", "5-1/8 in", ""),
    ],
)
@pytest.mark.parametrize("case", [FREIGHT, CANADA])
def test_a_knuckle_open_too_far(case: str, kind: str, gap: str, name: str) -> None:
    types = ("coupler_type: type H, tight_lock: yes", f"coupler_type: {kind}, tight_lock: no")
    found = refusing(judged(case, f"couplers: {{B: {{knuckle_to_guard_arm: {gap}}}}}", types))
    assert {one for one in found if "contour-of" in one} == ({f"{TRADE}{name}"} if name else set())


@pytest.mark.parametrize("case", [FREIGHT, CANADA])
def test_a_type_h_is_tried_with_its_gauge(case: str) -> None:
    gauge = ("\ngauges:\n", "\ngauges:\n  C-9: {kind: contour gauge, checked: 2026-01-10, due: 2027-01-10}\n")
    name = f"{TRADE}contour-of-another-type"
    bad = "couplers: {all: {passes_contour_gauge: no}}"
    good = "couplers: {all: {passes_contour_gauge: yes}}"
    assert name in refusing(judged(case, bad, gauge, gauge="C-9"))
    assert verdicts(judged(case, good, gauge, gauge="C-9"), name) == {"met"}
    assert verdicts(judged(case), name) == {"for the day"}


@pytest.mark.parametrize(("swing", "refused"), [("20 in", False), ("1 in", True)])
def test_a_coupler_swings_as_far_as_the_sharpest_curve_asks(swing: str, *, refused: bool) -> None:
    """A car of 85 ft beside one of 40 ft, on a curve of 8 degrees."""
    ahead = (
        "  neighbors:\n    ahead: {length_over_couplers: 40 ft, truck_centers: 30 ft, coupler_length: 30 in}\nlegs:\n"
    )
    length = ("  length_over_couplers: 85 ft 0 in\n", "  length_over_couplers: 85 ft 0 in\n  coupler_length: 36 in\n")
    readings = f"couplers: {{all: {{coupler_swing_each_side: {swing}}}}}"
    name = f"{TRADE}coupler-swings-far-enough"
    named = judged(FREIGHT, readings, length, move=(("legs:\n", ahead),))
    assert (name in refusing(named)) is refused
    assert verdicts(judged(FREIGHT, readings), name) == {"not applicable"}


# ------------------------------------------------------------------------------------- the train, riders, gas, power


@pytest.mark.parametrize(("leakage", "refused"), [("5 psi/min", False), ("6 psi/min", True)])
@pytest.mark.parametrize("case", [FREIGHT, CANADA])
def test_the_train_own_leakage(case: str, leakage: str, *, refused: bool) -> None:
    told = judged(case, move=(("  speed:", f"  brake_pipe_leakage: {leakage}\n  speed:"),))
    assert (f"{TRADE}train-leakage" in refusing(told)) is refused
    assert verdicts(judged(case), f"{TRADE}train-leakage") == {"not applicable"}


@pytest.mark.parametrize("case", [PASSENGER, CANADA])
def test_riders_have_a_fire_extinguisher_and_a_way_out(case: str) -> None:
    none = refusing(judged(case, "body: {fire_extinguishers: 0, emergency_exits: 1}"))
    assert {f"{TRADE}fire-extinguisher-aboard", f"{TRADE}ways-out-where-passengers-ride"} <= none
    some = refusing(judged(case, "body: {fire_extinguishers: 1, emergency_exits: 2}"))
    assert not {f"{TRADE}fire-extinguisher-aboard", f"{TRADE}ways-out-where-passengers-ride"} & some
    nobody = judged(FREIGHT, "body: {fire_extinguishers: 0, emergency_exits: 0}")
    assert verdicts(nobody, f"{TRADE}fire-extinguisher-aboard") == {"not applicable"}


@pytest.mark.parametrize("case", [FREIGHT, PASSENGER, CANADA])
def test_a_gas_system_is_tested_secured_and_shut_off(case: str) -> None:
    gas = ("gas_system: none", "gas_system: fitted")
    fitted = judged(case, "", gas)
    assert f"{TRADE}gas-tested-for-leaks" in refusing(fitted)
    assert verdicts(fitted, f"{TRADE}gas-bottles-safe") == {"for the day"}
    bad = "body: {gas_bottles_outside_and_vented: yes, gas_bottles_secured: yes, gas_shut_off_works: no}"
    assert f"{TRADE}gas-bottles-safe" in refusing(judged(case, bad, gas))
    test = "\ntests:\n  - {test: gas leak test, on: 2026-08-01, by: PD, result: passed, method: leak fluid}\n"
    tested = judged(case, bad.replace("no}", "yes}"), gas, ("\ntests:\n", test))
    assert not {f"{TRADE}gas-bottles-safe", f"{TRADE}gas-tested-for-leaks"} & refusing(tested)
    unsaid = judged(case, "", ("gas_system: none, ", ""))
    assert f"{TRADE}gas-tested-for-leaks" in refusing(unsaid)


@pytest.mark.parametrize("case", [FREIGHT, CANADA])
def test_head_end_power_without_insulation(case: str) -> None:
    name, dead = f"{TRADE}power-line-insulated", "head_end_power: {insulation_resistance: 0 ohm}"
    needs = (("needs_head_end_power: no", "needs_head_end_power: yes"),)
    assert name in refusing(judged(case, dead, move=needs))
    assert name not in refusing(judged(case, move=needs))
    unwanted = (("move:\n", "move:\n  power_wanted: no\n"),)
    assert verdicts(judged(case, dead, move=unwanted), name) == {"not applicable"}


# ---------------------------------------------------------------------------------------------- the single-car test


@pytest.mark.parametrize(
    ("case", "valve", "code", "refused"),
    [
        (PASSENGER, "26-C", "passenger", False),
        (PASSENGER, "26-C", "four-pressure", True),
        (FREIGHT, "26-C", "passenger", False),
        (FREIGHT, "26-C", "manual", True),
        (FREIGHT, "ABDX", "manual", False),
        (FREIGHT, "ABDX", "passenger", True),
    ],
)
def test_a_single_car_test_by_the_code_of_the_brake(case: str, valve: str, code: str, *, refused: bool) -> None:
    changes = (("control_valve: 26-C", f"control_valve: {valve}"), ("code: passenger", f"code: {code}"))
    name = {PASSENGER: "single-car-test-by-its-code", FREIGHT: "freight-single-car-test-by-its-code"}[case]
    assert (f"us-federal/{name}" in refusing(judged(case, "", *changes))) is refused


def test_the_newest_single_car_test_tells_the_code() -> None:
    device = "device: D-2, device_due: 2026-11-01"
    wrong = f"  - {{test: single-car brake test, on: 2026-08-20, by: PD, result: passed, code: manual, {device}}}\n"
    newer = judged(PASSENGER, "", ("\ntests:\n", f"\ntests:\n{wrong}"))
    assert "us-federal/single-car-test-by-its-code" in refusing(newer)
