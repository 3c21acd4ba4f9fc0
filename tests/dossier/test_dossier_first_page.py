"""What stands directly under the outcome, on every page and in JSON."""

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from msgspec.structs import replace
from question_samples import AS_OF, CAR, GIVEN, MOVE, MOVED, answer, library_in, rules_in

from carknocker.dossier.first_page import first_page_of
from carknocker.dossier.json_form import json_of
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.page.html import html_of
from carknocker.page.markdown import markdown_of
from carknocker.page.text import text_of
from carknocker.questions.check.dossier_page import dossier_page
from carknocker.questions.check.page import page_of
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook.library import load_library, rulesets_folders

NOT_CONFIRMED = "Circular 1 of Test Host: typed by the owner, not confirmed by the host"


def library_with(folder, head: str):
    rules_in(folder)
    file = folder / "test-host" / "1" / "edition.yaml"
    file.write_text(file.read_text(encoding="utf-8") + head, encoding="utf-8")
    return load_library([folder])


def circulars(checked) -> list[str]:
    return [one.words for one in first_page_of(JudgementIndex(checked.judgement)) if one.sort == "circular"]


@pytest.mark.parametrize(
    ("head", "said"),
    [
        ("", NOT_CONFIRMED),
        ("typed_by: Ada Quill\n", "Circular 1 of Test Host: typed by Ada Quill, not confirmed by the host"),
        (
            f"typed_by: Ada Quill\nconfirmed_by: {{name: Bram Teller, role: clerk, on: {AS_OF}}}\n",
            f"Circular 1 of Test Host: typed by Ada Quill, confirmed by Bram Teller (clerk) on {AS_OF}",
        ),
        (
            f"confirmed_by: {{name: Bram Teller, role: clerk, on: {AS_OF.replace(year=AS_OF.year + 1)}}}\n",
            NOT_CONFIRMED,  # a confirmation of a later day than the one that is judged
        ),
    ],
)
def test_who_typed_the_circular_and_who_confirmed_it(tmp_path, head, said):
    assert circulars(answer(library_with(tmp_path, head))) == [said]


def test_by_law_alone_nobody_typed_a_circular(tmp_path):
    text = MOVE.format(**{**MOVED, "train": "passenger, circular: none"}).replace("Test Host", "A Railroad")
    car, move = (
        read_car_text(CAR.format(**GIVEN).lstrip("\n"), "car.yaml"),
        read_move_text(text.lstrip("\n"), "move.yaml"),
    )
    assert circulars(check(car, move, library_in(tmp_path), AS_OF)) == []


def test_a_circular_passed_over_by_the_moves_own_word_is_told(tmp_path):
    text = MOVE.format(**{**MOVED, "train": "passenger, circular: none, host_is_not: Test Host"})
    car, move = (
        read_car_text(CAR.format(**GIVEN).lstrip("\n"), "car.yaml"),
        read_move_text(text.replace("host: Test Host", "host: Best Host", 1).lstrip("\n"), "move.yaml"),
    )
    assert circulars(check(car, move, library_in(tmp_path), AS_OF)) == [
        "No circular: by the move, Best Host is not Test Host, whose name is much like it"
    ]


def test_it_stands_directly_under_the_outcome_of_every_page(tmp_path):
    checked = answer(library_in(tmp_path))
    short, whole = page_of(view_of(checked)), dossier_page(checked)
    for page in (short, whole):
        lines = [line.removeprefix("  ") for line in text_of(page, 120).splitlines()]
        assert lines[lines.index(f"- {NOT_CONFIRMED}.") - 1] == page.verdict
        assert f"**{page.verdict}**\n\n- {NOT_CONFIRMED}.\n" in markdown_of(page)
        html = html_of([page])
        assert html.index('class="outcome') < html.index(f"{NOT_CONFIRMED}.") < html.index("<section")
    assert json.loads(json_of([checked]))["first_page"][0] == {
        "sort": "circular",
        "words": NOT_CONFIRMED,
        "at_once": True,
    }


