"""The dossier of every demo case on paper: its sheets counted, tagged in order, no heading alone at a foot, and what is
left to the host never filled in."""

from __future__ import annotations

import io
from datetime import date, timedelta

import pikepdf
import pypdfium2
import pytest
from case_list import CASES, answer, library
from msgspec.structs import replace
from pdf_samples import faults, letters, sheets, tags

from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas import ROOM_ON_THE_SHEET
from carknocker.page.model import (
    Decisions,
    Drawing,
    FaultRows,
    Item,
    Page,
    Rows,
    Section,
    Table,
    Ticks,
    ToWrite,
    texts_of,
)
from carknocker.page.pdf.writer import pdf_of
from carknocker.questions.check.dossier_page import dossier_page
from carknocker.questions.check.sheets.car_sheet import car_sheet, fits, least_margins
from carknocker.questions.check.sheets.evidence_sheet import evidence_sheet
from carknocker.record import read_car_text, read_move, read_move_text

SHEETS = {
    "wren-hollow/before": 8, "wren-hollow/after": 8, "two-nations/north": 7, "two-nations/south": 8,
    "larkspur/passenger": 7, "larkspur/freight": 7, "nothing-measured": 8,
}  # fmt: skip
BEFORE = "wren-hollow/before"


@pytest.fixture(scope="module")
def before() -> Page:
    return dossier_page(answer(BEFORE), drawn=True)


NO_FAULT = ("wren-hollow/after", "larkspur/freight")


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_a_car_without_faults_has_no_sheet_for_them_and_its_first_sheet_says_what_restricts_it(name):
    page = dossier_page(answer(name))
    sheet = "What is to be shown or cleared" if name == "nothing-measured" else "Faults"
    assert (sheet in [one.heading for one in page.sections]) == (name not in NO_FAULT)
    first = [one.heading for one in page.sections[: [one.sheet for one in page.sections].index(True)]]
    assert ("Asked for, not a fault" in first) == (name in NO_FAULT)
    assert ("Restriction" in first) == (name == "wren-hollow/after")


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_the_first_sheet_is_whole_however_much_stands_on_it(name):
    """Signed places at its foot, and the second sheet begins with its own title."""
    first, second, *_ = sheets(pdf_of([dossier_page(answer(name), drawn=True)]))
    assert first.count("name and title") == 3
    assert letters("For the owner") in letters(first)
    assert "name and title" not in second


def test_a_first_sheet_that_is_too_long_is_set_smaller(before):
    """Eight faults in the list, the most that it shows."""
    (at,) = (number for number, one in enumerate(before.sections) if isinstance(one.blocks[0], FaultRows))
    section = before.sections[at]
    lines = section.blocks[0].lines
    eight = FaultRows(tuple(replace(lines[number % 4], number=number + 1) for number in range(8)))
    sections = (*before.sections[:at], replace(section, blocks=(eight,)), *before.sections[at + 1 :])
    first, second, *_ = sheets(pdf_of([replace(before, sections=sections)]))
    assert first.count("name and title") == 3
    assert "name and title" not in second


def test_a_first_sheet_is_whole_under_the_longest_name(before):
    """With as many faults as it shows, on a car whose name takes three lines in the usual size."""
    (at,) = (number for number, one in enumerate(before.sections) if isinstance(one.blocks[0], FaultRows))
    section = before.sections[at]
    lines = section.blocks[0].lines
    many = FaultRows(tuple(replace(lines[number % 4], number=number + 1) for number in range(7)), "7 more under Faults")
    sections = (*before.sections[:at], replace(section, blocks=(many,)), *before.sections[at + 1 :])
    title = "QWHX 27 The Honourable Wilhelmina Featherstonehaugh-Cholmondeley Memorial"
    first, second, *_ = sheets(pdf_of([replace(before, title=title, sections=sections)]))
    assert first.count("name and title") == 3
    assert "name and title" not in second


@pytest.mark.parametrize("name", sorted(set(SHEETS) - {"nothing-measured"}))
def test_the_least_margins_stand_with_the_car(name):
    """On its sheet, or where that begins below few faults, on the next, under its title."""
    page = dossier_page(answer(name), drawn=True)
    (car,) = (one for one in page.sections if one.heading == "The car, drawn")
    assert [one.heading for one in car.blocks if isinstance(one, Item)] == [
        "Trucks from above, with the readings", "Least margins",
    ]  # fmt: skip
    assert [text.count("Least margins") for text in sheets(pdf_of([page])) if "The car, drawn" in text][-1] == 1


