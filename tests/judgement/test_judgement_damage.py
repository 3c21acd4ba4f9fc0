"""Damage, a count of it, and what does not rise by itself: they go by work on the part or by a person's finding."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.doubts import doubts_of
from carknocker.judgement.mending import Mending
from carknocker.judgement.situation import Situation
from carknocker.record import read_car_text, read_move
from carknocker.record.standing import stand
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.vocabulary import load_vocabulary

CASE = Path("cases/larkspur/passenger")
AS_OF = date(2026, 9, 1)
LIBRARY = load_library(rulesets_folders())
BEFORE = "sheets:\n  - {on: 2026-05-10, by: CW, gauge: F-1, car: level track, readings: {READ}}\n"
ANEW = "sheets:\n  - {on: 2026-08-01, by: CW, car: level track, readings: {READ}}\n"
JOB = "work:\n  - {id: J-1, on: DONE, JOB}\n"


def doubts(
    read: str,
    job: str = "",
    after: str = "",
    anew: str = "",
    on: str = "2026-05-10",
    by: str = "CW",
    done: str = "2026-05-15",
) -> set[str]:
    """The doubts about the demo car with an earlier sheet, a job after it, what is put in place of a later text, and
    what is read anew."""
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    old, _, new = after.partition(" -> ")
    assert not old or old in text
    text = text.replace(old, new, 1) if old else text
    text = text.replace("sheets:\n", BEFORE.replace("READ", read).replace("2026-05-10", on).replace("CW", by), 1)
    text = text.replace("sheets:\n", ANEW.replace("READ", anew), 1) if anew else text
    text = (
        text.replace("moves_made:\n", JOB.replace("JOB", job).replace("DONE", done) + "moves_made:\n", 1)
        if job
        else text
    )
    move = read_move(CASE / "move.yaml")
    rules = LIBRARY.rulebooks(move).at_out
    situation = Situation(stand(read_car_text(text, "car.yaml"), move, AS_OF), move, {})
    return {one.name for one in doubts_of(situation, Mending(rules.criteria, rules.consequences))}


# what was read on 2026-05-10; the later sheets of the demo car say that there is none of it
GONE = {
    "a weld": 'safety_appliances: {"1": {welded_directly: yes}}',
    "a loose seal": "bearings: {L1: {seal: loose or damaged}}",
    "a leaking shock absorber": 'shock_absorbers: {"1": {leaking: clearly formed droplets}}',
    "a spring compressed solid": 'springs: {"1": {compressed_solid: yes}}',
    "a brake cut out": "brake_system: {cut_out: yes}",
    "parts of a side bearing": "side_bearings: {BL: {parts_complete: no}}",
    "a hand brake out of reach": "hand_brakes: {B: {safely_worked_in_motion: no}}",
    "no ground": "electrical: {metal_grounded: no}",
    "a broken window": "body: {windows_sound: no}",
    "broken seats": "body: {seats: broken or loose}",
    "a leak in a system": "body: {general_conditions: leak}",
    "built-up tread": "wheels: {L1: {built_up_tread: yes}}",
    "two loose cap screws": "bearings: {L1: {cap_screws_loose_or_missing: 2}}",
    "a coupler 30 in high": "couplers: {B: {coupler_height: {reads: 30 in, gauge: F-4}}}",
    "metal in the oil": "bearings: {L1: {oil_condition: metal}}",
    "water in the oil": "bearings: {L1: {oil_condition: milky}}",
    "a rough bearing": "bearings: {L1: {rotation: rough}}",
    "a seal that leaks": "bearings: {L1: {seal: clearly formed droplets}}",
    "a cracked center plate": "center_plates: {B: {visible_condition: cracked}}",
    "a loose center plate": "center_plates: {B: {visible_condition: loose}}",
    "a lock that does not drop": "couplers: {B: {lock_drops: no}}",
    "a lever that does not work": "couplers: {B: {uncoupling_lever_works: no}}",
    "a pin that is not secure": "couplers: {B: {pin_or_key_secured: no}}",
    "an axle without a brake": "axle_positions: {1: {brake_applies: no}}",
    "a side bearing in contact": "side_bearings: {BL: {in_contact: yes}}",
    "a part 2 in over the rail": "body: {lowest_part_over_rail: 2 in}",
}


ANEWS = {
    "metal in the oil": "bearings: {L1: {oil_condition: clean}}",
    "water in the oil": "bearings: {L1: {oil_condition: clean}}",
    "an axle without a brake": "axle_positions: {1: {brake_applies: yes}}",
}
"""What the demo car's own sheets do not read."""


