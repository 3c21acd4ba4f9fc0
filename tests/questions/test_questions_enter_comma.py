"""A figure on a form whose one comma may be a decimal one, as people write in many countries: common practice, no
source."""

import json

import pytest
import repair_samples as samples
from test_questions_enter_corrections import MEDIA
from test_questions_enter_odd_values import as_yaml, refused
from test_questions_enter_slips import TODAY, bare
from test_questions_enter_slips import as_csv as csv_of_one_flange

from carknocker.forms import form_of
from carknocker.questions.enter.ask import enter
from carknocker.record import read_car_text
from carknocker.record.value_words import value_words

DOUBT = "where a comma may mean a point or thousands"
HEAD_END = ("head-end power", "insulation_resistance")


@pytest.fixture(scope="module")
def form(tmp_path_factory):
    return form_of(samples.answer(samples.yard_in(tmp_path_factory.mktemp("yard")), bare()))


@pytest.mark.parametrize("value", ["1,125 in", '{reads: "1,125 in", sure: read twice}', '{over: "1,125 in"}'])
def test_a_flange_of_thousands_of_inches_is_one_with_a_point(value):
    text = as_yaml().replace('"1 in"', value if value.startswith("{") else json.dumps(value))
    [problem] = refused(text, "form.yaml")
    assert problem.found == f"wheel L1, flange_thickness: `1,125 in`, {DOUBT}"
    assert problem.expected == "a point for decimals, and no comma: `1.125 in`, or `1125 in` if that is meant"
    assert problem.where.line == 8


def test_in_a_csv_form_with_commas_between_its_columns_too(form):
    [problem] = refused(csv_of_one_flange(form, typed="1,125"), "form.csv")
    assert problem.found == f"wheel L1, flange thickness: `1,125 in`, {DOUBT}"


@pytest.mark.parametrize(
    ("part", "attribute", "value"),
    [
        (*HEAD_END, "1,125 megohm"), ("bearing L1", "running_temperature", "1,125 °F"),
        ("wheel L1", "tape_size", "1,125 tape"),
    ],
)  # fmt: skip
def test_a_figure_that_can_be_either_is_asked_for_once_more(part, attribute, value):
    [problem] = refused(as_yaml(value, part=part, attribute=attribute), "form.yaml")
    assert problem.found == f"{part}, {attribute}: `{value}`, {DOUBT}"


@pytest.mark.parametrize(
    ("part", "attribute", "value", "said"),
    [
        ("car", "gross_weight", "171,400 lb", "171,400 lb"), ("car", "tank_and_store_weight", "8,000 lb", "8,000 lb"),
        ("bearing L1", "running_temperature", "1125 °F", "1,125 °F"),
        ("wheel L1", "flange_thickness", "1.125 in", "1-1/8 in"),
    ],
)  # fmt: skip
def test_thousands_that_nothing_else_can_be_are_taken(part, attribute, value, said):
    entered = enter(bare(), "car.yaml", as_yaml(value, part=part, attribute=attribute), "form.yaml", TODAY)
    values = [value_words(one.value) for one in read_car_text(entered.text, "car.yaml").evidence
              if (one.attribute, str(one.on)) == (attribute, "2030-05-02")]  # fmt: skip
    assert values == [said]


@pytest.mark.parametrize("medium", MEDIA)
def test_what_an_entry_tells_is_asked_for_alike_in_every_medium(form, medium):
    turned = {
        ("job 1", "did"): "wheels turned", ("job 1", "at"): "all", ("job 1", "on"): "2030-04-20",
        ("job 1", "by"): "RE", ("job 1", "cut"): "1,125 in",
    }  # fmt: skip
    problems = refused(*medium(form, turned), record=samples.car_text())
    assert [problem.found.rpartition(": ")[2] for problem in problems if DOUBT in problem.found] == [
        f"`1,125 in`, {DOUBT}"
    ]


def test_what_is_right_of_a_correction_is_asked_for_too(form):
    values = {
        ("correction 1", "of"): "wheel L1", ("correction 1", "reading"): "flange thickness",
        ("correction 1", "said"): "1 in", ("correction 1", "is"): "1,125", ("correction 1", "by"): "RE",
        ("correction 1", "on"): "2030-05-02", ("correction 1", "why"): "misread",
    }  # fmt: skip
    problems = refused(*MEDIA[2](form, values), record=samples.car_text())
    assert [problem.found.rpartition(": ")[2] for problem in problems] == [f"`1,125 in`, {DOUBT}"]