def test_a_circular_that_the_host_confirmed_stands_with_what_the_answer_rests_on(tmp_path):
    confirmed = f"confirmed_by: {{name: Bram Teller, role: clerk, on: {AS_OF}}}\n"
    checked = answer(library_with(tmp_path, confirmed))
    words = f"Circular 1 of Test Host: typed by the owner, confirmed by Bram Teller (clerk) on {AS_OF}."
    for page in (page_of(view_of(checked)), dossier_page(checked)):
        assert words not in page.beside
        text = " ".join(text_of(page, 200).split())
        rests = max(text.find("WHAT THIS RESTS ON"), text.find("WHAT THE ANSWER RESTS ON"))
        assert 0 < rests < text.index(words)


def test_a_page_without_statements_has_no_list_under_the_outcome(tmp_path):
    page = replace(page_of(view_of(answer(library_in(tmp_path)))), beside=())
    assert "**\n\n## " in markdown_of(page)
    assert 'class="beside"' not in html_of([page])


def said(sort: str, checked) -> list[str]:
    return [one.words for one in first_page_of(JudgementIndex(checked.judgement)) if one.sort == sort]


def test_what_is_sure_stands_there_with_who_says_it_and_why(tmp_path):
    library = library_in(tmp_path)
    assert said("sure", answer(library)) == []
    flange = "{reads: 1-7/8 in, sure: read twice by two people}"
    assert said("sure", answer(library, flange=flange)) == [
        "Sure: flange thickness of wheel L2 1-7/8 in, says RE (owner): read twice by two people"
    ]
    year = MOVED["train"] + ", sure: an exhibit on tour"
    assert said("sure", answer(library, move={"train": year})) == ["Sure: the move, says the owner: an exhibit on tour"]


def test_a_sure_reading_of_a_later_day_is_not_told(tmp_path):
    sheet = (
        "  - on: 2030-05-02\n    by: RE\n    readings:\n      couplers:\n"
        "        B: {coupler_height: {reads: 33 in, sure: read twice}}\n"
    )
    assert said("sure", answer(library_in(tmp_path), more_sheets=sheet)) == []
    assert len(said("sure", answer(library_in(tmp_path), more_sheets=sheet, as_of=AS_OF + timedelta(days=1)))) == 1


def test_what_lies_outside_of_the_ranges_is_said(tmp_path):
    library = library_in(tmp_path)
    assert said("outside", answer(library)) == []
    move = answer(library).judgement.move
    text = CAR.format(**GIVEN).lstrip("\n").replace("car: {", "car: {car_kind: bay-window Caboose, ")
    found = said("outside", check(read_car_text(text, "car.yaml"), move, library, AS_OF))
    assert found == [
        "Outside of what is known here: a caboose: its platforms, steps and cupola have no ranges of their own"
    ]


@pytest.mark.parametrize(("end", "said"), [("Here", []), (" here", []), ("Away", ["Away"])])
def test_a_move_whose_legs_do_not_lead_back_is_said(tmp_path, end, said):
    text = MOVE.format(**MOVED).lstrip("\n")
    text += f"  - {{from: There, to: '{end}', miles: 10 mi}}\n"
    car = read_car_text(CAR.format(**GIVEN).lstrip("\n"), "car.yaml")
    checked = check(car, read_move_text(text, "move.yaml"), library_in(tmp_path), AS_OF)
    told = [one.words for one in first_page_of(JudgementIndex(checked.judgement)) if one.sort == "one way"]
    assert told == [f"The legs end at {one}, not at Here: a way back is a move of its own" for one in said]


def test_an_edition_that_the_move_names_is_said(tmp_path):
    library = library_in(tmp_path)
    assert said("pinned", answer(library)) == []
    assert said("pinned", answer(library, move={"editions": 'test-host: "1"'})) == [
        "Edition 1 of test-host is used because the move says so, not by its dates"
    ]


