"""`new --add`: what an older record lacks is put in; what stands in it stays, to the letter and with its comments."""

from datetime import date
from pathlib import Path

import pytest
from interview_samples import COACH, Typist, written

from carknocker.documents import InputRefused
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.questions.new.answers import Answers, read_answers_file
from carknocker.questions.new.completion import answers_on_record, complete, to_complete
from carknocker.questions.new.terminal import interview_on
from carknocker.record import read_car_text, read_move, read_move_text
from carknocker.record.insertion import CannotInsert, with_entry, with_item
from carknocker.record.model import CarRecord
from carknocker.record.standing import listed_now
from carknocker.record.unlisted_parts import parts_there
from carknocker.record.value_words import value_words
from carknocker.record.values import Word
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.vocabulary.interview import load_interview

CASES = Path(__file__).parents[2] / "cases"
BARE = (CASES / "nothing-measured" / "car.yaml").read_text(encoding="utf-8")
WHOLE = (CASES / "larkspur" / "passenger" / "car.yaml").read_text(encoding="utf-8")
MORE = """
kind_of_car: heavyweight passenger car
frame: {B: built-up}
equalized: yes
connections_to_body: [air hose, brake rod]
bearing_class: {1-2: plain, 3-4: grease-lubricated roller}
main_reservoir_line: no
signal_line: no
braked: yes
mounting: truck
end_kind: wide vestibule
hand_brake: B
head_end_power: no
communication_line: no
numbers: as offered
counted_by: Jane Doe
counted_on: 2026-09-01
"""


def completed(text: str, more: str) -> tuple[str, CarRecord, tuple[str, ...]]:
    interview = to_complete(load_interview(), None)
    known = answers_on_record(read_car_text(text, "car.yaml"), interview, "car.yaml")
    done = complete(text, "car.yaml", read_answers_file(more, "answers.yaml", interview, known), interview)
    return done.text, read_car_text(done.text, "car.yaml"), done.left_out


def said(car: CarRecord) -> dict[tuple[str, str], object]:
    return {(one.part, one.attribute): one.value for one in car.evidence}


def test_an_old_record_is_completed_and_its_lines_stay() -> None:
    text, car, left_out = completed(BARE, MORE)
    assert left_out == ()
    kept = [line.rstrip("}") for line in BARE.splitlines()]
    assert all(any(line.startswith(one) for line in text.splitlines()) for one in kept)
    told = said(car)
    assert told["truck B", "frame"] == Word("built-up")
    assert ("truck A", "frame") not in told
    assert told["bearing T-2 left", "class"] == Word("plain")
    assert told["bearing T-3 right", "class"] == Word("grease-lubricated roller")
    assert told["brake cylinder 1", "mounting"] == Word("truck")
    assert [one.container for one in car.parts if one.kind == "brake cylinder"] == ["truck B", "truck A"]
    assert [there for there in parts_there(listed_now(car)) if there.unlisted] == []


def test_no_part_is_unlisted_in_the_judgement_of_the_completed_record() -> None:
    _, car, _ = completed(BARE, MORE)
    found = check(
        car, read_move(CASES / "nothing-measured" / "move.yaml"), load_library(rulesets_folders()), date(2026, 10, 8)
    )
    missing = view_of(found).items.missing
    assert missing is not None
    assert missing.unlisted == ()


def test_people_and_gauges_are_added_to_those_on_record() -> None:
    people = "people:\n  RE: {role: owner}\n"
    more = """
people: {RE: engineer, HM: shop inspector; accepted by A Host Railroad until 2030-12-31}
gauges: {G-1: finger gauge; reads to 1/32 in; checked 2026-03-01; due 2028-03-01}
"""
    text, car, _ = completed(f"{BARE.rstrip()}\n{people}", more)
    assert people in text
    assert {name: person.role for name, person in car.people.items()} == {"RE": "owner", "HM": "shop inspector"}
    assert car.gauges["G-1"].kind == "finger gauge"


def test_what_is_on_record_is_not_changed_by_an_answer() -> None:
    text = BARE.replace("B: {truck_kind", "B: {frame: wooden, truck_kind")
    _, car, _ = completed(text, MORE.replace("frame: {B: built-up}", "frame: built-up"))
    told = said(car)
    assert (told["truck B", "frame"], told["truck A", "frame"]) == (Word("wooden"), Word("built-up"))


def test_what_is_not_known_gives_way_to_the_answer() -> None:
    first = written(COACH)[0]
    text, car, _ = completed(first, "axles_held_by: pedestal ties\n")
    changed = [(old, new) for old, new in zip(first.splitlines(), text.splitlines(), strict=False) if old != new]
    assert said(car)["truck B", "axles_held_by"] == said(car)["truck A", "axles_held_by"] == Word("pedestal ties")
    assert len(changed) <= len(text.splitlines())
    assert set(first.splitlines()) <= set(text.splitlines())


