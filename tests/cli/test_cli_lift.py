"""`lift` and `figures`: the sheet under its cautions, every figure worked, what is refused in plain words."""

import json
import re
import shutil

import pytest
from command_line import CASES, flat, invoke

from carknocker.workings.lift_sheet import CAUTIONS

BEFORE = CASES / "wren-hollow" / "before"
DAY = ("--as-of", "2026-10-08")
FORMS = ["text", "markdown", "json", "html"]
OF_CAR = """\
  lifting_points: [bolster]
  lifting_points_rated_by: Q. Marrow
  lifting_point_from_truck_center: 0 in
  lifting_point_rating: 90,000 lb
  lowest_part_outboard_height: 30 in
  truck_height_over_rail: 42 in
  overhang_at_far_end: 12 ft 7 in
  far_end_lowest_part: 20 in
"""
PLAN = """\
format: carknocker-lift/1
lift:
  crane: {rating: "80,000 lb"}
  sling: {legs: 2, angle: 60, rating: "40,000 lb"}
  rigging: 1,800 lb
  crib: {timbers: 6x6, pattern: 2x2, base: 36 in, height: 40 in}
  clearance: 3 in
"""


@pytest.fixture
def car(tmp_path):
    """The demo car, with what a lift wants on record."""
    folder = tmp_path / "car"
    shutil.copytree(BEFORE, folder)
    text = (folder / "car.yaml").read_text(encoding="utf-8")
    text = text.replace("  in_service_before_2007: yes\n", "  in_service_before_2007: yes\n" + OF_CAR, 1)
    for end, weight in (("B", "26,400 lb"), ("A", "26,200 lb")):
        head = f"  {end}:\n    truck_kind: three-axle\n"
        assert head in text
        text = text.replace(head, f"{head}    truck_weight: {weight}\n", 1)
    (folder / "car.yaml").write_text(text, encoding="utf-8")
    (folder / "lift.yaml").write_text(PLAN, encoding="utf-8")
    return folder


def without(car, line):
    file = car / "car.yaml"
    text = file.read_text(encoding="utf-8")
    assert line in text
    file.write_text(text.replace(line, "", 1), encoding="utf-8")


@pytest.mark.parametrize("form", FORMS)
def test_the_sheet_has_its_cautions_on_top_and_the_loads(car, form):
    answer = invoke("lift", car, "--end", "B", *DAY, "--format", form)
    assert answer.exit_code == 0
    plain = re.sub(r"[|>]", " ", answer.stdout) if form == "text" else answer.stdout.replace("\\", "")
    plain = flat(plain).replace("&#x27;", "'").replace("&#39;", "'")
    places = [plain.find(caution[:30]) for caution in CAUTIONS]
    assert all(place >= 0 for place in places)
    assert max(places) < plain.find("59,600 lb")
    # body 118,800 lb; B truck carries 86,000 lb, of which 26,400 lb are its own
    assert "F = B × L/x = 59,600 lb × 684 in/684 in = 59,600 lb" in plain


def test_the_box_is_as_wide_as_the_page(car):
    lines = invoke("lift", car, "--end", "B", *DAY).stdout.splitlines()
    edges = [number for number, line in enumerate(lines) if line.startswith("+--")]
    assert len(edges) == 2
    assert {len(line) for line in lines[edges[0] : edges[1] + 1]} == {80}
    assert edges[0] < lines.index("WAYS TO LIFT")


def test_ways_that_go_past_a_rating_are_marked(car):
    answer = invoke("lift", car, "--end", "B", *DAY)
    assert "1 of 2 ways to lift goes past what is allowed" in answer.stdout
    assert "MUST NOT     The load is more than the crane's rating." in answer.stdout
    form = json.loads(invoke("lift", car, "--end", "B", *DAY, "--crane", "20,000 lb", "--format", "json").stdout)
    assert all(way["must_not"] for way in form["ways"])
    assert form["crane_rating"] == "20,000 lb"
    assert "DO NOT LIFT" in invoke("lift", car, "--end", "B", *DAY, "--crane", "20,000 lb").stdout


def test_the_coupler_is_worked_out_only_if_someone_says_so(car):
    plain = json.loads(invoke("lift", car, "--end", "B", *DAY, "--format", "json").stdout)
    assert {way["at"] for way in plain["ways"]} == {"bolster"}
    options = ("--coupler-rating", "70,000 lb", "--coupler-by", "Q. Marrow")
    vouched = json.loads(invoke("lift", car, "--end", "B", *DAY, *options, "--format", "json").stdout)
    assert {way["at"] for way in vouched["ways"]} == {"bolster", "coupler"}
    nobody = invoke("lift", car, "--end", "B", *DAY, "--coupler-rating", "70,000 lb")
    assert nobody.exit_code == 2
    assert "nobody who rates the coupler" in nobody.stderr
    unrated = invoke("lift", car, "--end", "B", *DAY, "--coupler-by", "Q. Marrow")
    assert unrated.exit_code == 2
    assert "no rating of the coupler" in unrated.stderr
    assert "--coupler-rating" in unrated.stderr


