"""`enter`: a form into the record, all of it or nothing, and not a letter of the owner's changed."""

from datetime import date

import pytest
import repair_samples as samples
from hypothesis import given
from hypothesis import strategies as st

from carknocker.documents import InputRefused
from carknocker.forms.text_forms import csv_form, yaml_form
from carknocker.questions.enter.ask import enter
from carknocker.questions.enter.tray import tray_text
from carknocker.questions.worksheet.ask import worksheet
from carknocker.record import read_car_text
from carknocker.record.value_words import value_words
from carknocker.vocabulary import load_vocabulary

FORM = """\
format: carknocker-form/1
car: TSTX 1
sheets:
  - access: walking round
    on: 2030-05-02
    by: RE
    gauge: G-1
    readings:
      wheel L1:
        flange_thickness: {at_least: 15/16 in}
        rim_thickness: 1-1/4 in
        tread_hollow:
      wheel W-9 left: {out_of_round: not accessible (chained down)}
      brake system: {brake_pipe_leakage: {before: 90 psi, after: 88 psi, minutes: 1}}
      axle 3: {crack: no}
      wheelset W-1: {back_to_back: 53-1/4 in}
  - access: inside
    on:
    by:
    readings:
      body: {first_aid: }
"""


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


def record():
    return samples.car_text()


def whole(form, file="form.yaml"):
    """A form with its last row or line."""
    if file.endswith(".yaml"):
        return form if "last_line" in form else f"{form}last_line: yes\n"
    head = form.partition("\n")[0].strip("\r")
    separator = max((",", ";", "\t"), key=head.count)
    cells = ["last row" if name.casefold() == "part" else "" for name in head.split(separator)]
    return f"{form}{separator.join(cells)}\n"


def put(form=FORM, text=None, file="form.yaml"):
    return enter(record() if text is None else text, "car.yaml", whole(form, file), file)


def added_lines(before, after):
    """What was put in between, where all the rest is as it was."""
    start = 0
    while before[start : start + 1] == after[start : start + 1] and start < len(before):
        start += 1
    end = len(before) - start
    assert before[start:] == after[len(after) - end :]
    return after[start : len(after) - end]


def test_only_the_new_sheet_is_put_in():
    entered = put()
    added = added_lines(record(), entered.text)
    assert "2030-05-02" in added
    assert "first_aid" not in added
    assert "tread_hollow" not in added
    assert "# his note on that sheet" not in added
    assert entered.text.index("# his note on that sheet") < entered.text.index("2030-05-02")
    assert entered.text.index("2030-05-02") < entered.text.index("# work comes after")


def test_the_readings_are_on_record_as_a_new_sheet_of_that_day():
    entered = put()
    new = [one for one in read_car_text(entered.text, "car.yaml").evidence if str(one.on) == "2030-05-02"]
    assert {(one.part, one.attribute) for one in new} == {
        ("wheel W-1 left", "flange_thickness"), ("wheel W-1 left", "rim_thickness"), ("wheel W-9 left", "out_of_round"),
        ("brake system", "brake_pipe_leakage"), ("axle of W-3", "crack"), ("wheelset W-1", "back_to_back"),
    }  # fmt: skip
    assert entered.readings == 6
    assert entered.sheets == (("2030-05-02", "RE", 6),)
    assert {one.by.name for one in new} == {"RE"}


def test_a_worksheet_filled_in_clears_what_it_asked_for(yard):
    bare = record().replace("      body: {fire_extinguishers: 2}\n", "")
    before = samples.answer(yard, bare)
    form = yaml_form(worksheet(before)).replace("    on:", "    on: 2030-05-01").replace("    by:", "    by: RE")
    form = form.replace("fire_extinguishers:", "fire_extinguishers: 3")
    after = samples.answer(yard, enter(bare, "car.yaml", form, "form.yaml").text)
    assert (before.outcome, after.outcome) == ("not ready", samples.answer(yard).outcome)
    assert worksheet(after).sheets == ()


def test_the_csv_form_does_the_same(yard):
    bare = record().replace("      body: {fire_extinguishers: 2}\n", "")
    form = csv_form(worksheet(samples.answer(yard, bare))).replace(",,,,,,\r\n", ",3,,,2030-05-01,RE,\r\n")
    entered = enter(bare, "car.yaml", form, "form.csv")
    assert samples.answer(yard, entered.text).outcome in ("ready", "ready with restrictions")


