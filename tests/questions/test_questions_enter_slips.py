"""Slips of those who fill in forms: each is refused at its cell or field in plain words, nothing is half written."""

import csv
import io
from datetime import date, datetime

import pytest
import repair_samples as samples
from openpyxl import load_workbook
from typer.testing import CliRunner

from carknocker.documents import InputRefused
from carknocker.forms import form_of
from carknocker.forms.spreadsheet import spreadsheet_of
from carknocker.forms.text_forms import COLUMNS, csv_form, yaml_form
from carknocker.questions.enter.ask import enter
from carknocker.questions.enter.command import app
from carknocker.record import read_car_text
from carknocker.record.value_words import value_words

FLANGE = ("wheel L1", "flange_thickness")
DAY, READER, CELL = "2030-05-02", "RE", "1 in"
TODAY = date(2030, 5, 4)


def bare():
    """A car of whose wheels neither flange nor rim was read."""
    text = samples.car_text()
    return text.replace("flange_thickness: 1 in, rim_thickness: 1-1/4 in, tape_size: 40", "tape_size: 40")


@pytest.fixture(scope="module")
def form(tmp_path_factory):
    return form_of(samples.answer(samples.yard_in(tmp_path_factory.mktemp("yard")), bare()))


def as_csv(form, typed=CELL, on=DAY, by=READER, gauge="", separator=",", taken=""):
    """The CSV form with one flange typed in."""
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, delimiter=separator, lineterminator="\r\n")
    writer.writeheader()
    for row in csv.DictReader(io.StringIO(csv_form(form), newline="")):
        if (row["part"], row["attribute"]) == FLANGE:
            row.update(value=typed, on=on, by=by, gauge=gauge, taken=taken)
        writer.writerow(row)
    return stream.getvalue()


def problem_of(text, name="form.csv"):
    with pytest.raises(InputRefused) as refused:
        enter(bare(), "car.yaml", text, name, TODAY)
    (problem,) = refused.value.problems
    return problem


def line_of(text, part="wheel L1"):
    return next(number for number, line in enumerate(text.splitlines(), 1) if f",{part},flange_thickness," in line)


IN_THE_ROW = "wheel L1, flange thickness: "


@pytest.mark.parametrize(("slip", "found", "expected", "remedy"), [
    ({"typed": "thin"}, "`thin`", "a length such as", ""),
    ({"typed": "7 Aug"}, "`Aug` in `7 Aug`", "a length such as", ""),
    ({"typed": "1.125.5 in"}, "`1.125.5 in`", "", ""),
    ({"typed": "11"}, "`11 in`", "from 1/8 in to 1-3/4 in", "in the column `sure` of its row"),
    ({"typed": "28 psi"}, "a unit of pressure", "a length such as", ""),
    ({"typed": "=1+1/8"}, "`=1+1/8`", "a length such as", ""),
    ({"gauge": "G-9"}, "the gauge `G-9`, which is not known", "`G-1`", "who read, and with what"),
])  # fmt: skip
def test_a_slip_in_a_row_is_told_with_its_part_and_its_row(form, slip, found, expected, remedy):
    text = as_csv(form, **slip)
    problem = problem_of(text)
    assert problem.where.line == line_of(text)
    assert problem.found.startswith(IN_THE_ROW)
    assert found in problem.found
    assert expected in problem.expected
    assert remedy in problem.remedy


@pytest.mark.parametrize(("slip", "field", "expected"), [
    ({"on": "02.05.2030"}, "day of reading: `02.05.2030`", "a whole day such as"),
    ({"on": "5/2/2030"}, "day of reading: `5/2/2030`", "a whole day such as"),
    ({"on": "30-05-02"}, "day of reading: `30-05-02`", "a whole day such as"),
    ({"on": "2030-06-02"}, "day of reading: 2030-06-02, a day that has not come", "a day up to 2030-05-04"),
    ({"by": "Bob"}, "read by: the person `Bob`, which is not known", "`RE`"),
])  # fmt: skip
def test_a_slip_at_the_head_names_its_field(form, slip, field, expected):
    problem = problem_of(as_csv(form, **slip))
    assert problem.found.startswith(f"sheet “truck B”, {field}")
    assert expected in problem.expected


