"""`due`: the first day that is not ready, by brute force; lapses; wear at the car's own rate; the calendar."""

from datetime import date, timedelta

import icalendar
import pytest
import repair_samples as samples
from case_list import answer as case_answer
from case_list import library as case_library
from pdf_samples import sheets

from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.page.model import Table
from carknocker.page.pdf.writer import pdf_of
from carknocker.page.text import text_of
from carknocker.quantities import read_quantity
from carknocker.questions.due.ask import due, lapses_between, next_change
from carknocker.questions.due.calendar import calendar_of
from carknocker.questions.due.page import due_page
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.whatif.move_days import shifted

READY = ("ready", "ready with restrictions")
MILES = read_quantity("5,000 mi", "distance")


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


def by_brute_force(answer, library, days):
    """The first departure that is not ready, every day judged whole."""
    judgement = answer.judgement
    for later in range(days + 1):
        tried = check(judgement.car, shifted(judgement.move, later), library, answer.day)
        if tried.outcome not in READY:
            return tried.judgement.move.out
    return None


@pytest.mark.parametrize("insured", ["2030-06-05", "2030-06-20", "2030-12-31"])
def test_the_first_bad_day_is_the_one_that_judging_each_day_finds(yard, insured):
    answer = samples.answer(yard, samples.car_text(insured=insured))
    found = due(answer, yard)
    assert answer.outcome in READY
    assert found.first_bad == by_brute_force(answer, yard, 120)
    assert found.first_bad is not None
    assert found.first_bad_back == found.first_bad + timedelta(days=4)


AGEING = """
  - id: old-car
    title: A car of a hundred years is opened up
    of: car
    when: {age: {at_least: 99 years}}
    must: {general_inspection: {shown: yes}}
    effect: advise
    shown_by: owner before the move
    examples: [{is: not applicable}]
  - id: notice
    title: Asked for forty days before
    of: move
    must: {notice_days: {at_least: 60 days}}
    effect: advise
    shown_by: owner before the move
    examples: [{is: not shown}]
  - id: either
    title: One of two that grow old against each other
    of: wheel
    read_within: 120 days
    must: {any: [{reconditioned_hub: {within: 200 days}}, {flange_thickness: {at_least: 2 in}}]}
    effect: advise
    shown_by: owner before the move
    examples: [{is: not shown}]
"""
BY_LEAVE = """  - id: by-leave
    title: A written permission relieves the rule that it names
    cause: {leave: any}
    relieves: {criterion: named, for: move}
  - id: old-truck
    title: A car of ninety-nine years is felt at each stop
    cause: {work: oil or grease added, when: {car.age: {at_least: 99 years}}}
    requires: {duty: feel the boxes, when: on the way, routine: yes}
"""
PAPER = "  - {paper: liability insurance, from: 2030-12-01, until: 2031-03-15}\n"
LEAVE = """leaves:
  - {id: V-1, host: Test Yard, criterion: test-yard/rim, at: car, from: 2030-06-20, until: 2030-09-01, for: move,
     signed_by: somebody, signed_on: 2030-06-01, leaves: {speed: 20 mph, place: none, riders: none, tag: none}}
"""


def every_day(answer, library, days):
    """All that a judgement says, each day judged whole: verdicts, reliefs, duties, refusals, the outcome."""
    judgement = answer.judgement
    for later in range(days + 1):
        tried = check(judgement.car, shifted(judgement.move, later), library, answer.day).judgement
        yield (
            tried.outcome,
            [(one.criterion.id, one.part.key, one.verdict, one.relieved) for one in tried.findings],
            [(one.consequence.id, one.part.key, one.state) for one in tried.duties],
            len(tried.refusals),
            tried.rulebook.digest,
        )