def test_margins_without_room_on_the_sheet_of_the_car_stand_with_the_evidence(before):
    (car,) = (one for one in before.sections if one.heading == "The car, drawn")
    shown = [one for one in car.blocks if isinstance(one, Drawing)]
    shown += [one for item in car.blocks if isinstance(item, Item) for one in item.blocks if isinstance(one, Drawing)]
    high = sum(one.height for one in shown)
    assert fits(shown)
    taller = replace(shown[0], height=shown[0].height + ROOM_ON_THE_SHEET - high - 0.01)
    assert fits([taller, *shown[1:]])
    over = [replace(taller, height=taller.height + 1), *shown[1:]]
    assert not fits(over)
    kept = car_sheet(over)
    assert kept is not None
    assert [one.heading for one in kept.blocks if isinstance(one, Item)] == ["Trucks from above, with the readings"]
    evidence = evidence_sheet(
        view_of(answer(BEFORE)), JudgementIndex(answer(BEFORE).judgement), {}, least_margins(over)
    )
    assert "Least margins" in [one.heading for one in evidence.blocks if isinstance(one, Item)]


def test_the_brakes_as_last_measured_have_their_limits_and_who_read_them(before):
    (sheet,) = (one for one in before.sections if one.heading == "Tests and who signed them")
    (item,) = (one for one in sheet.blocks if isinstance(one, Item) and one.heading == "Brakes as last measured")
    (table,) = item.blocks
    rows = {row[0]: row[1:] for row in table.rows}
    assert rows["Brake pipe leakage"] == (
        "the brake system",
        "2 psi/min (90 psi to 88 psi in 1 min)",
        "–",
        "2026-09-12, TV",
    )
    assert rows["Thinnest brake hanger"] == ("brake rigging B, A", "7/8 in", "> 3/4 in", "2026-09-12, RE")
    assert rows["Piston travel"][1] == "8 in (brake cylinder 1); 8-1/4 in (brake cylinder 2)"
    assert rows["Least shoe thickness"][2].endswith("≥ 1/2 in")


def test_a_test_that_is_void_does_not_read_as_counting_and_readings_made_void_are_counted():
    page = dossier_page(answer("wren-hollow/after"))
    (sheet,) = (one for one in page.sections if one.heading == "Tests and who signed them")
    (tests,) = (block for block in sheet.blocks if isinstance(block, Table))
    assert [row[5] for row in tests.rows if row[0] == "single-car brake test"] == ["yes", "no: void"]
    (void,) = (one for one in sheet.blocks if isinstance(one, Item) and one.heading == "Void")
    (lines,) = void.blocks
    assert lines.items[0] == (
        "J-12 service portion replaced, 2026-09-24, makes void: single-car brake test, passed, 2026-08-04: the brake "
        "system (49 CFR 238.311(e)(2))"
    )
    assert "makes void: 4 readings of 2026-09-12 (brake shoes L5, R5)" in lines.items[-1]


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_what_clears_a_fault_is_said_without_the_owners_files(name):
    """How to write it is for the owner: on the terminal and the worksheet."""
    page = dossier_page(answer(name))
    rows = [
        text
        for one in page.sections if one.heading in ("Faults", "What is to be shown or cleared")
        for item in one.blocks if isinstance(item, Item)
        for block in item.blocks if isinstance(block, Rows)
        for label, text in block.rows if label == "Clears it"
    ]  # fmt: skip
    assert rows or name in NO_FAULT
    assert not [text for text in rows if "`" in text or "{" in text]


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_sheets_are_counted_tagged_and_no_heading_is_alone(name):
    pdf = pdf_of([dossier_page(answer(name), drawn=True)])
    texts = sheets(pdf)
    assert len(texts) == SHEETS[name]
    assert faults(pdf) == []
    headings = {letters(one.title) for one in tags(pdf).all() if one.name in ("H1", "H2") and len(one.title) > 9}
    for text in texts:
        body = letters(text.rpartition("Made by carknocker")[0])
        assert not [one for one in headings if body.endswith(one)]


