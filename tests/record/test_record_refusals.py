"""Everything that a car record may not say: each is refused at its own place, in words that help."""

import pytest
from record_samples import CAR, car, changed, problem_at_mark, problems_of

SHEET = "  - on: 2026-05-10\n"
FLANGE = "L1: {flange_thickness: 15/16 in, flange_height: 1-3/16 in}"
J1 = "{id: J-1, on: 2026-06-01, did: wheelset renewed, at: 3, off: W-6, fitted: W-3, by: HM}"
J2 = '{id: J-2, on: 2026-06-02, did: wheels turned, at: "L2, R2", by: HM, after: J-1}'
TEST = "{test: single-car brake test, on: 2026-02-02, by: HM, result: passed, code: manual, device: D-7}"

# What is changed, into what («: where the problem stands), what is found, what is expected, the nearest right word.
REFUSED = [
    # Names
    ("events:\n", "«evnts:\n", "the key `evnts`", "one of", "events"),
    ("  RE: {role: owner}", "  RE: {role: «ownr}", "the role `ownr`", "`owner`", "owner"),
    ("  RE: {role: owner}", "  RE: {role: owner, «untill: 2027-01-01}", "the key `untill`", "`until`", "until"),
    ("by: RE", "by: «ER", "the person `ER`, which is not known", "`RE`, `HM`", ""),
    ("gauge: G-2", "gauge: «G-22", "the gauge `G-22`", "`G-2`", "G-2"),
    (FLANGE, "L1: {flange_thickness: «{gauge: G5, takes_at: 7/8 in}}", "the gauge `G5`", "`G-5`", "G-5"),
    (FLANGE, "L1: {«flange_thicknes: 1 in}", "the key `flange_thicknes`", "`flange_thickness`", "flange_thickness"),
    ("truck_kind: two-axle, axles: {1", "«truck_kinds: two-axle, axles: {1", "`truck_kinds`", "one of", "truck_kind"),
    ("      underframe: {", "      «underfram: {", "the key `underfram` in readings", "one of", "underframe"),
    ("access: walking round", "access: «walking arund", "`walking arund`", "`walking round`", "walking round"),
    ("coupler_type: type H", "coupler_type: «typ H", "`typ H` for `coupler_type`", "one of", "type H"),
    ("did: wheels turned", "did: «wheels tuned", "the kind of work `wheels tuned`", "one of", "wheels turned"),
    ("happened: slid wheels", "happened: «slid weels", "the event `slid weels`", "one of", "slid wheels"),
    ("cause: hand brake left on", "«causes: hand brake left on", "the key `causes`", "`cause`", "cause"),
    ("cause: hand brake left on", "cause: «hand brake on", "`hand brake on`", "one of", "hand brake left on"),
    ("code: manual", "«codes: manual", "the key `codes`", "`code`", "code"),
    ("test: single-car brake test", "test: «single car test", "the test `single car test`", "one of",
     "single-car brake test"),
    ("result: passed", "result: «pass", "`pass`", "one of `passed`, `failed`", "passed"),
    ("spare: air hose", "spare: «air hoses", "the spare `air hoses`", "one of", "air hose"),
    ("paper: liability insurance", "paper: «liability insurrance", "the paper `liability insurrance`", "one of",
     "liability insurance"),
    ("at: [L3, R3]", "at: «[L3, R33]", "the wheel `R33`", "one of", "R3"),
    ("by: HM, after: J-1", "by: HM, after: «J-11", "the job or event `J-11`", "`J-1`", "J-1"),
    ("of: wheel, at: L2", "of: «wheels, at: L2", "the kind of part `wheels`", "one of", "wheel"),
    ("for: move, signed", "for: «trip, signed", "`trip`", "one of `move`, `repair`", ""),
    ("signed_by: M. Ouzel", "signed_by: «\"-\"", "`-`, which says nothing", "a name", ""),
    ("signed_by: M. Ouzel", "signed_by: «n/a", "`n/a`, which says nothing", "a name", ""),
    ("leaves: {speed: 20 mph}", "leaves: {«sped: 20 mph}", "the key `sped`", "`speed`", "speed"),
    # Values
    (FLANGE, "L1: {flange_thickness: «15/16}", "without a unit for `flange_thickness`", "a length such as", ""),
    (FLANGE, "L1: {flange_thickness: «1 1/0 in}", "the fraction 1/0", "not over zero", ""),
    (FLANGE, "L1: {flange_thickness: «1 psi}", "a unit of pressure", "a length such as", ""),
    (FLANGE, "L1: {flange_thickness: «nan in}", "`nan in`", "a length such as", ""),
    (FLANGE, "L1: {flange_thickness: «-1/16 in}", "below zero", "zero or more", ""),
    (FLANGE, "L1: {flange_thickness: «[1 in, 2 in]}", "a list of 2", "a length such as", ""),
    (FLANGE, "L1: {flange_thickness: «}", "nothing", "a length such as", ""),
    (FLANGE, "L1: {thermal_crack: «maybe}", "`maybe`", "yes or no", ""),
    (FLANGE, "L1: {flange_thickness: «not accessible}", "without a reason", "(car not moved)", ""),
    (FLANGE, "L1: {flange_thickness: {over: 1 in, «at_least: 2 in}}", "on the same side", "one bound", ""),
    (FLANGE, "L1: {flange_thickness: «{over: 1 in, under: 1 in}}", "nothing between them", "a lower bound", ""),
    (FLANGE, "L1: {flange_thickness: {over: «[1 in]}}", "a list of 1", "a length", ""),
    (FLANGE, "L1: {flange_thickness: {reads: 1 in, «takes_at: 7/8 in}}", "`takes_at` beside `reads`", "one form", ""),
    (FLANGE, "L1: {flange_thickness: {«taks_at: 7/8 in}}", "`taks_at`", "`takes_at`", "takes_at"),
    (FLANGE, "L1: {flange_thickness: {opinion: «1 in}}", "an opinion on", "an opinion is for words", ""),
    (FLANGE, "L1: {flange_thickness: «{says: thick enough}}", "an opinion without a word", "{opinion", ""),
    (FLANGE, "L1: {thermal_crack: «{over: yes}}", "a mapping", "a bound is for figures", ""),
    (FLANGE, "L1: {out_of_round: {«takes_at: 1/32 in}}", "`takes_at` for `out_of_round`", "no go/no-go gauge", ""),
    (FLANGE, "L1: {flange_thickness: «{before: 9 psi, after: 8 psi, minutes: 1}}", "a mapping", "for a leakage", ""),
    ("by: HM, result", "by: HM, leakage: «{before: 8 psi, after: 9 psi, minutes: 1}, result", "that rose",
     "minutes", ""),
    ("by: HM, result", "by: HM, leakage: «{before: 8 psi, minutes: 1}, result", "a mapping", "{before", ""),
    ("reads_to: 1 psi", "reads_to: «1", "`1`", "with its unit", ""),
    ("reads_to: 1 psi", "reads_to: «0 psi", "`0 psi`", "with its unit", ""),
    ("reads_to: 1 psi", "reads_to: «1/2 in", "which no air gauge reads to", "`0.1 psi`", ""),
    ("checked: 2026-03-01, due: 2027-03-01", "checked: 2026-03-01, due: «2026-02-28",
     "the gauge G-2 due on 2026-02-28, before its last check on 2026-03-01", "2026-03-01 or later", ""),
    ("events:\n", "events:\n  - «{id: E-9, on: 2026-07-01, happened: gauge found wrong}\n",
     "the event `gauge found wrong` without `gauge`", "which gauge of the record", ""),
    ("events:\n", "events:\n  - «{id: E-9, on: 2026-07-01, happened: acceptance ended}\n",
     "the event `acceptance ended` without `person`", "which person of the record", ""),
    ("events:\n", "events:\n  - {id: E-9, on: 2026-07-01, happened: acceptance ended, person: HM, "
     "host: «Kestrel & Northernn}\n",
     "the host `Kestrel & Northernn`, which is not known", "one of", "Kestrel & Northern"),
    ("carried: 2", "carried: «two", "`two`", "a whole number", ""),
    ("carried: 2", "carried: «²", "`²`", "a whole number", ""),
    ("miles: 640 mi", "miles: «640", "a number without a unit", "a distance such as", ""),
    # Days
    (SHEET, "  - on: «2026-05\n", "`2026-05`", "a whole day such as 2026-09-12", ""),
    (SHEET, "  - on: «2026-02-30\n", "not in the calendar", "a day", ""),
    (SHEET, "  - on: «May 10, 2026\n", "`May 10, 2026`", "a whole day", ""),
    (SHEET, "  - on: «[2026-05-10]\n", "a list or a mapping", "a whole day", ""),
    ("on: 2026-02-02, by", "on: «2026, by", "`2026`", "a whole day", ""),
    ("on: 2026-06-02", "on: «12:30", "`12:30`", "a whole day", ""),
    ("{id: E-1, on: 2026-04-01", "«{id: E-1, on: 1926-04-01", "before the car was built (1927)", "a day from", ""),
    ("from: 2026-03-01, to: 2026-03-09", "from: 2026-03-01, to: «2026-02-09", "ends before it begins", "`to` on", ""),
    ("from: 2026-07-01, until: 2026-07-31", "from: 2026-07-01, until: «2026-06-30", "before the first", "`until`", ""),
    ("from: 2026-01-01, until: 2026-12-31", "from: 2026-01-01, until: «2025-12-31", "before the first", "`until`", ""),
    ("by: HM, after: J-1", "by: HM, after: «J-2", "comes after itself", "came before", ""),
    ("    access: walking", "    after: «J-1\n    access: walking", "but J-1 is of 2026-06-01", "of that day or", ""),
    # Ids
    ("id: J-2", "id: «J-1", "the id `J-1` a second time (first on line", "an id of its own", ""),
    ("id: E-1", "id: «J-1", "the id `J-1` a second time", "an id of its own", ""),
    # Positions
    (FLANGE, "«L11: {flange_thickness: 1 in}", "the wheel `L11`, which the car has not got", "or `all`", "L1"),
    ("W-5 left: {flange", "«W-5 lefft: {flange", "the wheel `W-5 lefft`", "or `all`", "W-5 left"),
    ("      underframe: {", "      jumpers:\n        «all: {insulation: sound}\n      underframe: {", "has no jumper",
     "a jumper in the record", ""),
    ("      underframe: {", "      «rear_marker: {lit: yes}\n      underframe: {", "the rear marker",
     "lists no rear marker", ""),
    ("{at: B, spring_kind: coil}", "{at: «C, spring_kind: coil}", "spring 1 at `C`", "`B`, `A`", ""),
    ("{at: B, spring_kind: coil}", "«{spring_kind: coil}", "spring 1 without `at`", "the truck that it is on", ""),
    # What goes where
    ("      underframe: {", "      couplers:\n        B: {«coupler_type: type E}\n      underframe: {",
     "`coupler_type`, which is no reading", "a reading", ""),
    ("      underframe: {", "      trucks:\n        B: {«age: 9 years}\n      underframe: {",
     "`age`, which is no reading", "a reading", ""),
    ("  all: {coupler_type: type H}", "  B: {«coupler_height: 33 in}", "`coupler_height`, which is no description",
     "a description", ""),
    # Wheelsets, axles, the log
    ("{3: W-3, 4: W-4}", "{3: W-3, 4: «W-3}", "wheelset W-3 at axle 3 and at axle 4", "one axle", ""),
    ("{3: W-3, 4: W-4}", "{3: W-3, 4: «W-44}", "the wheelset `W-44`", "`W-4`", "W-4"),
    ("{3: W-3, 4: W-4}", "{3: W-3, 5: «W-4}", "axle 5, where axle 4 comes next", "without a gap", ""),
    ("W-5: {where: carried, axle", "W-5: {where: «fitted, axle", "no truck has W-5", "its axle", ""),
    ("W-4: {axle_class: D}", "W-4: {where: «carried, axle_class: D}", "but W-4 is at axle 4", "`where: fitted`", ""),
    ("W-6: {where: gone", "W-6: {where: «onthe shelf", "`onthe shelf`", "`on the shelf`", "on the shelf"),
    (J1, "«{id: J-1, on: 2026-06-01, did: wheelset renewed, at: 3, off: W-6, fitted: W-5}",
     "W-5 went on at axle 3, but afterwards W-3 is there", "`fitted: W-3`", ""),
    (J1, "«{id: J-1, on: 2026-06-01, did: wheelset renewed, at: 3, off: W-4, fitted: W-3}",
     "wheelset W-4 at axle 3 and, from the start of the log, at axle 4", "one axle at a time", ""),
    (J1, "{id: J-1, on: 2026-06-01, did: wheelset renewed, at: «5, off: W-6, fitted: W-3}", "at 5", "1, 2, 3, 4", ""),
    (J1, "«{id: J-1, on: 2026-06-01, did: wheelset renewed, at: 3, off: W-6}", "without `fitted`", "`fitted:", ""),
    (J2, "{id: J-2, on: 2026-06-02, did: wheels turned, at: L2, «off: W-6}", "`off` at", "only where a wheelset", ""),
    ("  - {spare: air hose, carried: 2, shelf: 1}", "  - {spare: wheelset, serial: «W-3, carried: 1}",
     "W-3 as a spare, but it is fitted", "fitted, or a spare", ""),
    ("  - {spare: air hose, carried: 2, shelf: 1}", "  - {spare: wheelset, serial: «W-5, carried: 1}",
     "a spare wheelset in this list", "under `wheelsets:`", ""),
    # Leaves, tests
    ("{id: LV-1, host: Kestrel & Northern, criterion: tread", "«{id: LV-1, host: Kestrel & Northern",
     "the key `criterion` is missing", "`criterion: …` here", ""),
    (TEST, "«{test: hand brake test, on: 2026-02-02, by: HM, result: passed}", "`hand brake test` without `at`",
     "which hand brake", ""),
    (TEST, "«{test: single-car brake test, on: 2026-02-02, by: HM}", "the key `result` is missing", "`result", ""),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "found", "expected", "near"), REFUSED)
