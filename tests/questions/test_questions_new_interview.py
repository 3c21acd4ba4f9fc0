"""The interview on a terminal: what is asked, what an answer may be, and that a wrong one is asked again."""

import pytest
from interview_samples import Typist, written

from carknocker.documents import InputRefused
from carknocker.questions.new.answers import Answers, read_answers_file, read_options
from carknocker.questions.new.ask import starter_record
from carknocker.questions.new.kept_answers import answers_text
from carknocker.questions.new.terminal import interview_on
from carknocker.record import read_car_text, read_move_text
from carknocker.record.values import Count, Word
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import load_interview

DAYS = {"out": "2026-11-06", "back": "2026-11-22", "counted_on": "2026-09-01", "weighed_on": "2026-09-01"}
PEOPLE_EXPECTED = (
    "    expected: a short name and what is said of it: "
    "`HM: shop inspector; Hal Mott; telephone 555-0142; accepted by A Host Railroad until 2030-12-31`"
)
LINES = {  # what is typed, by questions that are tried together; a screen may ask several of these
    1: ["QZZX 9", "Example", "1", "coach"],
    2: ["1949", "1", "y"],
    3: ["", "2", "yes"],
    4: ["1", "", "air hose, 2"],
    5: ["2"],
    6: ["7", "graduated", "no", "yes"],
    7: ["yes", "truck"],
    8: ["1", "type H"],
    9: ["B"],
    10: ["no", "no", "1"],
    11: ["none", "no", "yes", ""],
    12: ["120,000 lb", "", "", ""],
    13: ["air hose: 1, hose gasket: 4"],
    14: ["HM: shop inspector; Hal Mott; accepted by An Inland Railroad until 2030-12-31", ""],
    15: ["G-1: finger gauge; reads to 1/32 in; checked 2026-03-01; due 2028-03-01", ""],
    16: ["", "Jane Doe", ""],
    17: ["An Inland Railroad", "passenger", "", "", "nobody"],
    18: ["Quillon Junction", "Tarn Bridge", "96 mi", "", ""],
    19: ["85 ft", "", "", "", "2026-10-01", "", "yes", "", ""],
}


def asked(changes: dict[int, list[str]] | None = None) -> tuple[Answers, Typist]:
    typist = Typist(line for lines in {**LINES, **(changes or {})}.values() for line in lines)
    found = interview_on(typist, load_interview(), Answers({}, "your answers"), ("Kestrel & Northern",), DAYS)
    assert typist.lines == []
    return found, typist


def record_of(found: Answers) -> str:
    return starter_record(found, load_interview())[0].text


def test_fifteen_screens_make_a_record() -> None:
    found, typist = asked()
    titles = [line for line in typist.shown if " of 15: " in line]
    assert [line.partition(" ")[0] for line in titles] == [str(number) for number in range(1, 16)]
    car = read_car_text(record_of(found), "car.yaml")
    said = {(one.part, one.attribute): one.value for one in car.evidence}
    assert said["truck B", "frame"] == said["truck A", "frame"] == Word("one-piece cast")
    assert said["bearing W-4 right", "class"] == Word("grease-lubricated roller")
    assert said["brake system", "control_valve"] == Word("D-22")
    assert (said["end B", "hand_brake_at_this_end"], said["end A", "hand_brake_at_this_end"]) == (
        Word("yes"),
        Word("no"),
    )
    assert said["truck B", "equalizer_springs"] == Count(4)
    assert ("truck B", "axles_held_by") not in said


@pytest.mark.parametrize("number", range(1, 7))
def test_each_kind_of_car_is_asked_on_fifteen_screens(number: int) -> None:
    kinds = tuple(load_interview().kinds_of_car)
    assert len(kinds) == 6
    found, typist = asked({1: ["QZZX 9", "Example", str(number), "coach"]})
    assert kinds[number - 1] in found.by_key["kind_of_car"].values()
    assert len({line for line in typist.shown if " of 15: " in line}) == 15