def test_a_comma_that_may_be_a_point_names_its_row(form):
    text = as_csv(form, typed="1,125", separator=";")
    assert problem_of(text).found.startswith(f"{IN_THE_ROW}`1,125`, where a comma may mean")


@pytest.fixture
def book(form):
    return load_workbook(io.BytesIO(spreadsheet_of(form)))


def cell_of(book, part, attribute):
    index = book["boxes"]
    return next(row[1] for row in index.iter_rows(min_row=3, values_only=True) if row[3:5] == (part, attribute))


def filled(book, typed, on=DAY):
    cell = cell_of(book, *FLANGE)
    sheet = book["truck B"]
    sheet[cell], sheet["B3"], sheet["B4"] = typed, on, READER
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue(), cell


@pytest.mark.parametrize(("typed", "found"), [
    ("thin", "`thin`"), (datetime(2030, 8, 7), "a day (2030-08-07)"), ("=7/8", "a formula"), (70, "`70 in`"),
])  # fmt: skip
def test_a_slip_in_a_spreadsheet_names_its_cell(book, typed, found):
    content, cell = filled(book, typed)
    problem = problem_of(content, "form.xlsx")
    assert problem.found.startswith(f"cell {cell} of sheet “truck B”: ")
    assert found in problem.found
    assert "in in" not in problem.expected


def test_a_day_in_another_order_names_its_cell(book):
    content, _ = filled(book, CELL, on="5/2/2030")
    assert problem_of(content, "form.xlsx").found == "cell B3 of sheet “truck B”, day of reading: `5/2/2030`"


def test_what_no_line_tells_is_shown_without_a_line_of_it(book, tmp_path):
    content, cell = filled(book, "thin")
    (tmp_path / "car.yaml").write_text(bare(), encoding="utf-8")
    (tmp_path / "form.xlsx").write_bytes(content)
    done = CliRunner().invoke(app, [str(tmp_path), str(tmp_path / "form.xlsx"), "--as-of", "2030-05-04", "--yes"])
    lines = done.output.splitlines()
    assert done.exit_code == 2
    assert f"cell {cell} of sheet “truck B”" in done.output
    assert not any(line.strip() == "^" for line in lines)
    assert "PK" not in done.output
    assert (tmp_path / "car.yaml").read_text(encoding="utf-8") == bare()
    assert sorted(one.name for one in tmp_path.iterdir()) == ["car.yaml", "form.xlsx"]


@pytest.mark.parametrize("name", ["form.docx", "form.pdf", "form"])
def test_a_file_of_another_kind_is_told_which_a_form_may_be(tmp_path, name):
    (tmp_path / "car.yaml").write_text(bare(), encoding="utf-8")
    (tmp_path / name).write_bytes(b"PK\x03\x04")
    done = CliRunner().invoke(app, [str(tmp_path), str(tmp_path / name), "--yes"])
    assert done.exit_code == 2
    assert ".html, .htm, .xlsx, .csv, .yaml, .yml" in done.output


def cut_after(text, line):
    return "".join(text.splitlines(keepends=True)[:line])


def test_a_form_in_rows_is_taken_whole_and_refused_wherever_it_is_cut(form):
    text = as_csv(form)
    lines = len(text.splitlines())
    assert enter(bare(), "car.yaml", text, "form.csv", TODAY).readings == 1
    for kept in range(line_of(text), lines):
        problem = problem_of(cut_after(text, kept))
        assert (problem.found, problem.where.line) == (
            "a form that ends before its last row (part `last row`): rows may be lost", kept
        )  # fmt: skip
        assert "a row with `last row` under `part`" in problem.remedy


