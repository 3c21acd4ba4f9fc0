"""The sheet of a form for tests, papers and work: what the move wants stands there by name, the rest is blank."""

import re
from datetime import date
from pathlib import Path

import pytest
from interview_samples import CARS, written

from carknocker.cli.inputs import check_car
from carknocker.forms import form_of
from carknocker.forms.entries import SORTS, entry_named
from carknocker.judgement.answer import check
from carknocker.record import read_car_text, read_move_text
from carknocker.record.entries import (
    CorrectionEntry,
    EventHead,
    LeaveConditions,
    LeaveEntry,
    LogHead,
    MoveMadeEntry,
    PaperHead,
    SpareHead,
    TestHead,
    WorkHead,
    keys_of,
)
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.vocabulary import load_vocabulary

CASES = Path(__file__).parents[2] / "cases"


@pytest.fixture(scope="module")
def sheet():
    return form_of(check_car(CASES / "nothing-measured", None, None, date(2026, 11, 1))).entries


def columns(sheet):
    return {column.head: block for block in sheet.blocks for column in block.columns}


def asked(block, head):
    rows = {row.number: row for row in block.rows}
    return {rows[box.row].attribute: rows[box.row] for box in block.boxes if box.column == head}


def test_a_test_that_only_another_way_asks_for_says_when_it_is_wanted():
    """A weld is inspected only where an appliance is welded: 49 CFR 238.230(b)(1). What is asked in any case says no
    condition."""
    car, move = written(CARS["coach"])
    rules = load_library(rulesets_folders())
    answer = check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), rules, date(2026, 10, 1))
    grids = [block for block in form_of(answer).entries.blocks if "as the move wants them" in block.heading]
    why = {box.column: box.why for block in grids for box in block.boxes}
    assert why["weld inspection"] == ("unless welded directly: no; fastening: not welded directly",)
    assert why["hand brake test, B"] == ("not on record",)
    welded = re.sub(r"\bfastening: not known", "fastening: welded directly", car)
    assert welded != car
    answer = check(read_car_text(welded, "car.yaml"), read_move_text(move, "move.yaml"), rules, date(2026, 10, 1))
    grids = [block for block in form_of(answer).entries.blocks if "as the move wants them" in block.heading]
    inspection = [box.why for block in grids for box in block.boxes if box.column == "weld inspection"]
    assert set(inspection) == {("not on record",)}


def test_a_test_that_the_move_wants_has_a_column_with_what_it_has_to_say(sheet):
    block = columns(sheet)["single-car brake test"]
    rows = asked(block, "single-car brake test")
    assert list(rows)[:3] == ["on", "by", "result"]
    assert rows["result"].words == ("passed", "failed")
    assert rows["code"].words == ("manual", "automated", "four-pressure", "passenger")
    assert {"device", "device_due", "leakage"} <= set(rows)
    assert all(box.why for box in block.boxes if box.column == "single-car brake test")


def test_a_test_of_several_parts_says_which_and_of_one_names_it(sheet):
    heads = columns(sheet)
    assert asked(heads["wheelset mounting check"], "wheelset mounting check")["at"].words == (
        "T-1",
        "T-2",
        "T-3",
        "T-4",
    )
    for head, block in heads.items():
        (part,) = {box.part for box in block.boxes if box.column == head}
        named = entry_named(part)
        rows = asked(block, head)
        if named.at:
            assert head == f"{named.kind}, {named.at}"
            assert "at" not in rows


def test_a_blank_job_is_chosen_first_and_asks_only_what_goes_with_it(sheet):
    rows = asked(columns(sheet)["job 1"], "job 1")
    assert next(iter(rows)) == "did"
    assert rows["did"].words == tuple(load_vocabulary().work)
    assert rows["cut"].only_for == ("wheels turned",)
    assert set(rows["fitted"].only_for) == {"wheelset renewed", "wheelset moved"}
    assert rows["on"].only_for == rows["by"].only_for == rows["at"].only_for == ()


def test_it_is_there_too_where_no_reading_is_wanted():
    ready = form_of(check_car(CASES / "wren-hollow" / "after", None, None, date(2026, 10, 8)))
    assert ready.entries is not None
    assert "job 1" in columns(ready.entries)


