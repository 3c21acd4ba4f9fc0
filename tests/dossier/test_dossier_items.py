"""The items that keep a car from moving, in one order on every page: faults, what nobody measured, spares, the move."""

from __future__ import annotations

from datetime import date

import pytest
from case_list import CASES, answer, library
from msgspec.structs import replace

from carknocker.dossier.inspector import inspector_items
from carknocker.dossier.items import fault_text, items_of
from carknocker.dossier.json_form import answer_form
from carknocker.dossier.missing import Missing
from carknocker.dossier.not_refusing import advised_duties
from carknocker.dossier.sources import sources_of
from carknocker.dossier.spares_on_record import spares_on_record
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import Item, texts_of
from carknocker.questions.check.dossier_page import dossier_page
from carknocker.questions.check.fleet_page import line_of
from carknocker.questions.check.sheets.fault_numbers import number_of_the_missing
from carknocker.record import read_car, read_car_text, read_move, read_move_text
from carknocker.rulebook.model import Source
from carknocker.wording.sources import place_words


def told(name: str) -> list[str]:
    items = items_of(JudgementIndex(answer(name).judgement)).in_order
    return [
        "missing" if isinstance(one, Missing) else "spare" if one.spare else one.verdict for one in items
    ]  # fmt: skip


def test_what_nobody_measured_comes_before_spares_and_the_move_last():
    assert told("nothing-measured") == ["missing", "spare", "spare", "spare", "spare", "against the move"]


def test_faults_come_before_spares():
    assert told("wren-hollow/before") == ["breached", "breached", "lapses", "void", "spare"]


@pytest.mark.parametrize("name", ["nothing-measured", "wren-hollow/before"])
def test_every_page_has_them_in_this_order(name):
    found = answer(name)
    items = items_of(JudgementIndex(found.judgement)).in_order
    wanted = [fault_text(one) for one in items]
    assert [one["fault"] for one in answer_form(found)["faults"]] == wanted
    assert list(line_of(found).blockers) == wanted
    assert number_of_the_missing(view_of(found)) == (1 if name == "nothing-measured" else 0)


def test_a_reading_that_grows_too_old_says_its_day_its_age_and_to_read_it_again():
    """90 days after 2026-09-12 is 2026-12-11. The shoes, read on that day too, are left to the host's inspector."""
    move = (CASES / "wren-hollow/after" / "move.yaml").read_text(encoding="utf-8")
    for old, new in (("2026-11-2", "2026-12-2"), ("2026-11-0", "2026-12-0")):
        move = move.replace(old, new)
    car = read_car(CASES / "wren-hollow/after" / "car.yaml")
    found = check(car, read_move_text(move, "move.yaml"), library(), date(2026, 10, 24))
    (wheels,) = items_of(JudgementIndex(found.judgement)).blockers
    shoes = [one for one in found.judgement.findings if one.criterion.name == "shoe-thickness" and one.part.fitted]
    assert {one.verdict for one in shoes} == {"for the day", "met"}
    assert wheels.required == "flange thickness measured; rim thickness measured; read within 90 days"


@pytest.mark.parametrize(
    ("document", "section", "words"),
    [
        ("Kestrel & Northern circular 7", "8.1", "Kestrel & Northern circular 7, 8.1"),
        ("49 CFR", "238.5", "49 CFR 238.5"),
        ("NAVFAC P-301", "table 6", "NAVFAC P-301 table 6"),
    ],
)
def test_a_comma_stands_between_two_numbers_of_a_place(document: str, section: str, words: str):
    source = Source(document, section, "", "law", "read")
    assert place_words(source) == words


def test_what_the_move_plans_is_not_told_as_a_reading_of_the_owner():
    found = answer("wren-hollow/before")
    items = {one.title: one for one in inspector_items(JudgementIndex(found.judgement))}
    charged = items["Train charged to at least 90 psi for the brake test"]
    assert charged.planned
    assert charged.readings == (("the brake system", "planned: 110 psi"),)
    assert not items["Underbody equipment secure"].planned
    (sheet,) = (one for one in dossier_page(found).sections if one.heading == "For the host’s inspector")
    told = {
        block.heading: " ".join(texts_of((replace(sheet, blocks=(block,)),)))
        for block in sheet.blocks if isinstance(block, Item)
    }  # fmt: skip
    assert "110 psi" not in told["Read by the owner, none beyond its limit: tick, or write below what is found"]
    assert "110 psi" in told["By the move as planned, read by nobody yet: tick, or write below what is found"]


def test_what_an_item_must_be_is_a_sentence_whatever_is_asked_of_it():
    found = answer("wren-hollow/before")
    items = {one.title: one.must_be for one in inspector_items(JudgementIndex(found.judgement))}
    assert items["Train charged to at least 90 psi for the brake test"] == "must be at least 90 psi"
    assert items["Brake cylinder holds its air"] == (
        "required: minutes that the cylinder holds its air: at least 1; cylinder leakage at most 5 psi/min"
    )