def test_a_row_lost_in_between_is_told_with_how_many(form):
    lines = as_csv(form).splitlines(keepends=True)
    problem = problem_of("".join((*lines[:1], *lines[3:])))
    had = len(lines) - 2
    assert problem.found == f"{had - 2:,} rows, where the form had {had:,}: 2 are lost"


def test_the_last_row_says_a_number_and_stands_once(form):
    text = as_csv(form)
    last = text.splitlines()[-1]
    number = last.split(",")[2]
    assert "`many` rows" in problem_of(text.replace(f",,{number},last row", ",,many,last row")).found
    assert "a second time" in problem_of(text + last + "\r\n").found


def yaml_of(form):
    text = yaml_form(form).replace("    on:", f"    on: {DAY}", 1).replace("    by:", f"    by: {READER}", 1)
    return text.replace("        flange_thickness:", f"        flange_thickness: {CELL}", 1)


def test_a_form_in_lines_is_taken_whole_and_refused_without_its_last_line(form):
    text = yaml_of(form)
    assert enter(bare(), "car.yaml", text, "form.yaml", TODAY).readings == 1
    lines = text.splitlines(keepends=True)
    filled_at = next(number for number, line in enumerate(lines, 1) if f"flange_thickness: {CELL}" in line)
    whole_sheets = [number for number, line in enumerate(lines) if line.startswith("  - sheet:") and number > filled_at]
    assert whole_sheets
    for kept in (*whole_sheets, len(lines) - 1):
        problem = problem_of(cut_after(text, kept), "form.yaml")
        assert problem.found == "a form that ends before its last line: sheets may be lost"
        assert "`last_line: yes`" in problem.remedy
    early = "last_line: yes\n" + "".join(lines[:-1])
    assert "before its last line" in problem_of(early, "form.yaml").found


def with_gauge(kind, due="2031-01-05"):
    """The car, with another gauge on record."""
    return bare().replace("gauges:\n", f"gauges:\n  G-8: {{kind: {kind}, checked: 2030-01-05, due: {due}}}\n", 1)


def test_a_gauge_that_can_not_read_a_figure_is_refused_at_the_figure(form):
    text = as_csv(form, gauge="G-8")
    with pytest.raises(InputRefused) as refused:
        enter(with_gauge("wheel tape"), "car.yaml", text, "form.csv", TODAY)
    (problem,) = refused.value.problems
    assert problem.where.line == line_of(text)
    assert problem.found.startswith(IN_THE_ROW)
    assert "gauge G-8 is a wheel tape, which does not show it" in problem.found
    assert "`finger gauge`" in problem.expected
    assert "`condemning gauge`" in problem.expected
    taken = enter(with_gauge("finger gauge, reads_to: 1/32 in"), "car.yaml", text, "form.csv", TODAY)
    assert taken.readings == 1
    assert taken.notes == ()


@pytest.mark.parametrize(("gauge", "due", "said"), [
    ("G-8", "2030-05-02", None),
    ("G-8", "2030-05-01", "gauge G-8 was due for its check on 2030-05-01"),
    ("", "2031-01-05", "nothing says which gauge showed it"),
])  # fmt: skip
def test_a_figure_that_will_not_be_counted_is_told_at_once(form, gauge, due, said):
    text = as_csv(form, gauge=gauge)
    entered = enter(with_gauge("finger gauge, reads_to: 1/32 in", due), "car.yaml", text, "form.csv", TODAY)
    assert entered.readings == 1
    if said is None:
        assert entered.notes == ()
    else:
        (note,) = entered.notes
        assert note.startswith(f"sheet “truck B”: 1 figure will not be counted for the car: {said}")


def test_a_column_that_stands_twice_is_refused(form):
    text = as_csv(form)
    lines = [f"{line},{'value' if number == 0 else '1-1/4 in'}" for number, line in enumerate(text.splitlines())]
    assert problem_of("\r\n".join(lines)).found == "the column value twice"


def other_reader(record):
    return record.replace("people:\n", "people:\n  JO: {role: owner, full_name: Jo Example}\n", 1)