def test_the_a_end_takes_the_other_truck(car):
    form = json.loads(invoke("lift", car, "--end", "A", *DAY, "--format", "json").stdout)
    assert form["ways"][0]["load"]["figure"] == "59,200 lb"  # 85,400 lb less 26,200 lb


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("    truck_weight: 26,400 lb\n", "trucks: {B: {truck_weight: …}}"),
        ("  lifting_point_rating: 90,000 lb\n", "a competent person gives it"),
        ("        gross_weight: 171,400 lb\n", "put it on a dated sheet as `car: {gross_weight: …}`"),
        ("        weight_on_truck_B: 86,000 lb\n", "halves_equal: yes"),
    ],
)
def test_without_a_weight_or_a_rating_nothing_is_computed(car, line, told):
    without(car, line)
    answer = invoke("lift", car, "--end", "B", *DAY)
    assert answer.exit_code == 2
    assert answer.stdout == ""
    assert told in flat(answer.stderr)
    assert "nothing is computed without it" in flat(answer.stderr)


def test_what_came_after_a_weighing_stands_before_all_figures(car):
    file = car / "car.yaml"
    text = file.read_text(encoding="utf-8")
    assert "\nevents:\n" not in text
    late = "events:\n  - {id: E-90, on: 2026-10-05, happened: derailment, at: 5}\n"
    file.write_text(f"{text}\n{late}", encoding="utf-8")
    answer = invoke("lift", car, "--end", "B", *DAY)
    plain = flat(answer.stdout)
    assert "The car was worked on since it was weighed." in plain
    assert "2026-10-05, E-90: derailment (axle 5)" in plain
    assert "the weights still hold after this. Taken before it: gross weight ready to run of 20" in plain
    assert plain.index("E-90") < plain.index("WHAT WAS TAKEN")
    form = json.loads(invoke("lift", car, "--end", "B", *DAY, "--format", "json").stdout)
    assert [one["id"] for one in form["since"]] == ["J-12", "E-90"]
    earlier = invoke("lift", car, "--end", "B", "--as-of", "2026-10-04")
    assert "E-90" not in earlier.stdout


def test_what_the_standing_end_touches(car):
    assert "not the rail; its truck's wheels are not worked out" in flat(invoke("lift", car, "--end", "B", *DAY).stdout)
    file = car / "car.yaml"
    text = file.read_text(encoding="utf-8")
    known = "  clearance_over_outer_wheels: 1 in\n  far_end_lowest_thing: steps\n  lifting_points: [bolster]\n"
    text = text.replace("  lifting_points: [bolster]\n", known, 1)
    text = text.replace("    axle_spacing: 63 in\n", "    axle_spacing: 66 in\n")
    file.write_text(text, encoding="utf-8")
    plain = flat(invoke("lift", car, "--end", "B", *DAY).stdout)
    # rise 42 + 3 - 30 = 15 in over 684 in of truck centers; the outer axle stands 66 in outside the center
    assert "c - r × w/x = 1 in - 15 in × 66 in/684 in = -0.447 in" in plain
    assert "The body comes down on the outer wheels of the standing truck." in plain
    assert "(steps)" in plain


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("legs: 2, angle: 60", "legs: 1, angle: 60", "a single sling leg hangs upright"),
        ("legs: 2", "legs: 0", "at least one leg"),
        ("height: 40 in", "height: 40 in, cribs: 0", "at least one crib"),
        ("height: 40 in", "height: 0 in", "higher than 0 in"),
        ("base: 36 in", "base: 0 in", "wider than 0 in"),
        ('"80,000 lb"', '"0 lb"', "rating of the crane"),
        ('"40,000 lb"', '"0 lb"', "rating of the sling"),
        ("clearance: 3 in", "clearance: 30 ft", "tilt more than one in ten"),
        ("angle: 60", "angle: 120", "30° to 90°"),
        ("rigging: 1,800 lb", "rigging: -5 lb", "-5 lb"),
        ("legs: 2", "legs: -2", "-2"),
        ("legs: 2", "legs: two", "two"),
    ],
)
def test_absurd_figures_are_refused_in_words(car, old, new, told):
    assert old in PLAN
    (car / "lift.yaml").write_text(PLAN.replace(old, new), encoding="utf-8")
    answer = invoke("lift", car, "--end", "B", *DAY)
    assert answer.exit_code == 2
    assert answer.stdout == ""
    assert told in flat(answer.stderr)
    assert "Traceback" not in answer.stderr


def test_a_crib_past_its_limits_is_said_on_top(car):
    (car / "lift.yaml").write_text(PLAN.replace("height: 40 in", "height: 110 in"), encoding="utf-8")
    answer = invoke("lift", car, "--end", "B", *DAY)
    assert answer.exit_code == 0
    assert "NOT WITH THIS CRIB" in flat(answer.stdout)
    assert "lowest part, raised = max(h, H + m) = max(30 in, 42 in + 3 in) = 45 in" in flat(answer.stdout)