def test_one_look_at_a_part_is_asked_for_once():
    """The host's nation asks all of a center plate that common practice asks, and of a cracked one more."""
    titles = [one.title for one in inspector_items(JudgementIndex(answer("two-nations/north").judgement))]
    assert [one for one in titles if one.startswith("Center plate")] == [
        "Center plate not cracked, broken or loose, no part of it missing"
    ]
    beside = [one.title for one in inspector_items(JudgementIndex(answer("two-nations/south").judgement))]
    assert "Center plate not broken or loose, no part of it missing" in beside  # nobody else asks it there


def test_one_reading_that_law_and_host_refuse_is_one_item():
    items = items_of(JudgementIndex(answer("two-nations/south").judgement)).blockers
    first = items[0]
    assert (
        first.fault.text
        == "Wheel R2: flange 1-1/2 in high; must be under 1-1/2 in by law, and at most 1-7/16 in by the host"
    )
    assert first.layers == ("law", "host")
    assert first.criterion == "us-federal/flange-height, kestrel-and-northern/flange-height"
    assert [one.measured for one in first.measured] == ["1-1/2 in"]
    assert first.clears == ("wheels turned: no help here; needs rim after turning at least 1 in, here 15/16 in",
                            "wheelset renewed")  # fmt: skip
    assert not any("permission" in one for one in first.clears)


def test_a_spare_that_is_advised_and_not_aboard_is_told():
    index = JudgementIndex(answer("wren-hollow/before").judgement)
    rows = {one.spare: one for one in spares_on_record(index)}
    assert {name for name, one in rows.items() if one.short} == {
        "service portion", "knuckle", "knuckle pin", "oil or grease", "fuses"
    }  # fmt: skip
    assert (rows["fuses"].aboard, rows["fuses"].shelf, rows["fuses"].short) == (0, 0, "none on record")
    (told,) = advised_duties(index)
    assert told.title == (
        "Spares that every car is asked to carry: knuckle (spare 5: knuckle kind of coupler B is not recorded); "
        "knuckle pin, oil or grease, fuses (none on record)"
    )
    (sheet,) = (one for one in dossier_page(answer("wren-hollow/before")).sections if one.heading[:5] == "Tests")
    (item,) = (one for one in sheet.blocks if isinstance(one, Item) and one.heading == "Spares")
    last = {row[0]: row[-1] for row in item.blocks[0].rows}
    assert last["knuckle pin, oil or grease, fuses"] == "advised: none on record"
    assert last["service portion (control valve: UC)"] == "fault 5"
    assert last["air hose"] == ""


def of_changed(name: str, old: str, new: str) -> JudgementIndex:
    text = (CASES / name / "car.yaml").read_text(encoding="utf-8")
    assert old in text
    car = read_car_text(text.replace(old, new), "car.yaml")
    return JudgementIndex(check(car, read_move(CASES / name / "move.yaml"), library(), date(2026, 10, 8)).judgement)


def test_a_bare_no_says_what_it_is_about():
    index = of_changed("wren-hollow/before", "applies_and_releases: yes", "applies_and_releases: no")
    (brake,) = (one for one in items_of(index).blockers if one.fault.subject == "hand brake B")
    assert brake.measured[0].measured == "hand brake applies and releases: no"
    assert brake.required.startswith("hand brake applies and releases: yes")


def test_what_calls_for_a_spare_is_what_the_car_has_and_not_all_that_the_rule_names():
    index = JudgementIndex(answer("wren-hollow/before").judgement)
    (portion,) = (one for one in items_of(index).blockers if one.spare)
    assert portion.why == ("type of control valve: UC (the brake system)",)


def test_work_that_clears_one_part_is_a_choice_on_the_sheet():
    page = dossier_page(answer("wren-hollow/before"))
    (sheet,) = (one for one in page.sections if one.heading == "Faults")
    told = list(texts_of((sheet,)))
    assert "wheels turned: possible; needs rim after turning at least 1 in, here 1-3/8 in; or wheelset renewed" in told
    assert not any("; or or:" in one or "; or the host" in one for one in told)


def test_how_a_rule_was_read_is_said_once():
    lines = sources_of(JudgementIndex(answer("wren-hollow/before").judgement)).lines
    assert any(line.endswith(" read in the text of the year named beside it") for line in lines)
    assert any(line.endswith(" common practice, without a text") for line in lines)
    assert any(line.endswith(" invented, for a demonstration") for line in lines)
    assert not any("read: read" in line or "invented: invented" in line for line in lines)