@pytest.mark.parametrize(
    ("papers", "leave", "built"), [("", "", "1931"), (PAPER, LEAVE, "1931-09-12"), (PAPER, "", "1950")]
)
def test_nothing_changes_between_the_days_that_are_judged(tmp_path, papers, leave, built):
    samples.yard_in(tmp_path)
    for edition in ("1", "2"):
        chapter = tmp_path / "test-yard" / edition / "all.yaml"
        rules = AGEING.replace("general_inspection: {shown: yes}", "length_over_couplers: {shown: yes}")
        rules = rules.replace("reconditioned_hub: {within", "rim_thickness: {within")
        text = chapter.read_text().replace("consequences:", rules.lstrip("\n") + "consequences:")
        chapter.write_text(text + BY_LEAVE)
    library = load_library([tmp_path])
    text = samples.car_text(insured="2030-08-20").replace("built_on: 1931", f"built_on: {built}") + papers + leave
    move = samples.MOVE.replace("rides: nobody", "rides: nobody, requested_on: 2030-05-02")
    answer = samples.answer(library, text, move=move)
    days, said = 300, list(every_day(answer, library, 300))
    changed = {day for day in range(1, days + 1) if said[day] != said[day - 1]}
    planned, later, judged = answer.judgement.move, 0, set()
    while (following := next_change(answer, library, planned, later, days)) is not None:
        answer = check(answer.judgement.car, shifted(planned, following), library, answer.day)
        later = following
        judged.add(following)
    assert changed <= judged
    assert len(changed) >= 4
    assert len(judged) < days / 10


def test_why_it_is_not_ready_names_what_was_not_against_it_the_day_before(yard):
    found = due(samples.answer(yard, samples.car_text(insured="2030-06-20")), yard)
    assert found.first_bad == date(2030, 6, 17)  # back on the 21st, a day after the insurance
    assert [one.title for one in found.because] == ["Insured until the return"]
    assert found.because[0].reason == "good through 2030-06-20; the move ends 2030-06-21"
    assert found.because[0].verdict == "lapses"
    assert found.because[0].fault.endswith("runs out 2030-06-20; move ends 2030-06-21")
    text = text_of(due_page(found))
    assert found.because[0].fault in " ".join(text.split())
    assert "because" not in text  # the fault says it


def test_readings_of_ninety_days_end_the_horizon(yard):
    found = due(samples.answer(yard), yard)
    assert found.first_bad == date(2030, 4, 20) + timedelta(days=90 - 4 + 1)
    assert "Rim at least 1 in" in [one.title for one in found.because]
    assert len(found.because[0].labels) == 8


def test_a_car_that_is_not_ready_has_its_own_day_out_as_the_first(yard):
    text = samples.car_text().replace("fire_extinguishers: 2", "fire_extinguishers: 0")
    answer = samples.answer(yard, text)
    found = due(answer, yard)
    assert (found.outcome, found.first_bad) == ("not ready", samples.OUT)
    assert "Fire extinguishers tagged" in [one.title for one in found.because]


def test_of_a_car_that_nobody_looked_at_all_that_is_not_measured_is_one_item_as_in_the_dossier(yard):
    found = due(case_answer("nothing-measured"), case_library())
    assert [one.title for one in found.because if one.verdict == "not shown"] == ["Not measured"]
    assert found.because[0].fault == (  # the first item of the dossier too
        "Not measured: 12 kinds of part not on record, 339 readings, 10 tests, 4 papers, 1 statement; see the worksheet"
    )
    assert len(found.because) == 6  # four spares, the move, and that
    first, *_ = printed = sheets(pdf_of([due_page(found)]))
    assert "NOT YET LOOKED AT for the move as planned, out on 2027-05-07" in first
    assert len(printed) == 2


@pytest.mark.parametrize("name", ["wren-hollow/before", "two-nations/south"])
def test_the_items_have_the_words_and_the_numbers_of_the_dossier(name):
    """Those that one test clears are one, and what law and host say of one reading is."""
    answer = case_answer(name)
    blockers = view_of(answer).items.blockers
    assert [one.fault for one in due(answer, case_library()).because] == [one.fault.text for one in blockers]


def test_an_item_has_the_sources_of_all_that_is_one_with_it():
    found = due(case_answer("wren-hollow/before"), case_library())
    single = next(one for one in found.because if one.fault.startswith("Single-car"))
    assert single.fault == "Single-car brake test: void; service portion replaced after it, 2026-09-24"
    assert "source 49 CFR 238.311(a); 49 CFR 238.311(e)(2)" in " ".join(text_of(due_page(found)).split())
    assert sum("Single-car brake test" in one.fault for one in found.because) == 1
    assert [one for one in found.because if one.also] == [single]


def test_what_lapses_is_a_table_with_the_day_and_the_rule_beside_each():
    page = due_page(due(case_answer("wren-hollow/before"), case_library()))
    (table,) = [block for section in page.sections for block in section.blocks if isinstance(block, Table)]
    assert table.columns == ("Last good day", "What", "Rule")
    assert table.rows[0] == (
        "2026-11-14",
        "Annual mechanical inspection last made 2025-11-14, good for 1 year: before the return",
        "Kestrel & Northern circular 7, 1.4",
    )
    assert table.strong == (0,)
    assert [row[0] for row in table.rows] == sorted(row[0] for row in table.rows)