def test_one_thing_wrong_is_told_at_its_place(old: str, new: str, found: str, expected: str, near: str) -> None:
    problem = problem_at_mark(old, new)
    assert found in problem.found
    assert expected in problem.expected
    assert problem.nearest == near


def test_the_sample_itself_is_read() -> None:
    assert car().mark == "QWHX 3"


def test_a_change_of_wheelset_inside_a_move_made() -> None:
    problem = problem_at_mark("  - {from: 2026-03-01, to: 2026-03-09", "  - «{from: 2026-05-01, to: 2026-06-09")
    assert "inside which J-1 put W-3 at axle 3" in problem.found
    assert problem.remedy == "write two moves, each with its own miles"


@pytest.mark.parametrize(("start", "end"), [("2026-05-20", "2026-06-01"), ("2026-06-01", "2026-06-09")])
def test_a_change_on_the_day_a_move_ends_or_begins_is_no_problem(start: str, end: str) -> None:
    made = car(changed("from: 2026-03-01, to: 2026-03-09", f"from: {start}, to: {end}")).moves_made
    assert made[0].out.isoformat() == start


def test_moves_made_that_overlap() -> None:
    more = "host: Kestrel & Northern}\n  - «{from: 2026-03-08, to: 2026-03-20, miles: 9 mi, host: K}\ntests:"
    assert "still under way" in problem_at_mark("host: Kestrel & Northern}\ntests:", more).found


