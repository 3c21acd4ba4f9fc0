"""The bad-order tag: every item that the text lists, the defects that were seen, nobody's signature."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from types import MappingProxyType

import pytest
from msgspec.structs import replace

from carknocker.cli.inputs import Place, read_both
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.page.plain_lines import BLANK
from carknocker.page.text import text_of
from carknocker.questions.tag.ask import TAG_TEXTS, TagGiven, tag_of
from carknocker.questions.tag.page import NOBODY_SIGNS, tag_pages
from carknocker.record import read_car_text, read_move_text
from carknocker.record.values import Value, Word
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.vocabulary import load_vocabulary

CASES = Path(__file__).resolve().parents[2] / "cases"
BEFORE = CASES / "wren-hollow" / "before"
DAY = date(2026, 10, 8)

# 49 CFR 238.17(c)(4)(i)-(vii), as the 2015 text lists them; 238.15(c)(2) lists the same without restrictions.
ASKED_IN_A_PASSENGER_TRAIN = [
    "mark and number", "railroad", "inspector", "location and date", "defects", "restrictions", "destination",
    "signature", "job title",
]  # fmt: skip


def answer(
    train: str = "passenger",
    leave: str = "",
    facts: Mapping[str, Value] = MappingProxyType({}),
    train_facts: Mapping[str, Value] = MappingProxyType({}),
    car: tuple[str, str] = ("", ""),
) -> CheckAnswer:
    record = (BEFORE / "car.yaml").read_text(encoding="utf-8")
    assert car[0] in record
    text = record.replace(*car) + leave
    move = read_move_text((BEFORE / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    told = {"facts": {**move.facts, **facts}, "train_facts": {**move.train_facts, **train_facts}}
    move = replace(move, train=train, **told)
    return check(read_car_text(text, "car.yaml"), move, load_library(rulesets_folders()), DAY)


def test_every_item_that_the_text_lists_is_on_the_tag() -> None:
    assert [item.name for item in TAG_TEXTS["passenger"].items] == ASKED_IN_A_PASSENGER_TRAIN
    for train in ("freight", "excursion"):
        assert [item.name for item in TAG_TEXTS[train].items] == ASKED_IN_A_PASSENGER_TRAIN
    asked = {item.name: item.asked_by for item in TAG_TEXTS["passenger"].items}
    assert asked["restrictions"] == "49 CFR 238.17(c)(4)(v)"
    assert "238.15(c)(2)" in asked["defects"]


def test_the_defects_are_what_is_breached_or_void_under_the_law() -> None:
    found = answer()
    tag = tag_of(found)
    test, flange = tag.defects  # not the host's wish for roller bearings, not the inspection that runs out
    assert test.parts == ("brake system",)
    assert test.fault.text == "Single-car brake test: void; service portion replaced after it, 2026-09-24"
    assert ([one.section for one in test.sources], test.group) == (["238.311(a)"], "brake")
    assert (test.measured, test.seen) == ("", "")  # TV passed it on 2026-08-04 and saw no defect
    assert flange.parts == ("wheel R5",)
    assert flange.fault.text == "Wheel R5: flange 7/8 in or thinner; must be over 7/8 in"
    assert flange.measured.startswith("7/8 in or less")
    assert flange.required.startswith("over 7/8 in")
    assert flange.seen == "2026-09-12 by RE (owner's helper)"
    assert [one.section for one in flange.sources] == ["238.303(e)(8)(vi)"]
    assert flange.group == "running gear"
    assert tag.unseen == 3  # bearings, annual inspection, spare service portion: the dossier counts 5 items in all


@pytest.mark.parametrize(
    ("train", "said"),
    [("passenger", "238.17(c)(4)"), ("freight", "as the host's contract"), ("excursion", "238.3(c)(3)")],
)
def test_the_train_decides_which_text_asks(train: str, said: str) -> None:
    assert said in tag_of(answer(train)).text.regime


def test_two_copies_and_blanks_that_can_be_seen() -> None:
    pages = tag_pages(tag_of(answer()))
    assert len(pages) == 2
    left, right = (text_of(page, 200) for page in pages)
    assert "COPY 1 OF 2, FOR THE LEFT SIDE" in left
    assert "COPY 2 OF 2, FOR THE RIGHT SIDE" in right
    for page in (left, right):
        assert NOBODY_SIGNS[:60] in page
        for label in ("signature", "job title", "highest speed", "date"):
            assert any(row.strip().startswith(label) and BLANK in row for row in page.splitlines()), label
        assert "QWHX 27" in page
        assert "Kestrel & Northern" in page
        assert "non-revenue train, 238.17(b)(1)" in page


def test_what_is_given_is_filled_in_and_the_signature_never() -> None:
    given = TagGiven("J. Example", "Quillon Junction", "2026-10-07", "Quillon shop")
    page = text_of(tag_pages(tag_of(answer(), given))[0], 200)
    for words in ("J. Example", "Quillon Junction", "2026-10-07", "Quillon shop"):
        assert words in page
    rows = page.splitlines()
    assert any(row.split() == ["signature", BLANK] for row in rows)
    assert any(row.split() == ["job", "title", BLANK] for row in rows)


def test_a_written_leave_puts_its_restrictions_on_the_tag() -> None:
    leave = """
