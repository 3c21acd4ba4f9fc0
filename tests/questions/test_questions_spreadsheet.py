"""The worksheet as a spreadsheet: written, filled in, read back by cell; what is hostile is refused in plain words."""

import io
import subprocess
import zipfile
from datetime import date, datetime
from pathlib import Path

import pytest
import repair_samples as samples
from openpyxl import load_workbook

from carknocker.cli.inputs import check_car
from carknocker.documents import InputRefused, Location, ProblemList
from carknocker.forms import form_of
from carknocker.forms.entries import ENTRIES
from carknocker.forms.move_sheet import MOVE_SHEET
from carknocker.forms.spreadsheet import INDEX, WORDS, spreadsheet_of
from carknocker.questions.enter.ask import enter
from carknocker.questions.enter.filled_form import FilledSheet
from carknocker.questions.enter.spreadsheet_reader import read_spreadsheet
from carknocker.vocabulary import load_vocabulary


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


def bare():
    """A car of whose wheels neither flange nor rim was read."""
    text = samples.car_text()
    return text.replace("flange_thickness: 1 in, rim_thickness: 1-1/4 in, tape_size: 40", "tape_size: 40")


@pytest.fixture(scope="module")
def blank(yard):
    return spreadsheet_of(form_of(samples.answer(yard, bare())))


def cells_of(data):
    book = load_workbook(io.BytesIO(data))
    rows = list(book[INDEX].iter_rows(min_row=3, values_only=True))
    return {(row[3], row[4]): (row[0], row[1]) for row in rows if row[2] == "box"}


def filled(blank, values, *, head=True, change=None):
    book = load_workbook(io.BytesIO(blank))
    places = cells_of(blank)
    for (part, attribute), value in values.items():
        sheet, cell = places[part, attribute]
        book[sheet][cell] = value
        if head:
            book[sheet]["B3"], book[sheet]["B4"] = "2030-05-02", "RE"
    if change is not None:
        change(book)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


FLANGE = ("wheel L1", "flange_thickness")


def put(data):
    return enter(bare(), "car.yaml", data, "form.xlsx")


def found(data):
    with pytest.raises(InputRefused) as caught:
        put(data)
    return [problem.found for problem in caught.value.problems]


def test_one_worksheet_a_sheet_with_locked_labels_and_open_boxes(blank):
    book = load_workbook(io.BytesIO(blank))
    assert book.sheetnames == ["who read, and with what", "truck B", "truck A", ENTRIES, WORDS, MOVE_SHEET, INDEX]
    assert book[INDEX].sheet_state == book[WORDS].sheet_state == "hidden"
    sheet, cell = cells_of(blank)[FLANGE]
    assert sheet == "truck B"
    assert book[sheet].protection.sheet
    assert not book[sheet][cell].protection.locked
    assert book[sheet]["A10"].protection.locked
    assert "over 7/8 in" in book[sheet].cell(row=book[sheet][cell].row, column=2).value


def test_words_are_chosen_from_a_list(yard):
    text = samples.car_text().replace("crack_or_break: no, ", "")
    book = load_workbook(io.BytesIO(spreadsheet_of(form_of(samples.answer(yard, text)))))
    lists = [one.formula1 for name in book.sheetnames for one in book[name].data_validations.dataValidation]
    assert all(one.startswith(('"', f"'{WORDS}'!$")) for one in lists)
    assert max(len(one) for one in lists) <= 255  # programs refuse longer ones
    chosen = book[WORDS]
    assert "wheels turned" in [cell.value for column in chosen.iter_cols() for cell in column]


def test_the_same_form_makes_the_same_cells(yard, blank):
    again = spreadsheet_of(form_of(samples.answer(yard, bare())))
    assert cells_of(again) == cells_of(blank)


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("15/16 in", "15/16 in"),
        ("15/16", "15/16 in"),
        (1, "1 in"),
        (0.9375, "0.9375 in"),
        ("takes at 1 in", "takes_at: 1 in"),
    ],
)
def test_a_figure_is_read_with_the_unit_of_its_row(blank, value, written):
    entered = put(filled(blank, {FLANGE: value}))
    assert entered.readings == 1
    assert written in entered.added


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("=7/8", "a formula"),
        ("=HYPERLINK(\"http://example.com\")", "a formula"),
        (datetime(2030, 7, 8), "a day (2030-07-08)"),
        ("seven eighths", "seven eighths"),
        (True, "yes"),
    ],
)  # fmt: skip
def test_what_is_no_figure_is_refused_at_its_cell(blank, value, said):
    sheet, cell = cells_of(blank)[FLANGE]
    problems = found(filled(blank, {FLANGE: value}))
    assert any(said in one and f"cell {cell} of sheet “{sheet}”" in one for one in problems), problems


