"""Likely slips of the pen, each refused at its line with the reason; and that honest records are not."""

import pytest
from record_samples import CAR, MOVE, changed, problems_of


def read(readings: str, on: str = "2026-05-20", text: str = CAR) -> str:
    """The record with a sheet of more readings."""
    return changed("events:\n", f"  - {{on: {on}, by: RE, readings: {{{readings}}}}}\nevents:\n", text)


def described(old: str, more: str, text: str = CAR) -> str:
    """The record with more descriptions before the closing brace of a place in it."""
    return changed(old, f"{old.removesuffix('}')}, {more}}}", text)


def with_section(section: str) -> str:
    return changed("sheets:\n", f"{section}\nsheets:\n")


SPRING = "{at: B, spring_kind: coil}"
TRUCK = "B: {truck_kind: two-axle, axles: {1: W-1, 2: W-2}}"
CYLINDERS = "brake_cylinders: {1: {at: B, mounting: body, nominal_stroke: 12 in}}"
W1 = "W-1: {axle_class: D, bearings: {class: plain}, right_bearing: {class: cartridge plain}}"
W2 = "W-2: {axle_class: D, wheels: {plate_shape: curved}}"
W3, W6 = "W-3: {axle_class: D}", "W-6: {where: gone, axle_class: D}"

