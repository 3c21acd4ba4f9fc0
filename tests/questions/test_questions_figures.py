"""`figures`: every derived attribute of every part is worked or says what is missing; plans, labels and outlooks."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from case_list import answer
from msgspec.structs import replace
from random_worlds import (
    HOST,
    NOWHERE,
    OUT,
    attribute,
    car_record,
    compare,
    criterion,
    inches,
    move,
    reading,
    rulebook,
)

from carknocker.judgement.judge import judge
from carknocker.judgement.record_readings import RecordReadings
from carknocker.page.model import Table
from carknocker.page.pdf.runs import runs_of
from carknocker.quantities import Quantity, read_quantity
from carknocker.questions.figures.ask import figures_of, missing_words
from carknocker.questions.figures.page import figures_page
from carknocker.record.model import Gauge, MoveMade
from carknocker.record.values import Figure, NotAccessible, Word
from carknocker.rulebook.clauses import AllOf, AttributePath, ByTable, Comparison
from carknocker.vocabulary import load_vocabulary
from carknocker.workings import WORKINGS, Missing

DAY = OUT - timedelta(days=10)
VOCABULARY = load_vocabulary()
TAPES = Figure(Quantity.of("tapes", 2))
RULES = [
    criterion("mates", "wheelset", compare("wheelset", "mate_difference", "at_most", TAPES), effect="advise"),
    criterion("rim", "wheel", compare("wheel", "rim_thickness", "at_least", Figure(inches(16))), effect="advise"),
]


def wheel(axle, side, rim="1-1/2 in", cut="1/8 in", diameter="36 in", on=DAY):
    values = {"rim_thickness": rim, "turning_allowance": cut, "measured_diameter": diameter}
    return [
        reading(f"wheel W-{axle} {side}", name, Figure(read_quantity(text, "length")), on,
                resolution=read_quantity("1/16 in", "length"))
        for name, text in values.items()
    ]  # fmt: skip


def whole(**changed):
    """All eight wheels."""
    return [
        one
        for axle in (1, 2, 3, 4)
        for side in ("left", "right")
        for one in wheel(axle, side, **changed.get(f"{side}_{axle}", {}))
    ]


def asked(evidence, rules=RULES, **car):
    record = replace(car_record(evidence), **car)
    judgement = judge(record, move(), rulebook(list(rules), []), OUT)
    return figures_of(record, OUT, judgement.situation, judgement)


def test_every_derived_attribute_of_every_part_is_there():
    found = asked(whole())
    wanted = {
        (part.key, attribute.name)
        for part in found.parts.values()
        for attribute in VOCABULARY.kinds[part.kind].attributes.values()
        if attribute.derived
    }
    assert {(one.part.key, one.attribute.name) for one in found.figures} == wanted
    for one in found.figures:
        assert (one.worked is None) != (one.missing is None)
        assert one.source
    assert {one.attribute.derived for one in found.figures} <= set(WORKINGS)


def test_uncertainties_are_given_in_the_unit_of_the_figure():
    found = next(f for f in asked(whole()).figures if f.attribute.name == "rim_after_turning")
    assert found.uncertainty == read_quantity("1/8 in", "length")


def found_figures(evidence, name):
    return [one for one in asked(evidence).figures if one.attribute.name == name]


def test_a_turning_plan_for_the_car_its_trucks_and_its_axles():
    evidence = whole(left_1={"cut": "1/4 in"})
    found = asked(evidence).turning
    assert [one.of.key for one in found][:3] == ["car", "truck B", "truck A"]
    assert len(found) == 7
    plans = {one.of.key: one.plan for one in found}
    assert all(plan is not None and plan.works for plan in plans.values())
    cuts = {wheel.wheel.name: wheel.cut.middle for wheel in plans["wheelset W-1"].wheels}
    assert cuts == {"wheel L1": Fraction(1, 4), "wheel R1": Fraction(1, 4)}  # the deeper cut governs both
    left = {wheel.wheel.name: wheel.rim.middle for wheel in plans["wheelset W-1"].wheels}
    figures = {one.part.label: one.worked.value.quantity.amount for one in found_figures(evidence, "rim_after_turning")}
    assert left == {name: figures[name] for name in left}
    assert {one.rule for one in found[0].limits} == {"test/mates", "test/rim"}


def test_without_sizes_the_deeper_cut_governs_the_mates_of_a_wheelset():
    evidence = [one for one in whole(right_2={"cut": "5/16 in"}) if one.attribute != "measured_diameter"]
    found = {one.of.key: one for one in asked(evidence).turning}
    assert found["car"].plan is None
    assert found["car"].missing.attribute == "measured_diameter"
    alone = found["wheelset W-2"]
    assert alone.plan.works
    assert "taken as alike" in alone.taken
    assert [one.line for one in alone.plan.wheels] == [
        f"{wheel}: cut 5/16 in (governed by wheel R2), rim₂ = rim₁ - t = 1-1/2 in - 5/16 in = 1-3/16 in"
        for wheel in ("wheel L2", "wheel R2")
    ]
    assert found["wheelset W-1"].plan.wheels[0].diameter is None


def test_a_plan_that_leaves_too_little_rim_says_so():
    plans = {one.of.key: one.plan for one in asked(whole(left_1={"rim": "1-1/16 in"})).turning}
    assert not plans["wheelset W-1"].works
    assert not plans["car"].works
    assert plans["wheelset W-2"].works


def test_a_limit_that_does_not_itself_pass_is_kept_with_a_64th_to_spare():
    over = criterion("rim", "wheel", compare("wheel", "rim_thickness", "over", Figure(inches(16))), effect="advise")
    plans = {one.of.key: one.plan for one in asked(whole(left_1={"rim": "1-1/8 in"}), [RULES[0], over]).turning}
    assert not plans["wheelset W-1"].works
    plans = {one.of.key: one.plan for one in asked(whole(left_1={"rim": "1-1/8 in"})).turning}
    assert plans["wheelset W-1"].works


@pytest.mark.parametrize("rules", [RULES[:1], RULES[1:], []])
def test_without_a_rule_that_sets_a_limit_there_is_no_plan(rules):
    assert asked(whole(), rules).turning == ()


def test_rules_that_do_not_apply_set_no_limit():
    spare = criterion(
        "mates", "wheelset", compare("wheelset", "mate_difference", "at_most", TAPES), effect="advise",
        when=compare("car", "car_kind", "is", Word("caboose"), owner="car"),
    )  # fmt: skip
    kind = reading("car", "car_kind", Word("coach"), DAY, sort="description")
    assert asked([*whole(), kind], [spare, RULES[1]]).turning == ()


def test_what_a_plan_lacks_is_named():
    found = asked(whole()[1:]).turning
    lack = {one.of.key: one.missing for one in found}
    assert isinstance(lack["wheelset W-1"], Missing)
    assert missing_words(lack["wheelset W-1"], asked([]).parts).startswith("rim thickness of wheel L1")
    assert lack["wheelset W-2"] is None


def test_a_turned_label_calls_for_its_axle():
    label = reading("bearing W-3 right", "heat_label", Word("turned"), DAY)
    intact = reading("bearing W-1 right", "heat_label", Word("intact"), DAY)
    found = asked([label, intact]).turned_labels
    assert [axle.key for axle, _ in found] == ["axle position 3"]
    assert "axle 3" in found[0][1][0]


def test_rims_last_by_their_own_wear_alone():
    old = [
        one
        for days in (400, 380, 360)
        for one in wheel(1, "left", rim="1-3/4 in", on=OUT - timedelta(days=days))
    ]  # fmt: skip
    moves = (MoveMade(DAY - timedelta(days=300), DAY - timedelta(days=290), read_quantity("20,000 miles", "distance"),
                      HOST, NOWHERE),)  # fmt: skip
    found = asked([*old, *whole()], moves_made=moves).outlooks
    assert [one.wheel.key for one in found] == ["wheel W-1 left"]
    assert found[0].outlook.earliest > DAY
    assert found[0].limit.rule == "test/rim"
    assert asked([*old, *whole()], RULES[:1], moves_made=moves).outlooks == ()
    hosts = compare("wheel", "rim_thickness", "over", Figure(inches(20)))
    sound = compare("wheel", "rim_thickness", "shown", Word("yes"))
    stricter = criterion("host-rim", "wheel", AllOf((hosts, sound)), effect="advise")
    both = asked([*old, *whole()], [*RULES, stricter], moves_made=moves).outlooks
    assert [(one.limit.rule, one.limit.limit) for one in both] == [
        ("test/host-rim", Fraction(81, 64)), ("test/rim", 1),
    ]  # fmt: skip
    assert both[0].outlook.left.miles < both[1].outlook.left.miles
    assert both[0].outlook.earliest < both[1].outlook.earliest


def test_a_limit_by_table_and_a_limit_among_others_bind_a_plan():
    by_shape = ByTable(
        AttributePath("", attribute("wheel", "plate_shape")),
        {"curved": Figure(inches(16)), "straight": Figure(inches(22))}, None,
    )  # fmt: skip
    must = Comparison(AttributePath("", attribute("wheel", "rim_thickness")), "at_least", by_shape, NOWHERE)
    rim = criterion("rim", "wheel", must, effect="advise")
    shapes = [
        reading(f"wheel W-{axle} {side}", "plate_shape", Word("straight" if axle == 2 else "curved"), DAY,
                sort="description")
        for axle in (1, 2, 3, 4) for side in ("left", "right")
    ]  # fmt: skip
    plans = {one.of.key: one for one in asked([*whole(), *shapes], [RULES[0], rim]).turning}
    assert plans["wheelset W-2"].limits[-1].limit == Fraction(22, 16)
    assert plans["wheelset W-2"].plan.works


def test_a_record_without_a_move_counts_what_its_gauges_allow():
    overdue = Gauge("G-1", "finger gauge", None, None, date(2029, 1, 1), NOWHERE)
    good = reading("wheel W-1 left", "rim_thickness", Figure(inches(20)), DAY - timedelta(days=5))
    bad = reading("wheel W-1 left", "rim_thickness", Figure(inches(30)), DAY, gauge=overdue)
    hidden = reading("wheel W-1 left", "rim_thickness", NotAccessible("cover"), DAY, 1)
    readings = RecordReadings(car_record([good, bad, hidden]), OUT)
    assert readings.newest("wheel W-1 left", "rim_thickness") == good
    assert readings.newest("wheel W-1 left", "flange_thickness") is None
    assert readings.standing.move is None
    figures = figures_of(readings.standing.car, OUT, readings, None)
    assert figures.move is None
    assert figures.turning == ()


def test_what_a_figure_is_reads_without_backquotes_on_paper():
    for name, working in WORKINGS.items():
        assert "`" not in "".join(map(str, runs_of(working.__doc__ or ""))), name


def test_what_is_missing_is_one_table_with_like_parts_together():
    """A heading and two lines for each of 40 made nine sheets of it."""
    judgement = answer("wren-hollow/before").judgement
    page = figures_page(figures_of(judgement.car, judgement.as_of, judgement.situation, judgement))
    (missing,) = (one for one in page.sections if one.heading == "What is missing, first of each figure")
    (table,) = missing.blocks
    assert isinstance(table, Table)
    rows = {row[0]: row[1:] for row in table.rows}
    assert rows["Rim thickness: not read twice since the wheel was turned"] == (
        "wheel L1–L6, R1–R6",
        "rim worn off in 10,000 miles",
    )
    assert rows["Greatest weight per foot: not read"] == ("leg 1–3", "weight per foot over the leg's limit")


def test_the_limits_of_a_turning_plan_are_cited_as_a_reader_would_look_them_up():
    judgement = answer("wren-hollow/before").judgement
    page = figures_page(figures_of(judgement.car, judgement.as_of, judgement.situation, judgement))
    (turning,) = (one for one in page.sections if one.heading.startswith("Turning"))
    assert "rim thickness at least 1 in (49 CFR 238.303(e)(8)(" in turning.blocks[0].text
    assert "us-federal/" not in turning.blocks[0].text