OTHER = "  - {on: 2026-05-10, by: HM, readings: {wheels: {L1: {flange_thickness: «1 in}}}}\nevents:\n"


def test_two_sheets_of_one_day_that_disagree() -> None:
    problem = problem_at_mark("events:\n", OTHER)
    assert "a second reading of `flange_thickness` of wheel W-1 left on 2026-05-10" in problem.found
    assert problem.found.endswith(", line 35")
    assert "which disagrees with `" in problem.found
    assert "`after: ID`" in problem.remedy


@pytest.mark.parametrize(
    "value", ["15/16 in", "23.8125 mm", "{over: 7/8 in}", "{does_not_take_at: 7/8 in}", "not accessible (mud)"]
)
def test_two_sheets_of_one_day_that_agree_are_both_kept(value: str) -> None:
    record = car(changed("events:\n", OTHER.replace("«1 in", value)))
    kept = [one for one in record.evidence if one.part == "wheel W-1 left" and one.attribute == "flange_thickness"]
    assert {one.by.name for one in kept if one.by is not None} == {"RE", "HM"}


def test_of_a_bound_and_a_figure_the_figure_comes_last() -> None:
    record = car(changed("events:\n", OTHER.replace("«1 in", "{over: 7/8 in}")))
    kept = [one for one in record.evidence if one.part == "wheel W-1 left" and one.attribute == "flange_thickness"]
    assert [one.by.name for one in kept if one.by is not None] == ["HM", "RE"]