def test_the_same_figure_of_a_second_reader_is_written_and_of_the_same_is_not(form):
    first = enter(other_reader(bare()), "car.yaml", as_csv(form, gauge="G-1"), "form.csv", TODAY).text
    with pytest.raises(InputRefused) as refused:
        enter(first, "car.yaml", as_csv(form, gauge="G-1"), "form.csv", TODAY)
    assert "is on record already" in refused.value.problems[0].found
    second = enter(first, "car.yaml", as_csv(form, by="JO", gauge="G-1"), "form.csv", TODAY)
    assert second.notes == ("sheet “truck B”: 1 value read alike on that day by RE; both readings are written",)
    assert "by: JO" in second.added


def test_the_same_figure_is_written_again_with_the_gauge_that_nobody_had_named(form):
    first = enter(bare(), "car.yaml", as_csv(form), "form.csv", TODAY)
    assert any("nothing says which gauge showed it" in note for note in first.notes)
    second = enter(first.text, "car.yaml", as_csv(form, gauge="G-1"), "form.csv", TODAY)
    assert "gauge: G-1" in second.added
    assert not second.notes
    for gauge in ("G-1", ""):
        with pytest.raises(InputRefused) as refused:
            enter(second.text, "car.yaml", as_csv(form, gauge=gauge), "form.csv", TODAY)
        assert "is on record already" in refused.value.problems[0].found


def test_what_a_form_says_of_all_counts_but_for_its_exceptions(form):
    readings = "      wheel all: {flange_thickness: 1 in}\n      wheel R3: {flange_thickness: 7/8 in}\n"
    head = f"  - on: {DAY}\n    by: {READER}\n    gauge: G-1\n    readings:\n"
    text = f"format: carknocker-form/1\ncar: TSTX 1\nsheets:\n{head}"
    new = enter(bare(), "car.yaml", f"{text}{readings}last_line: yes\n", "form.yaml", TODAY).text
    read = [one for one in read_car_text(new, "car.yaml").evidence if str(one.on) == DAY]
    assert sorted(value_words(one.value) for one in read) == [*["1 in"] * 7, "7/8 in"]


JOB = "work:\n  - {id: J-8, on: 2030-05-02, did: wheels turned, at: [L1, R1]}\n"


def test_a_sheet_read_after_a_job_of_its_day_says_after_which(form):
    record = bare().replace("work:\n", JOB, 1)
    before = enter(record, "car.yaml", as_csv(form, typed="7/8 in", gauge="G-1"), "form.csv", TODAY).text
    again = as_csv(form, gauge="G-1", taken="yes")
    entered = enter(before, "car.yaml", again, "form.csv", TODAY)
    assert "after: [J-8]" in entered.added
    assert entered.notes == ()
    with pytest.raises(InputRefused) as refused:
        enter(before, "car.yaml", as_csv(form, gauge="G-1", taken="no"), "form.csv", TODAY)
    assert "disagrees" in refused.value.problems[0].found


@pytest.mark.parametrize("by", ["re", "R. Example", "r. example", "RE (owner)"])
def test_a_reader_is_known_in_other_letters_and_by_the_full_name(form, by):
    assert "by: RE" in enter(bare(), "car.yaml", as_csv(form, by=by, gauge="g-1"), "form.csv", TODAY).added


@pytest.mark.parametrize("dash", ["-", "\u2013", "\u2014"])
def test_any_dash_says_that_it_could_not_be_reached(form, dash):
    entered = enter(bare(), "car.yaml", as_csv(form, typed=dash), "form.csv", TODAY)
    assert "not accessible (marked so on the form)" in entered.added


def test_why_one_is_sure_of_nothing_is_refused_at_its_row(form):
    text = as_csv(form, typed="", gauge="G-1")
    row = text.splitlines()[line_of(text) - 1]
    cells = row.split(",")
    cells[COLUMNS.index("sure") - len(COLUMNS)] = "read twice"
    problem = problem_of(text.replace(row, ",".join(cells)))
    assert problem.where.line == line_of(text)
    assert "was made sure, but no figure" in problem.found