@pytest.mark.parametrize("gone", GONE)
def test_what_was_bad_and_is_good_without_work_is_doubtful(gone: str) -> None:
    assert doubts(GONE[gone], anew=ANEWS.get(gone, "")) & {"damage-does-not-go", "wear-only-goes-on"}


def test_a_lid_does_not_come_back_by_itself() -> None:
    later = "lid: none fitted -> lid: closed"
    assert doubts("boxes: {L1: {lid: missing}}", after=later) == {"damage-does-not-go"}
    assert doubts("boxes: {L1: {lid: missing}}", "did: box lid renewed, at: L2", later) == {"damage-does-not-go"}


# a job on the part, or on what makes it bad
MENDED = [
    ("a leaking shock absorber", "did: piston travel adjusted, at: '1'", False),
    ("a brake cut out", "did: service portion replaced", True),
    ("a brake cut out", "did: brake rigging repaired, at: B", True),
    ("a brake cut out", "did: electrical repair", False),
    ("a broken window", "did: body repaired", True),
    ("a broken window", "did: gas work", False),
    ("parts of a side bearing", "did: side bearings adjusted, at: BL", True),
    ("parts of a side bearing", "did: side bearings adjusted, at: AR", False),
    ("two loose cap screws", "did: cap screws or locks renewed, at: L1", True),
    ("metal in the oil", "did: oil or grease added, at: L1", False),
    ("metal in the oil", "did: lubricant renewed, at: L1", False),
    ("metal in the oil", "did: bearing opened, at: L1", True),
    ("water in the oil", "did: oil or grease added, at: L1", False),
    ("water in the oil", "did: lubricant renewed, at: L1", True),
    ("a rough bearing", "did: lubricant renewed, at: L1", False),
    ("a rough bearing", "did: bearing reconditioned, at: L1", True),
    ("a seal that leaks", "did: oil or grease added, at: L1", False),
    ("a seal that leaks", "did: seal renewed, at: L1", True),
    ("a cracked center plate", "did: center-plate liner renewed, at: B", False),
    ("a cracked center plate", "did: center plate renewed, at: B", True),
    ("a loose center plate", "did: center-plate liner renewed, at: B", True),
    ("a lock that does not drop", "did: coupler carrier renewed, at: B", False),
    ("a lock that does not drop", "did: knuckle renewed, at: B", True),
    ("a lever that does not work", "did: coupler carrier renewed, at: B", False),
    ("a lever that does not work", "did: uncoupling lever repaired, at: B", True),
    ("a pin that is not secure", "did: knuckle renewed, at: B", False),
    ("a pin that is not secure", "did: draft gear renewed, at: B", True),
    ("an axle without a brake", "did: hose renewed, at: '1'", False),
    ("an axle without a brake", "did: slack adjuster repaired, at: B", True),
    ("no ground", "did: electrical repair", True),
    ("a side bearing in contact", "did: coupler repaired, at: B", False),
    ("a side bearing in contact", "did: shims adjusted, at: B", True),
    ("two loose cap screws", "did: cap screws or locks renewed, at: L2", False),
    ("a part 2 in over the rail", "did: shims adjusted, at: B", True),
    ("a part 2 in over the rail", "did: brake rigging repaired, at: B", True),
    ("a part 2 in over the rail", "did: hose renewed, at: '1'", False),
]


