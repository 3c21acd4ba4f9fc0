"""The form: which sheet, row and column each wanted value has, and what one tick says."""

from datetime import date
from itertools import groupby
from pathlib import Path

import pytest
import repair_samples
from interview_samples import CARS, written

from carknocker.cli.inputs import check_car
from carknocker.forms import form_of
from carknocker.forms.model import GROUPS, Grid, Tick
from carknocker.forms.rows import unit_of, with_unit
from carknocker.judgement.answer import check
from carknocker.quantities import DIMENSIONS
from carknocker.record import read_car_text, read_move_text
from carknocker.record.value_reader import value_of
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.vocabulary import load_vocabulary

CASES = Path(__file__).parents[2] / "cases"


@pytest.fixture(scope="module")
def unmeasured():
    return form_of(check_car(CASES / "nothing-measured", None, None, date(2026, 11, 1)))


@pytest.fixture(scope="module")
def wren_hollow():
    return form_of(check_car(CASES / "wren-hollow" / "before", None, None, date(2026, 10, 8)), GROUPS)


def blocks(form, sheet):
    return next(one for one in form.sheets if one.name == sheet).blocks


def row(form, sheet, attribute):
    return next(
        (block, one)
        for block in blocks(form, sheet)
        if isinstance(block, Grid)
        for one in block.rows
        if one.attribute == attribute
    )


def test_one_sheet_a_truck_one_for_the_ends_one_for_brakes_one_for_body_and_papers(unmeasured):
    assert [one.name for one in unmeasured.sheets] == ["truck B", "truck A", "ends", "brakes", "body and papers"]


def test_wheels_across_in_pairs_and_gauge_points_down(unmeasured):
    grid, flange = row(unmeasured, "truck B", "flange_thickness")
    assert [one.head for one in grid.columns] == ["L1", "R1", "L2", "R2"]
    assert [one.above for one in grid.columns] == ["axle 1, T-1"] * 2 + ["axle 2, T-2"] * 2
    assert [(one.column, one.part) for one in grid.boxes if one.row == flange.number] == [
        ("L1", "wheel L1"), ("R1", "wheel R1"), ("L2", "wheel L2"), ("R2", "wheel R2"),
    ]  # fmt: skip
    assert (flange.box, flange.unit, flange.writes) == ("length", "in", "reading")
    assert "3/8 in above the tread" in flange.how


def test_the_strictest_limit_stands_first_and_others_only_of_who_else_asks(unmeasured):
    _, height = row(unmeasured, "truck B", "flange_height")
    assert [(one.words, one.asked_by) for one in height.limits] == [
        ("at most 1-7/16 in", "host"),
        ("under 1-1/2 in", "law"),
    ]
    _, rim = row(unmeasured, "truck B", "rim_thickness")
    assert [(one.words, one.rule) for one in rim.limits] == [("at least 1 in", "49 CFR 238.303(e)(8)(ix)")]


def test_none_on_any_wheel_is_one_box_for_flats_shells_cracks_and_chips(unmeasured):
    tick = next(one for one in blocks(unmeasured, "truck B") if isinstance(one, Tick) and one.kind == "wheel")
    assert tick.heading == "None on any wheel of truck B"
    said = {one.row.attribute: one.value for one in tick.said}
    assert said["flat_spot_length"] == said["shelled_spot_length"] == said["chip_length"] == "0 in"
    assert said["crack_or_break"] == said["thermal_crack"] == said["seam"] == "no"
    assert said["second_flat_length"] == "0 in"  # asked by itself only where there is a first
    assert said["broken_rim_width"] == ""  # nothing is left to measure of a rim that is not broken
    assert tick.parts == ("wheel L1", "wheel R1", "wheel L2", "wheel R2")
    assert not any(isinstance(one, Grid) and any(r.follows for r in one.rows) for one in blocks(unmeasured, "truck B"))


def test_descriptions_and_statements_are_boxes_with_their_words(unmeasured):
    _, bearing = row(unmeasured, "truck B", "class")
    assert bearing.writes == "description"
    assert "plain" in bearing.words
    _, place = row(unmeasured, "body and papers", "place")
    assert place.writes == "statement"


