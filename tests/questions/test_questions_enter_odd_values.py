"""What people type or paste into the HTML form and the YAML form and is no value: refused at its own field or line."""

import json

import pytest
import repair_samples as samples
from test_questions_enter_slips import FLANGE, TODAY, as_csv, bare
from test_questions_html_form import block, filled, with_block

from carknocker.documents import InputRefused
from carknocker.forms import form_of
from carknocker.forms.html_form import html_form
from carknocker.questions.enter.ask import enter

PASTED = 'The flange looked fine.\nI read about 1 in, or so;\nREADY: "all": {is: well} # so\n' * 9
YAML_FORM = """format: carknocker-form/1
car: TSTX 1
sheets:
  - on: {on}
    by: {by}
    readings:
      {part}:
        {attribute}: {value}
last_line: yes
"""
IN_HTML = "sheet “Wheels and truck B”, "


@pytest.fixture(scope="module")
def form(tmp_path_factory):
    return form_of(samples.answer(samples.yard_in(tmp_path_factory.mktemp("yard")), bare()))


def as_html(form, value="1 in", on="2030-05-02", by="RE"):
    blank = html_form(form)
    text = filled(blank, {FLANGE: value})
    answers = block(text, "answers")
    sheet = next(key[3:] for key in answers["entries"] if key.startswith("on-"))
    return with_block(
        blank, "answers", {**answers, "entries": {**answers["entries"], f"on-{sheet}": on, f"by-{sheet}": by}}
    )


def as_yaml(value="1 in", on="2030-05-02", by="RE", part=FLANGE[0], attribute=FLANGE[1]):
    said = (json.dumps(one, ensure_ascii=False) for one in (value, on, by))
    value, on, by = said
    return YAML_FORM.format(value=value, on=on.strip('"'), by=by, part=part, attribute=attribute)


def refused(text, file, record=None):
    with pytest.raises(InputRefused) as caught:
        enter(record or bare(), "car.yaml", text, file, TODAY)
    return caught.value.problems


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("1 lb", "a unit of weight"), ("1 psi", "a unit of pressure"), ("1 ft", "which is 12 in"),
        ("1?", "the unit `?`"),
        ("28,6 mm", "whose comma does not stand before three digits"), ("1.125,5 in", "whose comma"),
        ("1,125 in", "where a comma may mean a point"), ("1.1.25 in", "whose number can't be read"),
        ("1 1/16 - 1 1/8 in", "two numbers and no fraction"), ("1/0 in", "the fraction 1/0"), ("-1 in", "below zero"),
        ("1e3 in", "1e3"), ("about 1 in", "`about 1 in`"), ("<1 in", "`<1 in`"), ("n/a", "`n/a`"), ("ok", "`ok`"),
        ("=1+1", "`=1+1`"), ("{a: b}", "`{a: b}`"), ("null", "`null`"), ("1 in\n2 in", "`1 in"),
        (PASTED, f"a text of {len(PASTED.strip())} characters"), ("5/2/2030", "5/2/2030"),
    ],
)  # fmt: skip
def test_what_is_no_figure_is_refused_at_its_field_and_its_line(form, typed, words):
    [in_html] = refused(as_html(form, typed), "form.html")
    assert in_html.found.startswith(f"{IN_HTML}flange thickness, L1: ")
    assert in_html.where.field
    assert words in in_html.found
    [in_yaml] = refused(as_yaml(typed.strip()), "form.yaml")
    assert (in_yaml.where.line, in_yaml.where.column) == (8, 27)
    assert in_yaml.found.startswith("wheel L1, flange_thickness: ")
    assert words in in_yaml.found


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("02.05.2030", "`02.05.2030`"), ("5/2/2030", "`5/2/2030`"), ("2 May 2030", "`2 May 2030`"),
        ("2030-5-2", "`2030-5-2`"), ("20300502", "`20300502`"), ("yesterday", "`yesterday`"),
        ("2030-02-30", "`2030-02-30`, which is not in the calendar"),
        ("2030-13-01", "`2030-13-01`, which is not in the calendar"),
        ("2030-05-05", "2030-05-05, a day that has not come by 2030-05-04"),
    ],
)  # fmt: skip
def test_another_day_is_refused_at_the_head_of_its_sheet(form, typed, words):
    [in_html] = refused(as_html(form, on=typed), "form.html")
    assert in_html.found == f"{IN_HTML}day of reading: {words}"
    [in_yaml] = refused(as_yaml(on=typed), "form.yaml")
    assert (in_yaml.where.line, in_yaml.found) == (4, f"day of reading: {words}")