def with_gauges(text, *rows, gauge="G-1"):
    """The CSV form with a gauge in the rows of flanges of some wheels, and in no other column."""
    read = list(csv.DictReader(io.StringIO(text, newline="")))
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows({**one, "gauge": gauge if one["part"] in rows and one["attribute"] == FLANGE[1] else one["gauge"]}
                     for one in read)  # fmt: skip
    return stream.getvalue()


def test_a_gauge_without_its_figure_is_told_with_its_row(form):
    entered = enter(bare(), "car.yaml", with_gauges(as_csv(form, gauge="G-1"), "wheel R1"), "form.csv", TODAY)
    [told] = [one for one in entered.notes if "without a figure" in one]
    line = line_of(csv_form(form), "wheel R1")
    assert told == (
        f"a gauge without a figure, nothing is written of it: line {line}, wheel R1, flange thickness: the gauge "
        "`G-1`, but no figure"
    )
    assert "wheel R1" not in entered.added


def test_a_column_of_gauges_filled_down_is_told_once_with_its_first_rows(form):
    rows = [f"wheel {side}{axle}" for axle in (1, 2, 3, 4) for side in "LR"]
    entered = enter(bare(), "car.yaml", with_gauges(as_csv(form, gauge="G-1"), *rows), "form.csv", TODAY)
    [told] = [one for one in entered.notes if "without a figure" in one]
    assert told.count("but no figure") == 4
    assert told.endswith("; and 3 more rows")
    assert not [one for one in enter(bare(), "car.yaml", as_csv(form, gauge="G-1"), "form.csv", TODAY).notes
                if "without a figure" in one]  # fmt: skip


def test_a_form_of_gauges_alone_is_refused_at_its_rows(form):
    text = with_gauges(as_csv(form, typed="", on="", by=""), "wheel L1", "wheel R1")
    with pytest.raises(InputRefused) as refused:
        enter(bare(), "car.yaml", text, "form.csv", TODAY)
    assert [one.found for one in refused.value.problems] == [
        f"wheel {at}, flange thickness: the gauge `G-1`, but no figure" for at in ("L1", "R1")
    ]


def test_a_gauge_beside_what_is_no_figure_is_refused_at_its_row(form):
    rows = list(csv.DictReader(io.StringIO(csv_form(form), newline="")))
    own = next(one for one in rows if (one["part"], one["attribute"]) == ("test 1", "test"))
    own.update(value="hand brake test", gauge="G-1")
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    with pytest.raises(InputRefused) as refused:
        enter(bare(), "car.yaml", stream.getvalue(), "form.csv", TODAY)
    told = {one.found: one.where.line for one in refused.value.problems}
    assert told["test 1: `G-1` in the column `gauge`"] == rows.index(own) + 2


def test_a_refusal_of_a_yaml_form_names_the_part(form):
    text = (
        yaml_form(form).replace("    on:  #", f"    on: {DAY}  #", 1).replace("    by:  #", f"    by: {READER}  #", 1)
    )
    head, _, rest = text.partition('      "wheel L1":')
    problem = problem_of(head + '      "wheel L1":' + rest.replace("flange_thickness:", "flange_thickness: 11 in", 1),
                         "form.yaml")  # fmt: skip
    assert problem.found.startswith("wheel L1, flange_thickness: `11 in`")


def test_two_figures_of_one_day_that_disagree_are_told_with_both_and_who_read(form):
    first = enter(bare(), "car.yaml", as_csv(form, gauge="G-1"), "form.csv", TODAY).text
    with pytest.raises(InputRefused) as refused:
        enter(first, "car.yaml", as_csv(form, typed="7/8 in", gauge="G-1"), "form.csv", TODAY)
    [problem] = refused.value.problems
    assert problem.found.endswith("which disagrees with `1 in`, read by RE")  # no line of a record that nobody has yet
    assert "`after" not in problem.remedy
