"""Clauses are read as the words say, and every wrong word is refused at its place with the nearest right one."""

from pathlib import Path

import pytest
from rulebook_samples import criterion_of, criterion_text, problems_of, said

from carknocker.quantities import Period, read_quantity
from carknocker.record.values import Count, Day, Figure, Interval, Word
from carknocker.rulebook.clauses import AllOf, AnyOf, ByTable, Comparison, CountOf, EachOf, Fixed, FromPart

INCH = read_quantity("7/8 in", "length")


def test_a_figure_with_its_word(tmp_path: Path) -> None:
    must = criterion_of(tmp_path, "must: {flange_thickness: {over: 22.225 mm}}").must
    assert isinstance(must, Comparison)
    assert (must.word, must.limit, str(must.path)) == ("over", Fixed((Figure(INCH),)), "flange_thickness")
    assert (must.where.line, must.where.column) == (9, 31)


def test_a_scalar_is_is_and_a_list_is_one_of(tmp_path: Path) -> None:
    must = criterion_of(tmp_path, "must: {plate: curved, tread: [good, shelled]}").must
    assert isinstance(must, AllOf)
    first, second = must.clauses
    assert isinstance(first, Comparison)
    assert isinstance(second, Comparison)
    assert (first.word, first.limit) == ("is", Fixed((Word("curved"),)))
    assert (second.word, second.limit) == ("one_of", Fixed((Word("good"), Word("shelled"))))


def test_several_words_on_one_attribute_all_bind(tmp_path: Path) -> None:
    must = criterion_of(tmp_path, "must: {flange_height: {at_least: 7 in, at_most: 9 in}}").must
    assert isinstance(must, AllOf)
    assert [clause.word for clause in must.clauses if isinstance(clause, Comparison)] == ["at_least", "at_most"]


def test_groups_nest(tmp_path: Path) -> None:
    must = criterion_of(tmp_path, "must: {any: [{cracked: no}, {all: [{tread: good}, {plate: curved}]}]}").must
    assert isinstance(must, AnyOf)
    assert isinstance(must.clauses[1], AllOf)


def test_count_and_each_look_at_the_parts_inside(tmp_path: Path) -> None:
    keys = (
        "must:\n  count: {of: spring, when: {leaf_broken: yes}, at_most: 1}\n"
        "  each: {of: wheel, when: {plate: curved}, must: {cracked: no}}"
    )
    must = criterion_of(tmp_path, keys, of="truck").must
    assert isinstance(must, AllOf)
    count, each = must.clauses
    assert isinstance(count, CountOf)
    assert (count.kind, count.word, count.number) == ("spring", "at_most", 1)
    assert isinstance(each, EachOf)
    assert each.kind == "wheel"
    assert isinstance(each.must, Comparison)


def test_a_count_of_spares_riding_along(tmp_path: Path) -> None:
    keys = "must: {count: {of: valve portion, when: {control_valve: AB}, at_least: 1}}"
    must = criterion_of(tmp_path, keys, of="car").must
    assert isinstance(must, CountOf)
    assert (must.kind, must.number) == ("valve portion", 1)


def test_a_limit_from_a_table(tmp_path: Path) -> None:
    keys = "must: {maintained_on: {within: {by: control_valve, AB: 2208 days, otherwise: 1104 days}}}"
    must = criterion_of(tmp_path, keys, of="brake system").must
    assert isinstance(must, Comparison)
    assert isinstance(must.limit, ByTable)
    assert must.limit.rows == {"AB": Interval(Period(days=2208))}
    assert must.limit.otherwise == Interval(Period(days=1104))


def test_a_limit_from_the_part_or_from_the_car(tmp_path: Path) -> None:
    keys = "must: {piston_travel: {at_most: {attribute: plate_travel}}}"
    must = criterion_of(tmp_path / "own", keys, of="brake cylinder").must
    assert isinstance(must, Comparison)
    assert isinstance(must.limit, FromPart)
    assert str(must.limit.path) == "plate_travel"
    other = criterion_of(
        tmp_path / "truck", "must: {axle_class: {is: {attribute: truck.takes_axle_class}}}", "wheelset"
    )
    assert isinstance(other.must, Comparison)
    assert isinstance(other.must.limit, FromPart)
    assert str(other.must.limit.path) == "truck.takes_axle_class"


