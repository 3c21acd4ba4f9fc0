"""What was written down wrongly is put right by a form, whatever it is made of: the reading that keeps the car from
moving has a place there, and what was written stays on record."""

import csv
import io
import re

import pytest
import repair_samples as samples
from test_questions_enter_parts import found, put
from test_questions_html_form import filled as filled_html
from test_questions_spreadsheet import filled as filled_spreadsheet

from carknocker.documents import InputRefused
from carknocker.dossier.first_page import first_page_of
from carknocker.forms import form_of
from carknocker.forms.html_form import html_form
from carknocker.forms.spreadsheet import spreadsheet_of
from carknocker.forms.text_forms import csv_form, yaml_form
from carknocker.judgement.index import JudgementIndex
from carknocker.questions.enter.ask import enter
from carknocker.record import read_car_text
from carknocker.record.value_words import value_words

COLUMN = "correction “wheel L2, flange_thickness, 2030-04-20”"
SAYS = {"is": "1-1/4", "by": "RE", "on": "2030-04-22", "why": "copied from another line"}
BLANK = {"of": "wheel L2", "reading": "flange thickness", "read_on": "2030-04-20", "said": "3/4 in"}
KNOWN = "every reading of the sheet is on record already, of the same day"


def slipped():
    """The sample car with a flange of 3/4 in on record, which was 1-1/4 in."""
    return samples.car_text().replace("tape_id: T-1}\n", "tape_id: T-1}\n        L2: {flange_thickness: 3/4 in}\n", 1)


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="module")
def form(yard):
    return form_of(samples.answer(yard, slipped()))


def as_csv(form, values):
    rows = list(csv.DictReader(io.StringIO(csv_form(form), newline="")))
    stream = io.StringIO()
    writer = csv.DictWriter(stream, rows[0].keys(), lineterminator="\r\n")
    writer.writeheader()
    writer.writerows({**one, "value": values.get((one["part"], one["attribute"]), one["value"])} for one in rows)
    return stream.getvalue(), "form.csv"


def as_yaml(form, values):
    lines, part = [], ""
    for one in yaml_form(form).splitlines():
        part = one.strip().removesuffix(":").strip('"') if one.startswith('      "') else part
        key = one.strip().partition(":")[0]
        typed = values.get((part, key)) if one.startswith("        ") else None
        lines.append(one if typed is None else one.replace(f"{key}:", f'{key}: "{typed}"', 1))
    return "\n".join(lines) + "\n", "form.yaml"


def as_html(form, values):
    return filled_html(html_form(form), values), "form.html"


def as_spreadsheet(form, values):
    return filled_spreadsheet(spreadsheet_of(form), values, head=False), "form.xlsx"


MEDIA = [as_csv, as_yaml, as_html, as_spreadsheet]


def outcome(yard, text):
    return samples.answer(yard, text).judgement.outcome


@pytest.mark.parametrize("medium", MEDIA)
def test_the_reading_that_keeps_the_car_is_put_right_and_what_was_written_stays(yard, form, medium):
    before = slipped()
    assert outcome(yard, before) == "not ready"
    values = {
        (COLUMN, key): f"{typed} in" if key == "is" and medium is as_yaml else typed for key, typed in SAYS.items()
    }
    entered = enter(before, "car.yaml", *medium(form, values))
    assert entered.text.startswith(before)  # not a letter of it is another
    assert outcome(yard, entered.text) == "ready"
    record = read_car_text(entered.text, "car.yaml")
    flange = record.by_part["wheel W-2 left"]["flange_thickness"][-1]
    assert (value_words(flange.value), flange.on.isoformat(), flange.by.name) == ("1-1/4 in", "2030-04-20", "RE")
    [told] = [
        one.words
        for one in first_page_of(JudgementIndex(samples.answer(yard, entered.text).judgement))
        if one.sort == "correction"
    ]
    assert told == (
        "Put right: flange thickness of wheel L2, 2030-04-20: 1-1/4 in, not 3/4 in, says R. Example (owner) on "
        "2030-04-22: copied from another line"
    )


@pytest.mark.parametrize("medium", MEDIA)
def test_any_reading_is_put_right_by_a_column_that_names_it(form, medium):
    values = {("correction 1", key): typed for key, typed in {**BLANK, **SAYS, "is": "1-1/4 in"}.items()}
    record = read_car_text(enter(slipped(), "car.yaml", *medium(form, values)).text, "car.yaml")
    assert [(one.of, one.attribute, one.said, one.now) for one in record.corrections] == [
        ("wheel L2", "flange_thickness", "3/4 in", "1-1/4 in")
    ]


def column(**said):
    return tuple(("correction 1", key, typed) for key, typed in {**BLANK, **SAYS, **said}.items() if typed)


def test_the_same_form_again_says_that_it_is_on_record():
    first = put(*column(), record=slipped()).text
    assert [one.rpartition(": ")[2] for one in found(*column(), record=first)] == [KNOWN]
    again = put(*column(said="1-1/4 in", **{"is": "1 in", "on": "2030-04-23"}), record=first).text
    assert [one.now for one in read_car_text(again, "car.yaml").corrections] == ["1-1/4 in", "1 in"]