def test_every_key_that_it_asks_is_one_of_the_record():
    heads = {"tests": TestHead, "papers": PaperHead, "work": WorkHead, "events": EventHead,
             "moves_made": MoveMadeEntry, "spares": SpareHead, "log": LogHead, "leaves": LeaveEntry,
             "corrections": CorrectionEntry}  # fmt: skip
    further = {"leaves": keys_of(LeaveConditions), "corrections": ("is",)}
    for sort in SORTS.values():
        keys = {*keys_of(heads[sort.section]), *further.get(sort.section, ())}
        assert {field.key for field in sort.fields} <= keys
        assert not sort.named_by[0] or sort.named_by[0] in keys


def test_each_requirement_that_the_host_may_let_pass_has_a_column_with_the_parts_it_is_about():
    sheet = form_of(check_car(CASES / "wren-hollow" / "before", None, None, date(2026, 10, 8))).entries
    block = columns(sheet)["kestrel-and-northern/bearing-class"]
    rows = asked(block, "kestrel-and-northern/bearing-class")
    assert rows["host"].words == ("Kestrel & Northern",)
    assert rows["at"].words == tuple(f"bearing {side}{axle}" for axle in (1, 2, 3) for side in "LR")
    assert rows["for"].words == ("move", "repair")
    assert asked(block, "kestrel-and-northern/annual-inspection")["at"].words == ("car",)
    assert "us-federal/single-car-test-stands" not in columns(sheet)  # a circular's letter is for his circular alone
    assert "us-federal/flange-thickness" not in columns(sheet)  # law that no rule lets a host relax
    assert not any(box.why for box in block.boxes)  # it may be given; nobody asks for it


@pytest.mark.parametrize("key", ["speed", "place", "riders", "tag"])
def test_a_condition_of_a_permission_asks_for_none_where_the_letter_has_no_such(key):
    """One left empty makes the permission relieve nothing; from a list, `none` can be chosen."""
    sheet = form_of(check_car(CASES / "wren-hollow" / "before", None, None, date(2026, 10, 8))).entries
    row = asked(columns(sheet)["kestrel-and-northern/bearing-class"], "kestrel-and-northern/bearing-class")[key]
    assert row.how == "write none if the letter does not ask for it"
    assert row.box != "word" or "none" in row.words
    assert (row.box == "word") is (key in ("place", "riders"))


def test_a_car_that_nothing_is_wrong_with_is_offered_no_permission(sheet):
    assert [block.heading for block in sheet.blocks if "permission" in block.heading] == []


@pytest.mark.parametrize(
    "part", ["job", "job x", "jobs 1", "test “x", "wheel L1", "new spring (bolster springs) of truck B"]
)
def test_what_is_no_entry_is_none(part):
    assert entry_named(part) is None


def test_no_kind_of_part_is_called_as_an_entry_is():
    for kind in load_vocabulary().kinds:
        assert entry_named(f"{kind} 1") is None


AFTER = CASES / "wren-hollow" / "after"
BY_TODAY = date(2026, 10, 24)


def entries_of(*replaced):
    """The sheet of the repaired car, with other words in its record."""
    text = (AFTER / "car.yaml").read_text()
    for old, new in replaced:
        assert old in text
        text = text.replace(old, new)
    move = read_move_text((AFTER / "move.yaml").read_text(), "move.yaml")
    library = load_library(rulesets_folders())
    return form_of(check(read_car_text(text, "car.yaml"), move, library, BY_TODAY)).entries


def why_of(sheet, part):
    return {why for block in sheet.blocks for box in block.boxes if box.part == part for why in box.why}


def test_a_test_made_by_another_code_has_a_column_in_which_it_is_made_again():
    part = "test “single-car brake test”"
    assert why_of(entries_of(), part) == set()
    wrong = entries_of(("code: passenger, device: D-7", "code: manual, device: D-7"))
    assert why_of(wrong, part) == {"single-car test made by the manual code"}
    assert [column.head for block in wrong.blocks for column in block.columns].count("single-car brake test") == 1


def test_a_test_that_failed_has_a_column_in_which_it_is_made_again_also_of_what_is_repaired_first():
    failed = entries_of(
        ("on: 2026-08-04, by: TV, at: B, result: passed", "on: 2026-08-04, by: TV, at: B, result: failed")
    )
    (why,) = why_of(failed, "test “hand brake test” at B")
    assert "failed" in why