def test_each_cell_that_entries_lack_is_named_at_once(blank):
    """Two jobs of one sheet: one without its day, the other without what was done; both cells are empty ones."""
    places = cells_of(blank)
    said = (("did", "wheels turned"), ("at", "L2, R2"), ("on", "2030-04-20"), ("by", "RE"))
    job: dict[tuple[str, str], str | None] = {(f"job {one}", key): value for one in (1, 2) for key, value in said}
    job["job 1", "on"] = job["job 2", "did"] = None
    told = found(filled(blank, job, head=False))
    assert told == [
        f"cell {places['job 2', 'did'][1]} of sheet “{ENTRIES}”: what work it is, is not said",
        f"cell {places['job 1', 'on'][1]} of sheet “{ENTRIES}”: job 1 without: done on",
    ]


def test_a_sheet_without_day_or_reader_is_refused(blank):
    assert any("without its day" in one for one in found(filled(blank, {FLANGE: "1 in"}, head=False)))


def test_a_day_written_as_a_date_is_read(blank):
    def day(book):
        book["truck B"]["B3"] = date(2030, 5, 2)

    assert put(filled(blank, {FLANGE: "1 in"}, change=day)).sheets == (("2030-05-02", "RE", 1),)


def test_one_sheet_is_held_and_the_other_taken(blank):
    entered = put(filled(blank, {FLANGE: "1 in", ("wheel L3", "rim_thickness"): "one"}))
    assert entered.readings == 1
    assert [one.title for one in entered.held] == ["sheet “truck A”"]


def packed(blank, name, data):
    stream = io.BytesIO(blank)
    with zipfile.ZipFile(stream, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, data)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("name", "size", "said"),
    [
        ("xl/vbaProject.bin", 10, "with macros"),
        ("xl/externalLinks/externalLink1.xml", 10, "links to other files"),
        ("xl/media/big.bin", 41_000_000, "over 40 MB unpacked"),
    ],
)
def test_macros_links_and_bombs_are_refused_before_anything_is_unpacked(blank, name, size, said):
    assert said in found(packed(blank, name, b"\0" * size))[0]


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04 nothing", b"car,part\r\n"])
def test_what_is_no_workbook_is_refused(data):
    assert "no workbook" in found(data)[0]


def test_a_workbook_of_someone_elses_is_refused(blank):
    def without(book):
        del book[INDEX]

    assert "without the hidden sheet" in found(filled(blank, {FLANGE: "1 in"}, change=without))[0]


def test_huge_dimensions_are_not_walked(blank):
    def far(book):
        book["truck B"].cell(row=1_048_576, column=16_384, value="x")

    entered = put(filled(blank, {FLANGE: "1 in"}, change=far))
    assert entered.readings == 1
    assert any("as far as row 1,048,576 and column 16,384" in note for note in entered.notes)


def gauge_cells(data, sheet):
    book = load_workbook(io.BytesIO(data))
    rows = book[INDEX].iter_rows(min_row=3, values_only=True)
    return {row[4]: row[1] for row in rows if row[0] == sheet and row[2] == "gauge"}


def test_the_gauge_of_a_tool_goes_with_its_figures_and_others_name_none(blank):
    cells = gauge_cells(blank, "truck B")
    assert len(cells) == 2  # of the flange, and of the rim

    def gauge(book):
        (cell,) = [cell for tool, cell in cells.items() if "side scale" not in tool]
        book["truck B"][cell] = "G-1 (universal gauge)"

    added = put(filled(blank, {FLANGE: "1 in", ("wheel L1", "rim_thickness"): "1-1/4 in"}, change=gauge)).added
    assert "flange_thickness: {reads: 1 in, gauge: G-1}" in added
    assert "rim_thickness: 1-1/4 in" in added