def test_a_host_without_an_edition_in_force_has_no_rulebook(tmp_path):
    library = samples.yard_in(tmp_path)
    head = tmp_path / "test-yard" / "1" / "edition.yaml"
    head.write_text(head.read_text() + "until: 2030-06-12\n")
    (tmp_path / "test-yard" / "2" / "edition.yaml").unlink()
    (tmp_path / "test-yard" / "2" / "all.yaml").unlink()
    library = load_library([tmp_path])
    found = due(samples.answer(library), library)
    assert found.first_bad is not None
    assert found.first_bad <= date(2030, 6, 13)
    assert found.because[0].title == "No rulebook binds the move"


def test_lapses_come_by_day_from_criteria_papers_gauges_people_and_editions(yard):
    found = due(samples.answer(yard), yard)
    days = [lapse.day for lapse in found.lapses]
    assert days == sorted(days)
    assert all(found.as_of <= day < found.until for day in days)
    told = {(lapse.sort, lapse.said): lapse.day for lapse in found.lapses}
    rims = "Wheels L1–L4, R1–R4: rim thickness last measured 2030-04-20, good for 90 days"
    assert told["criterion", rims] == date(2030, 7, 19)
    assert told["criterion", "Liability insurance on file runs out"] == date(2030, 12, 31)
    assert told["gauge", "Gauge G-1 (universal gauge): due for its check"] == date(2030, 12, 31)
    assert told["person", "HM, accepted by Test Yard: the acceptance runs out"] == date(2031, 1, 31)
    assert told["edition", "Edition 1 of test-yard is in force for the last time"] == date(2030, 12, 31)
    assert not [lapse for lapse in found.lapses if lapse.sort == "paper"]  # told by the criterion that asks for it


def test_nothing_lapses_in_no_time(yard):
    judgement = samples.answer(yard).judgement
    assert lapses_between(judgement, yard, samples.AS_OF, samples.AS_OF) == ()


def test_a_rim_wears_at_the_rate_of_its_own_readings(yard):
    found = due(samples.answer(yard), yard, MILES)
    assert len(found.wears) == 8
    first = found.wears[0]
    # 1-1/2 in to 1-1/4 in over 10,000 miles; 1/4 in is left to 1 in, so another 10,000 miles
    assert first.label == "wheel L1"
    assert first.miles == "10,000 miles"
    assert first.since == date(2030, 4, 20)
    assert first.earliest is not None
    assert first.latest is not None
    middle = date(2030, 4, 20) + timedelta(days=2 * 365)
    assert first.earliest < middle < first.latest


def test_without_planned_miles_no_day_is_said(yard):
    found = due(samples.answer(yard), yard)
    assert found.miles_a_year == ""
    assert {(wear.earliest, wear.latest) for wear in found.wears} == {(None, None)}
    assert {one.day for one in found.miles_limits} == {None}


def test_one_reading_gives_no_rate(yard):
    text = samples.car_text()
    first = text.index("  - on: 2029-01-01")
    found = due(samples.answer(yard, text[:first] + text[text.index("  - on: 2030-04-20") :]), yard, MILES)
    assert found.wears == ()
    assert [one.reason for one in found.no_rate] == ["rim thickness: not read twice since the wheel was turned"]