def test_the_answers_typed_are_those_of_a_file() -> None:
    """What the file says word for word makes the same record as what is typed in short."""
    found, _ = asked()
    text = """
mark: QZZX 9
name: Example
kind_of_car: lightweight passenger car
car_kind: coach
built_on: 1949
designed_to_carry: the public
private_car: yes
truck_kind: two-axle
frame: one-piece cast
equalized: yes
held_to_body_by: locking center pin
connections_to_body: [air hose, brake rod]
bearing_class: grease-lubricated roller
control_valve: D-22
release_mode: graduated
main_reservoir_line: no
signal_line: yes
braked: yes
mounting: truck
end_kind: wide vestibule
coupler_type: type H
hand_brake: B
head_end_power: no
communication_line: no
water: yes
gas_system: none
combustion_equipment: no
battery: yes
light_weight: 120,000 lb
spares: {air hose: 1, hose gasket: 4}
people: {HM: shop inspector; Hal Mott; accepted by An Inland Railroad until 2030-12-31}
gauges: {G-1: finger gauge; reads to 1/32 in; checked 2026-03-01; due 2028-03-01}
numbers: as offered
counted_by: Jane Doe
counted_on: 2026-09-01
host: An Inland Railroad
train: passenger
out: 2026-11-06
back: 2026-11-22
rides: nobody
from: Quillon Junction
to: Tarn Bridge
miles: 96 mi
length_over_couplers: 85 ft
requested_on: 2026-10-01
power_wanted: yes
"""
    car, move = starter_record(found, load_interview())
    assert (car.text, move.text) == written(text)


@pytest.mark.parametrize(
    ("group", "lines", "shown"),
    [
        (3, ["six-wheel trucks", "", "2", "yes"], "    nearest right word: three-axle"),
        (3, ["?", "", "2", "yes"], "    This one has to be answered."),
        (5, ["B", "1-2: 4, 3-4: plain"], "    Found `B` for `class`"),
        (8, ["B: 1, C: 4", "1", "type H"], "    Found the position `C`, which is not known"),
        (3, ["", "B", "2", "yes"], "    Found `B` for `frame`"),
        (7, ["1, 3", "yes", "truck"], "    Found `1, 3` for `braked`"),
        (9, ["no", "none"], "    nearest right word: none"),
        (12, ["19,999 lb", "", "", "", ""], "    expected: from 20000 lb to 300000 lb"),
        (9, ["C", "B"], "    Found the place `C`, which is not known"),
        (11, ["none", "no", "yes", "high", ""], "    expected: a whole number"),
        (
            12,
            ["120,000 klb", "120,000 lb", "", "", ""],
            "    Found the unit `klb` in `120,000 klb`, which is no unit that is read here for `light_weight`",
        ),
        (13, ["air hoses: 1", "air hose: 1"], "    nearest right word: air hose"),
        (13, ["brass: 3", "plain bearing parts: 3"], "    nearest right word: plain bearing parts"),
        (
            14,
            ["HM", "HM: shop inspector", ""],
            PEOPLE_EXPECTED,
        ),
        (14, ["HM: chief", "HM: owner", ""], "    Found the role `chief`, which is not known"),
        (14, ["HM: owner; Hal; Mott", ""], "    Found `Mott` in what is said of HM"),
        (14, ["HM: owner; accepted by X until soon", ""], "    Found `soon`"),
        (14, ["Hal Mott: owner", "HM: owner", ""], "    Found the short name `Hal Mott`"),
        (15, ["G-1: steel wheel gauge", ""], "    nearest right word: finger gauge"),
        (15, ["G-1: finger gauge; resolves 1/32 in", ""], "    Found `resolves 1/32 in` in what is said of G-1"),
        (15, ["G-1: finger gauge; reads to 1 psi", ""], "    Found `1 psi`, which no finger gauge reads to"),
        (
            15,
            ["G-1: finger gauge; checked 2026-03-01; due 2025-03-01", ""],
            "    expected: `due`: the day of its next check, 2026-03-01 or later",
        ),
        (16, ["99=2", "", "Jane Doe", ""], "    expected: a line from 1 to 14, `=`, and how many"),
        (16, ["3=9", "", "Jane Doe", ""], "    Found `9` for `bolster_springs`, which is not usual"),
        (16, ["", "Jane Doe (chief)", "Jane Doe", "yesterday", ""], "    Found `yesterday` for `counted_on`"),
        (17, ["An Inland Railroad", "freight train", "2", "", "", "nobody"], "    nearest right word: freight"),
        (17, ["An Inland Railroad", "passenger", "", "", "owner", "1"], "    nearest right word: passengers"),
        (17, ["An Inland Railroad", "passenger", "soon", "", "", "nobody"], "    Found `soon` for `out`"),
        (
            18,
            ["Quillon Junction", "Tarn Bridge", "96 ft long", "96 mi", "", ""],
            "    expected: a distance such as `212 miles`",
        ),
    ],
)
def test_a_wrong_answer_is_asked_again(group: int, lines: list[str], shown: str) -> None:
    found, typist = asked({group: lines})
    assert shown in typist.shown
    read_car_text(record_of(found), "car.yaml")


