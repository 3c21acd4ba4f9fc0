"""`worksheet` and its forms in text: exactly what is wanted, each box once."""

import csv
import io
import re
from datetime import date, timedelta
from pathlib import Path

import pikepdf
import pypdfium2
import pypdfium2.raw
import pytest
import repair_samples as samples
from interview_samples import CARS, answers, written
from msgspec.structs import replace
from random_worlds import OUT, REACH, STRANGER, car_record, compare, criterion, inches, move, reading, rulebook

from carknocker.cli.inputs import check_car
from carknocker.documents import ProblemList, read_document
from carknocker.dossier.view import view_of
from carknocker.forms import form_of
from carknocker.forms.model import GROUPS, Tick
from carknocker.forms.text_forms import csv_form, yaml_form
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.page.html import html_of
from carknocker.page.markdown import markdown_of
from carknocker.page.pdf.writer import pdf_of
from carknocker.page.text import text_of
from carknocker.quantities import Period
from carknocker.questions.check.page import page_of
from carknocker.questions.new.ask import hosts_with_circular, starter_record
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.page import plan_page
from carknocker.questions.worksheet.ask import worksheet
from carknocker.questions.worksheet.page import worksheet_page
from carknocker.record import read_car_text, read_move_text
from carknocker.record.values import Figure
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.vocabulary.interview import load_interview
from carknocker.whatif.missing_evidence import lacks_of


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


def boxes(form):
    return [(row, box) for sheet in form.sheets for block in sheet.blocks for row, box in block.answers()]


def wanted(form):
    return {(box.part, box.attribute) for _, box in boxes(form)}


def demo(name):
    return check_car(Path(__file__).parents[2] / "cases" / name, None, None, date(2026, 10, 8))


def test_a_car_that_shows_all_has_an_empty_sheet(yard):
    form = worksheet(samples.answer(yard))
    assert form.sheets == ()
    assert "WORKSHEET: no reading is wanted" in text_of(worksheet_page(form))


def test_boxes_wanted_before_departure_are_told_beside_what_is_only_signed() -> None:
    said = " ".join(text_of(worksheet_page(worksheet(demo("wren-hollow/before")))).split())
    assert "boxes before departure; now only what is to be signed or filed" in said
    assert "no reading is wanted" not in said


def test_what_is_missing_and_what_is_too_old_is_wanted_and_nothing_else(yard):
    text = samples.car_text().replace("      body: {fire_extinguishers: 2}\n", "")
    text = text.replace("rim_thickness: 1-1/4 in, tape_size: 40", "tape_size: 40")
    form = worksheet(samples.answer(yard, text))
    rims = {(f"wheel {side}{axle}", "rim_thickness") for side in "LR" for axle in (1, 2, 3, 4)}
    assert wanted(form) == rims | {("body", "fire_extinguishers")}
    row, box = next(one for one in boxes(form) if one[1].part == "wheel L1")
    assert [limit.words for limit in row.limits] == ["at least 1 in"]
    assert row.tool == "finger gauge, side scale"
    assert "outer rim face" in row.how
    assert box.why == ("1-1/4 in of 2029-12-01 is too old on 2030-06-01",)


def test_void_readings_are_wanted_with_the_work_that_voided_them(yard):
    entry = "  - {id: J-2, on: 2030-04-25, did: wheelset renewed, at: 2, off: W-9, fitted: W-2}\n"
    text = samples.car_text(ninth="gone").replace("papers:\n", f"{entry}papers:\n")
    text = text[: text.index('        "W-9 left"')] + text[text.index("      body: {fire") :]
    box = next(box for _, box in boxes(worksheet(samples.answer(yard, text))) if box.attribute == "fire_extinguishers")
    assert box.why == ("void since 2030-04-25: J-2 wheelset renewed",)