leaves:
  - {id: V-1, host: Kestrel & Northern, criterion: us-federal/flange-thickness, of: wheel, at: R5, from: 2026-11-01,
     until: 2026-11-30, for: repair, signed_by: mechanical superintendent, signed_on: 2026-10-01,
     leaves: {speed: 15 mph, place: none, riders: none, tag: none}}
"""
    assert not any("15 mph" in one for one in tag_of(answer(leave=leave)).restrictions)  # not said where it was found
    found = Word("at the daily inspection")
    tag = tag_of(answer(leave=leave, facts={"defect_found": found}, train_facts={"carries_passengers": Word("no")}))
    assert "at most 15 mph (written permission V-1)" in tag.restrictions
    assert "no riders (49 CFR 238.15(b)(1), 238.17(b)(1), (c)(1))" in tag.restrictions


def test_a_void_test_is_told_by_the_work_that_made_it_void_and_by_nobody_who_passed_it() -> None:
    page = " ".join(text_of(tag_pages(tag_of(answer()))[0], 200).split())
    assert (
        "Single-car brake test: void; service portion replaced after it, 2026-09-24. Brake defect, 49 CFR 238.311(a) -"
    ) in page
    assert "passed" not in page
    assert "TV" not in page


def test_one_reading_that_two_laws_refuse_is_one_defect() -> None:
    """Piston travel of 10-3/4 in: over 10-1/2 in, and outside what the badge plate gives."""
    found = answer(car=('"2": {piston_travel: 8-1/4 in}', '"2": {piston_travel: 10-3/4 in}'))
    (travel,) = (one for one in tag_of(found).defects if one.parts == ("brake cylinder 2",))
    assert travel.fault.text == (
        "Brake cylinder 2: piston travel 10-3/4 in; must be at most 10-1/2 in and 7 in to 9 in"
    )
    assert 'brake defect, 49 CFR 238.5 "Brake, effective", 238.313(g)(3); seen 2026-09-12' in " ".join(
        text_of(tag_pages(tag_of(found))[0], 200).split()
    )
    assert travel.measured == "10-3/4 in"


def test_the_head_counts_the_defects_of_the_tag() -> None:
    head = tag_pages(tag_of(answer()))[0].head
    assert head is not None
    assert head.told.startswith("NOT READY: 2 defects · as of 2026-10-08")


def test_nothing_seen_nothing_to_tag() -> None:
    car, move = read_both(Place(CASES / "nothing-measured", CASES), None)
    tag = tag_of(check(car, move, load_library(rulesets_folders()), DAY))
    assert tag.defects == ()
    (page,) = tag_pages(tag)
    assert page.verdict == "NOTHING TO TAG"
    assert BLANK not in text_of(page, 80)


def test_every_kind_of_part_has_its_group_of_defects() -> None:
    groups = {name: kind.tag_group for name, kind in load_vocabulary().kinds.items()}
    assert groups["wheel"] == groups["coupler"] == groups["side bearing"] == "running gear"
    assert groups["brake rigging"] == groups["air hose"] == groups["brake lever"] == "brake"
    assert groups["hand brake"] == "safety appliance"
    assert groups["body"] == groups["water"] == "other"