@pytest.mark.parametrize(("gone", "job", "settled"), MENDED)
def test_work_on_it_settles_it_and_other_work_does_not(gone: str, job: str, settled: bool) -> None:
    assert bool(doubts(GONE[gone], job, anew=ANEWS.get(gone, ""))) is not settled


@pytest.mark.parametrize(
    ("read", "doubtful"),
    [
        # 33-1/2 in on 2026-07-28; 3/4 in of load, and 1/8 in of the gauge each time
        ("couplers: {B: {coupler_height: {reads: 32-1/2 in, gauge: F-4}}}", False),
        ("couplers: {B: {coupler_height: {reads: 32-3/8 in, gauge: F-4}}}", True),
        ("couplers: {B: {coupler_height: {reads: 34-1/2 in, gauge: F-4}}}", False),  # it sank
    ],
)
def test_a_coupler_rises_by_no_more_than_its_load(read: str, doubtful: bool) -> None:
    assert bool(doubts(read)) is doubtful


@pytest.mark.parametrize(
    "read",
    [
        "rear_marker: {marker_fitted: no}", "rear_marker: {lit: no}", "body: {floors_clear: no}",
        'jumpers: {"1": {hanging_free: yes}}', "bearings: {L1: {oil_level: low}}",
    ],
)  # fmt: skip
def test_what_is_so_for_the_moment_only_is_no_damage(read: str) -> None:
    assert doubts(read) <= {"oil-level-where-no-oil"}


def test_every_test_that_can_fail_says_what_puts_it_right_or_any_work_does() -> None:
    """An inspection of the car, a truck or an end looks at everything there; a cracked axle, and wheels that ran hot,
    are mended by no job but another wheelset, which the rules name."""
    vocabulary = load_vocabulary()
    unnamed = {
        one.attribute for one in vocabulary.tests.values() if one.attribute not in vocabulary.mended_by.get(one.on, {})
    }
    assert unnamed == {
        "annual_inspection", "periodic_inspection", "inspection_368_days", "daily_exterior_inspection",
        "daily_interior_inspection", "inspection_after_work", "truck_inspection", "trucks_out_inspection",
        "end_inspection", "ndt", "wheel_heat_inspection",
    }  # fmt: skip


def test_what_an_event_tells_has_one_bad_word() -> None:
    vocabulary = load_vocabulary()
    told = [(kind, name) for one in vocabulary.events.values() for kind, names in one.tells.items() for name in names]
    assert len(told) > 3
    for kind, name in told:
        assert len(vocabulary.kinds[kind].attributes[name].bad) == 1


def test_nothing_hangs_on_what_the_rules_allow() -> None:
    """49 CFR 238.303(e)(5) and 215.115(a)(4) ask for no clearly formed droplets: wet is within both."""
    assert not doubts("bearings: {L1: {seal: wet}}")
    droplets = "bearings: {L1: {seal: clearly formed droplets}}"
    assert doubts(droplets, anew="bearings: {L1: {seal: wet}}") == {"damage-does-not-go"}


FRAME = "trucks: {B: {frame_condition: cracked}}"
LOG = "log: {complete_since: 2018-01-01 -> log: {complete_since: SINCE"


@pytest.mark.parametrize(
    ("on", "by", "since", "doubtful"),
    [
        ("2012-05-01", "NB", "2018-01-01", False),
        ("2018-01-01", "NB", "2018-01-01", True),  # its job would be on record
        ("2017-12-31", "NB", "2018-01-01", False),
        ("2026-05-01", "NB", "2026-06-01", True),  # a log that begins after last month's crack washes it away no more
        ("2025-08-31", "NB", "2026-06-01", False),
        ("2025-09-01", "NB", "2026-06-01", True),
        ("2012-05-01", "NB", "2026-08-01", True),  # not read since the log is complete
        ("2012-05-01", "CW", "2018-01-01", True),  # whom the host accepts; NB, who read it sound, it does not
    ],
)
def test_damage_of_before_the_log_is_complete_needs_no_job(on: str, by: str, since: str, doubtful: bool) -> None:
    found = doubts(FRAME, after=LOG.replace("SINCE", since), on=on, by=by)
    assert bool(found & {"damage-does-not-go"}) is doubtful