def test_only_gauges_that_can_read_a_figure_are_offered_and_where_there_are_none_it_is_said(yard):
    tape = bare().replace("kind: universal gauge, reads_to: 1/64 in", "kind: tape, reads_to: 1/16 in")
    form = form_of(samples.answer(yard, tape))
    assert [one.gauges for one in form.sheets[0].gauges if "finger gauge" in one.tool] == [(), ()]
    finger = bare().replace("kind: universal gauge, reads_to: 1/64 in", "kind: finger gauge, reads_to: 1/32 in")
    form = form_of(samples.answer(yard, finger))
    offered = [one.gauges for one in form.sheets[0].gauges if "finger gauge" in one.tool]
    assert offered == [("G-1 (finger gauge)",)] * 2
    book = load_workbook(io.BytesIO(spreadsheet_of(form_of(samples.answer(yard, tape)))))
    assert "none on record can read it" in book["truck B"]["A7"].value


@pytest.mark.parametrize(("own", "written"), [("G-9", {"reads": "1/2 in", "gauge": "G-9"}), ("", "1/2 in")])
def test_an_exception_to_a_tick_has_its_own_gauge_and_a_rule_needs_none(own, written):
    case = Path(__file__).parents[2] / "cases" / "nothing-measured"
    book = load_workbook(io.BytesIO(spreadsheet_of(form_of(check_car(case, None, None, date(2026, 10, 8))))))
    lines = [row for row in book[INDEX].iter_rows(min_row=3, values_only=True) if row[0] == "truck B"]
    flat = next(row for row in lines if row[2] == "tick" and row[4] == "flat_spot_length")
    line = next(row for row in lines if row[2] == "exception" and int(row[1][1:]) == int(flat[1][1:]) + 1)
    assert load_vocabulary().kinds["wheel"].attributes["flat_spot_length"].tool == "rule"
    assert not [row for row in lines if row[2] == "gauge" and row[4] == "rule"]
    sheet = book["truck B"]
    sheet["B3"], sheet["B4"] = "2026-10-08", "RE"
    for cell, value in zip(
        (line[1], line[3], line[4], line[7]), ("wheel L1", "flat_spot_length", "1/2 in", own), strict=True
    ):
        sheet[cell] = value or None
    stream = io.BytesIO()
    book.save(stream)
    problems = ProblemList()
    read = read_spreadsheet(stream.getvalue(), "form.xlsx", problems)
    assert read is not None
    assert [one.found for one in problems.problems] == []
    assert read.sheets[0].readings["wheels"]["L1"] == {"flat_spot_length": written}


PERSON = "people:\n  LO: {full_name: Lea Orr, role: owner}\n"


@pytest.fixture(scope="module")
def unmeasured():
    """A car of which nothing is read, whose form has ticks: its text, its form, the cells of the first exception on
    truck B: which one, what, value, gauge."""
    case = Path(__file__).parents[2] / "cases" / "nothing-measured"
    data = spreadsheet_of(form_of(check_car(case, None, None, date(2026, 10, 8))))
    lines = load_workbook(io.BytesIO(data))[INDEX].iter_rows(min_row=3, values_only=True)
    line = next(row for row in lines if row[0] == "truck B" and row[2] == "exception")
    return (case / "car.yaml").read_text() + PERSON, data, (line[1], line[3], line[4], line[7])


def put_unmeasured(unmeasured, change, *, ticked=True):
    text, data, cells = unmeasured
    book = load_workbook(io.BytesIO(data))
    sheet = book["truck B"]
    sheet["B3"], sheet["B4"] = "2026-10-08", "LO"
    sheet[cells_of(data)[FLANGE][1]] = "1 in"
    if ticked:
        sheet[f"B{int(cells[0][1:]) - 1}"] = "x"
    change(book)
    stream = io.BytesIO()
    book.save(stream)
    return enter(text, "car.yaml", stream.getvalue(), "form.xlsx")