def test_rows_of_a_csv_form_take_day_and_reader_from_above():
    rows = (
        "car,part,attribute,value,gauge,on,by\r\n"
        "TSTX 1,wheel L1,rim_thickness,1-1/8 in,G-1,2030-05-02,RE\r\n"
        "TSTX 1,wheel R1,flange_thickness,takes at 1-1/16 in,,,\r\n"
        "TSTX 1,wheel R2,rim_thickness,,,,\r\n"
        "TSTX 1,brake system,brake_pipe_leakage,before 90 psi after 88 psi minutes 1,,,\r\n"
    )
    entered = put(rows, file="form.csv")
    assert "rim_thickness: {reads: 1-1/8 in, gauge: G-1}" in entered.text
    assert "flange_thickness: {takes_at: 1-1/16 in}" in entered.text
    assert entered.readings == 3


TICK = (
    "car,sheet,row,part,attribute,unit,value,gauge,sure,on,by,taken\r\n"
    "TSTX 1,truck B,2,wheel L1; wheel R1,crack_or_break: no; chip_length: 0 in,,{tick},,,2030-05-02,RE,{taken}\r\n"
    "TSTX 1,truck B,2,wheel L1,crack_or_break,,{crack},,,,,\r\n"
    "TSTX 1,truck B,3,wheel R1,flange_thickness,in,1-1/16,G-1,,,,\r\n"
)


def test_a_tick_of_a_csv_form_says_it_of_every_part_but_the_exceptions():
    entered = put(TICK.format(tick="x", crack="yes", taken=""), file="form.csv")
    new = [one for one in read_car_text(entered.text, "car.yaml").evidence if str(one.on) == "2030-05-02"]
    assert {(one.part, one.attribute, value_words(one.value)) for one in new} == {
        ("wheel W-1 left", "crack_or_break", "yes"), ("wheel W-1 right", "crack_or_break", "no"),
        ("wheel W-1 left", "chip_length", "0 in"), ("wheel W-1 right", "chip_length", "0 in"),
        ("wheel W-1 right", "flange_thickness", "1-1/16 in"),
    }  # fmt: skip
    alone = put(TICK.format(tick="", crack="yes", taken=""), file="form.csv")
    assert alone.readings == 2


@pytest.mark.parametrize(("tick", "said"), [("no", "`no` in a box to tick"), ("1", "`1` in a box to tick")])
def test_what_is_no_tick_is_refused_at_its_row(tick, said):
    with pytest.raises(InputRefused) as caught:
        put(TICK.format(tick=tick, crack="no", taken=""), file="form.csv")
    assert [(one.where.line, one.found) for one in caught.value.problems] == [(2, said)]


@pytest.mark.parametrize(("part", "said"), [("weel R1", "the part `weel R1`"), ("wheel R9", "the wheel `R9`")])
def test_a_part_that_nobody_knows_behind_a_tick_is_refused_at_its_row(part, said):
    form = TICK.format(tick="x", crack="no", taken="").replace("wheel L1; wheel R1", f"wheel L1; {part}")
    with pytest.raises(InputRefused) as caught:
        put(form, file="form.csv")
    assert {one.where.line for one in caught.value.problems} == {2}
    assert caught.value.problems[0].found.startswith(f"{part}, ")
    assert said in caught.value.problems[0].found


YAML_TICK = """\
format: carknocker-form/1
car: TSTX 1
sheets:
  - sheet: "truck B"
    on: 2030-05-02
    by: RE
    taken:{taken}
    gauges:
      "finger gauge":  # on record
      "dial": G-1
    ticks:
      - tick: {tick}
        parts: ["wheel L1", "wheel R1"]
        says: {{crack_or_break: "no", chip_length: "0 in"}}
    readings:
      "wheel L1":
        crack_or_break: {crack}
        out_of_round: 1/64 in
"""


def test_a_tick_of_a_yaml_form_says_it_of_every_part_but_the_exceptions():
    entered = put(YAML_TICK.format(tick="x", crack="yes", taken=""))
    new = [one for one in read_car_text(entered.text, "car.yaml").evidence if str(one.on) == "2030-05-02"]
    assert {(one.part, one.attribute, value_words(one.value)) for one in new} == {
        ("wheel W-1 left", "crack_or_break", "yes"), ("wheel W-1 right", "crack_or_break", "no"),
        ("wheel W-1 left", "chip_length", "0 in"), ("wheel W-1 right", "chip_length", "0 in"),
        ("wheel W-1 left", "out_of_round", "1/64 in"),
    }  # fmt: skip
    assert put(YAML_TICK.format(tick="", crack="yes", taken="")).readings == 2
    with pytest.raises(InputRefused) as caught:
        put(YAML_TICK.format(tick="never", crack="no", taken=""))
    assert [(one.where.line, one.found) for one in caught.value.problems] == [(12, "`never` in a box to tick")]