def test_within_takes_periods_and_miles(tmp_path: Path) -> None:
    must = criterion_of(tmp_path, "must: {opened_on: {within: [10 years, 500000 mi]}}", of="truck").must
    assert isinstance(must, Comparison)
    assert isinstance(must.limit, Fixed)
    assert must.limit.values == (Interval(Period(months=120)), Figure(read_quantity("500000 mi", "distance")))


def test_tests_papers_counts_and_days(tmp_path: Path) -> None:
    keys = (
        "must: {single_car_test: {shown: yes, within: 12 months, failed: no}, single_car_test.device: {shown: yes}, "
        "count_of_vents: {at_least: 2}, car.insurance: {in_force: yes}, car.built_on: {before: 1927}}"
    )
    must = criterion_of(tmp_path, keys, of="brake system").must
    assert isinstance(must, AllOf)
    found = {str(c.path) + " " + c.word: c.limit for c in must.clauses if isinstance(c, Comparison)}
    assert found["single_car_test.device shown"] == Fixed((Word("yes"),))
    assert found["single_car_test failed"] == Fixed((Word("no"),))
    assert found["count_of_vents at_least"] == Fixed((Count(2),))
    day = found["car.built_on before"]
    assert isinstance(day, Fixed)
    assert isinstance(day.values[0], Day)
    assert day.values[0].first.isoformat() == "1927-01-01"


def test_the_own_kind_as_owner_is_the_part_itself(tmp_path: Path) -> None:
    must = criterion_of(tmp_path, "must: {wheel.cracked: no}").must
    assert isinstance(must, Comparison)
    assert must.path.owner == ""


def test_the_condition_of_a_chapter_binds_too(tmp_path: Path) -> None:
    text = criterion_text("must: {cracked: no}\nwhen: {plate: curved}").replace(
        "chapter: Wheels", "chapter: Wheels\nwhen: {move.train: passenger}"
    )
    assert problems_of(tmp_path, text) == ()