BAD = {
    "tread_hollow: 1/8 in": "tread_hollow: 3/8 in", "shelled_spot_length: 0 in": "shelled_spot_length: 3 in",
    "crack_or_break: no": "crack_or_break: yes", "rim_thickness: 1-3/8 in": "rim_thickness: 7/8 in",
    "visible_free_oil: yes": "visible_free_oil: no", "knuckle_condition: sound": "knuckle_condition: cracked",
    "anti_creep_works: yes": "anti_creep_works: no", "clear_length: 18 in": "clear_length: 14 in",
    "fastening_tight: yes": "fastening_tight: no", "doors_traps_steps_secure: yes": "doors_traps_steps_secure: no",
    "floors_clear: yes": "floors_clear: no", "free_slack: 1/4 in": "free_slack: 1-1/4 in",
    "lowest_part_over_rail: 5-1/4 in": "lowest_part_over_rail: 1-1/4 in", "piston_travel: 8 in": "piston_travel: 12 in",
    "thickness: 1 in, key": "thickness: 1/8 in, key", "applies_and_releases: yes": "applies_and_releases: no",
    "coil_broken: no, coils_broken: 0": "coil_broken: yes, coils_broken: 2",
    "metal_grounded: yes": "metal_grounded: no",
    "insulation_resistance: 4.5": "insulation_resistance: 0.1", "back_to_back: 53-3/16 in": "back_to_back: 52-7/8 in",
    "coupler_height: {reads: 33-5/8 in": "coupler_height: {reads: 30 in", "windows_sound: yes": "windows_sound: no",
}  # fmt: skip
"""What makes the demo car as bad as a car may be, reading by reading."""


@pytest.mark.parametrize(
    ("most", "kept"),
    [
        (0, ("finger gauge G-2", "Gauges", "Wheelsets, axle by axle", "Work and moves")),
        (1, (" by RE on 2026-09-12", "Gauges", "Wheelsets, axle by axle")),
        (10, (" by RE on 2026-09-12", "Gauges", "Wheelsets, axle by axle")),  # rules in many places on the first
        (len(BAD), (" by RE on 2026-09-12", "Gauges")),
    ],
)
def test_no_car_has_more_than_eight_sheets(most, kept):
    """However many faults: the first stand in full, the rest in a row each. The evidence gives way step by step, and
    says where the rest of it is."""
    folder = CASES / "wren-hollow/before"
    text = (folder / "car.yaml").read_text()
    for good, bad in list(BAD.items())[:most]:
        assert good in text
        text = text.replace(good, bad)
    car, move = read_car_text(text, "car.yaml"), read_move(folder / "move.yaml")
    page = dossier_page(check(car, move, library(), date(2026, 10, 8)), drawn=True)
    pdf = pdf_of([page])
    texts = sheets(pdf)
    assert len(texts) <= 8
    assert faults(pdf) == []
    said = " ".join(" ".join(texts).split())
    assert all(one in said for one in kept)
    elsewhere = "stand in the appendix, a file of its own: ask the owner for it."
    assert (elsewhere in said) == (most > 0)
    (rows,) = (block for one in page.sections for block in one.blocks if isinstance(block, FaultRows))
    (sheet,) = (one for one in page.sections if one.heading == "Faults")
    numbered = [one for one in sheet.blocks if isinstance(one, Item) and one.number]
    assert len(numbered) > most
    assert len(rows.lines) <= 8
    whole = letters("".join(texts))
    assert all(letters(one.heading) in whole for one in numbered)
    assert texts[0].count("name and title") == 3


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_a_sheet_that_goes_on_has_the_title_of_what_goes_on(name):
    texts = sheets(pdf_of([dossier_page(answer(name), drawn=True)]))
    page = dossier_page(answer(name), drawn=True)
    titles = [page.title, *(one.heading for one in page.sections if one.sheet)]
    for number, text in enumerate(texts):
        begins = [one for one in titles if one in text]
        assert begins, f"sheet {number + 1} has no title"


def test_the_demo_car_has_eight_sheets_in_the_order_of_the_design(before):
    pdf = pdf_of([before])
    with pikepdf.open(io.BytesIO(pdf)) as whole:
        assert len(whole.pages) == 8
    titles = [one.title for one in tags(pdf).all() if one.name == "H1"]
    assert titles == [
        "QWHX 27 Wren Hollow", "Faults", "The car, drawn", "Duties on the move, and what lapses",
        "For the host’s inspector", "Tests and who signed them", "Evidence and serials", "Rules and digests",
    ]  # fmt: skip