def test_parts_that_are_not_on_record_are_counted_and_described_together(unmeasured):
    truck = next(one for one in unmeasured.sheets if one.name == "truck B")
    bolster = next(one for one in truck.new_parts if one.called == "bolster springs")
    assert bolster.which == (("spring_place", "bolster"),)
    assert bolster.number is not None
    assert (bolster.number.part, bolster.number.attribute) == ("truck B", "bolster_springs")
    asked = [one.attribute for one in truck.boxes() if one.part == "new spring (bolster springs) of truck B"]
    assert "spring_kind" in asked


def test_each_box_has_a_place_of_its_own(unmeasured, wren_hollow):
    for form in (unmeasured, wren_hollow):
        for sheet in form.sheets:
            grids = [one for one in sheet.blocks if isinstance(one, Grid)]
            places = [(box.row, box.column) for grid in grids for box in grid.boxes]
            assert len(places) == len(set(places))
            said = [(box.part, box.attribute) for box in sheet.boxes()]
            assert said or sheet.wanted
            assert len(said) == len(set(said))
            ticks = [one for one in sheet.blocks if isinstance(one, Tick)]
            numbers = [one.number for grid in grids for one in grid.rows] + [one.number for one in ticks]
            assert sorted(numbers) == list(range(1, len(numbers) + 1))


def test_what_decides_now_stands_alone_unless_more_is_asked_for(unmeasured):
    assert {box.group for sheet in unmeasured.sheets for box in sheet.boxes()} == {"decides now"}
    assert [group for group, _ in unmeasured.other_groups] == ["wanted before departure", "only advised"]
    everything = form_of(check_car(CASES / "nothing-measured", None, None, date(2026, 11, 1)), GROUPS)
    assert {box.group for sheet in everything.sheets for box in sheet.boxes()} == set(GROUPS)
    assert everything.other_groups == ()


def test_readings_of_a_part_that_is_refused_anyway_are_left_out(wren_hollow):
    parts = {box.part for sheet in wren_hollow.sheets for box in sheet.boxes()}
    assert "wheel R5" not in parts  # its flange is worn down to 7/8 in
    assert "wheel L5" in parts
    assert wren_hollow.left_out > 0


def test_what_says_that_there_is_none_can_be_written(unmeasured):
    for kind in load_vocabulary().kinds.values():
        for attribute in kind.attributes.values():
            if attribute.none:
                value_of(attribute.none, attribute)
            if attribute.follows:
                assert attribute.follows in kind.attributes


@pytest.mark.parametrize("name", sorted(CARS))
def test_a_new_car_of_each_kind_has_a_form_with_its_carried_wheelsets(name):
    """The coach carries a wheelset: nothing is asked of it that only the place of an axle has."""
    car, move = written(CARS[name])
    library = load_library(rulesets_folders())
    answer = check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), library, date(2026, 10, 1))
    form = form_of(answer, GROUPS)
    kinds = load_vocabulary().kinds
    for sheet in form.sheets:
        for one in sheet.rows():
            assert one.attribute in kinds[one.kind].attributes
    spares = [box.part for sheet in form.sheets if sheet.name == "spares" for box in sheet.boxes()]
    assert any(part.startswith("wheel W-5") for part in spares) == (name == "coach")


@pytest.mark.parametrize(("read_on", "group"), [
    ("2030-03-07", None),  # 90 days before the return of 2030-06-05
    ("2030-03-06", "wanted before departure"),
    ("2030-03-02", "wanted before departure"),
    ("2030-01-31", "wanted before departure"),  # 90 days before the day of the form, 2030-05-01
    ("2030-01-30", "decides now"),
])  # fmt: skip
def test_what_is_good_today_and_too_old_on_departure_is_wanted_before_departure(tmp_path, read_on, group):
    text = repair_samples.car_text().replace("on: 2030-04-20", f"on: {read_on}")
    answer = repair_samples.answer(repair_samples.yard_in(tmp_path), text)
    found = {
        box.group
        for sheet in form_of(answer, GROUPS).sheets
        for box in sheet.boxes()
        if box.attribute == "rim_thickness"
    }
    assert found == ({group} if group else set())