@pytest.fixture(scope="module")
def demo():
    """What the first page of a demo car says, with some words of its record replaced."""
    folder = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "passenger"
    record, move = ((folder / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml"))
    library = load_library(rulesets_folders())

    def said_of(sort: str, old: str, new: str, *others: tuple[str, str]) -> list[str]:
        text = record
        for was, becomes in ((old, new), *others):
            assert was in text
            text = text.replace(was, becomes)
        car = read_car_text(text, "car.yaml")
        checked = check(car, read_move_text(move, "move.yaml"), library, date(2026, 9, 1))
        return said(sort, checked)

    return said_of


@pytest.mark.parametrize(("kind", "lines"), [("flange", 0), ("disc pad", 1)])
def test_a_car_with_disc_pads_lies_outside_whatever_it_is_called(demo, kind, lines):
    found = demo("outside", "shoe_kind: tread", f"shoe_kind: {kind}")
    assert found == ["Outside of what is known here: disc brakes: no range or row here knows them"] * lines


@pytest.mark.parametrize(("volts", "lines"), [("0", 1), ("1", 0)])
def test_a_count_of_nought_for_which_rules_ask_nothing_is_said_to_be_none(demo, volts, lines):
    line = ("{fitted: yes, voltage: 480, ", "{fitted: yes, ")  # the highest voltage is that of the line at least
    found = demo("none fitted", "highest_voltage: 480", f"highest_voltage: {volts}", line)
    words = "highest voltage aboard of electrical equipment 0 (undated); so 2 requirements do not apply"
    assert [one for one in found if "voltage aboard" in one] == [f"Said to be none: {words}"] * lines


@pytest.mark.parametrize(("year", "doubtful"), [("1880", False), ("1879", True), ("2020", False), ("2021", True)])
def test_cars_were_built_from_about_1880_to_about_2020(demo, year, doubtful):
    found = demo("doubt", "built_on: 1949", f"built_on: {year}")
    assert any(f"car: built {year}; usual is from 1880 to 2020" in one for one in found) == doubtful


@pytest.mark.parametrize(
    ("until", "ended", "doubted"),
    [
        ("2026-08-30", "ended 2026-08-30", False),
        ("2026-09-18", "on its way until 2026-09-18", False),
        ("2026-09-19", "on its way until 2026-09-19", True),
    ],
)
def test_a_car_is_not_on_another_move_when_this_one_leaves(until, ended, doubted):
    folder = Path("cases/larkspur/passenger")
    made = "{from: 2025-09-05, to: 2025-09-14, miles: 420 mi"
    text = (folder / "car.yaml").read_text(encoding="utf-8")
    assert made in text
    text = text.replace(made, f"{{from: 2026-08-25, to: {until}, miles: 420 mi")
    move = read_move_text((folder / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    checked = check(read_car_text(text, "car.yaml"), move, load_library(rulesets_folders()), date(2026, 9, 1))
    told = [one.words for one in first_page_of(JudgementIndex(checked.judgement))]
    assert any(one.startswith("The log of events") and one.endswith(f"1 move of 420 miles, {ended}") for one in told)
    says = f"Doubtful: the car is on a move until {until} by its log (line "
    assert any(one.startswith(says) and "leaves on 2026-09-18" in one for one in told) is doubted


def test_a_gross_weight_that_is_estimated_is_bad_news(demo):
    line = "gross_weight: "
    found = demo("bad news", line, f"gross_weight_estimated: yes\n        {line}")
    assert [one for one in found if "gross weight only estimated: yes" in one]
    assert not [
        one for one in demo("bad news", line, f"gross_weight_estimated: no\n        {line}") if "estimated" in one
    ]


DEFECT = ("On record: the move says where a defect was found (at the daily inspection), and on record is none: "
          "write down what was found, and what was done about it")  # fmt: skip


@pytest.mark.parametrize(("case", "told"), [("freight", [DEFECT]), ("passenger", [])])
def test_a_move_that_tells_of_a_defect_which_is_not_on_record(case, told):
    """The rim of the car in the passenger train is thinner than the law allows: there the defect is on record."""
    folder = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / case
    text = (folder / "move.yaml").read_text(encoding="utf-8")
    assert "\nmove:\n" in text
    text = text.replace("\nmove:\n", "\nmove:\n  defect_found: at the daily inspection\n")
    car = read_car_text((folder / "car.yaml").read_text(encoding="utf-8"), "car.yaml")
    checked = check(car, read_move_text(text, "move.yaml"), load_library(rulesets_folders()), date(2026, 9, 1))
    assert [one for one in said("bad news", checked) if "the move says" in one] == told