@pytest.mark.parametrize(("typed", "at", "words"), [
    (("weel L1", "flat_spot_length", "1/2 in", ""), 0, "the part `weel L1`"),
    (("wheel L9", "flat_spot_length", "1/2 in", ""), 0, "the wheel `L9`, which the car has not got"),
    (("end Z", "end_handholds", "1", ""), 0, "the end `Z`, which the car has not got"),
    (("wheel L9", "stamps", "1/2 in", ""), 0, "the wheel `L9`"),
    (("wheel L1", "flat_length", "1/2 in", ""), 1, "the key `flat_length`"),
    (("wheel L1", "flat_spot_length", "1/2 yard of ale", ""), 2, "`1/2 yard of ale`"),
    (("wheel L1", "flat_spot_length", "1/2 in", "G-98"), 3, "the gauge `G-98`, which is not known"),
    (("wheel L1", "", "1/2 in", ""), 0, "an exception without all of"),
])  # fmt: skip
def test_what_is_wrong_with_an_exception_is_refused_at_its_own_cell(unmeasured, typed, at, words):
    cells = unmeasured[2]

    def say(book):
        for cell, text in zip(cells, typed, strict=True):
            book["truck B"][cell] = text or None

    with pytest.raises(InputRefused) as caught:
        put_unmeasured(unmeasured, say, ticked=False)
    told = caught.value.problems[0].found
    assert told.startswith(f"cell {cells[at]} of sheet “truck B”: ")
    assert words in told
    assert caught.value.problems[0].where.column == "ABCDE".index(cells[at][0]) + 1


@pytest.mark.parametrize("called", ["flat_spot_length", "Flat spot length"])
def test_an_exception_counts_before_its_tick_also_as_the_form_calls_it(unmeasured, called):
    def say(book):
        for cell, text in zip(unmeasured[2], ("wheel L1", called, "1/2 in"), strict=False):
            book["truck B"][cell] = text

    entered = put_unmeasured(unmeasured, say)
    assert entered.held == ()
    assert "L1: {flange_thickness: 1 in, flat_spot_length: 1/2 in" in entered.added


def test_where_no_gauge_is_on_record_yet_that_is_said(unmeasured):
    def say(book):
        for cell, text in zip(unmeasured[2], ("wheel L1", "flat_spot_length", "1/2 in", "G-1"), strict=True):
            book["truck B"][cell] = text

    with pytest.raises(InputRefused) as caught:
        put_unmeasured(unmeasured, say, ticked=False)
    [problem] = caught.value.problems
    assert (problem.expected, problem.nearest) == ("one on record: there is none yet", "")
    assert problem.remedy == "write it on the form's sheet for who read, and with what"


def test_an_unknown_reader_keeps_no_other_fault_of_the_sheet_back(unmeasured):
    def say(book):
        book["truck B"]["B4"] = "ZZ"
        book["truck B"][unmeasured[2][0]] = "wheel L1"

    with pytest.raises(InputRefused) as caught:
        put_unmeasured(unmeasured, say, ticked=False)
    told = [one.found for one in caught.value.problems]
    assert [one.expected for one in caught.value.problems if "the person `ZZ`" in one.found] == ["`LO`"]
    assert [one for one in told if "an exception without all of" in one]


def test_a_worksheet_that_was_renamed_is_told_by_both_names_and_the_others_are_taken(unmeasured):
    def rename(book):
        book["truck A"].title = "done by Jo"

    [held] = put_unmeasured(unmeasured, rename, ticked=False).held
    [problem] = held.problems
    assert held.title == "sheet “truck A”"
    assert problem.found == "sheet “truck A”: no worksheet of that name; its rows stand on “done by Jo”"
    assert problem.remedy == "call “done by Jo” “truck A” again"


def test_a_worksheet_that_is_gone_is_told_and_what_stands_in_its_place(unmeasured):
    def replace(book):
        del book["truck A"]
        book.create_sheet("notes")

    [held] = put_unmeasured(unmeasured, replace, ticked=False).held
    [problem] = held.problems
    assert problem.found == "sheet “truck A”: no worksheet of that name; none of the form: “notes”"


def test_where_nothing_else_was_filled_in_a_renamed_worksheet_refuses_the_form(unmeasured):
    def rename(book):
        book["truck B"].title = "done by Jo"

    with pytest.raises(InputRefused) as caught:
        put_unmeasured(unmeasured, rename, ticked=False)
    assert "its rows stand on “done by Jo”" in caught.value.problems[0].found


EVENT = "events:\n  - {id: E-9, on: 2030-05-02, happened: derailment, at: truck B}\n"