def test_the_gauge_of_a_tool_goes_with_its_figures_in_a_yaml_form():
    entered = put(YAML_TICK.format(tick="x", crack="no", taken="").replace('"dial"', f'"{TOOL}"'))
    assert "out_of_round: {reads: 1/64 in, gauge: G-1}" in entered.added
    assert entered.added.count("G-1") == 1


TOOL = load_vocabulary().kinds["wheel"].attributes["out_of_round"].tool
EVENT = "events:\n  - {id: E-9, on: 2030-05-02, happened: derailment, at: truck B}\n"


@pytest.mark.parametrize(
    ("taken", "event", "written"),
    [("yes", True, True), ("no", True, False), ("", True, False), ("yes", False, False), ("no", False, False)],
)
def test_a_sheet_says_whether_it_was_read_after_what_happened_that_day(taken, event, written):
    text = record() + (EVENT if event else "")
    for form, file in (
        (TICK.format(tick="x", crack="no", taken=taken), "form.csv"),
        (YAML_TICK.format(tick="x", crack="no", taken=f" {taken}"), "form.yaml"),
    ):
        entered = put(form, text, file)
        assert ("taken: after the events of the day" in entered.added) == written
        assert any("no job or event of 2030-05-02 is on record" in note for note in entered.notes) == (
            taken == "yes" and not event
        )


@pytest.mark.parametrize("form", ["csv", "yaml"])
def test_another_answer_to_when_it_was_read_is_refused(form):
    told = TICK if form == "csv" else YAML_TICK.replace("taken:{", "taken: {")
    with pytest.raises(InputRefused) as caught:
        put(told.format(tick="x", crack="no", taken="perhaps"), file=f"form.{form}")
    assert any("perhaps" in one.found for one in caught.value.problems)


def test_why_one_is_sure_of_an_impossible_figure_goes_with_it():
    rows = TICK.format(tick="", crack="", taken="").replace("1-1/16,G-1,,,,", "9 in,G-1,{sure},2030-05-02,RE,")
    with pytest.raises(InputRefused) as caught:
        put(rows.format(sure=""), file="form.csv")
    assert [one.where.line for one in caught.value.problems] == [4]
    entered = put(rows.format(sure="read twice by both of us"), file="form.csv")
    assert "{reads: 9 in, gauge: G-1, sure: read twice by both of us}" in entered.added


ROWS = "car;Part;attribute;value;gauge;on;by\r\nTSTX 1;wheel L1;rim_thickness;{value};G-1;2030-05-02;RE\r\n"


@pytest.mark.parametrize("separator", [";", "\t", ","])
@pytest.mark.parametrize("ends", ["\r\n", "\n"])
def test_what_spreadsheets_make_of_a_csv_form_is_read(separator, ends):
    rows = ROWS.format(value="1-1/8 in").replace(";", separator).replace("\r\n", ends)
    assert put(rows, file="form.csv").readings == 1


@pytest.mark.parametrize("separator", [";", "\t"])
def test_a_comma_that_may_be_a_decimal_one_is_refused_where_commas_do_not_separate(separator):
    problems = refused(ROWS.format(value="1,125 in").replace(";", separator), file="form.csv")
    assert "a comma may mean a point or thousands" in problems[0].found
    assert "`1.125 in`" in problems[0].expected
    assert put(ROWS.format(value="1.125 in"), file="form.csv").readings == 1


@pytest.mark.parametrize("file", ["form.yaml", "form.csv"])
def test_a_day_that_has_not_come_is_refused(file):
    form = FORM if file.endswith("yaml") else ROWS.format(value="1-1/8 in")
    with pytest.raises(InputRefused) as caught:
        enter(record(), "car.yaml", whole(form, file), file, date(2030, 5, 1))
    assert "a day that has not come by 2030-05-01" in caught.value.problems[0].found
    assert enter(record(), "car.yaml", whole(form, file), file, date(2030, 5, 2)).readings