def test_miles_run_out_at_the_planned_miles(yard):
    found = due(samples.answer(yard), yard, MILES)
    limit = next(one for one in found.miles_limits if "500,000" in one.title)
    assert (limit.made, limit.left) == ("10,000 miles", "490,000 miles")
    assert limit.day == samples.AS_OF + timedelta(days=490_000 * 365 // 5_000)


def test_the_calendar_reads_back_and_is_the_same_each_time(yard):
    answer = due(samples.answer(yard), yard, MILES)
    content = calendar_of(answer)
    assert content == calendar_of(due(samples.answer(yard), yard, MILES))
    calendar = icalendar.Calendar.from_ical(content)
    events = calendar.walk("VEVENT")
    assert calendar["version"] == "2.0"
    assert len({str(event["uid"]) for event in events}) == len(events)
    days = {str(event["summary"]): event["dtstart"].dt for event in events}
    assert days["TSTX 1 Sample: move as planned"] == samples.OUT
    assert days["TSTX 1 Sample: last day: liability insurance"] == date(2030, 12, 31)
    assert all(event["dtend"].dt > event["dtstart"].dt for event in events)
    assert all(event["dtstamp"].dt.isoformat() == "2030-05-01T00:00:00+00:00" for event in events)


def test_the_calendar_keeps_the_form_of_rfc_5545(yard):
    lines = calendar_of(due(samples.answer(yard), yard, MILES)).split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert max(len(line) for line in lines) <= 75
    assert not [line for line in lines if b"\n" in line]


HOSTILE = "Tern; \\\\, the \u201cold\u201d car \u2014 \U0001f683 " + "\u00e9" * 90 + " BEGIN:VEVENT"


def events_of(content):
    return {str(event["uid"]): event for event in icalendar.Calendar.from_ical(content).walk("VEVENT")}


def test_any_name_of_a_car_is_escaped_and_folded_between_letters(yard):
    named = samples.car_text().replace("name: Sample", f'name: "{HOSTILE}"')
    answer = due(samples.answer(yard, named), yard, MILES)
    content = calendar_of(answer)
    for line in content.split(b"\r\n"):
        assert len(line) <= 75
        line.decode("utf-8")  # no letter is split in two
    events = events_of(content)
    assert len(events) == content.count(b"BEGIN:VEVENT\r\n")
    assert all(str(event["summary"]).startswith(answer.car) for event in events.values())
    move = next(event for event in events.values() if "move as planned" in str(event["summary"]))
    assert str(move["description"]).splitlines()[0] == answer.outcome


def test_an_entry_whose_day_moves_keeps_its_uid(yard):
    first = events_of(calendar_of(due(samples.answer(yard, samples.car_text(insured="2030-12-31")), yard)))
    later = events_of(calendar_of(due(samples.answer(yard, samples.car_text(insured="2031-01-31")), yard)))

    def insured(events):
        return {uid: event for uid, event in events.items() if "last day: liability insurance" in str(event["summary"])}

    before, after = insured(first), insured(later)
    assert before.keys() == after.keys()
    assert [event["dtstart"].dt for event in before.values()] == [date(2030, 12, 31)]
    assert [event["dtstart"].dt for event in after.values()] == [date(2031, 1, 31)]


def test_another_move_has_entries_of_its_own(yard):
    other = samples.MOVE.replace("out: 2030-06-01, back: 2030-06-05", "out: 2030-07-01, back: 2030-07-05")

    def of_the_move(move):
        found = events_of(calendar_of(due(samples.answer(yard, move=move), yard)))
        return {uid for uid, event in found.items() if "move as planned" in str(event["summary"])}

    assert not of_the_move(samples.MOVE) & of_the_move(other)


def test_duties_on_the_way_stand_in_the_calendar_on_their_days(tmp_path):
    samples.yard_in(tmp_path)
    chapter = tmp_path / "test-yard" / "1" / "all.yaml"
    chapter.write_text(
        chapter.read_text()
        + """  - id: daily
    title: Looked at each day
    cause: {state: {built_on: {shown: yes}}, of: car}
    requires:
      - {duty: look it over, when: on the way, every: day in service, routine: yes}
      - {duty: look when added, when: on the way, routine: yes}
"""
    )
    library = load_library([tmp_path])
    move = samples.MOVE.replace("miles: 10 mi", "miles: 10 mi, until: 2030-06-03")
    events = events_of(calendar_of(due(samples.answer(library, move=move), library))).values()
    on_the_way = [event for event in events if "due on the way" in str(event["summary"])]
    assert [(one["dtstart"].dt, one["dtend"].dt) for one in on_the_way] == [(date(2030, 6, 1), date(2030, 6, 4))]
    assert "Leg 1, Here to There" in str(on_the_way[0]["description"])
    planned = next(event for event in events if "move as planned" in str(event["summary"]))
    assert "on any leg: look when added: the car" in str(planned["description"])


def test_the_demo_car_stays_ready_for_some_days():
    library = load_library(rulesets_folders())
    case = samples.Path(__file__).parent.parent.parent / "cases" / "wren-hollow" / "after"
    car = read_car_text((case / "car.yaml").read_text(encoding="utf-8"), "car.yaml")
    move = read_move_text((case / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    answer = check(car, move, library, date(2026, 10, 28))
    found = due(answer, library)
    assert found.first_bad == date(2026, 11, 26)
    before = shifted(move, (found.first_bad - move.out).days - 1)
    assert check(car, before, library, date(2026, 10, 28)).outcome in READY