@pytest.mark.parametrize(
    ("taken", "event", "written"),
    [("yes", True, True), ("no", True, False), (None, True, False), ("yes", False, False)],
)
def test_a_sheet_says_in_its_head_whether_it_was_read_after_what_happened_that_day(blank, taken, event, written):
    def say(book):
        book["truck B"]["B6"] = taken

    data = filled(blank, {FLANGE: "1 in"}, change=say)
    entered = enter(bare() + (EVENT if event else ""), "car.yaml", data, "form.xlsx")
    assert ("taken: after the events of the day" in entered.added) == written
    assert any("no job or event of 2030-05-02 is on record" in one for one in entered.notes) == (
        taken == "yes" and not event
    )


def sure_lines(data, sheet):
    """The cells of each line for how a figure was made sure: of which one, what, how."""
    book = load_workbook(io.BytesIO(data))
    rows = book[INDEX].iter_rows(min_row=3, values_only=True)
    return [(row[1], row[3], row[4]) for row in rows if row[0] == sheet and row[2] == "sure"]


def with_sure(blank, typed, *lines):
    def say(book):
        for cells, texts in zip(sure_lines(blank, "truck B"), lines, strict=False):
            for cell, text in zip(cells, texts, strict=True):
                book["truck B"][cell] = text

    return filled(blank, {FLANGE: typed}, change=say)


SURE = ("wheel L1", "flange_thickness", "both of us read it")


def test_a_figure_that_can_hardly_be_is_taken_with_how_it_was_made_sure(blank):
    """A flange is from 1/8 in to 1-3/4 in thick."""
    assert len(sure_lines(blank, "truck B")) == 3
    with pytest.raises(InputRefused) as caught:
        put(with_sure(blank, "1-13/16 in"))
    (problem,) = caught.value.problems
    assert problem.found.startswith(f"cell {cells_of(blank)[FLANGE][1]} of sheet “truck B”: ")
    assert problem.remedy == "look again; if it is so, say how it was made sure in the last lines of its sheet"
    added = put(with_sure(blank, "1-13/16 in", SURE)).added
    assert "flange_thickness: {reads: 1-13/16 in, sure: both of us read it}" in added


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ((("wheel L1", "flange_thickness", None),), "a line without all of which one, what and how it was made sure"),
        ((SURE, SURE), "how `flange_thickness` of wheel L1 was made sure a second time"),
        ((("wheel L2", "flange_thickness", "read twice"),), "but the sheet has no such figure"),
    ],
)
def test_a_line_of_how_a_figure_was_made_sure_is_refused_at_its_cell(blank, lines, said):
    cell = sure_lines(blank, "truck B")[len(lines) - 1][0]
    problems = found(with_sure(blank, "1 in", *lines))
    assert any(one.startswith(f"cell {cell} of sheet “truck B”: ") and said in one for one in problems), problems


def exchange(book):
    """Two columns of wheels, with their heads."""
    sheet, cell = book["truck B"], cells_of_book(book)[FLANGE][1]
    left = sheet[cell].column
    for row in range(sheet[cell].row - 3, sheet.max_row + 1):
        one, other = sheet.cell(row, left), sheet.cell(row, left + 1)
        if not hasattr(one, "protection") or one.value == other.value:
            continue
        one.value, other.value = other.value, one.value


def cells_of_book(book):
    return {(row[3], row[4]): (row[0], row[1]) for row in book[INDEX].iter_rows(min_row=3, values_only=True)}


def overwrite(book):
    sheet, cell = cells_of_book(book)[FLANGE]
    book[sheet].cell(book[sheet][cell].row, 1).value = "2. flange height"


@pytest.mark.parametrize("moved", [
    lambda book: book["truck B"].insert_cols(3),
    lambda book: book["truck B"].insert_rows(9),
    lambda book: book["truck B"].delete_rows(9),
    exchange, overwrite,
])  # fmt: skip
def test_a_sheet_whose_rows_or_columns_were_moved_is_refused_at_its_label(blank, moved):
    values = {FLANGE: "1-1/8 in", ("wheel R1", "flange_thickness"): "1-3/16 in"}
    assert put(filled(blank, values)).readings == 2
    problems = found(filled(blank, values, change=moved))
    assert any("where the form has `" in one or "no label" in one for one in problems), problems
    assert all(one.startswith("cell ") and "of sheet “truck B”: " in one for one in problems)


