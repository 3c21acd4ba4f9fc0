"""What a stranger looks up: work after the last test, signers, gauges, serials, every criterion, the rules."""

from datetime import date

import pytest
from yaml_texts import texts_of, yaml_of

from carknocker.cli.inputs import cases_folder
from carknocker.documents import Location
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import Item, Section, Table
from carknocker.questions.check.appendix import Appendix, appendix_of
from carknocker.questions.check.appendix_page import appendix_page, full_table, line_words
from carknocker.questions.check.dossier_page import dossier_page
from carknocker.questions.check.recheck import recheck_of
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.wording.sources import lines_of

BEFORE = cases_folder() / "wren-hollow" / "before"
LIBRARY = load_library(rulesets_folders())
AS_OF = date(2026, 10, 8)


def record():
    return texts_of((BEFORE / "car.yaml").read_text(encoding="utf-8"))


def answered(car=None, day=AS_OF) -> CheckAnswer:
    text = yaml_of(car or record(), quoted=True)
    move = read_move_text((BEFORE / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    return check(read_car_text(text, "car.yaml"), move, LIBRARY, day)


def appendix(car=None, day=AS_OF) -> Appendix:
    answer = answered(car, day)
    return appendix_of(JudgementIndex(answer.judgement))


def late(found: Appendix) -> list[str]:
    return [row.what.split()[0] for row in found.history if row.after_last_test]


def test_work_after_the_last_test_is_marked_and_so_is_what_it_made_void():
    found = appendix()
    assert late(found) == ["J-12"]
    (work,) = [row for row in found.history if row.sort == "work"]
    assert work.void == ("single-car brake test of 2026-08-04",)


def with_test(**given):
    car = record()
    test = {"test": "single-car brake test", "by": "TV", "result": "passed", "code": "passenger", **given}
    car["tests"].append(test)
    return car


def test_a_later_test_unmarks_the_work():
    assert late(appendix(with_test(on="2026-09-25"))) == []


def test_a_test_of_the_same_day_counts_as_before_the_work_unless_it_says_after():
    assert late(appendix(with_test(on="2026-09-24"))) == ["J-12"]
    assert late(appendix(with_test(on="2026-09-24", after="J-12"))) == []


def test_history_is_newest_first_and_holds_nothing_of_a_later_day():
    days = [row.on[-10:] for row in appendix().history]
    assert days == sorted(days, reverse=True)
    assert {row.sort for row in appendix().history} == {"work", "test", "move made"}
    early = appendix(day=date(2026, 8, 25))
    assert all(row.on[-10:] <= "2026-08-25" for row in early.history)
    assert "move made" not in {row.sort for row in early.history}


def test_events_and_changes_of_wheelsets_are_told():
    car = record()
    car["events"] = [{"id": "E-1", "on": "2026-10-01", "happened": "hard coupling", "at": "B"}]
    (event,) = [row for row in appendix(car).history if row.sort == "event"]
    assert event.what.startswith("E-1 hard coupling")
    assert event.after_last_test


def signed(found: Appendix, name: str):
    return [row for row in found.tests if row.test == name]


def test_a_test_has_its_signer_code_device_and_due_date():
    (test,) = signed(appendix(), "single-car brake test")
    assert test.signed_by == "TV (qualified maintenance person)"
    assert test.accepted == "yes, until 2027-06-30"
    assert (test.code, test.device) == ("passenger", "D-7, due 2026-10-20")
    assert test.counts == "no: void since 2026-09-24: J-12 service portion replaced"
    assert [one.file for one in test.at.stretches] == ["car.yaml"]


def test_an_overdue_device_is_told():
    found = signed(appendix(with_test(on="2026-09-25", device="D-7", device_due="2026-09-24")), "single-car brake test")
    assert "OVERDUE on the day of the test" in found[0].device
    found = signed(appendix(with_test(on="2026-09-25", device="D-7", device_due="2026-09-25")), "single-car brake test")
    assert "OVERDUE" not in found[0].device


@pytest.mark.parametrize("by", ["RE", "XX"])
def test_a_test_by_someone_who_is_not_accepted_on_that_day_does_not_count(by):
    car = with_test(on="2026-09-25", by=by, device_due="2027-03-01")
    car["people"]["XX"] = {"role": "shop inspector", "accepted_by": ["Kestrel & Northern"], "until": "2026-09-24"}
    found = signed(appendix(car), "single-car brake test")[0]
    assert found.accepted == "no, not for that day"
    assert found.counts == "no: the host does not accept who signed it"


def test_a_gauge_is_told_with_its_due_date_and_what_does_not_count_is_counted():
    car = record()
    car["gauges"]["G-7"]["due"] = "2026-09-01"
    sheets = {row.gauge: row for row in appendix(car).sheets}
    (overdue,) = [row for gauge, row in sheets.items() if "G-7" in gauge]
    assert overdue.gauge == "taper gauge G-7, checked 2026-03-01, due 2026-09-01"
    assert (overdue.readings, overdue.not_counted) == (4, 4)


def test_every_reading_stands_on_one_sheet():
    answer = answered()
    found = appendix_of(JudgementIndex(answer.judgement))
    evidence = answer.judgement.situation.standing.evidence
    readings = [
        one for key, own in evidence.items() if key in answer.judgement.parts for all_ in own.values() for one in all_
    ]
    assert sum(row.readings for row in found.sheets) == sum(one.sort == "reading" for one in readings)


def test_serials_go_from_axle_to_axle_with_all_that_is_in_a_wheelset():
    car = record()
    wheel = {"maker": "an invented works", "serial": "H 4471", "made_on": "1998"}
    car["wheelsets"]["W-34"] = {**car["wheelsets"]["W-34"], "left_wheel": wheel}
    found = appendix(car)
    assert list(dict.fromkeys(row.axle for row in found.serials)) == [f"axle {number}" for number in range(1, 7)]
    assert [row.part for row in found.serials if row.axle == "axle 4"] == [
        "wheelset W-34", "axle of W-34", "wheel L4", "wheel R4", "bearing L4", "bearing R4",
    ]  # fmt: skip
    (wheel,) = [row for row in found.serials if row.part == "wheel L4"]
    assert (wheel.serial, wheel.maker, wheel.made) == ("H 4471", "an invented works", "1998")
    (other,) = [row for row in found.serials if row.part == "wheel R4"]
    assert (other.serial, other.maker, other.made) == ("", "", "")


def test_a_wheelset_without_a_serial_is_known_by_its_mark():
    car = record()
    assert appendix(car).serials[0].serial == "W-31"
    car["wheelsets"]["W-31"] = {**car["wheelsets"]["W-31"], "serial_or_own_mark": "S 900"}
    assert appendix(car).serials[0].serial == "S 900"


def test_a_wheelset_that_is_not_fitted_is_listed_as_such():
    car = record()
    car["wheelsets"]["W-99"] = {"where": "carried", "axle_class": "D"}
    rows = [row for row in appendix(car).serials if "W-99" in row.part]
    assert rows
    assert {row.axle for row in rows} == {"not fitted"}


def test_every_finding_stands_in_a_table_or_does_not_apply():
    answer = answered()
    found = appendix_of(JudgementIndex(answer.judgement))
    applied = {f.criterion.title for f in answer.judgement.findings if f.verdict != "not applicable"}
    assert {row.title for kind in found.criteria for row in kind.rows} == applied
    not_applied = {f.criterion.title for f in answer.judgement.findings if f.verdict == "not applicable"}
    told = [line for entry in found.not_applying for line in entry.lines]
    assert not [title for title in not_applied if not any(line.startswith(title) for line in told)]


def test_figures_stand_with_their_margin_and_what_is_worst_comes_first():
    found = {kind.parts: kind.rows for kind in appendix().criteria}
    wheels = found["wheels L1–L6, R1–R6"]
    assert wheels[0].verdict == "breached"
    (row,) = [row for row in wheels if row.title.startswith("Rim at least 1 in") and row.parts == "wheel R5"]
    assert (row.measured, row.margin) == ("1-11/16 in (2026-09-12, RE)", "11/16 in to spare")


def test_a_bare_yes_says_what_it_is_about():
    rows = [row for kind in appendix().criteria for row in kind.rows if row.verdict == "met"]
    assert not [row for row in rows if row.measured.split(" (")[0] in ("yes", "no")]


def test_every_rule_that_applied_stands_with_its_words_and_status():
    found = appendix().rules
    (flange,) = [rule for rule in found if rule.id == "us-federal/flange-thickness"]
    assert (flange.place, flange.words) == ("49 CFR 238.303(e)(8)(vi)", "worn to a 7/8 inch thickness or less")
    assert (flange.year, flange.status) == ("2015", "read")
    assert len({rule.id for rule in found}) == len(found) == view_of(answered()).sources.rules


def items_of_the_last_sheet() -> dict[str, Item]:
    last = dossier_page(answered()).sections[-1]
    return {block.heading: block for block in last.blocks if isinstance(block, Item)}


def test_the_last_sheet_has_the_command_that_checks_it_again():
    items = items_of_the_last_sheet()
    _, commands = items["Work it out again"].blocks
    assert commands.lines[1] == "carknocker verify dossier.json car.yaml move.yaml"
    names = [name for name, _ in items["SHA-256 digests"].blocks[0].rows]
    assert names[:2] == ["car.yaml", "move.yaml"]
    assert "us-federal 2020" in names


def test_file_names_are_quoted_in_the_command():
    answer = answered()
    text = yaml_of(record(), quoted=True)
    again = check(read_car_text(text, "my car/$(x) 'z'.yaml"), answer.judgement.move, LIBRARY, AS_OF)
    found = recheck_of(JudgementIndex(again.judgement))
    assert found.check == """carknocker verify dossier.json '$(x) '"'"'z'"'"'.yaml' move.yaml"""


def test_two_files_of_one_name_keep_their_folders():
    move = read_move_text((BEFORE / "move.yaml").read_text(encoding="utf-8"), "moves/october.yaml")
    again = check(read_car_text(yaml_of(record(), quoted=True), "cars/october.yaml"), move, LIBRARY, AS_OF)
    found = recheck_of(JudgementIndex(again.judgement))
    assert found.check == "carknocker verify dossier.json cars/october.yaml moves/october.yaml"


def test_the_sheets_come_in_the_order_in_which_they_are_asked_for():
    page = dossier_page(answered())
    assert [section.heading for section in page.sections if not section.sheet] == [
        "What keeps the car from moving", "The move", "The car",
        "Papers the circular wants with the request: 3 of 21 on file; 1 of them keeps the car from moving",
        "What the answer rests on, and what is said to be none", "Signed by hand: by the owner, then by the host",
    ]  # fmt: skip
    assert [section.heading for section in page.sections if section.sheet] == [
        "Faults", "Duties on the move, and what lapses", "For the host’s inspector", "Tests and who signed them",
        "Evidence and serials", "Rules and digests",
    ]  # fmt: skip


def test_the_appendix_has_the_rest():
    assert [section.heading for section in appendix_page(answered()).sections] == [
        "Every requirement, part by part", "What does not apply to this car",
        "Worked figures: those that no gauge reads", "Borderline: measure again",
        "Advice: it does not change the outcome", "Advised, and not measured", "Void evidence", "Serials, axle by axle",
        "Work, events and tests by date", "Evidence: who read what, when, with which gauge", "Rules in force",
        "Every rule that judged this car, with its words", "Words used here",
    ]  # fmt: skip


def test_what_does_not_apply_is_counted_unless_all_is_asked_for():
    answer = answered()
    number = sum(one.verdict == "not applicable" for one in answer.judgement.findings)
    (counted,) = (one for one in appendix_page(answer).sections if one.heading == "What does not apply to this car")
    assert [block.text for block in counted.blocks] == [
        f"{number:,} findings: `--all` lists them, each with its reason."
    ]
    listed = next(
        one for one in appendix_page(answer, everything=True).sections if one.heading.startswith("What does not apply")
    )
    assert len([block for block in listed.blocks if isinstance(block, Item)]) > 10


def test_on_a_phone_all_but_the_faults_is_folded():
    page = dossier_page(answered())
    assert [one.heading for one in page.sections if not one.folded] == ["What keeps the car from moving"]


def test_only_long_lists_of_the_appendix_are_folded():
    folded = [section.heading for section in appendix_page(answered(), everything=True).sections if section.folded]
    assert folded == [
        "Every requirement, part by part", "What does not apply to this car, and why", "Advised, and not measured",
        "Every rule that judged this car, with its words", "Words used here",
    ]  # fmt: skip


def test_rules_of_one_sentence_stand_together_by_edition_and_by_how_it_was_read():
    found = appendix()
    section = next(one for one in appendix_page(answered()).sections if one.heading.startswith("Every rule"))
    items = {one.heading: one.blocks[0].items for one in section.blocks if isinstance(one, Item)}
    assert items["kestrel-and-northern 7, text of 2024, invented"]
    papers = [line for line in items["kestrel-and-northern 7, text of 2024, invented"] if "List of riders" in line]
    assert len(papers) == 1
    assert "Release of liability signed; " in papers[0]
    assert papers[0].endswith(
        "“The papers of this list are sent with the request” (Kestrel & Northern circular 7, 1.7)"
    )
    said = " ".join(line for lines in items.values() for line in lines)
    for rule in found.rules:
        assert rule.title in said, rule.id
        assert rule.place in said, rule.id
        assert rule.words in said, rule.id


def test_where_is_said_only_where_a_table_is_not_about_all_its_parts():
    section = next(one for one in appendix_page(answered()).sections if one.heading.startswith("Every requirement"))
    columns = {one.caption: one.columns for one in section.blocks if isinstance(one, Table)}
    assert "Where" not in columns["Requirements on the car"]
    assert "Where" in columns["Requirements on wheels L1–L6, R1–R6"]


def test_a_table_shows_no_empty_column():
    table = full_table("c", ("a", "b", "d"), (("1", "", "3"), ("", "", "4")))
    assert table.columns == ("a", "d")
    assert table.rows == (("1", "3"), ("", "4"))
    assert full_table("c", ("a", "b"), ()).columns == ("a",)


@pytest.mark.parametrize(
    ("at", "told"),
    [
        ([("car.yaml", 12)], "line 12"),
        ([("car.yaml", 9), ("car.yaml", 3)], "lines 3–9"),
        ([("move.yaml", 4)], "move.yaml:4"),
        ([("car.yaml", 12), ("move.yaml", 4)], "car.yaml:12, move.yaml:4"),
    ],
)
def test_a_place_in_the_record_is_a_line(at, told):
    assert line_words(lines_of(Location(file, line, 1) for file, line in at), "car.yaml") == told


def test_every_section_says_something():
    for page in (dossier_page(answered()), appendix_page(answered()), appendix_page(answered(), everything=True)):
        assert all(isinstance(section, Section) and section.blocks for section in page.sections)