@pytest.mark.parametrize(
    ("more", "braked"),
    [
        ("braked: {1-2: yes, 4: no}\n", {"1": "yes", "2": "yes", "4": "no"}),
        ("braked: no\n", {"1": "no", "2": "no", "3": "no", "4": "no"}),
    ],
)
@pytest.mark.parametrize("first", ["not known", "{1: no}"])
def test_which_axles_are_braked_is_completed_axle_by_axle(first: str, more: str, braked: dict[str, str]) -> None:
    """What is on record of the first axle stays."""
    record = written(COACH.replace("braked: yes\n", f"braked: {first}\n"))[0]
    told = said(completed(record, more)[1])
    found = {at: told.get((f"axle position {at}", "braked")) for at in "1234"}
    expected = braked | ({"1": "no"} if first != "not known" else {})
    assert found == {at: Word(expected[at]) if at in expected else None for at in "1234"}


def test_parts_are_added_to_those_that_are_listed() -> None:
    less = WHOLE.replace("  12: {at: A, spring_kind: coil, spring_place: equalizer, springs_in_nest: 2}\n", "")
    assert less != WHOLE
    text, car, _ = completed(less, "kind_of_car: another kind\n")
    assert sum(one.kind == "spring" for one in car.parts) == 12
    assert text.replace("  12: {at: A, spring_place: equalizer}\n", "") == less


def test_where_nothing_is_lacking_nothing_is_written() -> None:
    with pytest.raises(InputRefused, match="add nothing"):
        completed(WHOLE, "numbers: as offered\ncounted_by: NB\ncounted_on: 2026-09-01\nframe: wooden\n")


def test_numbers_need_who_counted() -> None:
    with pytest.raises(InputRefused, match="`counted_by`"):
        completed(BARE, "truck_kind: two-axle\nbolster_springs: 2\n")


MOVE = (
    (CASES / "nothing-measured" / "move.yaml").read_text(encoding="utf-8").replace("  requested_on: 2027-03-15\n", "")
)
WISHES = "requested_on: 2026-09-30\npower_wanted: yes\nwater_wanted: no\ntruck_centers: 59 ft 6 in\n"


def completed_with_move(more: str, move: str = MOVE):
    read = read_move_text(move, "move.yaml")
    interview = to_complete(load_interview(), read)
    known = answers_on_record(read_car_text(BARE, "car.yaml"), interview, "car.yaml", read)
    given = read_answers_file(more, "answers.yaml", interview, known)
    return complete(BARE, "car.yaml", given, interview, (move, "move.yaml"))


def test_the_move_gets_what_it_does_not_say_and_the_record_what_the_request_says_of_the_car() -> None:
    done = completed_with_move(WISHES)
    assert done.move is not None
    move = read_move_text(done.move, "move.yaml")
    assert {name: value_words(move.facts[name]) for name in ("requested_on", "power_wanted", "water_wanted")} == {
        "requested_on": "2026-09-30", "power_wanted": "yes", "water_wanted": "no",
    }  # fmt: skip
    assert "truck_centers: 59 ft 6 in" in done.text
    assert set(MOVE.splitlines()) <= set(done.move.splitlines())


def test_what_a_move_says_is_not_said_otherwise_and_its_days_are_no_questions() -> None:
    said = completed_with_move("power_wanted: yes\n").move
    assert said is not None
    other = completed_with_move("power_wanted: no\n", said)
    assert other.move is None
    assert other.overruled == ("power_wanted: the record says `yes`; the answer `no` was not taken",)
    with pytest.raises(InputRefused, match="the key `out`, which is no question"):
        completed_with_move("out: 2027-01-01\n")


def test_without_a_move_nothing_is_asked_of_one() -> None:
    with pytest.raises(InputRefused, match="the key `power_wanted`, which is no question"):
        completed(BARE, "power_wanted: yes\n")


def test_names_that_the_host_is_not_go_into_a_move_without_a_circular() -> None:
    without = MOVE.replace("  host: Kestrel & Northern\n", "  host: Kestrel and Southern\n  circular: none\n")
    done = completed_with_move("host_is_not: [Kestrel & Northern, Marrow Creek & Eastern]\n", without)
    assert done.move is not None
    assert read_move_text(done.move, "move.yaml").host_is_not == ("Kestrel & Northern", "Marrow Creek & Eastern")
    with pytest.raises(InputRefused, match="the key `host_is_not`"):
        completed_with_move("host_is_not: [Kestrel & Northern]\n")