def test_what_shows_that_it_applies_is_not_wanted_again_for_its_age_or_its_reader():
    said = [
        reading("wheel W-1 left", name, Figure(inches(20)), OUT - timedelta(days=99), by=STRANGER)
        for name in ("flange_thickness", "rim_thickness")
    ]
    rule = criterion(
        "flange", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))),
        when=compare("wheel", "rim_thickness", "over", Figure(inches(14))),
        read_within=Period(days=90), shown_by="accepted shop",
    )  # fmt: skip
    judgement = judge(car_record(said), move(), rulebook([rule], REACH), OUT)
    finding = next(one for one in judgement.findings if one.part.key == "wheel W-1 left")
    assert finding.verdict == "not shown"
    assert [(one.attribute.name, one.decides_whether) for one in lacks_of(finding, JudgementIndex(judgement))] == [
        ("flange_thickness", False)
    ]


def test_what_only_an_accepted_person_may_read_says_so(yard):
    form = worksheet(demo("wren-hollow/before"), before_departure=True, advised=True)
    row = next(row for row, box in boxes(form) if box.part == "box L1")
    assert row.accepted
    assert [row["who"] for row in csv_rows(form) if row["part"] == "box L1"] == ["someone whom the host accepts"]
    bare = samples.car_text().replace("      body: {fire_extinguishers: 2}\n", "")
    assert [row.accepted for row, _ in boxes(worksheet(samples.answer(yard, bare)))] == [False]


def test_what_lapses_is_wanted(yard):
    move = samples.MOVE.replace("back: 2030-06-05", "back: 2030-07-20")
    form = worksheet(samples.answer(yard, move=move), before_departure=True)
    assert {box.attribute for _, box in boxes(form)} == {"rim_thickness"}
    assert boxes(form)[0][1].why == ("good through 2030-07-19; the move ends 2030-07-20",)


def test_all_inputs_of_a_figure_are_wanted_at_once(yard):
    text = samples.car_text().replace(", tape_size: 40 tapes, tape_id: T-1", "")
    form = worksheet(samples.answer(yard, text))
    sizes = {part for part, attribute in wanted(form) if attribute == "tape_size"}
    assert sizes == {f"wheel {side}{axle}" for side in "LR" for axle in (1, 2, 3, 4)}


def test_a_carried_wheelset_is_asked_for_and_one_on_a_shelf_is_not(yard):
    for ninth, names in (("carried", ["spares"]), ("on the shelf", [])):
        text = samples.car_text(ninth=ninth).replace("          {flange_thickness: 1 in, ", "          {")
        form = worksheet(samples.answer(yard, text))
        asking = [
            sheet.name for sheet in form.sheets if any(box.attribute == "flange_thickness" for box in sheet.boxes())
        ]
        assert asking == names


def test_what_is_no_reading_is_on_the_sheet_of_entries(yard):
    text = samples.car_text().replace("  - {paper: liability insurance, from: 2030-01-01, until: 2030-12-31}\n", "")
    form = worksheet(samples.answer(yard, text))
    assert form.sheets == ()
    assert form.entries is not None
    assert {box.part for box in form.entries.boxes() if box.why} == {"paper “liability insurance”"}
    assert {row["attribute"] for row in csv_rows(form) if row["part"] == "paper “liability insurance”"} >= {
        "from", "until"
    }  # fmt: skip


def csv_rows(form):
    return list(csv.DictReader(io.StringIO(csv_form(form), newline="")))


def test_the_yaml_form_holds_each_box_once_and_empty(yard):
    form = worksheet(samples.answer(yard, samples.car_text().replace("      body: {fire_extinguishers: 2}\n", "")))
    problems = ProblemList()
    read = read_document(yaml_form(form), "form.yaml", problems)
    assert not problems.problems
    assert read is not None
    assert read.plain()["car"] == "TSTX 1"
    who, sheet, entries, move = read.plain()["sheets"]
    assert who["readings"]["person 1"] == {"name": None, "role": None, "full_name": None, "telephone": None}
    assert sheet["readings"] == {"body": {"fire_extinguishers": None}}
    assert entries["readings"]["job 1"]["on"] is None
    assert move["readings"]["move"]["power_wanted"] is None