@pytest.mark.parametrize(
    ("found", "job", "doubtful"),
    [
        ("2025-08-31", "2025-08-30", False),
        ("2025-08-31", "2025-08-31", True),  # of that time jobs are on record, and none that mended the frame
        ("2025-08-31", "2026-05-31", True),
        ("2025-08-31", "2026-06-01", False),
    ],
)
def test_a_log_that_says_it_begins_late_forgets_nothing_of_a_time_of_which_it_has_jobs(
    found: str, job: str, doubtful: bool
) -> None:
    renewed, log = "did: heat label renewed, at: L1, by: CW", LOG.replace("SINCE", "2026-06-01")
    names = doubts(FRAME, job=renewed, after=log, on=found, by="NB", done=job)
    assert bool(names & {"damage-does-not-go"}) is doubtful


@pytest.mark.parametrize(("marked", "doubtful"), [("2026-06", False), ("2026-05", True), ("2022-03", True)])
def test_a_hose_that_is_marked_later_is_another_hose(marked: str, doubtful: bool) -> None:
    """Of a month that holds the day of the finding nobody can tell."""
    chafed = 'air_hoses: {"1": {condition: chafed}}'
    after = f"hose_kind: brake pipe, date_marked: 2022-03 -> hose_kind: brake pipe, date_marked: {marked}"
    assert bool(doubts(chafed, after=after)) is doubtful


FITTED = Path("cases/wren-hollow/after")
OF_A_FITTED_WHEELSET = {
    "a crack in its wheel": ("wheels: {W-51 left: {crack_or_break: yes}}", "damage-does-not-go"),
    "a weld on its wheel": ("wheels: {W-51 left: {weld: yes}}", "damage-does-not-go"),
    "a bent axle": ("axles: {W-51: {bent: yes}}", "damage-does-not-go"),
    "play in its bearing": ("bearings: {W-51 left: {vertical_play: yes}}", "damage-does-not-go"),
    "wheels too near": ("wheelsets: {W-51: {back_to_back: {reads: 52-1/2 in, gauge: S-1}}}", "moved-without-work"),
}


def doubts_of_a_fitted_wheelset(read: str) -> set[str]:
    """The car in which W-51 was fitted on 2026-10-12 and read anew after it, with an earlier reading of W-51."""
    text = (FITTED / "car.yaml").read_text(encoding="utf-8")
    sheet = f"sheets:\n  - {{on: 2026-09-20, by: HM, access: wheelset out, readings: {{{read}}}}}\n"
    move = read_move(FITTED / "move.yaml")
    rules = LIBRARY.rulebooks(move).at_out
    record = read_car_text(text.replace("sheets:\n", sheet, 1), "car.yaml")
    situation = Situation(stand(record, move, date(2026, 10, 24)), move, {})
    return {one.name for one in doubts_of(situation, Mending(rules.criteria, rules.consequences))}


@pytest.mark.parametrize("name", OF_A_FITTED_WHEELSET)
def test_fitting_a_wheelset_takes_nothing_of_its_own_damage_away(name: str) -> None:
    """49 CFR 238.303(e)(8): a wheel that was cracked on the shelf is cracked under the car."""
    read, doubt = OF_A_FITTED_WHEELSET[name]
    assert doubt in doubts_of_a_fitted_wheelset(read)
    assert doubt not in doubts_of_a_fitted_wheelset("wheels: {W-51 left: {crack_or_break: no}}")