def test_a_person_on_record_signs_by_the_short_name() -> None:
    text = BARE + "people:\n  RE: {role: owner, full_name: R. Example}\n"
    for name in ("RE", "R. Example"):
        new, _, _ = completed(text, MORE.replace("Jane Doe", name))
        assert "by: RE\n" in new
        assert new.count("full_name") == 1


def test_line_ends_of_the_record_are_kept() -> None:
    text, _, _ = completed(BARE.replace("\n", "\r\n"), MORE)
    assert text.count("\n") == text.count("\r\n")


def test_an_anchor_that_serves_several_wheelsets_is_left_to_the_owner() -> None:
    text = BARE.replace("T-1: {}", "T-1: &all {axle_class: D}").replace("T-2: {}", "T-2: *all")
    new, car, left_out = completed(text, MORE)
    assert "T-2: *all" in new
    assert len(left_out) == 2
    assert left_out[0].startswith("wheelsets.T-1.bearings.class: plain")
    assert ("bearing T-1 left", "class") not in said(car)


def test_only_what_is_lacking_is_asked() -> None:
    interview = to_complete(load_interview(), None)
    known = answers_on_record(read_car_text(WHOLE, "car.yaml"), interview, "car.yaml")
    typist = Typist([""] * 40)
    found = interview_on(typist, interview, known)
    asked = " ".join(typist.shown)
    assert "Kind of truck frame" not in asked
    assert "Class of the bearings" not in asked
    assert "Light weight" in asked
    assert found.by_key == known.by_key


@pytest.mark.parametrize(
    ("text", "path", "new"),
    [
        ("a:\n  b: 1  # one\n# end\n", ("a", "c"), "a:\n  b: 1  # one\n  c: 2\n# end\n"),
        ("a: {b: 1}\n", ("a", "c"), "a: {b: 1, c: 2}\n"),
        ("a: {}\n", ("a", "c"), "a: {c: 2}\n"),
        ("a:\nd: 1\n", ("a", "c"), "a: {c: 2}\nd: 1\n"),
        ("a: 1\n", ("d", "c"), "a: 1\n\nd:\n  c: 2\n"),
        ("a: {b: {c: not known, d: 1}}\n", ("a", "b", "c"), "a: {b: {c: 2, d: 1}}\n"),
        ("a:\n  b:\n    - 1\n    - 2\n", ("a", "c"), "a:\n  b:\n    - 1\n    - 2\n  c: 2\n"),
        ("a: {b: 1}", ("d",), "a: {b: 1}\n\nd: 2\n"),
    ],
)
def test_an_entry_is_put_where_it_belongs(text: str, path: tuple[str, ...], new: str) -> None:
    assert with_entry(text, path, "2") == new


@pytest.mark.parametrize("text", ["a: {c: 1}\n", "a: 1\n", "x: &one {d: 1}\na: *one\n"])
def test_an_entry_that_would_change_more_is_not_put_in(text: str) -> None:
    with pytest.raises(CannotInsert):
        with_entry(text, ("a", "c"), "2")


@pytest.mark.parametrize(
    ("text", "new"),
    [
        ("s:\n- on: 1\n  r: {a: 1}\nz: 1\n", "s:\n- on: 1\n  r: {a: 1}\n- on: 2\n  by: x\nz: 1\n"),
        ("s:\n  - on: 1\n", "s:\n  - on: 1\n  - on: 2\n    by: x\n"),
        ("s:\nz: 1\n", "s:\n  - on: 2\n    by: x\nz: 1\n"),
        ("z: 1\n", "z: 1\ns:\n  - on: 2\n    by: x\n"),
    ],
)
def test_an_item_is_put_at_the_end_of_its_list(text: str, new: str) -> None:
    assert with_item(text, "s", ["- on: 2", "  by: x"]) == new


def test_answers_of_nobody_are_none() -> None:
    assert Answers({}).said("frame", "B") == ""


def test_an_answer_that_contradicts_the_record_is_told_and_not_taken() -> None:
    interview = to_complete(load_interview(), None)
    text, _, _ = completed(BARE, MORE)
    known = answers_on_record(read_car_text(text, "car.yaml"), interview, "car.yaml")
    more = "frame: {B: one-piece cast}\ncoupler_type: type H\n"
    answers = read_answers_file(more, "answers.yaml", interview, known)
    done = complete(text, "car.yaml", answers, interview)
    assert done.overruled == ("frame: the record says `built-up`; the answer `one-piece cast` was not taken",)
    assert "one-piece cast" not in done.text.partition("trucks:")[2].partition("wheelsets:")[0]