# what slipped: the record with it, the line's fault, what was expected
SLIPS = {
    # wheels
    "decimal comma": (read('wheels: {L2: {flange_thickness: "22,225 mm"}}'), "875 in", "1-3/4 in"),
    "comma after a zero": (read('wheels: {L2: {flange_height: "0,625 in"}}'), "comma stands after a zero", "a length"),
    "rim of 500 in": (read("wheels: {L2: {rim_thickness: 500 in}}"), "`500 in`", "from 1/8 in to 4-1/2 in"),
    "rim in millimeters as inches": (read("wheels: {L2: {rim_thickness: 57 in}}"), "`57 in`", "4-1/2 in"),
    "no flange": (read("wheels: {L2: {flange_thickness: 0 in}}"), "`0 in`", "from 1/8 in"),
    "second flat longer": (
        read("wheels: {L2: {flat_spot_length: 1 in, second_flat_length: 2 in}}"),
        "2 in", "`second_flat_length` at most `flat_spot_length`",
    ),
    "a crack of all axles that are sound": (
        read('axles: {all: {crack: yes}, "1, 2, 3, 4": {crack: no}}'), "`crack` of `all`", "one of the two",
    ),
    "second shell longer": (
        read("wheels: {L2: {shelled_spot_length: 1 in, second_shelled_length: 2 in}}"),
        "2 in", "`second_shelled_length` at most `shelled_spot_length`",
    ),
    "flat longer than the wheel": (
        read("wheels: {L2: {flat_spot_length: 36 in, measured_diameter: 36 in}}"),
        "36 in", "`flat_spot_length` under `measured_diameter`",
    ),
    "flat longer than a new wheel": (
        read("wheels: {L2: {flat_spot_length: 37 in}}", text=described(W2, "left_wheel: {nominal_diameter: 36 in}")),
        "37 in", "under `nominal_diameter` plus 1 in",
    ),
    "emergency valve that is not there works": (
        read("brake_system: {emergency_valve_works: yes, emergency_valve_marked: no valve}"),
        "no valve", "`emergency_valve_marked` marked or not marked",
    ),
    "groove that is not": (
        read("wheels: {L2: {limit_groove_visible: yes}}", text=described(W2, "left_wheel: {limit_groove: no}")),
        "`limit_groove_visible` yes", "`limit_groove` yes",
    ),
    "tape with two bases": (
        read("wheels: {L2: {tape_id: T-1, tape_base: 100 in}, R2: {tape_id: T-1, tape_base: 101 in}}"),
        "101 in", "one `tape_base` of tape_id T-1",
    ),
    "a tape number with one figure too many": (
        read("wheels: {L2: {tape_id: T-1, tape_size: 980 tapes}, R2: {tape_id: T-1, tape_size: 98 tapes}}"),
        "98 tapes", "`tape_size` within 76 tapes of tape_id T-1",
    ),
    "smallest over largest": (
        read("wheelsets: {W-2: {back_to_back: 53-1/4 in, back_to_back_largest: 53-1/8 in}}"),
        "53-1/4 in", "`back_to_back` at most `back_to_back_largest`",
    ),
    "flanges wider than the track": (
        read("wheelsets: {W-2: {back_to_back_largest: 54 in}}, wheels: {L2: {flange_thickness: 1-9/16 in}, "
             "R2: {flange_thickness: 1-1/2 in}}"),
        "1-1/2 in", "added: at most 57 in",
    ),
    "axle shorter than its centers": (
        described(W2, "journal_centers: 77 in, axle_length: 77 in"), "77 in", "`journal_centers` under `axle_length`",
    ),
    "plain bearing with rollers": (
        described(W2, "bearings: {class: plain, rollers: tapered}"), "`rollers` tapered", "`rollers` none",
    ),
    "sealed bearing without rollers": (
        described(W2, "left_bearing: {class: sealed tapered cartridge, rollers: none}"), "none", "`rollers` tapered",
    ),
    # dates
    "wheel made after it was mounted": (
        described(W2, "left_wheel: {made_on: 2020-05}, mounted_on: 2019-01-05"),
        "2019-01-05", "`made_on` of each wheel",
    ),
    "axle made after its wheels were mounted": (
        described(W2, "axle: {made_on: 2020-05}, mounted_on: 2019-01-05"), "2019-01-05", "`made_on` of each axle",
    ),
    "bearing reconditioned after it was applied": (
        described(W2, "left_bearing: {reconditioned_on: 2020-05-02, applied_on: 2020-05-01}"),
        "2020-05-01", "`reconditioned_on` at most `applied_on`",
    ),
    "a year ten off": (described(W2, "mounted_on: 1819"), "`1819`", "from 1880"),
    "drained after its sheet": (
        read("bearings: {L2: {last_lubricated_on: 2026-06-01}}"), "2026-06-01", "the day of the sheet (2026-05-20)",
    ),
    "rebuilt before it was built": (changed("built_on: 1927", "built_on: 1927, rebuilt_on: 1926"), "1926", "1927"),
    "hose marked after it was put on": (
        changed("work:\n", "work:\n  - {id: J-9, on: 2026-06-03, did: hose renewed, at: 1, by: HM}\n",
                with_section("air_hoses: {1: {at: B, hose_kind: brake pipe, date_marked: 2026-07}}")),
        "2026-07", "a day not after 2026-06-03",
    ),
    # serials
    "one serial on two wheelsets": (
        described(W3, "serial_or_own_mark: K 7", described(W2, "serial_or_own_mark: k 7")), "K 7", "of its own",
    ),
    "one serial on a wheelset that is gone": (
        described(W6, "serial_or_own_mark: K 7", described(W2, "serial_or_own_mark: K 7")), "K 7", "of its own",
    ),
    "one serial on both wheels": (described(W2, "bearings: {serial: B 12}"), "B 12", "of its own for each bearing"),
    "one serial on two axles": (
        described(W3, "axle: {serial: X 1}", described(W2, "axle: {serial: X 1}")), "X 1", "of its own for each axle",
    ),
    "the spare's serial is the one on the car": (
        changed("spares:\n", "spares:\n  - {spare: service portion, serial: S-4, carried: 1}\n",
                changed("{control_valve: UC}", "{control_valve: UC, service_portion_serial: S-4}")),
        "the spare service portion S-4", "the serial of the spare",
    ),
    # trucks and springs
    "three axles in a two-axle truck": (
        changed("truck_kind: two-axle, axles: {1", "truck_kind: three-axle, axles: {1"),
        "three-axle of truck B, which has 2", "3 of axle position",
    ),
    "axles nearer than their wheels": (
        described(TRUCK, "axle_spacing: 36 in", described(W2, "left_wheel: {nominal_diameter: 36 in}")),
        "36 in", "`nominal_diameter` of each wheel under `axle_spacing`",
    ),
    "spring seat beyond the next axle": (
        described(TRUCK, "axle_spacing: 84 in, equalizer_seat_from_end_axle: 86 in"), "86 in", "under `axle_spacing`",
    ),
    "broken springs of how many": (
        read("springs: {1: {coils_broken: 3}}", text=described(SPRING, "springs_in_nest: 2")),
        "3", "`coils_broken` at most `springs_in_nest`",
    ),
    "spring higher under load": (
        read("springs: {1: {bolster_spring_height: 9 in, free_height: 9 in}}"), "9 in", "under `free_height`",
    ),
    "side bearing touches with a gap": (
        read("side_bearings: {BL: {in_contact: yes, clearance: 1/16 in}}"), "1/16 in", "`clearance` at most 1/32 in",
    ),
    "side bearing clear without a gap": (
        read("side_bearings: {BL: {in_contact: no, clearance: 0 in}}"), "0 in", "`clearance` over 0 in",
    ),
    "liner of no pieces": (
        read("center_plates: {B: {liner_pieces: 0, liner_thickness: 1/4 in}}"), "1/4 in", "at most 0 in",
    ),
    # weights and sizes of the car
    "thousands of pounds as pounds": (read("car: {gross_weight: 74 lb}"), "`74 lb`", "from 20000 lb to 320000 lb"),
    "one zero too many": (read("car: {gross_weight: 743000 lb}"), "743000 lb", "from 20000 lb to 320000 lb"),
    "coupler in millimeters": (read("couplers: {B: {coupler_height: 33 mm}}"), "1.299 in", "from 20 in to 46 in"),
    "truck centers of the whole car": (
        changed("built_on: 1927", "built_on: 1927, truck_centers: 79 ft, length_over_couplers: 84 ft"),
        "79 ft", "`truck_centers` under `length_over_couplers` less 6 ft",
    ),
    "eaves over the roof": (
        changed("built_on: 1927", "built_on: 1927, eave_height: 15 ft, height_over_rail: 14 ft"),
        "15 ft", "`eave_height` at most `height_over_rail`",
    ),
    # brakes
    "travel beyond the cylinder": (
        read("brake_cylinders: {1: {piston_travel: 14-1/8 in}}", text=with_section(CYLINDERS)),
        "14-1/8 in", "`piston_travel` at most `nominal_stroke` plus 2 in",
    ),
    "more valves work than there are": (
        read("brake_system: {control_valves_operative: 3}", text=changed(
            "{control_valve: UC}", "{control_valve: UC, control_valves: 2}"
        )),
        "3", "at most `control_valves`",
    ),
    "kilopascals as pounds": (
        read("brake_system: {safety_valve_setting: 414 psi}"), "414 psi", "from 10 psi to 250 psi",
    ),
    # electricity
    "less voltage aboard than in the line": (
        with_section("head_end_power: {fitted: yes, voltage: 480}\nelectrical: {highest_voltage: 64}"),
        "64 of electrical, and `voltage` 480 of head-end power",
        "`voltage` of each head-end power at most `highest_voltage`",
    ),
    # water
    "a tank that is not": (
        with_section("water: {retention_tank: no, retention_tank_size: 30 gal}"), "30 gal", "at most 0 gal",
    ),
    # the move
    "passengers in a train without": (
        changed("speed: 70 mph", "speed: 70 mph, carries_passengers: no", MOVE),
        "with passengers in this car", "`carries_passengers: yes`",
    ),
    "passengers elsewhere in a freight train": (
        changed("rides: passengers", "rides: crew", changed("train: passenger", "train: freight",
            changed("speed: 70 mph", "speed: 70 mph, carries_passengers: yes", MOVE))),
        "a freight train that carries passengers, with `public_rides` not said", "`train: passenger`",
    ),
    "the public in a freight train": (
        changed("rides: passengers", "rides: nobody, public_rides: yes",
            changed("train: passenger", "train: freight", MOVE)),
        "a freight train in which the general public rides", "`train: passenger`",
    ),
    "the public elsewhere in a freight train": (
        changed("rides: passengers", "rides: crew, public_rides: yes", changed("train: passenger", "train: freight",
            changed("speed: 70 mph", "speed: 70 mph, carries_passengers: yes", MOVE))),
        "a freight train that carries passengers, with `public_rides` yes", "`train: passenger`",
    ),
    "a train faster than it may run with all its brakes": (
        changed("speed: 70 mph", "speed: 70 mph, maximum_allowable_speed: 69 mph", MOVE),
        "69 mph", "`speed` at most `maximum_allowable_speed`",
    ),
    "more pressure at the rear": (
        changed("speed: 70 mph", "speed: 70 mph, brake_pipe_pressure: 90 psi, rear_pressure: 95 psi", MOVE),
        "95 psi", "`rear_pressure` at most `brake_pipe_pressure`",
    ),
    "more cars in direct release than cars": (
        changed("speed: 70 mph", "speed: 70 mph, cars: 9, direct_release_cars: 10", MOVE),
        "10", "`direct_release_cars` at most `cars`",
    ),
    "feet of radius as degrees": (
        changed("gross_limit: 220000 lb", "sharpest_curve: 573°", MOVE), "573°", "from 0° to 75°",
    ),
    "bar as pounds": (changed("speed: 70 mph", "speed: 70 mph, brake_pipe_pressure: 7 psi", MOVE), "7 psi", "30 psi"),
    "asked for after it went": (
        changed("rides: passengers", "rides: passengers, requested_on: 2026-11-07", MOVE), "2026-11-07", "the day out",
    ),
    "a tour of two years": (
        changed("back: 2026-11-22", "back: 2028-11-22", MOVE), "more than a year", "2027-11-06 or earlier",
    ),
    "a leg that no train makes in a day": (
        changed(
            "miles: 212 mi", "miles: 2120 mi, on: 2026-11-06, until: 2026-11-06",
            changed("back: 2026-11-22", "back: 2026-11-06", MOVE),
        ),
        "in 1 day at 70 mph", "70 mph",
    ),
    # people, gauges, papers, lists
    "a gauge due in fifty years": (
        changed("checked: 2026-03-01, due: 2027-03-01", "checked: 2026-03-01, due: 2076-03-01"),
        "2076-03-01", "from the day of its check (2026-03-01) to the day of its check + 30 years (2056-03-01)",
    ),
    "a gauge that reads to feet": (changed("reads_to: 1/16 in", "reads_to: 16 in"), "16 in", "to 1/8 in"),
    "a finger gauge that reads too fine": (
        changed("reads_to: 1/16 in", "reads_to: 1/64 in"), "the gauge G-2 reading to",
        "a finger gauge that reads from 0.020 in to 1/8 in",
    ),
    "a finger gauge that reads a little too coarse": (
        changed("reads_to: 1/16 in", "reads_to: 9/64 in"), "9/64 in", "to 1/8 in",
    ),
    "an air gauge that reads in steps of 10": (changed("1 psi}", "10 psi}"), "reading to 10 psi", "to 2 psi"),
    "a gauge of ours that reads in feet": (
        changed("gauges:\n", "gauges:\n  X-1: {kind: our own, reads_to: 1-1/2 in}\n"),
        "X-1 reading to 1-1/2 in", "to 1 in",
    ),
    "more uncertain than a gauge that is fit for use": (
        changed("reads_to: 1/16 in,", "reads_to: 1/16 in, uncertainty: 1/32 in,"),
        "an uncertainty of 1/32 in (kind: finger gauge)", "at most 1/64 in",
    ),
    "a gauge of ours more uncertain than its step": (
        changed("gauges:\n", "gauges:\n  X-1: {kind: our own, reads_to: 1/64 in, uncertainty: 1/32 in}\n"),
        "an uncertainty of 1/32 in", "at most 1/64 in",
    ),
    "a gauge of ours that says only how uncertain it is": (
        changed("gauges:\n", "gauges:\n  X-1: {kind: our own, uncertainty: 1/32 in}\n"),
        "an uncertainty of 1/32 in", "what the gauge reads to as well",
    ),
    "the uncertainty of a rule": (
        changed("gauges:\n", "gauges:\n  R-1: {kind: rule, reads_to: 1/32 in, uncertainty: 1/64 in}\n"),
        "an uncertainty of 1/64 in", "no paper states one of such a gauge",
    ),
    "a paper of two hundred years": (
        changed("until: 2026-12-31, names", "until: 2126-12-31, names"), "2126-12-31", "its first day + 99 years",
    ),
    "a leave of thirty years": (changed("until: 2026-07-31", "until: 2056-07-31"), "2056-07-31", "+ 20 years"),
    "a move made for ten years": (
        changed("from: 2026-03-01, to", "from: 2016-03-01, to"), "more than a year", "2017-03-01",
    ),
    "miles of a move as feet": (changed("miles: 640 mi", "miles: 64000 mi"), "64000 mi", "from 0 mi to 15000 mi"),
    "a thousand spares": (changed("carried: 2,", "carried: 2000,"), "2000", "from 0 to 1000"),
    "a list with an item twice": (
        described(TRUCK, "connections_to_body: [air hose, brake rod, air hose]"), "`air hose` a second time",
        "each once",
    ),
    "a host twice": (
        changed("accepted_by: [Kestrel & Northern]", "accepted_by: [Kestrel & Northern, Kestrel & Northern]"),
        "a second time", "each once",
    ),
    "a hand brake on an axle that is not there": (
        changed("{hand_brake_kind: geared wheel}", '{hand_brake_kind: geared wheel, acts_on: ["1", "7"]}'),
        "axle `7`", "`1`, `2`, `3`, `4`",
    ),
    "a hand brake that acts on no axle": (
        changed("{hand_brake_kind: geared wheel}", "{hand_brake_kind: geared wheel, acts_on: []}"),
        "`acts_on` with nothing in it", "at least one",
    ),
    "two ends stenciled A": (
        with_section("ends: {B: {end_stencil: A}, A: {end_stencil: A}}"), "A of end B", "B or none",
    ),
    "an end stenciled as the other": (with_section("ends: {A: {end_stencil: B}}"), "B of end A", "A or none"),
    "a brass in a roller bearing": (
        changed("after: J-1}", "after: J-1}\n  - {id: J-3, on: 2026-06-03, did: brass or wedge renewed, at: L1}",
                changed("bearings: {class: plain}, right", "bearings: {class: oil-lubricated roller}, right")),
        "the job `brass or wedge renewed` on bearing W-1 left", "`class` plain or cartridge plain",
    ),
    "cap screws of a plain bearing": (
        changed("after: J-1}", "after: J-1}\n  - {id: J-3, on: 2026-06-03, did: cap screws or locks renewed, at: L1}"),
        "the job `cap screws or locks renewed` on bearing W-1 left", "`class` sealed tapered cartridge or",
    ),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_refused_at_its_line(slip: str) -> None:
    text, found, expected = SLIPS[slip]
    problems = problems_of(text)
    told = [(problem.found, problem.expected) for problem in problems]
    assert len(problems) == 1, told
    assert found in problems[0].found, told
    assert expected in problems[0].expected, told
    assert problems[0].remedy


def test_both_being_sure_lets_an_odd_pair_pass() -> None:
    pair = "measured_diameter: {reads: 36 in, sure: taped}, flat_spot_length: {reads: 36 in, sure: dragged}"
    assert problems_of(read(f"wheels: {{L2: {{{pair}}}}}")) == ()
    assert len(problems_of(read(f"wheels: {{L2: {{{pair.replace(', sure: taped', '')}}}}}"))) == 1


HONEST = {
    "ends that are equal": read("wheels: {L2: {flat_spot_length: 2 in, second_flat_length: 2 in}}"),
    "a flat just shorter than the wheel": read("wheels: {L2: {flat_spot_length: 35-7/8 in, measured_diameter: 36 in}}"),
    "76 tapes apart": read(
        "wheels: {L2: {tape_id: T-1, tape_size: 174 tapes}, R2: {tape_id: T-1, tape_size: 98 tapes}}"
    ),
    "a car as high in volts as its line": with_section(
        "head_end_power: {fitted: yes, voltage: 480}\nelectrical: {highest_voltage: 480}"
    ),
    "a car without power, in a train without passengers": changed(
        "rides: passengers", "rides: crew", changed("speed: 70 mph", "speed: 70 mph, carries_passengers: no", MOVE)
    ),
    "a train as fast as it may run with all its brakes": changed(
        "speed: 70 mph", "speed: 70 mph, maximum_allowable_speed: 70 mph", MOVE
    ),
    "guests elsewhere in a freight train": changed(
        "rides: passengers", "rides: crew, public_rides: no", changed("train: passenger", "train: freight",
            changed("speed: 70 mph", "speed: 70 mph, carries_passengers: yes", MOVE))
    ),
    "a move made of a year": changed("from: 2026-03-01, to", "from: 2025-03-09, to"),
    "57 inches over the flanges": read(
        "wheelsets: {W-2: {back_to_back_largest: 54 in}}, "
        "wheels: {L2: {flange_thickness: 1-1/2 in}, R2: {flange_thickness: 1-1/2 in}}"
    ),
    "one flange read": read(
        "wheelsets: {W-2: {back_to_back_largest: 56 in}}, wheels: {L2: {flange_thickness: 1-1/2 in}}"
    ),
    "a wheel of the year it was mounted": described(W2, "left_wheel: {made_on: 2019}, mounted_on: 2019-01-05"),
    "read on two days": read(
        "wheels: {L2: {second_flat_length: 2 in}}", "2026-05-21",
        read("wheels: {L2: {flat_spot_length: 1 in}}", "2026-05-20"),
    ),
    "two makers with one serial": described(
        W3, "left_wheel: {serial: K 7, maker: Iron Works}", described(W2, "left_wheel: {serial: K 7, maker: Steel Co}")
    ),
    "travel to two inches over the stroke": read(
        "brake_cylinders: {1: {piston_travel: 14 in}}", text=with_section(CYLINDERS)
    ),
    "a move of a year": changed("back: 2026-11-22", "back: 2027-11-06", MOVE),
    "a longer move that is sure": changed(
        "back: 2026-11-22", "back: 2028-11-22, sure: an exhibit train on tour", MOVE
    ),
    "a gauge that is never due": changed("checked: 2026-03-01, due: 2027-03-01", "checked: 2026-03-01, due: never"),
    "a person without an end": changed("until: 2027-03-31}", "until: no end}"),
    "a paper without an end": changed("until: 2026-12-31, names", "until: no end, names"),
    "both ends stenciled": with_section("ends: {B: {end_stencil: B}, A: {end_stencil: A}}"),
    "no stencils": with_section("ends: {all: {end_stencil: none}}"),
    "a stencil that the owner is sure of": with_section(
        "ends: {A: {end_stencil: {reads: B, sure: painted wrong in 2019}}}"
    ),
    "a brass in a plain bearing": changed(
        "after: J-1}", "after: J-1}\n  - {id: J-3, on: 2026-06-03, did: brass or wedge renewed, at: \"L1, R1\"}"
    ),
    "a brass before the roller bearing came": changed(
        "after: J-1}",
        "after: J-1}\n  - {id: J-3, on: 2026-06-03, did: brass or wedge renewed, at: L1}"
        "\n  - {id: J-4, on: 2026-06-04, did: bearing renewed, at: L1}",
        changed("bearings: {class: plain}, right", "bearings: {class: oil-lubricated roller}, right"),
    ),
    "a gauge due in thirty years": changed("due: 2027-03-01", "due: 2056-03-01"),
}  # fmt: skip


@pytest.mark.parametrize("honest", HONEST)
def test_an_honest_record_is_not_refused(honest: str) -> None:
    assert [problem.found for problem in problems_of(HONEST[honest])] == []


def test_there_are_as_many_slips_as_were_asked_for() -> None:
    assert len(SLIPS) >= 60


@pytest.mark.parametrize(
    ("word", "near", "remedy"),
    [
        ("no crack", "sound", ""),
        ("not cracked", "sound", ""),
        ("uncracked", "sound", ""),
        ("unworn", "", ""),
        ("crackd", "cracked", ""),
        ("n/a", "", "leave it out, or say `not accessible (why)`"),
        ('"-"', "", "leave it out, or say `not accessible (why)`"),
        ('"?"', "", "leave it out, or say `not accessible (why)`"),
        ("unknown", "", "leave it out, or say `not accessible (why)`"),
    ],
)
def test_a_denial_is_never_suggested_to_be_a_fault(word: str, near: str, remedy: str) -> None:
    [problem] = problems_of(read(f"couplers: {{B: {{knuckle_condition: {word}}}}}"))
    assert (problem.nearest, problem.remedy) == (near, remedy)