def test_the_first_sheet_suffices_for_a_decision(before):
    first = " ".join(sheets(pdf_of([before]))[0].split())
    for words in (
        "NOT READY", "5 items keep this car from moving.", "When they are cleared: at most 70 mph.", "Wheel R5:",
        "Annual mechanical inspection:", "Kestrel & Northern", "2026-11-06 out, 2026-11-22 back", "171,400 lb",
        "3 of 21 on file", "Oldest reading used:", "Said to be none:", "Received", "Accepted", "Declined",
        "confirmed by Bram Teller",
    ):  # fmt: skip
        assert words in first, words


def move_of(page: Page) -> dict[str, str]:
    (section,) = (one for one in page.sections if one.heading == "The move")
    (rows,) = section.blocks
    return dict(rows.rows)


@pytest.mark.parametrize(
    ("name", "said"),
    [("wren-hollow/after", "2026-12-11: readings of brake shoes and readings of wheels"),
     ("larkspur/freight", "2026-10-26: readings of brake shoes and readings of wheels"),
     (BEFORE, None), ("nothing-measured", None)],
)  # fmt: skip
def test_the_first_sheet_of_a_car_that_is_ready_says_what_it_is_good_through(name, said):
    """Shoes and wheels were read on 2026-09-12 and 2026-07-28, good for 90 days."""
    assert move_of(dossier_page(answer(name))).get("Good through") == said


def papers(page: Page) -> tuple[str, list[str]]:
    (section,) = (one for one in page.sections if one.heading.startswith("Papers the circular wants"))
    (ticks,) = section.blocks
    return section.heading.partition(": ")[2], [tick.text for tick in ticks.ticks]


def test_the_first_sheet_says_which_papers_keep_the_car_from_moving():
    told, listed = papers(dossier_page(answer("wren-hollow/after")))
    assert told == "3 of 21 on file; none of the others keeps the car from moving"
    assert not [one for one in listed if "must be on file" in one]
    told, listed = papers(dossier_page(answer("nothing-measured")))
    assert told == "0 of 19 on file; 3 of them keep the car from moving"
    assert [one for one in listed if one.endswith(": must be on file")] == [
        "Liability insurance: must be on file", "Agreement with the host: must be on file",
        "Form M-12: annual mechanical inspection: must be on file",
    ]  # fmt: skip
    assert papers(dossier_page(answer(BEFORE)))[0] == "3 of 21 on file; 1 of them keeps the car from moving"


def test_a_gauge_is_told_good_on_the_day_on_which_it_was_read(before):
    """The scale was due 2025-03-18 and weighed the car on 2024-08-03."""
    (sheet,) = (one for one in before.sections if one.heading == "Evidence and serials")
    (item,) = (one for one in sheet.blocks if isinstance(one, Item) and one.heading == "Gauges")
    (table,) = item.blocks
    rows = {row[0]: row[3:] for row in table.rows}
    assert rows["S-3"] == ("2024-03-18", "2025-03-18", "2024-08-03", "good; overdue now")
    assert rows["G-2"][-1] == "good"


def test_the_first_sheet_says_where_in_the_train_and_what_will_restrict_it_in_whole_words():
    first = " ".join(sheets(pdf_of([dossier_page(answer("nothing-measured"))]))[0].split())
    assert "passenger, anywhere in the train, up to 79 mph" in first
    assert "Unless the record shows otherwise: at most 20 mph; rear of train; no riders; more below." in first
    assert "of them keep the car from moving." in first


def test_what_only_the_want_of_a_word_restricts_is_no_fact():
    page = dossier_page(answer("nothing-measured"))
    assert page.bar is not None
    assert "When all is measured and cleared" not in page.bar.limit
    sheet = page.sections[[one.sheet for one in page.sections].index(True)]
    assert sheet.heading == "What is to be shown or cleared"
    (restriction,) = (one for one in sheet.blocks if isinstance(one, Item) and one.heading == "Restriction")
    assert restriction.blocks[0].text.startswith("Speed: at most 20 mph, unless the record shows otherwise.")
    move = sheet.blocks[5]
    assert isinstance(move, Item)
    assert "79 mph; the car may run at most 20 mph unless the record shows otherwise" in move.heading


def test_what_the_record_decides_restricts_when_the_faults_are_cleared(before):
    assert before.bar is not None
    assert before.bar.limit == "When they are cleared: at most 70 mph."