@pytest.mark.parametrize(
    ("of", "must", "words"),
    [
        ("wheel", "{flange_thicknes: {over: 7/8 in}}", ["`flange_thicknes`", "flange_thickness"]),
        ("wheel", "{frame: cast}", ["`frame` of the wheel", "write `truck.frame`"]),
        ("wheel", "{leakage: {at_most: 5 psi/min}}", ["an attribute of the kind brake system"]),
        ("wheel", "{truck.fram: cast}", ["`fram` of the kind truck", "/ frame /"]),
        ("wheel", "{brake_system.leakage: {at_most: 5 psi/min}}", ["does not stand in a brake system"]),
        ("wheel", "{truk.frame: cast}", ["`truk.frame`", "truck.frame"]),
        ("move", "{frame: cast}", ["`frame` of the move,"]),
        ("wheel", "{fact.cause: other}", ["only work and events"]),
        ("wheel", "{flange_thickness: {above: 7/8 in}}", ["the word `above`"]),
        ("wheel", "{flange_thickness: {atleast: 7/8 in}}", ["at_least"]),
        ("wheel", "{cracked: {over: 7/8 in}}", ["the word `over` on `cracked`, which is a yes or no"]),
        ("wheel", "{flange_thickness: {over: 40 mph}}", ["`mph`", "a unit of speed"]),
        ("wheel", "{flange_thickness: {over: 1}}", ["without a unit"]),
        ("wheel", "{tread: shelledd}", ["`shelledd` for `tread`", "/ shelled /"]),
        ("wheel", "{tread: [good, gone]}", ["`gone` for `tread`"]),
        ("wheel", "{tread: []}", ["empty list"]),
        ("wheel", "{cracked: maybe}", ["`maybe`", "yes or no"]),
        ("wheel", "{cracked: {shown: no}}", ["`shown: yes`"]),
        ("wheel", "{plate: {within: 3 years}}", ["the word `within` on `plate`"]),
        ("wheel", "{flange_thickness: {within: soon}}", ["`soon`", "a distance"]),
        ("wheel", "{flange_thickness: {within: []}}", ["a period, a distance, or both"]),
        ("wheel", "{flange_thickness: {over: {attribute: truck.frame}}}", ["which is a one of"]),
        ("wheel", "{flange_thickness: {over: {atribute: rim_thickness}}}", ["/ attribute /"]),
        ("wheel", "{flange_thickness: {over: {attribute: }}}", ["no attribute"]),
        ("wheel", "{tread: {one_of: {by: plate, curved: good}}}", ["values of `tread`"]),
        ("wheel", "{flange_thickness: {over: [1 in, 2 in]}}", ["a list of 2"]),
        ("wheel", "{flange_thickness: {over: }}", ["nothing"]),
        ("wheel", "{flange_thickness: {}}", ["no word"]),
        ("wheel", "{}", ["a clause such as"]),
        ("wheel", "cracked", ["a clause such as"]),
        ("wheel", "{any: []}", ["at least one clause"]),
        ("wheel", "{count: {of: spring, at_most: 1}}", ["not inside a wheel"]),
        ("truck", "{count: {of: sprung, at_most: 1}}", ["/ spring /"]),
        ("truck", "{count: {of: spring}}", ["a count with 0 limits"]),
        ("truck", "{count: {of: spring, at_most: 1, over: 2}}", ["a count with 2 limits"]),
        ("truck", "{count: {of: spring, at_most: one}}", ["a whole number of parts"]),
        ("truck", "{count: {at_most: 1}}", ["a count without `of`"]),
        ("truck", "{each: {of: spring}}", ["`each` without `must`"]),
        ("truck", "{each: {of: spring, must: {heigth: {over: 1 in}}}}", ["/ height /"]),
        ("truck", "{connections: {one_of: [air hose]}}", ["the word `one_of`", "holds_all"]),
        ("truck", "{connections: {holds_all: [air hos]}}", ["/ air hose /"]),
        ("truck", "{opened_on: {before: 2019-13-40}}", ["not in the calendar"]),
        ("truck", "{opened_on: {before: lately}}", ["a day such as"]),
        ("brake system", "{leakage: {at_most: {by: control_valve, 26C: 5 psi/min}}}", ["/ 26-C /", "otherwise"]),
        ("brake system", "{leakage: {at_most: {by: maintained_on, AB: 5 psi/min}}}", ["a table by `maintained_on`"]),
        ("brake system", "{leakage: {at_most: {by: control_valve}}}", ["a table without rows"]),
        ("brake system", "{leakage: {at_most: {by: control_valve, AB: [5 psi/min]}}}", ["a list of 1"]),
        ("brake system", "{leakage: {at_most: {by: control_valv, AB: 5 psi/min}}}", ["/ control_valve /"]),
        ("brake system", "{maintained_on: {within: {by: control_valve, AB: [1 year, 5 mi]}}}", ["one period"]),
        ("brake system", "{count_of_vents: {at_least: 2.5}}", ["a whole number"]),
        ("brake system", "{single_car_test: passed}", ["the word `is` on `single_car_test`"]),
        ("brake system", "{single_car_test: {failed: yes}}", ["`failed: no`"]),
        ("wheel", "{cracked: {failed: no}}", ["`failed`"]),
        ("brake system", "{single_car_test.devise: X}", ["single_car_test.device"]),
        ("car", "{insurance: {in_force: 3 days}}", ["`in_force: yes`"]),
        ("car", "{a.b.c.d: yes}", ["`a.b.c.d`"]),
    ],
)  # fmt: skip
def test_a_wrong_clause_is_refused_with_words(tmp_path: Path, of: str, must: str, words: list[str]) -> None:
    found = said(problems_of(tmp_path, criterion_text(f"must: {must}", of)))
    for word in words:
        assert word in found


def test_all_problems_come_at_once(tmp_path: Path) -> None:
    found = problems_of(
        tmp_path, criterion_text("must: {flange: 1 in, cracked: maybe, tread: {over: 1}}\nwhen: {x: y}")
    )
    assert len(found) == 4
    assert all(problem.where.file.endswith("wheels.yaml") for problem in found)