def test_the_day_is_asked_only_where_it_was_read_on_several():
    once = put(*column(read_on=""), record=slipped()).text
    assert read_car_text(once, "car.yaml").corrections[0].read_on.isoformat() == "2030-04-20"
    rim = {"of": "wheel L2", "reading": "rim_thickness", "said": "1-1/4 in", "is": "1-1/2 in", "read_on": ""}
    [told] = found(*column(**rim), record=slipped())
    assert told.endswith("`1-1/4 in`, which was read several times")
    assert put(*column(**{**rim, "read_on": "2030-04-20"}), record=slipped())


@pytest.mark.parametrize(
    ("said", "box", "words"),
    [
        ({"of": "wheel L9"}, "of", "the part `wheel L9`"),
        ({"reading": "flange thicknes"}, "reading", "`flange thicknes` of wheel L2"),
        ({"said": "7/8 in"}, "said", "`7/8 in` of 2030-04-20"),
        ({"is": "heavy"}, "is", "`heavy` for `flange_thickness`"),
        ({"is": "3/4 in"}, "is", "`3/4 in`, which is on record"),
        ({"by": "XX"}, "by", "the person `XX`, which is not known"),
        ({"on": "2030-04-19"}, "on", "a correction of 2030-04-19 of what was read on 2030-04-20"),
        ({"why": "ok"}, "why", "`why: ok`"),
        ({"of": "truck B", "reading": "truck_kind", "said": "two-axle", "is": "three-axle"}, "read on",
         "a day of reading of `truck_kind`, which has none"),
    ],
)  # fmt: skip
def test_what_can_not_be_put_right_is_refused_at_its_box(said, box, words):
    [told] = found(*column(**said), record=slipped())
    assert told.startswith(f"sheet “Sheet 1”, {box}, 1: {words}")


def test_all_that_a_correction_lacks_is_told_at_once_each_at_its_own_box(form):
    text, file = as_csv(form, {("correction 1", "of"): "wheel L2"})
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    line = {one["attribute"]: number for number, one in enumerate(rows, 2) if one["part"] == "correction 1"}
    with pytest.raises(InputRefused) as caught:
        enter(slipped(), "car.yaml", text, file)
    told = {problem.found.rpartition(": ")[2]: problem.where.line for problem in caught.value.problems}
    assert told == {
        "what": line["reading"], "as it stands on record": line["said"], "what is right": line["is"],
        "by whom": line["by"], "put right on": line["on"], "how it came about": line["why"],
    }  # fmt: skip


def test_a_description_is_put_right_in_its_place_and_the_record_says_what_stood_there():
    said = {"of": "truck b", "reading": "holds to body by", "said": "safety chains", "is": "locking center pin"}
    labels = {"reading": "held_to_body_by", "read_on": ""}
    entered = put(*column(**{**said, **labels}), record=slipped())
    assert "    held_to_body_by: locking center pin\n" in entered.text
    record = read_car_text(entered.text, "car.yaml")
    assert [(one.of, one.said, one.now) for one in record.corrections] == [
        ("truck B", "safety chains", "locking center pin")
    ]
    assert [one.rpartition(": ")[2] for one in found(*column(**{**said, **labels}), record=entered.text)] == [KNOWN]


def test_a_wrong_mark_is_put_right_and_forms_printed_before_are_entered_all_the_same():
    said = {"of": "car", "reading": "mark", "said": "TSTX 1", "is": "TSTX 7", "read_on": ""}
    entered = put(*column(**said), ("correction 2", "of", "car"), ("correction 2", "reading", "name"),
                  ("correction 2", "said", "Sample"), ("correction 2", "is", "Simple"), ("correction 2", "by", "RE"),
                  ("correction 2", "on", "2030-04-22"), ("correction 2", "why", "a slip of the pen"),
                  record=slipped())  # fmt: skip
    record = read_car_text(entered.text, "car.yaml")
    assert (record.mark, record.name) == ("TSTX 7", "Simple")
    assert "car: {mark: TSTX 7, name: Simple, built_on: 1931}   # not restored yet\n" in entered.text
    later = put(*column(), record=entered.text)  # the form says TSTX 1
    assert len(read_car_text(later.text, "car.yaml").corrections) == 3
    other = slipped().replace("mark: TSTX 1", "mark: TSTX 8")
    [told] = found(*column(), record=other)
    assert told.endswith("a form for `TSTX 1`, but the record is of TSTX 8")


@pytest.mark.parametrize(
    ("medium", "place"),
    [
        (as_csv, "column `car`: "), (as_yaml, ""), (as_html, "the head of the form: "),
        (as_spreadsheet, "cell A1 of sheet “work, tests and papers”: "),
    ],
)  # fmt: skip
def test_a_form_for_another_car_is_refused_where_its_mark_stands(form, medium, place):
    values = {("correction 1", key): typed for key, typed in {**BLANK, **SAYS}.items()}
    text, file = medium(form, values)
    with pytest.raises(InputRefused) as refused:
        enter(slipped().replace("mark: TSTX 1", "mark: TSTX 8"), "car.yaml", text, file)
    [problem] = refused.value.problems
    assert problem.found == f"{place}a form for `TSTX 1`, but the record is of TSTX 8"
    if isinstance(text, str) and medium is not as_html:
        assert "TSTX 1" in text.splitlines()[problem.where.line - 1]


def test_no_column_is_there_for_what_does_not_stand_against_the_car(yard, form):
    heads = re.findall(r"correction “[^”]+”", csv_form(form_of(samples.answer(yard))))
    assert heads == []
    assert set(re.findall(r"correction “[^”]+”", csv_form(form))) == {COLUMN}