def test_what_was_read_with_an_overdue_gauge_is_said_to_be_read():
    text = (CASES / BEFORE / "car.yaml").read_text(encoding="utf-8")
    good = "S-1: {kind: back-to-back gauge, reads_to: 1/32 in, checked: 2026-02-10, due: 2027-02-10}"
    assert text.count(good) == 1
    late = good.replace("2026-02-10", "2025-02-10").replace("2027-02-10", "2026-02-10")
    car = read_car_text(text.replace(good, late), "car.yaml")
    checked = check(car, read_move(CASES / BEFORE / "move.yaml"), library(), date(2026, 10, 8))
    page = dossier_page(checked, drawn=True)
    (sheet,) = (one for one in page.sections if one.heading == "Faults")
    told = " ".join(texts_of((sheet,)))
    assert "what was read and does not count" in told
    assert "back to back, largest place: gauge S-1 was due for its check on 2026-02-10" in told
    (drawn,) = (one for one in page.sections if one.heading == "The car, drawn")
    items = [one for one in drawn.blocks if isinstance(one, Item)]
    above = [one for item in items for one in item.blocks if isinstance(one, Drawing)]
    assert any(
        "Read, but not counted: back to back, smallest place (6 wheelsets): gauge S-1" in one.svg for one in above
    )


def test_bearings_that_all_trucks_have_are_told_once(before):
    def told(page):
        return [
            text for section in page.sections for block in section.blocks if isinstance(block, Rows)
            for label, text in block.rows if label == "Bearings"
        ]  # fmt: skip

    assert told(dossier_page(answer("wren-hollow/after"))) == ["grease-lubricated roller"]
    assert told(before) == ["plain, truck B; grease-lubricated roller, truck A"]


def test_what_the_record_lacks_is_a_line_to_write_on(before):
    rows = [
        row for section in before.sections for block in section.blocks if isinstance(block, Rows) for row in block.rows
    ]
    blank = {label for label, text in rows if isinstance(text, ToWrite)}
    assert blank == {"Owner", "Reply by"}
    assert {text for _, text in rows if isinstance(text, ToWrite)} == {"not on file"}


def test_what_the_host_decides_and_the_inspector_finds_is_empty(before):
    decisions = [block for one in before.sections for block in one.blocks if isinstance(block, Decisions)]
    assert [(one.heads, one.lines) for one in decisions] == [
        (("Received", "Accepted", "Declined"), ("name and title", "date"))
    ]
    assert [(one.signed, one.signed_lines) for one in decisions] == [("For the owner", ("name", "signature and date"))]
    (sheet,) = (one for one in before.sections if one.heading == "For the host’s inspector")
    (table,) = (block for block in sheet.blocks if isinstance(block, Table))
    found = [row[number] for row in table.rows for number, kind in enumerate(table.kinds) if kind in ("tick", "line")]
    assert found
    assert set(found) == {""}
    ticks = [
        block for item in sheet.blocks if isinstance(item, Item) for block in item.blocks if isinstance(block, Ticks)
    ]
    assert not any(tick.on for block in ticks for tick in block.ticks)


def test_faults_have_the_same_numbers_in_the_list_and_on_their_sheet(before):
    (listed,) = (block for one in before.sections for block in one.blocks if isinstance(block, FaultRows))
    (sheet,) = (one for one in before.sections if one.heading == "Faults")
    items = [block for block in sheet.blocks if isinstance(block, Item) and block.number]
    assert [(one.number, one.part, one.binds) for one in listed.lines] == [
        (1, "Wheel R5", "law"), (2, "Bearings L1–L3, R1–R3", "host"), (3, "Annual mechanical inspection", "host"),
        (4, "Single-car brake test", "law"), (5, "Spare service portion", "host"),
    ]  # fmt: skip
    assert [(one.number, one.binds) for one in items] == [(one.number, one.binds) for one in listed.lines]
    assert listed.lines[3].cite == "49 CFR 238.311(a), (e)(2)"