@pytest.mark.parametrize(
    ("typed", "braked"),
    [
        ("1, 3: yes, 2, 4: no", {"1": "yes", "2": "no", "3": "yes", "4": "no"}),
        ("1-2, 4: 1, 3: 2", {"1": "yes", "2": "yes", "3": "no", "4": "yes"}),
        ("2: n", {"2": "no"}),
        ("no", {"": "no"}),
        ("", {}),
    ],
)
def test_which_axles_are_braked_is_said_of_several_at_once(typed: str, braked: dict[str, str]) -> None:
    found, _ = asked({7: [typed, "truck"]})
    assert found.by_key.get("braked", {}) == braked
    said = {
        one.part.removeprefix("axle position "): one.value
        for one in read_car_text(record_of(found), "car.yaml").evidence
        if one.attribute == "braked"
    }
    alike = braked.get("")
    assert said == {at: Word(word) for at in "1234" if (word := braked.get(at, alike)) is not None}


@pytest.mark.parametrize(
    ("typed", "ends"),
    [("both", {"B": "yes", "A": "yes"}), ("B", {"B": "yes", "A": "no"}), ("none", {"B": "no", "A": "no"})],
)
def test_ends_with_a_hand_brake(typed: str, ends: dict[str, str]) -> None:
    found, typist = asked({9: [typed]})
    assert found.by_key["hand_brake"] == ends
    assert not any("hand brake at A alone" in line for line in typist.shown)


@pytest.mark.parametrize(("again", "ends"), [("A", {"B": "no", "A": "yes"}), ("B", {"B": "yes", "A": "no"})])
def test_a_hand_brake_at_end_a_alone_is_asked_once_more(again: str, ends: dict[str, str]) -> None:
    found, typist = asked({9: ["A", again]})
    assert found.by_key["hand_brake"] == ends
    shown = "a hand brake at A alone: the B end is the one with the hand brake, and axles are counted from it"
    assert typist.shown.count(f"    Found {shown}") == 1
    assert "    If it is so, type it once more." in typist.shown


def test_several_words_at_each_truck() -> None:
    found, _ = asked({4: ["1", "", "B: air hose, 2, A: brake rod"]})
    assert found.by_key["connections_to_body"] == {"B": "air hose, brake rod", "A": "brake rod"}


def test_what_is_not_usual_is_asked_once_more_and_taken_when_it_is_said_again() -> None:
    odd, usual = (
        asked({12: ["59,999 lb", "59,999 lb", "", "", "", "Jane Doe", ""]}),
        asked({12: ["60,000 lb", "", "", ""]}),
    )
    assert odd[0].said("light_weight") == "59,999 lb"
    assert "    expected: from 60000 lb to 210000 lb" in odd[1].shown
    assert usual[0].said("light_weight") == "60,000 lb"
    assert not any("not usual" in line for line in usual[1].shown)
    corrected, _ = asked({12: ["12,0000 lb", "59,999 lb", "120,000 lb", "", "", "", "Jane Doe", ""]})
    assert corrected.said("light_weight") == "120,000 lb"


def test_numbers_are_one_list_of_which_lines_can_be_changed() -> None:
    found, typist = asked({16: ["3=3", "1=B: 2, A: 3", "6=none", "4=?", "", "Jane Doe", ""]})
    assert "     3  truck B, A: bolster springs  2" in typist.shown
    assert found.by_key["bolster_springs"] == {"B": "3", "A": "3"}
    assert found.by_key["end_handholds"] == {"B": "2", "A": "3"}
    assert found.by_key["shock_absorbers"] == {"B": "none fitted", "A": "none fitted"}
    assert "equalizer_springs" not in found.by_key


def test_numbers_that_nobody_counted_are_not_taken() -> None:
    found, _ = asked({16: ["3=3", "", ""]})
    numbers = {row.number for kind in load_vocabulary().kinds.values() for row in kind.stands}
    assert not numbers & set(found.by_key)
    assert not {"counted_by", "counted_on"} & set(found.by_key)