@pytest.mark.parametrize("typed", ["nobody", "RE, LO", PASTED])
def test_another_reader_is_refused_at_the_head_of_its_sheet(form, typed):
    [in_html] = refused(as_html(form, by=typed), "form.html")
    assert in_html.found.startswith(f"{IN_HTML}read by: the person `{typed[:40]}")
    [in_yaml] = refused(as_yaml(by=typed), "form.yaml")
    assert in_yaml.where.line == 5
    assert in_yaml.found.startswith(f"read by: the person `{typed[:40]}")


@pytest.mark.parametrize(
    ("part", "attribute", "place", "words"),
    [
        ("wheel L9", "flange_thickness", (7, 7), "the wheel `L9`, which the car has not got"),
        ("wheel", "flange_thickness", (7, 7), "the part `wheel`, but not which one"),
        ("Wheel L1", "flange_thickness", (7, 7), "the part `Wheel L1`"),
        ("wheel L1", "flange_thicknes", (8, 9), "the key `flange_thicknes`"),
        ("wheel L1", "gauge", (8, 16), "the gauge `1 in`, which is not known"),
    ],
)
def test_a_part_and_what_is_read_of_it_are_refused_in_yaml_where_they_are_named(part, attribute, place, words):
    [problem] = refused(as_yaml(part=part, attribute=attribute), "form.yaml")
    assert (problem.where.line, problem.where.column) == place
    assert problem.found.startswith(f"{part}, {attribute}: {words}")


def test_a_form_of_another_car_and_one_entered_before_bring_nothing(form):
    for text, file, place, line in (
        (as_html(form), "form.html", "the head of the form: ", 1), (as_yaml(), "form.yaml", "", 2),
    ):  # fmt: skip
        [other] = refused(text, file, bare().replace("TSTX 1", "OTHX 9"))
        assert other.found == f"{place}a form for `TSTX 1`, but the record is of OTHX 9"
        assert other.where.line == line
        once = enter(bare(), "car.yaml", text, file, TODAY).text
        [again] = refused(text, file, once)
        assert "every reading of the sheet is on record already, of the same day" in again.found


def test_two_ticks_that_say_otherwise_of_one_part_are_refused(form):
    both = "".join(
        f'      - {{tick: x, parts: ["wheel L1"], says: {{broken_rim: "{said}"}}}}\n' for said in ("no", "yes")
    )
    text = as_yaml().replace("    readings:", f"    ticks:\n{both}    readings:")
    [problem] = refused(text, "form.yaml")
    assert problem.where.line == 8
    assert "`broken_rim` of wheel L1 a second time" in problem.found
    blank = html_form(form)
    told = block(blank, "form")
    box = told["sheets"][0]["boxes"][0]["id"]
    told["sheets"][0]["ticks"] = [
        {"id": f"t9{number}", "says": {box: said}} for number, said in enumerate(("no", "yes"))
    ]
    [problem] = refused(with_block(blank, "form", told), "form.html")
    assert problem.found == "a form in which two ticks say something of one box"


@pytest.mark.parametrize("unseen", ["\u202e", "\u200b", "\x07"])
def test_what_can_not_be_seen_at_the_head_or_beside_a_figure_is_refused_there(form, unseen):
    """Never at a line of the record that the form would make."""
    words = f"the character U+{ord(unseen):04X}, which can't be seen"
    [of_day] = refused(as_html(form, on=f"2030-05-02{unseen}"), "form.html")
    assert of_day.found == f"{IN_HTML}day of reading: {words}"
    [of_reader] = refused(as_html(form, by=f"R{unseen}E"), "form.html")
    assert of_reader.found == f"{IN_HTML}read by: {words}"
    [in_csv] = refused(as_csv(form, on=f"2030-05-02{unseen}"), "form.csv")
    assert in_csv.where.file == "form.csv"
    assert in_csv.found == f"sheet “truck B”, day of reading: {words}"
    [of_gauge] = refused(as_csv(form, gauge=f"G{unseen}-1"), "form.csv")
    assert of_gauge.found == f"wheel L1, flange thickness: {words}"