def test_each_fault_has_its_picture_at_its_right_with_words_for_who_cannot_see_it(before):
    (sheet,) = (one for one in before.sections if one.heading == "Faults")
    shown = [(one.number, one.aside[0], one.aside[1]) for one in sheet.blocks if isinstance(one, Item) and one.number]
    told = [(number, picture.described, below.text) for number, picture, below in shown]
    assert told[0][1] == "The car from its side with axle 5 marked."
    assert told[0][2] == "Stops wheelset W-35, and with it axle 5, truck A and the car."
    assert [number for number, *_ in told] == [1, 2, 3, 4, 5]
    assert told[4][1:] == ("service portion: 0 aboard, 1 on the shelf; 1 must be aboard.", "Stops the car.")
    assert {picture.width for _, picture, _ in shown} == {46}
    figures = [one.alt for one in tags(pdf_of([before])).all() if one.name == "Figure"]
    assert figures[:5] == [described for _, described, _ in told]


def test_a_page_without_drawings_has_no_pictures_of_faults():
    (sheet,) = (one for one in dossier_page(answer(BEFORE)).sections if one.heading == "Faults")
    asides = [one.aside for one in sheet.blocks if isinstance(one, Item) and one.number]
    assert [[type(block).__name__ for block in one] for one in asides] == [["Paragraph"]] * 5


def test_a_fault_is_whole_on_one_sheet(before):
    (sheet,) = (one for one in before.sections if one.heading == "Faults")
    texts = [letters(text) for text in sheets(pdf_of([before]))]
    for item in sheet.blocks:
        if isinstance(item, Item) and item.number:
            (rows,) = item.blocks
            wanted = {letters(item.heading), *(letters(text) for _, text in rows.rows)}
            assert any(all(one in text for one in wanted) for text in texts), item.heading


def test_an_inspection_that_runs_out_during_the_move_does_not_read_as_counting(before):
    (sheet,) = (one for one in before.sections if one.heading == "Tests and who signed them")
    (tests,) = (block for block in sheet.blocks if isinstance(block, Table))
    counts = {(row[0], row[1]): row[5] for row in tests.rows}
    assert counts["annual mechanical inspection", "2025-11-14"] == "to 2026-11-14: fault 3"
    assert counts["single-car brake test", "2026-08-04"] == "no: void: fault 4"


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_a_place_in_the_record_is_told_by_its_line_alone_before_the_digests(name):
    page = dossier_page(answer(name))
    file = answer(name).judgement.car.file
    assert not [text for text in texts_of(page.sections[:-1]) if file in text]


def test_the_outcome_names_its_restriction_in_the_same_line():
    page = dossier_page(answer("wren-hollow/after"))
    assert page.bar is not None
    assert page.bar.word == "READY WITH RESTRICTIONS: 70 mph"
    (first, *_) = sheets(pdf_of([page]))
    assert "READY WITH RESTRICTIONS: 70 mph" in " ".join(first.split())


@pytest.mark.parametrize(
    ("name", "told", "untold"), [("larkspur/freight", "law in part", "none"), (BEFORE, "2026-11-06 to 11-22", "law in")]
)
def test_each_sheet_alone_tells_what_its_word_is_good_for(name, told, untold):
    page = dossier_page(answer(name), drawn=False)
    assert page.head is not None
    assert told in page.head.told
    assert untold not in page.head.told
    ended = answer(name)
    later = dossier_page(replace(ended, day=ended.judgement.move.back + timedelta(days=1)), drawn=False)
    on_the_last_day = dossier_page(replace(ended, day=ended.judgement.move.back), drawn=False)
    assert later.head is not None
    assert on_the_last_day.head is not None
    assert "ended" in later.head.told
    assert "ended" not in on_the_last_day.head.told


def test_no_sheet_of_the_demo_car_is_nearly_empty(before):
    with pypdfium2.PdfDocument(pdf_of([before])) as document:
        for number in range(len(document)):
            grey = document[number].render(scale=0.4, grayscale=True).to_numpy()
            inked = [row for row in range(len(grey)) if (grey[row] < 160).any() and row < 0.92 * len(grey)]
            assert max(inked) > len(grey) / 2, number + 1


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_the_sheets_are_the_same_wherever_the_files_lie(name):
    """A long path takes no room, and whoever gets the sheets has the files in a folder of his own."""
    texts = [(CASES / name / file).read_text(encoding="utf-8") for file in ("car.yaml", "move.yaml")]
    day = answer(name).judgement.as_of

    def sections(folder: str) -> tuple[Section, ...]:
        car, move = read_car_text(texts[0], f"{folder}car.yaml"), read_move_text(texts[1], f"{folder}move.yaml")
        return dossier_page(check(car, move, library(), day), drawn=True).sections

    assert sections("/home/an-owner/" + "a-long-name-of-a-folder/" * 10) == sections("")