def test_people_and_gauges_stand_in_the_record_and_one_of_them_may_have_counted() -> None:
    found, _ = asked({16: ["", "HM", ""]})
    text = record_of(found)
    car = read_car_text(text, "car.yaml")
    assert [(one.name, one.role, one.full_name, one.accepted_by) for one in car.people.values()] == [
        ("HM", "shop inspector", "Hal Mott", ("An Inland Railroad",))
    ]
    assert car.people["HM"].until is not None
    gauge = car.gauges["G-1"]
    assert (gauge.kind, str(gauge.checked), str(gauge.due)) == ("finger gauge", "2026-03-01", "2028-03-01")
    assert "    by: HM\n" in text


def test_who_weighed_is_asked_where_there_are_weights() -> None:
    found, _ = asked({12: ["", "130,000 lb", "", "", "Sam Roe (scale operator)", "2026-08-01"]})
    assert found.said("weighed_by") == "Sam Roe (scale operator)"
    assert "weighed_by" not in asked()[0].by_key


def test_a_question_that_hangs_on_another_is_asked_only_then() -> None:
    _, typist = asked({8: ["B: 3, A: 1", "yes", "type H"]})
    assert any("Safety gates" in line for line in typist.shown)
    assert not any("Safety gates" in line for line in asked()[1].shown)


def test_what_was_answered_before_is_not_asked() -> None:
    lines = [line for number, own in LINES.items() if number > 2 for line in own]
    typist = Typist(lines)
    before = Answers({key: {"": word} for key, word in (
        ("mark", "QZZX 9"), ("name", "Example"), ("kind_of_car", "lightweight passenger car"), ("car_kind", "coach"),
        ("built_on", "1949"), ("designed_to_carry", "the public"), ("private_car", "yes"),
    )})  # fmt: skip
    assert interview_on(typist, load_interview(), before, (), DAYS).by_key == asked()[0].by_key
    assert not any(line.startswith("1 of 15") for line in typist.shown)


def test_the_end_of_the_input_ends_it() -> None:
    with pytest.raises(EOFError):
        interview_on(Typist(LINES[1]), load_interview(), Answers({}), (), DAYS)


def test_the_usual_of_the_kind_of_car_is_shown_and_never_taken_unasked() -> None:
    found, typist = asked({3: ["", "", ""], 5: [""], 7: ["", ""], 8: ["", ""]})
    assert any(line.endswith("one-piece cast   (usual)") for line in typist.shown)
    assert not {"frame", "equalized", "bearing_class", "mounting", "end_kind"} & set(found.by_key)
    assert found.by_key["truck_kind"] == {"": "two-axle"}


@pytest.mark.parametrize(("group", "line", "key", "value"), [
    (6, 0, "control_valve", "D-22"), (8, 1, "coupler_type", "type H"), (2, 1, "designed_to_carry", "the public"),
    (3, 0, "truck_kind", "three-axle"),
])  # fmt: skip
def test_a_word_may_be_typed_without_what_people_leave_out(group: int, line: int, key: str, value: str) -> None:
    short = {"D-22": "d22", "type H": "h", "the public": "public", "three-axle": "three axle"}[value]
    lines = [*LINES[group]]
    lines[line] = short
    found, _ = asked({group: lines})
    assert found.said(key) == value


@pytest.mark.parametrize(("group", "lines", "key", "value"), [
    (12, ["120000", "", "", ""], "light_weight", "120000 lb"), (18, ["Q", "T", "96.5", "", ""], "miles", "96.5 miles"),
    (18, ["Q", "T", "96 mi", "", "79"], "speed", "79 mph"),
])  # fmt: skip
def test_a_figure_typed_without_a_unit_has_the_one_that_the_question_says(
    group: int, lines: list[str], key: str, value: str
) -> None:
    more = {12: ["Jane Doe", ""]}.get(group, [])
    typed = lines if group != 12 or len(LINES[12]) == len(lines) + len(more) else [*lines, *more]
    found, typist = asked({group: typed})
    assert found.said(key) == value
    unit = value.rpartition(" ")[2]
    assert any(f"; without a unit: {unit})" in one for one in typist.shown)


@pytest.mark.parametrize("said", ["32", "32 volts", "32 V", "32v", "1 volt"])
def test_a_voltage_may_say_its_volts(said: str) -> None:
    found = read_options([f"highest_voltage={said}"], load_interview())
    assert found.said("highest_voltage") == said.partition(" ")[0].rstrip("v")


def test_a_voltage_in_another_unit_is_refused() -> None:
    with pytest.raises(InputRefused):
        read_options(["highest_voltage=32 kV"], load_interview())