def test_a_reading_after_work_of_the_day_may_differ() -> None:
    text = changed('on: 2026-06-02, did: wheels turned, at: "L2, R2"', "on: 2026-05-10, did: wheels turned, at: L1")
    text = changed(", by: HM, after: J-1}", ", by: HM}", text)
    other = OTHER.replace("«", "").replace("by: HM", "by: HM, after: J-2")
    kept = [one for one in car(changed("events:\n", other, text)).evidence if one.attribute == "flange_thickness"]
    assert [sorted(one.after) for one in kept if one.part == "wheel W-1 left"] == [[], ["J-2"]]


@pytest.mark.parametrize(
    ("old", "new", "remedy"),
    [
        ("  all: {coupler_type: type H}", "  B: {coupler_height: 33 in}", "a dated sheet, under `sheets:`"),
        ("{control_valve: UC}", "{single_car_test: passed}", "write it under `tests:`"),
        ("name: Tern,", "name: Tern, liability_insurance: yes,", "write it under `papers:`"),
        ("{truck_kind: two-axle, axles: {1", "{truck_kind: two-axle, age: 9 years, axles: {1", "worked out from"),
        (FLANGE, "L1: {plate_shape: curved}", "in the section `wheels:` of the record, without a date"),
        (FLANGE, "L1: {rim_after_turning: 1 in}", "leave it out: it is worked out"),
        (
            FLANGE,
            "L1: {diameter: 36 in}",
            "write `nominal_diameter` in the section `wheels:` or ",
        ),
    ],
)
def test_what_stands_in_the_wrong_place_is_sent_to_the_right_one(old: str, new: str, remedy: str) -> None:
    found = problems_of(changed(old, new))
    assert [remedy in problem.remedy for problem in found] == [True]