@pytest.mark.parametrize("name", ["nothing-measured", "wren-hollow/before"])
def test_the_forms_in_text_hold_every_box_of_the_form(name):
    form = worksheet(demo(name), before_departure=True, advised=True)
    every = sorted((sheet.name, box.part, box.attribute) for sheet in form.every_sheet for box in sheet.boxes())
    rows = csv_rows(form)
    assert rows.pop()["part"] == "last row"
    assert sorted((row["sheet"], row["part"], row["attribute"]) for row in rows if row["words"] != "x") == every
    problems = ProblemList()
    read = read_document(yaml_form(form), "form.yaml", problems)
    assert not problems.problems
    sheets = read.plain()["sheets"]
    assert every == sorted(
        (one["sheet"], part, name) for one in sheets for part, values in one["readings"].items() for name in values
    )
    ticks = [block for sheet in form.sheets for block in sheet.blocks if isinstance(block, Tick)]
    said = sorted((box.part, box.attribute) for tick in ticks for box in tick.boxes if tick.value_of(box))
    assert said == sorted(
        (part, name)
        for one in sheets
        for tick in one.get("ticks", ())
        for part in tick["parts"]
        for name in tick["says"]
    )
    assert said == sorted(
        (part, one.partition(":")[0])
        for row in rows if row["words"] == "x"
        for part in row["part"].split("; ") for one in row["attribute"].split("; ")
    )  # fmt: skip


def test_the_csv_form_has_a_row_for_each_box(yard):
    form = worksheet(samples.answer(yard, samples.car_text().replace("      body: {fire_extinguishers: 2}\n", "")))
    others = ("work, tests and papers", "the move", "who read, and with what", "")
    rows = [row for row in csv_rows(form) if row["sheet"] not in others]
    assert [(row["part"], row["attribute"], row["value"]) for row in rows] == [("body", "fire_extinguishers", "")]
    assert rows[0]["limit"].startswith("at least 1 (")


def test_no_form_in_text_holds_a_last_reading(yard):
    text = samples.car_text().replace("rim_thickness: 1-1/4 in", "rim_thickness: 31/32 in", 1)
    move = samples.MOVE.replace("back: 2030-06-05", "back: 2030-07-20")
    form = worksheet(samples.answer(yard, text, move=move))
    for write in (csv_form, yaml_form):
        assert "rim_thickness" in write(form)
        assert "31/32" not in write(form)
        assert "1-1/4 in" not in write(form)


def test_no_cell_can_be_taken_for_a_formula(yard):
    text = (
        samples.car_text()
        .replace("mark: TSTX 1", 'mark: "=1+1"')
        .replace("{fire_extinguishers: 2}", "{first_aid: yes}")
    )
    assert csv_rows(worksheet(samples.answer(yard, text)))[0]["car"] == "'=1+1"


@pytest.fixture(scope="module")
def rims(yard):
    """A form that wants the flange and the rim of every wheel."""
    text = samples.car_text().replace("flange_thickness: 1 in, rim_thickness: 1-1/4 in, tape_size: 40", "tape_size: 40")
    return form_of(samples.answer(yard, text))


@pytest.mark.parametrize("write", [text_of, markdown_of, lambda page: html_of([page])])
def test_the_page_is_a_grid_with_wheels_across_and_the_limit_in_the_margin(rims, write):
    page = write(worksheet_page(rims)).replace("\\", "")
    for word in ("Wheels and truck B", "Wheels and truck A", "flange thickness", "L1", "R4", "7/8"):
        assert word.casefold() in page.casefold()
    assert "16 boxes to fill in, on 2 sheets" in page


def test_the_page_holds_no_last_reading(yard):
    text = samples.car_text().replace("rim_thickness: 1-1/4 in", "rim_thickness: 31/32 in", 1)
    move = samples.MOVE.replace("back: 2030-06-05", "back: 2030-07-20")
    page = text_of(worksheet_page(form_of(samples.answer(yard, text, move=move))))
    assert "rim thickness" in page
    assert "31/32" not in page
    assert "1-1/4 in" not in page