def test_back_asks_the_screen_before_once_more_and_takes_its_answers_away() -> None:
    found, typist = asked({3: ["", "back", "QZZX 8", "Other", "1", "coach", "1950", "1", "y", "", "2", "yes"]})
    assert (found.said("mark"), found.said("name"), found.said("built_on")) == ("QZZX 8", "Other", "1950")
    assert sum(line.startswith("1 of 15: ") for line in typist.shown) == 2
    assert sum(line.startswith("2 of 15: ") for line in typist.shown) == 2


def test_back_on_the_first_screen_asks_it_again_and_back_passes_over_what_is_answered() -> None:
    found, _ = asked({1: ["QZZX 9", "back", "QZZX 7", "Example", "1", "coach"]})
    assert found.said("mark") == "QZZX 7"
    found, _ = asked({5: ["back", "", "1", "no", "1", "", "air hose, 2", "2"]})
    assert (found.said("frame"), found.said("equalized")) == ("built-up", "no")


def test_what_was_answered_reads_back_from_the_file_that_keeps_it() -> None:
    found, _ = asked()
    again = read_answers_file(answers_text(found, load_interview()), "answers.yaml", load_interview())
    assert record_of(again) == record_of(found)
    assert {key: dict(values) for key, values in again.by_key.items()} == {
        key: dict(values) for key, values in found.by_key.items() if values
    }


def test_fewer_parts_than_every_such_car_has_are_refused_at_their_line() -> None:
    line = next(one for one in asked()[1].shown if ": bolster springs  " in one).split()[0]
    found, typist = asked({16: [f"{line}=none", f"{line}=1", "", "Jane Doe", ""]})
    told = [line for line in typist.shown if "every such car has them" in line]
    assert len(told) == 2
    assert record_of(found) == record_of(asked()[0])


HOST = "Kestrel & Northern"


@pytest.mark.parametrize("typed", ["Kestrel and Northern", "kestrel & northern", "Kestrel & Northern RR"])
def test_a_host_written_otherwise_is_written_as_its_circular_has_it(typed: str) -> None:
    found, typist = asked({17: [typed, "passenger", "", "", "nobody"]})
    assert found.said("host") == HOST
    assert f"  The host is written `{HOST}`, as its circular has it." in typist.shown
    assert "circular: none" not in starter_record(found, load_interview(), (HOST,))[1].text


@pytest.mark.parametrize(("typed", "host", "is_not"), [("yes", HOST, ""), ("no", "Kestral & Northern", HOST)])
def test_a_host_with_a_like_name_is_asked_back(typed: str, host: str, is_not: str) -> None:
    found, typist = asked({17: ["Kestral & Northern", "maybe", typed, "passenger", "", "", "nobody"]})
    assert f"  `Kestral & Northern` is much like `{HOST}`, whose circular is at hand." in typist.shown
    assert (found.said("host"), found.said("host_is_not")) == (host, is_not)
    move = read_move_text(starter_record(found, load_interview(), (HOST,))[1].text, "move.yaml")
    assert (move.circular, move.host_is_not) == ((False, (HOST,)) if is_not else (True, ()))


@pytest.mark.parametrize("host", ["Kestrel and Northern", "Kestral & Northern", "K&N"])
def test_a_host_written_otherwise_in_a_file_is_refused_with_the_right_name(host: str) -> None:
    given = Answers({**asked()[0].by_key, "host": {"": host}}, "answers.yaml")
    with pytest.raises(InputRefused) as refused:
        starter_record(given, load_interview(), (HOST,))
    (problem,) = refused.value.problems
    assert (problem.where.file, problem.nearest) == ("answers.yaml", HOST)
    assert problem.found == f"the host `{host}`, of which no circular is at hand by that name"


def test_a_host_said_to_be_another_railroad_is_judged_without_the_circular() -> None:
    by_key = asked()[0].by_key
    before = Answers({key: values for key, values in by_key.items() if key != "host"})
    given = read_options(["host_is_not=Kestrel & Northern", "host=K&N"], load_interview(), before)
    move = read_move_text(starter_record(given, load_interview(), (HOST,))[1].text, "move.yaml")
    assert (move.host, move.circular, move.host_is_not) == ("K&N", False, (HOST,))


@pytest.mark.parametrize("mark", ["Z: 1", "QZZX 9, B: 2", "{Z: 1 # x}"])
def test_a_name_stays_as_it_is_typed(mark: str) -> None:
    assert asked({1: [mark, "Example: the first", "1", "coach"]})[0].said("mark") == mark
    assert read_options([f"mark={mark}"], load_interview()).said("mark") == mark