def test_every_problem_of_a_file_is_told_at_once() -> None:
    text = CAR
    for old, new in (
        ("  RE: {role: owner}", "  RE: {role: ownr, extra: 1}"),
        ("by: RE", "bye: RE"),
        ("flange_height: 1-3/16 in", "flange_hight: 1-3/16 in"),
        ("cause: hand brake left on", "cause: nobody knows"),
        ("result: passed", "result: good, colour: green"),
        ("carried: 2", "carried: some"),
        ("until: 2026-12-31", "until: 2026-13-31"),
        ("off: W-6", "off: W-66"),
        ("signed_by: M. Ouzel", "signd_by: M. Ouzel"),
    ):
        text = changed(old, new, text)
    words = "\n".join(f"{problem.where}: {problem.found} {problem.nearest}" for problem in problems_of(text))
    for word in ("`ownr`", "`extra`", "`by` is missing", "`bye`", "`flange_hight`", "nobody knows", "`good`",
                 "`colour`", "`some`", "2026-13-31", "`W-66`", "`signd_by`", "`signed_by` is missing"):  # fmt: skip
        assert word in words, word


def test_a_problem_of_a_shared_value_is_reported_once() -> None:
    text = changed("{at: B, spring_kind: coil}", "&s {at: B, spring_kind: cool}")
    assert len(problems_of(changed("{at: A, spring_kind: elliptic}", "*s", text))) == 1