def test_a_car_of_which_nothing_is_known_has_at_most_eight_sheets_of_paper_and_a_yearly_check_three():
    for name, most in (("nothing-measured", 8), ("wren-hollow/after", 3)):
        form = form_of(check_car(Path(__file__).parents[2] / "cases" / name, None, None, date(2026, 10, 8)))
        with pikepdf.open(io.BytesIO(pdf_of([worksheet_page(form)]))) as made:
            assert len(made.pages) <= most


@pytest.mark.parametrize(("name", "day", "most"), [
    ("wren-hollow/after", date(2026, 10, 24), 3), ("larkspur/passenger", date(2027, 9, 1), 3),
    ("two-nations/south", date(2026, 9, 1), 3), ("nothing-measured", date(2026, 10, 8), 9),
])  # fmt: skip
def test_with_all_groups_a_yearly_check_has_three_sheets_and_a_car_of_which_nothing_is_known_a_few_more(
    name, day, most
):
    """The eight sheets are those of what decides now; what is only advised and for later is asked for by itself."""
    form = form_of(check_car(Path(__file__).parents[2] / "cases" / name, None, None, day), GROUPS)
    with pikepdf.open(io.BytesIO(pdf_of([worksheet_page(form)]))) as made:
        assert len(made.pages) <= most


@pytest.mark.parametrize("name", ["heavyweight", "caboose"])
def test_a_new_car_of_six_wheel_trucks_and_a_caboose_have_at_most_eight_sheets_of_paper(name):
    """As `new --answers` writes them: every part stands, and nothing of it was read."""
    car, move = written(CARS[name])
    library = load_library(rulesets_folders())
    answer = check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), library, date(2026, 10, 1))
    form = form_of(answer)
    trucks = [sheet for sheet in form.sheets if sheet.name.startswith("truck")]
    wheels = {box.part for sheet in trucks for box in sheet.boxes() if box.part.startswith("wheel ")}
    assert len(wheels) == (12 if name == "heavyweight" else 8)
    with pikepdf.open(io.BytesIO(pdf_of([worksheet_page(form)]))) as made:
        assert len(form.sheets) <= len(made.pages) <= 8


NEEDED = """
mark: QZZX 3
kind_of_car: {kind}
truck_kind: {trucks}
host: {host}
train: {train}
out: 2026-12-12
back: 2026-12-20
rides: passengers
from: Quillon Junction
to: Tarn Bridge
miles: 30 mi
"""
"""Only what `new` must know."""
KINDS = (
    "lightweight passenger car", "heavyweight passenger car", "baggage or mail car", "caboose", "camp car",
    "another kind",
)  # fmt: skip
HOSTS = ("Brackwater & Inland", "Kestrel & Northern", "Marrow Creek & Eastern")


@pytest.fixture(scope="module")
def installed():
    return load_library(rulesets_folders())


def needed_only(library, kind, trucks, host, train, groups=GROUPS[:1]):
    text = NEEDED.format(kind=kind, trucks=trucks, host=host, train=train)
    car, move = starter_record(answers(text), load_interview(), HOSTS)
    judged = check(
        read_car_text(car.text, "car.yaml"), read_move_text(move.text, "move.yaml"), library, date(2026, 11, 30)
    )
    return form_of(judged, groups)


def sizes_of_print(pdf):
    """The size in which each text of a PDF is set, points."""
    with pypdfium2.PdfDocument(pdf) as read:
        return {
            round(pypdfium2.raw.FPDFText_GetFontSize(text.raw, place), 2)
            for page in read
            for text in (page.get_textpage(),)
            for place in range(text.count_chars())
            if not pypdfium2.raw.FPDFText_IsGenerated(text.raw, place)
        }


def test_every_kind_of_car_and_every_host_at_hand_are_tried(installed):
    assert tuple(load_interview().kinds_of_car) == KINDS
    assert hosts_with_circular(installed, date(2026, 11, 30)) == HOSTS