def refused(form=FORM, text=None, file="form.yaml"):
    with pytest.raises(InputRefused) as caught:
        put(form, text, file)
    return caught.value.problems


@pytest.mark.parametrize(
    ("found", "instead", "said"),
    [
        ("rim_thickness: 1-1/4 in", "rim_thickness: 1-1/4", "without a unit"),
        ("wheel L1", "wheel L9", "which the car has not got"),
        ("wheel L1", "whele L1", "the part `whele L1`"),
        ("rim_thickness", "rim_thicknes", "rim_thicknes"),
        ("by: RE", "by: XX", "XX"),
        ("by: RE", "by:", "without its day or without who read"),
        ("on: 2030-05-02", "on: soon", "soon"),
        ("TSTX 1", "TSTX 2", "but the record is of TSTX 1"),
        ("carknocker-form/1", "carknocker-form/9", "another format"),
        ("gauge: G-1\n", "gauge: G-7\n", "G-7"),
        ("axle 3: {crack: no}", "axle 3: no", "no"),
        ("    readings:\n      wheel L1", "    reading:\n      wheel L1", "the key `reading`"),
        ("rim_thickness: 1-1/4 in", "class: plain", "class"),
    ],
)
def test_one_wrong_word_refuses_the_whole_form(found, instead, said):
    problems = refused(FORM.replace(found, instead, 1))
    assert any(said in problem.found for problem in problems), problems


def test_a_problem_is_shown_at_its_place_in_the_form():
    form = FORM.replace("rim_thickness: 1-1/4 in", "rim_thickness: 1-1/4")
    problems = refused(form)
    assert problems[0].where.file == "form.yaml"
    assert "rim_thickness: 1-1/4" in form.splitlines()[problems[0].where.line - 1]


def test_a_problem_in_a_csv_form_is_shown_at_its_row():
    rows = ROWS.format(value="1-1/8 in") + "TSTX 1;wheel R1;rim_thickness;1-1/8;;;\r\n"
    problems = refused(rows, file="form.csv")
    assert [(one.where.file, one.where.line) for one in problems] == [("form.csv", 3)]


SECOND = (
    FORM
    + """\
  - on: 2030-05-03
    by: RE
    readings:
      wheel R1: {rim_thickness: 1-1/4}
"""
)


def test_each_sheet_is_taken_whole_or_held_with_its_reason():
    entered = put(SECOND)
    assert entered.sheets == (("2030-05-02", "RE", 6),)
    assert "2030-05-03" not in entered.text
    assert ["without a unit" in one.problems[0].found for one in entered.held] == [True]


def test_what_is_held_is_a_form_that_can_be_put_right_and_entered():
    entered = put(SECOND)
    tray = tray_text(entered, "TSTX 1")
    assert "without a unit" in tray
    again = put(tray.replace("1-1/4", "1-1/4 in"), entered.text)
    assert again.sheets == (("2030-05-03", "RE", 1),)


def test_what_two_people_read_alike_is_said_and_what_they_read_otherwise_is_refused():
    first = put().text
    alike = FORM.replace("by: RE", "by: HM").replace("      axle 3: {crack: no}", "      axle 2: {crack: no}")
    entered = put(alike, first)
    assert any("5 values read alike on that day by RE" in note for note in entered.notes)
    other = alike.replace("rim_thickness: 1-1/4 in", "rim_thickness: 1-3/16 in")
    assert any("disagrees" in one.found for one in refused(other, first))


def test_a_reading_that_disagrees_with_one_of_that_day_is_refused():
    form = FORM.replace("2030-05-02", "2030-04-20").replace("rim_thickness: 1-1/4 in", "rim_thickness: 1-1/8 in")
    assert any("disagrees" in problem.found for problem in refused(form))


def test_an_empty_form_and_one_entered_already_are_refused():
    empty = "format: carknocker-form/1\ncar: TSTX 1\nsheets: []\n"
    assert "nothing filled in" in refused(empty)[0].found
    assert "on record already" in refused(FORM, put().text)[0].found


@pytest.mark.parametrize("sheets", ["sheets:\n", "sheets: []\n", "sheets: []   # none yet\n", ""])
def test_a_record_without_sheets_gets_its_first(sheets):
    text = record()
    text = text[: text.index("sheets:")] + sheets + text[text.index("# work comes after") :]
    form = FORM.replace("      wheelset W-1: {back_to_back: 53-1/4 in}\n", "")
    entered = put(form, text)
    assert entered.readings == 5
    assert "# work comes after" in entered.text