def test_a_truck_a_counted_before_truck_b() -> None:
    text = changed("{3: W-3, 4: W-4}", "{1: W-3, 2: «W-4}").replace("{1: W-1, 2: W-2}", "{3: W-1, 4: W-2}")
    text = changed("at: 3, off: W-6", "at: 1, off: W-6", text)
    before, _, after = text.partition("«")
    (problem,) = problems_of(before + after)
    assert problem.found == "axle 2 of truck A numbered before axle 3 of truck B"
    assert problem.where.line == before.count("\n") + 1


def test_what_follows_from_a_wrong_number_of_an_axle_is_left_out() -> None:
    text = changed("id: J-2, on: 2026-06-02, did: wheels turned, at: \"L2, R2\"",
                   "id: J-2, on: 2026-06-02, did: wheels turned, at: \"L4, R4\"")  # fmt: skip
    text = changed("at: 3, off", "at: 4, off", text)
    text = changed("{flange_thickness: 15/16 in, flange", "{rim_thickness: 1 in}\n        L4: {flange", text)
    found = [problem.found for problem in problems_of(changed("{3: W-3, 4: W-4}", "{3: W-3, 5: W-4}", text))]
    assert found == ["axle 5, where axle 4 comes next"]
    found = [problem.found for problem in problems_of(changed("{3: W-3, 4: W-4}", "{3: W-3, x: W-4}", text))]
    assert found == ["the axle `x`"]


def test_a_position_of_no_axle_is_told_beside_a_wrong_number() -> None:
    text = changed("L1: {flange_thickness", "L1x: {flange_thickness", changed("{3: W-3, 4: W-4}", "{3: W-3, 5: W-4}"))
    assert [problem.found for problem in problems_of(text)] == [
        "axle 5, where axle 4 comes next", "the wheel `L1x`, which the car has not got"
    ]  # fmt: skip


@pytest.mark.parametrize("wrong", ["text", "[text]"])
def test_a_car_that_is_no_mapping_is_reported_once(wrong: str) -> None:
    found = [problem.found for problem in problems_of(f"format: carknocker-car/1\ncar: {wrong}\n")]
    assert len(found) == 1, found


def test_trucks_that_are_no_mapping_are_reported_once() -> None:
    found = problems_of("format: carknocker-car/1\ncar: {mark: Q 1}\ntrucks: two\n")
    assert [problem.expected for problem in found] == ["trucks: a mapping"]


def test_a_car_stands_on_two_trucks_of_two_axles_at_least() -> None:
    """A record without a truck, or without an axle of it, would have fewer parts to pass."""
    start = "format: carknocker-car/1\ncar: {mark: Q 1}\nwheelsets: {W-1: {}, W-2: {}, W-3: {}}\ntrucks:\n"
    two, one = "{axles: {1: W-1, 2: W-2}}", "{axles: {3: W-3}}"
    for trucks, expected in (
        (f"  B: {two}\n", ["no truck A: a car stands on two"]),
        (f"  A: {two}\n", ["no truck B: a car stands on two"]),
        (f"  B: {two}\n  A: {one}\n", ["truck A with one axle"]),
    ):
        assert [problem.found for problem in problems_of(start + trucks)] == expected
    whole = start.replace("W-3: {}", "W-3: {}, W-4: {}") + f"  B: {two}\n  A: {{axles: {{3: W-3, 4: W-4}}}}\n"
    assert problems_of(whole) == ()


def test_a_car_without_trucks() -> None:
    found = problems_of("format: carknocker-car/1\ncar: {mark: Q 1}\n")
    assert [problem.found for problem in found] == ["a car without axles"]
