"""The page of `compare`: what changed as a table of before and after, work named by its number and told once."""

from __future__ import annotations

from datetime import date

import pytest

from carknocker.cli.inputs import Place, cases_folder, read_both
from carknocker.judgement.answer import check
from carknocker.page.model import Bullets, Item, Table
from carknocker.page.text import text_of
from carknocker.questions.compare.page import compare_page, legend_of, notes_of
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.whatif.differences.compare import compare


def answered(name, day):
    base = cases_folder()
    car, move = read_both(Place(base / name, base), None)
    return check(car, move, load_library(rulesets_folders()), day)


@pytest.fixture(scope="module")
def before():
    return answered("wren-hollow/before", date(2026, 10, 8))


@pytest.fixture(scope="module")
def repaired(before):
    return compare(before, answered("wren-hollow/after", date(2026, 10, 24)))


def section(page, heading):
    return next(one for one in page.sections if one.heading == heading)


def test_what_is_cleared_stands_in_columns_with_what_cleared_it(repaired):
    cleared = section(compare_page(repaired), "Cleared")
    (table,) = cleared.blocks
    assert isinstance(table, Table)
    assert table.columns == ("Where and what", "First", "Second", "Because of")
    (wheel,) = (row for row in table.rows if row[0].startswith("Wheel R5"))
    assert wheel == (
        "Wheel R5: flange 7/8 in or thinner; must be over 7/8 in", "breached, 7/8 in or less by go/no-go gauge",
        "met, 1-1/4 in (3/8 in to spare)", "wheel R5: flange thickness 1-1/4 in, 2026-10-15, RE; J-16",
    )  # fmt: skip


def test_work_that_reasons_name_is_told_in_full(repaired):
    page = compare_page(repaired)
    (listed,) = section(page, "Work and events that the reasons name").blocks
    assert "J-16 wheels turned, 2026-10-13, at wheel L5, wheel R5" in listed.items
    reasons = [
        row[3] for one in page.sections for block in one.blocks if isinstance(block, Table) for row in block.rows
    ]
    assert any("J-16" in reason for reason in reasons)
    assert not any("wheels turned, 2026-10-13" in reason for reason in reasons)


def test_every_exchanged_part_is_named_once(repaired):
    told = legend_of(repaired)
    assert set(told.exchanged) == {  # their wheels and bearings went with them
        f"wheelset W-{old} → wheelset W-{new}" for old, new in ((31, 51), (32, 52), (33, 53))
    }
    text = " ".join(text_of(compare_page(repaired)).split())
    for one in told.exchanged:
        assert text.count(f"- {one} ") == 1, one


def test_a_note_beside_an_exchange_stays(repaired):
    changed = next(one for one in repaired.cleared if one.exchange)
    assert notes_of([changed]) == ("another part now",)
    from msgspec.structs import replace

    assert notes_of([replace(changed, also="relieved")]) == ("another part now", "relieved")
    lone = next(one for one in repaired.cleared if not one.exchange)
    assert notes_of([replace(lone, also="no longer relieved")]) == ("no longer relieved",)


def test_the_outcome_has_its_restriction(repaired):
    assert compare_page(repaired).verdict.startswith("NOT READY → READY WITH RESTRICTIONS: 70 mph. As far as")


def test_a_restriction_is_cited_as_a_reader_would_look_it_up(repaired):
    (kept,) = section(compare_page(repaired), "Restrictions kept").blocks
    assert kept.items == (
        "at most 70 mph: Built-up truck frames at 70 mph at most (Kestrel & Northern circular 7, 4.2)",
    )


def test_what_is_as_before_is_a_list(repaired):
    still = section(compare_page(repaired), "Still there")
    assert all(isinstance(block, Item) for block in still.blocks)
    (lines,) = still.blocks[0].blocks
    assert isinstance(lines, Bullets)
    (papers,) = (one for one in lines.items if one.endswith("not on file"))
    assert papers.startswith("Brake maintenance record; periodic inspection record; ")
    assert "list of riders" in papers
    assert len(set(lines.items)) == len(lines.items)


def test_only_what_is_of_use_to_few_is_folded(repaired):
    assert [one.heading for one in compare_page(repaired).sections if one.folded] == [
        "Another verdict, open in neither", "Another figure or margin", "Other parts in the same places",
        "Only in the second", "Only in the first",
    ]  # fmt: skip


def test_nothing_that_differs_is_one_word(before):
    page = compare_page(compare(before, before))
    assert page.verdict == "NOT READY, before and after: nothing differs"
    assert not [block for one in page.sections for block in one.blocks if isinstance(block, Table)]


def test_a_test_that_is_void_is_told_once_and_a_duty_of_another_kind_stays(repaired):
    """Service portion replaced: the test is void, and a duty to make it again stands; one test clears both."""
    assert any(one.after is not None and one.after.requirement.test for one in repaired.duties_cleared)
    page = compare_page(repaired)
    (cleared,) = section(page, "Cleared").blocks
    assert [row[0] for row in cleared.rows if "ingle-car" in row[0]] == [
        "Single-car brake test: void; service portion replaced after it, 2026-09-24"
    ]
    (duties,) = section(page, "Duties cleared").blocks
    assert duties.rows == (
        ("Spare service portion: not aboard; must ride with an old control valve",
         "due: spare 4: on the shelf, not aboard", "done: service portion is aboard",
         "service portion: 1 aboard, 0 on the shelf"),
    )  # fmt: skip


def test_spares_of_one_rule_that_lack_alike_are_each_told(repaired):
    (lines,) = section(compare_page(repaired), "Duties still due").blocks
    assert [line for line in lines.items if line.startswith("Spare")] == [
        "Spare knuckle: not aboard (spare 5: knuckle kind of coupler B is not recorded)",
        "Spare knuckle pin: not aboard (none on record)",
        "Spare oil or grease: not aboard (none on record)",
        "Spare fuses: not aboard (none on record)",
    ]
