"""`worksheet` and its forms: exactly what is wanted, in walking order."""

import csv
import io
from datetime import date, timedelta
from pathlib import Path

import pikepdf
import pytest
import repair_samples as samples
from random_worlds import OUT, REACH, STRANGER, car_record, compare, criterion, inches, move, reading, rulebook

from carknocker.cli.inputs import check_car
from carknocker.documents import ProblemList, read_document
from carknocker.forms import form_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.page.html import html_of
from carknocker.page.markdown import markdown_of
from carknocker.page.pdf.writer import pdf_of
from carknocker.page.text import text_of
from carknocker.quantities import Period
from carknocker.questions.worksheet.ask import worksheet
from carknocker.questions.worksheet.forms import csv_form, yaml_form
from carknocker.questions.worksheet.model import STATIONS
from carknocker.questions.worksheet.page import worksheet_page
from carknocker.record.values import Figure
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.whatif.missing_evidence import lacks_of


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


def wanted(answer):
    return {(row.part, row.attribute) for row in answer.readings}


def test_a_car_that_shows_all_has_an_empty_sheet(yard):
    answer = samples.answer(yard)
    assert worksheet(answer).readings == ()
    assert "No reading is wanted" in text_of(worksheet_page(form_of(answer)))


def test_what_is_missing_and_what_is_too_old_is_wanted_and_nothing_else(yard):
    text = samples.car_text().replace("      body: {fire_extinguishers: 2}\n", "")
    text = text.replace("rim_thickness: 1-1/4 in, tape_size: 40", "tape_size: 40")
    sheet = worksheet(samples.answer(yard, text))
    rims = {(f"wheel {side}{axle}", "rim_thickness") for side in "LR" for axle in (1, 2, 3, 4)}
    assert wanted(sheet) == rims | {("body", "fire_extinguishers")}
    rim = next(row for row in sheet.readings if row.part == "wheel L1")
    assert rim.limits == ("at least 1 in", "read within 90 days of departure")
    assert rim.last == "1-1/4 in (2029-12-01, RE)"
    assert rim.tool == "finger gauge, side scale"
    assert "outer rim face" in rim.measured
    assert rim.why == ("1-1/4 in of 2029-12-01 is too old on 2030-06-01",)


def test_void_readings_are_wanted_with_the_work_that_voided_them(yard):
    entry = "  - {id: J-2, on: 2030-04-25, did: wheelset renewed, at: 2, off: W-9, fitted: W-2}\n"
    text = samples.car_text(ninth="gone").replace("papers:\n", f"{entry}papers:\n")
    text = text[: text.index('        "W-9 left"')] + text[text.index("      body: {fire") :]
    sheet = worksheet(samples.answer(yard, text))
    row = next(row for row in sheet.readings if row.attribute == "fire_extinguishers")
    assert row.why == ("void since 2030-04-25: J-2 wheelset renewed",)
    assert row.last == "2 (2030-04-20, RE)"


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
    library = load_library(rulesets_folders())
    case = samples.Path(__file__).parent.parent.parent / "cases" / "wren-hollow" / "before"
    car, move = ((case / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml"))
    sheet = worksheet(samples.answer(library, car, as_of=samples.date(2026, 10, 8), move=move))
    row = next(row for row in sheet.readings if row.part == "box L1")
    assert row.who == "someone whom Kestrel & Northern accepts"
    bare = samples.car_text().replace("      body: {fire_extinguishers: 2}\n", "")
    assert [row.who for row in worksheet(samples.answer(yard, bare)).readings] == [""]


def test_what_lapses_is_wanted(yard):
    move = samples.MOVE.replace("back: 2030-06-05", "back: 2030-07-20")
    sheet = worksheet(samples.answer(yard, move=move))
    assert {row.attribute for row in sheet.readings} == {"rim_thickness"}
    assert sheet.readings[0].why == ("good until 2030-07-19; the move ends 2030-07-20",)


def test_all_inputs_of_a_figure_are_wanted_at_once(yard):
    text = samples.car_text().replace(", tape_size: 40 tapes, tape_id: T-1", "")
    sheet = worksheet(samples.answer(yard, text))
    sizes = {row.part for row in sheet.readings if row.attribute == "tape_size"}
    assert sizes == {f"wheel {side}{axle}" for side in "LR" for axle in (1, 2, 3, 4)}


def test_a_carried_wheelset_is_asked_for_and_one_on_a_shelf_is_not(yard):
    for ninth, stations in (("carried", {"carried spares"}), ("on the shelf", set())):
        text = samples.car_text(ninth=ninth).replace("          {flange_thickness: 1 in, ", "          {")
        sheet = worksheet(samples.answer(yard, text))
        assert {row.station for row in sheet.readings if row.attribute == "flange_thickness"} == stations


def test_readings_come_in_walking_order():
    library = load_library(rulesets_folders())
    case = samples.Path(__file__).parent.parent.parent / "cases" / "nothing-measured"
    car, move = ((case / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml"))
    sheet = worksheet(samples.answer(library, car, as_of=samples.date(2026, 10, 8), move=move))
    stations = [row.station for row in sheet.readings]
    assert [STATIONS.index(one) for one in stations] == sorted(STATIONS.index(one) for one in stations)
    assert set(stations) >= {"B end", "left side", "A end", "right side", "underneath", "inside"}
    left = [row.part for row in sheet.readings if row.station == "left side" and row.part.startswith("wheel L")]
    right = [row.part for row in sheet.readings if row.station == "right side" and row.part.startswith("wheel R")]
    assert list(dict.fromkeys(left)) == sorted(set(left))
    assert list(dict.fromkeys(right)) == sorted(set(right), reverse=True)
    assert {row.access for row in sheet.readings if row.station == "inside"} == {"inside"}


def test_what_is_no_reading_is_named_with_where_it_goes(yard):
    text = samples.car_text().replace("  - {paper: liability insurance, from: 2030-01-01, until: 2030-12-31}\n", "")
    sheet = worksheet(samples.answer(yard, text))
    assert [(one.sort, one.label, one.where) for one in sheet.also] == [
        ("paper", "liability insurance", "`papers:` of the record")
    ]


def test_the_yaml_form_holds_each_reading_once_and_empty(yard):
    sheet = worksheet(samples.answer(yard, samples.car_text().replace("      body: {fire_extinguishers: 2}\n", "")))
    problems = ProblemList()
    form = read_document(yaml_form(sheet), "form.yaml", problems)
    assert not problems.problems
    assert form is not None
    assert form.plain()["car"] == "TSTX 1"
    assert [one["readings"] for one in form.plain()["sheets"]] == [{"body": {"fire_extinguishers": None}}]


def test_the_csv_form_has_a_row_for_each_reading(yard):
    sheet = worksheet(samples.answer(yard, samples.car_text().replace("      body: {fire_extinguishers: 2}\n", "")))
    rows = list(csv.DictReader(io.StringIO(csv_form(sheet), newline="")))
    assert [(row["part"], row["attribute"], row["value"]) for row in rows] == [("body", "fire_extinguishers", "")]
    assert rows[0]["limit"] == "at least 1"


def test_no_cell_can_be_taken_for_a_formula(yard):
    text = (
        samples.car_text()
        .replace("mark: TSTX 1", 'mark: "=1+1"')
        .replace("{fire_extinguishers: 2}", "{first_aid: yes}")
    )
    rows = list(csv.DictReader(io.StringIO(csv_form(worksheet(samples.answer(yard, text))), newline="")))
    assert rows[0]["car"] == "'=1+1"


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