def test_sheets_written_in_brackets_are_left_alone():
    text = record()
    inner = "sheets: [{on: 2030-04-20, by: RE, readings: {body: {fire_extinguishers: 2}}}]\n"
    text = text[: text.index("sheets:")] + inner + text[text.index("# work comes after") :]
    problems = refused(FORM.replace("      wheelset W-1: {back_to_back: 53-1/4 in}\n", ""), text)
    assert "in brackets" in problems[0].found


def test_line_ends_and_indentation_stay_as_the_owner_has_them():
    text = record().replace("\n", "\r\n")
    entered = put(text=text)
    assert entered.text.count("\n") == entered.text.count("\r\n")
    start, end = record().index("sheets:") + len("sheets:\n"), record().index("# work comes after")
    inner = "".join(line.removeprefix("  ") for line in record()[start:end].splitlines(keepends=True))
    shallow = record()[:start] + inner + record()[end:]
    entered = put(text=shallow)
    assert "\n- on: 2030-05-02" in entered.text
    assert added_lines(shallow, entered.text)


@given(st.data())
def test_line_ends_that_editors_have_mixed_stay_each_as_it_is(data):
    lines = record().split("\n")
    text = "".join(line + data.draw(st.sampled_from(["\n", "\r\n"])) for line in lines[:-1])
    entered = put(text=text).text
    added = added_lines(text, entered)
    most = "\r\n" if 2 * text.count("\r\n") > text.count("\n") else "\n"
    assert added.count("\n") == added.count(most) >= 5
    assert read_car_text(entered, "car.yaml").evidence


def test_a_record_whose_last_line_has_no_end():
    text = record()
    start, after = text.index("sheets:"), text.index("# work comes after")
    moved = (text[:start] + text[after:] + text[start:after]).rstrip("\n")
    entered = put(text=moved)
    assert entered.text.startswith(moved)
    assert entered.readings == 6


def test_the_backup_is_named_by_what_was_there():
    assert put().backup == put().backup
    assert put().backup.startswith("car.yaml.before-")
    assert put().backup.endswith(".bak")
    assert put(text=record() + "# more\n").backup != put().backup


@given(
    comment=st.text(st.characters(blacklist_categories=("Cc", "Cs", "Zl", "Zp", "Cn")), max_size=30),
    blank=st.integers(0, 3),
    place=st.sampled_from(["# his note on that sheet", "# work comes after", "# after the winter", "# the first look"]),
)
def test_whatever_the_owner_wrote_beside_it_stays(comment, blank, place):
    text = record().replace(place, f"{place} {comment}" + "\n" * blank)
    entered = put(text=text)
    assert added_lines(text, entered.text)
    assert entered.readings == 6


def test_a_form_has_no_more_values_than_anyone_fills_in(monkeypatch):
    assert put().readings == 6
    monkeypatch.setattr("carknocker.questions.enter.form_reader.MOST_VALUES", 5)
    with pytest.raises(InputRefused) as refused:
        put()
    assert refused.value.problems[0].found == "a form of 6 values"


def test_a_doubtful_reading_is_asked_again_at_once():
    form = FORM.replace("rim_thickness: 1-1/4 in", "rim_thickness: 3-3/4 in")
    said = put(form).doubtful
    assert any(one.startswith("doubtful: wheel L1: rim thickness") and "read it again" in one for one in said)
    back_to_back = next(one for one in said if "wheelset W-1: back to back" in one)
    assert "can't be read with access `walking round`" in back_to_back
    assert put(FORM.replace("      wheelset W-1: {back_to_back: 53-1/4 in}\n", "")).doubtful == ()


def test_a_bad_row_of_a_csv_form_holds_its_sheet_and_the_others_are_taken():
    rows = (
        "car,part,attribute,value,gauge,on,by\n"
        "TSTX 1,body,fire_extinguishers,3,,2030-05-01,RE\n"
        "TSTX 1,wheeel L1,flange_thickness,1 in,,2030-05-02,RE\n"
        "TSTX 1,body,fire_extinguishers,4,,2030-05-02,RE\n"
    )
    entered = put(rows, file="form.csv")
    assert entered.sheets == (("2030-05-01", "RE", 1),)
    (held,) = entered.held
    assert [(one.where.line, one.found) for one in held.problems] == [
        (3, "wheeel L1, flange_thickness: the part `wheeel L1`")
    ]