def test_of_more_than_two_legs_two_carry(car):
    two = json.loads(invoke("lift", car, "--end", "B", *DAY, "--format", "json").stdout)
    (car / "lift.yaml").write_text(PLAN.replace("legs: 2", "legs: 4"), encoding="utf-8")
    four = json.loads(invoke("lift", car, "--end", "B", *DAY, "--format", "json").stdout)
    assert four["sling"]["legs_taken_to_carry"] == 2
    assert [way["sling_leg"] for way in four["ways"]] == [way["sling_leg"] for way in two["ways"]]
    assert "of which 2 are taken to carry" in flat(invoke("lift", car, "--end", "B", *DAY).stdout)


def test_halves_are_equal_only_if_someone_says_so(car):
    without(car, "        weight_on_truck_B: 86,000 lb\n")
    answer = invoke("lift", car, "--end", "B", *DAY, "--halves-equal")
    assert answer.exit_code == 0
    assert "59,400 lb" in answer.stdout
    assert "taken as equal" in flat(answer.stdout)


def test_without_a_crane_nothing_is_computed(car):
    (car / "lift.yaml").write_text(PLAN.replace('  crane: {rating: "80,000 lb"}\n', ""), encoding="utf-8")
    answer = invoke("lift", car, "--end", "B", *DAY)
    assert answer.exit_code == 2
    assert "crane: {rating: …}" in flat(answer.stderr)


def test_without_a_plan_it_says_what_one_looks_like(car):
    (car / "lift.yaml").unlink()
    answer = invoke("lift", car, "--end", "B", *DAY)
    assert answer.exit_code == 2
    assert "it says:\n\nformat: carknocker-lift/1\nlift:\n  crane: {rating:" in answer.stderr


@pytest.mark.parametrize(("old", "new"), [("angle: 60", "angle: 20"), ("pattern: 2x2", "pattern: 3x3")])
def test_figures_outside_their_range_are_refused(car, old, new):
    (car / "lift.yaml").write_text(PLAN.replace(old, new), encoding="utf-8")
    answer = invoke("lift", car, "--end", "B", *DAY)
    assert answer.exit_code == 2
    assert "the figures make no lift" in flat(answer.stderr)


@pytest.mark.parametrize("arguments", [("--end", "C"), (), ("--end", "B", "--crane", "much")])
def test_a_wrong_command_line_is_refused(car, arguments):
    answer = invoke("lift", car, *arguments)
    assert answer.exit_code == 2
    assert answer.stdout == ""


@pytest.mark.parametrize("form", FORMS)
def test_workings_show_the_line_and_what_is_missing(form):
    answer = invoke("figures", BEFORE, *DAY, "--format", form)
    assert answer.exit_code == 0
    plain = flat(answer.stdout.replace("\\", ""))
    assert "P = W/n = 86,000 lb/3 = 28,666.67 lb" in plain
    assert "tape size" in plain.lower()
    assert "leg 2, Port Averill to Saltmarsh Quay" in plain  # the tightest leg is named


def test_figures_without_a_move_say_so(tmp_path):
    shutil.copy(BEFORE / "car.yaml", tmp_path / "car.yaml")
    form = json.loads(invoke("figures", tmp_path, *DAY, "--format", "json").stdout)
    assert form["move"] is None
    found = {(one["part"], one["attribute"]): one for one in form["figures"]}
    assert found["truck B", "axle_load"]["worked"].endswith("= 28,666.67 lb")
    assert found["truck B", "axle_load"]["uncertainty"] == "133.33 lb"  # (100 lb + 300 lb)/3
    assert found["wheel W-31 left", "diameter"]["worked"].startswith("D = ")
    assert found["side bearing BL", "share_of_springs_broken"]["missing"]["reason"].startswith("not read")
    assert form["turning"] == []
    assert "none: figures of a route or a train" in flat(invoke("figures", tmp_path, *DAY).stdout)


def test_workings_refuse_two_moves(tmp_path):
    shutil.copytree(BEFORE, tmp_path / "car")
    shutil.copy(BEFORE / "move.yaml", tmp_path / "car" / "other.yaml")
    answer = invoke("figures", tmp_path / "car", *DAY)
    assert answer.exit_code == 2
    assert "--move FILE" in answer.stderr


def test_without_a_plan_one_is_shown_line_by_line_to_be_copied():
    answer = invoke("lift", BEFORE, "--end", "A", *DAY)
    assert answer.exit_code == 2
    lines = answer.output.splitlines()
    sample = lines[lines.index("format: carknocker-lift/1") :]
    assert sample[1] == "lift:"
    assert sample[2].startswith("  crane: {rating:")
    assert len([line for line in sample if line.startswith("  ")]) == 7