def test_what_stands_beside_the_form_is_told(blank):
    def beside(book):
        copy = book.copy_worksheet(book["truck B"])
        copy.title = "truck B Copy"
        book["truck B"]["P24"] = "checked by Jo"

    entered = put(filled(blank, {FLANGE: "1 in"}, change=beside))
    assert entered.readings == 1
    assert "worksheet “truck B Copy” is none of the form: nothing on it was read" in entered.notes
    assert "sheet “truck B”: P24: no box of the form: what stands there was not read" in entered.notes


@pytest.mark.long
def test_libreoffice_opens_the_spreadsheet_and_what_it_saves_reads_alike(blank, tmp_path):
    values = {FLANGE: "7/8 in", ("wheel L3", "rim_thickness"): "1-1/4", ("wheel R4", "flange_thickness"): "1-13/16 in"}

    def say(book):
        book["truck B"]["B6"] = "no"
        for cell, text in zip(sure_lines(blank, "truck A")[0], ("wheel R4", *SURE[1:]), strict=True):
            book["truck A"][cell] = text

    data = filled(blank, values, change=say)
    source = tmp_path / "form.xlsx"
    source.write_bytes(data)
    profile = (tmp_path / "profile").as_uri()
    subprocess.run(
        ["soffice", "--headless", f"-env:UserInstallation={profile}", "--convert-to", "xlsx", "--outdir",
         str(tmp_path / "saved"), str(source)],
        check=True, capture_output=True, timeout=300,
    )  # fmt: skip
    saved = (tmp_path / "saved" / "form.xlsx").read_bytes()
    assert saved != data
    assert cells_of(saved) == cells_of(blank)
    before, after = (read_spreadsheet(one, "form.xlsx", ProblemList()) for one in (data, saved))
    assert before is not None
    assert after is not None
    assert [(one.name, one.head, one.readings, one.further) for one in after.sheets] == [
        (one.name, one.head, one.readings, one.further) for one in before.sheets
    ]
    assert (after.mark, put(saved).text) == (before.mark, put(data).text)
    book = load_workbook(io.BytesIO(saved))
    sheet, cell = cells_of(saved)[FLANGE]
    assert book[INDEX].sheet_state == "hidden"
    assert book[sheet].protection.sheet
    assert not book[sheet][cell].protection.locked
    assert book[sheet]["A1"].protection.locked
    assert book[sheet].data_validations.dataValidation


def test_what_can_not_be_seen_is_refused_at_its_cell(blank):
    cell = cells_of(blank)[FLANGE][1]
    assert found(filled(blank, {FLANGE: "1 in\u202e"})) == [
        f"cell {cell} of sheet “truck B”: the character U+202E, which can't be seen"
    ]


@pytest.mark.parametrize(("typed", "words"), [("Yes", ""), ("NO", ""), ("maybe", "whether it was read after an event")])
def test_whether_it_was_read_after_an_event_is_yes_or_no(blank, typed, words):
    book = load_workbook(io.BytesIO(filled(blank, {FLANGE: "1 in"})))
    book["truck B"]["B6"] = typed
    stream = io.BytesIO()
    book.save(stream)
    if not words:
        assert put(stream.getvalue())
        return
    assert found(stream.getvalue()) == [f"cell B6 of sheet “truck B”, {words}: `maybe`"]


def test_a_gauge_that_nobody_knows_is_refused_at_its_own_cell(blank):
    book = load_workbook(io.BytesIO(filled(blank, {FLANGE: "1 in"})))
    index = book["boxes"].iter_rows(min_row=3, values_only=True)
    [box] = [row for row in book["boxes"].iter_rows(min_row=3, values_only=True) if row[3:5] == FLANGE]
    cell = next(row[1] for row in index if row[2] == "gauge" and row[0] == "truck B" and row[4] == box[7])
    book["truck B"][cell] = "G-99"
    stream = io.BytesIO()
    book.save(stream)
    assert found(stream.getvalue()) == [f"cell {cell} of sheet “truck B”: the gauge `G-99`, which is not known"]


@pytest.mark.parametrize("called", ["flange_thickness", "Flange thickness", "flange thickness"])
def test_an_exception_may_call_what_was_read_as_the_form_does(called):
    where, problems = Location("form.xlsx", 1, 1), ProblemList()
    sheet = FilledSheet(where, {}, {})
    sheet.say("wheel L1", called, "1 in", where, problems)
    assert sheet.readings == {"wheels": {"L1": {"flange_thickness": "1 in"}}}
    assert problems.problems == ()