@pytest.mark.parametrize("host", [*HOSTS, "Some Other Road"])
def test_with_only_the_needed_answers_any_car_has_at_most_eight_sheets_of_print_that_can_be_read(installed, host):
    """Of each kind, with trucks of two and of three axles, in the train in which most is asked. Cars whose pages are
    the same are set once."""
    pages = {
        (trucks, worksheet_page(needed_only(installed, kind, trucks, host, "passenger")))
        for kind in KINDS
        for trucks in ("two-axle", "three-axle")
    }
    assert {trucks for trucks, _ in pages} == {"two-axle", "three-axle"}
    for trucks, page in pages:
        pdf = pdf_of([page])
        with pikepdf.open(io.BytesIO(pdf)) as made:
            assert 4 <= len(made.pages) <= 8, (trucks, len(made.pages))
        assert min(sizes_of_print(pdf)) >= 8


@pytest.mark.parametrize("train", ["freight", "excursion"])
def test_in_other_trains_it_has_no_more_sheets(installed, train):
    page = worksheet_page(needed_only(installed, "caboose", "three-axle", "Marrow Creek & Eastern", train))
    with pikepdf.open(io.BytesIO(pdf_of([page]))) as made:
        assert len(made.pages) <= 8


def test_with_all_groups_it_has_two_sheets_more_at_most(installed):
    """Of the car and the host for which most is asked."""
    page = worksheet_page(needed_only(installed, KINDS[0], "three-axle", "Marrow Creek & Eastern", "passenger", GROUPS))
    with pikepdf.open(io.BytesIO(pdf_of([page]))) as made:
        assert 8 < len(made.pages) <= 10


@pytest.mark.parametrize("write", [text_of, markdown_of, lambda page: html_of([page])])
def test_what_nobody_said_of_the_move_has_lines_at_the_end_and_what_was_said_has_none(installed, write):
    form = needed_only(installed, KINDS[0], "two-axle", "Some Other Road", "passenger")
    told = " ".join(write(worksheet_page(form)).split())
    wanted = ("highest speed of the train (mph)", "truck centers (in)", "host's reply wanted by", "water wanted?")
    assert all(words in told for words in wanted)
    assert told.index("wrong on record") < told.index("truck centers (in)")
    said = replace(form, move=None)
    assert not any(words in write(worksheet_page(said)) for words in wanted)


COUNTED = "12 kinds of part not on record, 339 readings, 10 tests, 4 papers, 1 statement"
WITHOUT_EXTINGUISHERS = ("      body: {fire_extinguishers: 2}\n", "")


@pytest.mark.parametrize(("name", "day", "numbers"), [
    ("nothing-measured", date(2027, 3, 20), COUNTED), ("wren-hollow/before", date(2026, 10, 8), ""),
    ("wren-hollow/after", date(2026, 10, 24), ""), ("larkspur/passenger", date(2026, 9, 1), ""),
    ("larkspur/freight", date(2026, 9, 1), ""), ("two-nations/north", date(2026, 9, 1), ""),
    ("two-nations/south", date(2026, 9, 1), ""), ("sample", None, "1 reading"),
])  # fmt: skip
def test_check_worksheet_and_plan_count_alike_what_is_missing(name, day, numbers, yard):
    folder = Path(__file__).parents[2] / "cases" / name
    sample = samples.answer(yard, samples.car_text().replace(*WITHOUT_EXTINGUISHERS))
    answer = sample if day is None else check_car(folder, None, None, day)
    assert form_of(answer).missing == (f"not shown: {numbers}" if numbers else "")
    for page, begins in (
        (page_of(view_of(answer)), "ot measured: "), (worksheet_page(form_of(answer)), "not shown: "),
        (plan_page(plan(answer)), "What is not shown now ("),
    ):  # fmt: skip
        told = " ".join(text_of(page).split())
        assert (f"{begins}{numbers}" in told) is bool(numbers)
        assert not re.search(r"[0-9,]+ readings, tests and papers", told)
    steps = plan(answer).steps
    of_steps = [int(one) for step in steps for one in re.findall(r"(\d+) readings? not shown now", step.what)]
    assert sum(of_steps) == int(next(iter(re.findall(r"(\d+) reading", numbers)), "0"))