@pytest.mark.parametrize(("back", "found"), [
    ("2030-07-19", set()),  # 90 days after the reading of 2030-04-20
    ("2030-07-20", {"wanted before departure"}),
])  # fmt: skip
def test_what_runs_out_on_the_way_is_wanted_before_departure(tmp_path, back, found):
    move = repair_samples.MOVE.replace("back: 2030-06-05", f"back: {back}")
    answer = repair_samples.answer(repair_samples.yard_in(tmp_path), repair_samples.car_text(), move=move)
    assert found == {
        box.group
        for sheet in form_of(answer, GROUPS).sheets
        for box in sheet.boxes()
        if box.attribute == "rim_thickness"
    }


def test_of_a_part_that_has_but_a_number_the_form_says_what_it_is_and_where(wren_hollow):
    boxes = [box for sheet in wren_hollow.sheets for box in sheet.boxes()]
    springs = {box.which for box in boxes if box.part.startswith("spring ")}
    assert springs
    assert all(one.startswith(("bolster springs, truck ", "equalizer springs, truck ")) for one in springs)
    for sheet in wren_hollow.sheets:
        for block in sheet.blocks:
            if isinstance(block, Grid) and block.heading == "Springs":
                above = [column.above for column in block.columns]
                assert len([one for one, _ in groupby(above)]) == len(set(above))
    assert {box.which for box in boxes if box.part.startswith("wheel ")} == {""}


def test_a_tick_reads_out_each_word_unless_its_heading_says_that_there_is_none(unmeasured):
    ticks = [block for sheet in unmeasured.sheets for block in sheet.blocks if isinstance(block, Tick)]
    springs = next(one for one in ticks if one.called == "bolster springs")
    assert springs.heading.startswith("So on")
    assert "bolster springs: compressed solid: no" in springs.words
    none = next(one for one in ticks if one.heading.startswith("None on any wheel"))
    assert " · " in none.words
    assert ": no" not in none.words


def test_no_gauge_is_asked_for_what_a_rule_or_a_tape_reads(unmeasured):
    tools = {one.tool for sheet in unmeasured.sheets for one in sheet.gauges}
    assert "finger gauge, condemning gauge" in tools
    assert tools.isdisjoint({"rule", "tape", "eye", "bar, rule"})


def test_every_figure_has_a_unit_in_which_a_bare_one_is_read():
    kinds = load_vocabulary().kinds.values()
    figures = [one for kind in kinds for one in kind.attributes.values() if one.type in DIMENSIONS]
    assert {one.type for one in figures} > {"length", "weight", "degree of curve", "speed"}
    for one in figures:
        assert unit_of(one) in DIMENSIONS[one.type].units, one.name
    curve = load_vocabulary().attribute("leg", "sharpest_curve")
    assert value_of(with_unit("12", unit_of(curve)), curve) == value_of("12°", curve)
    assert value_of(with_unit("12.5", unit_of(curve)), curve) == value_of("12° 30'", curve)


def test_a_bare_time_is_in_hours_and_a_bare_period_in_days():
    """`4` in the box of the time off air, whose key is `hours`, is never four minutes: 49 CFR asks about four hours."""
    events = load_vocabulary().events
    off_air, laid_up = events["off air"].facts["hours"], events["laid up"].facts["days"]
    assert (unit_of(off_air), unit_of(laid_up)) == ("h", "days")
    assert value_of(with_unit("4", unit_of(off_air)), off_air) == value_of("4 h", off_air)
    assert value_of(with_unit("4 h 1 min", unit_of(off_air)), off_air) == value_of("241 min", off_air)
    assert value_of(with_unit("40", unit_of(laid_up)), laid_up) == value_of("40 days", laid_up)
    assert value_of(with_unit("2 years", unit_of(laid_up)), laid_up) == value_of("24 months", laid_up)
