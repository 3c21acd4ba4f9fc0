"""The plain facts that a dossier's sheets show: expected values are typed from the car's record and move."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.dossier.car_facts import Contact, CouplerAtEnd, car_facts_of
from carknocker.dossier.gauges import gauges_of
from carknocker.dossier.issue_digest import issue_digest
from carknocker.dossier.move_facts import move_facts_of
from carknocker.dossier.papers_wanted import papers_wanted
from carknocker.dossier.people import people_of
from carknocker.dossier.rests_on import rests_on
from carknocker.dossier.spares_on_record import spares_on_record
from carknocker.dossier.wheelsets_by_axle import wheelsets_by_axle
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.library import Library
from carknocker.wording.last_good_days import last_good_days

CASE = Path(__file__).parents[2] / "cases" / "wren-hollow" / "before"
CAR, MOVE = ((CASE / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml"))
DAY = date(2026, 10, 8)


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library(rulesets_folders())


def judged(library: Library, *changes: tuple[str, str], day: date = DAY) -> CheckAnswer:
    """The car and the move with some texts in place of others."""
    car, move = CAR, MOVE
    for old, new in changes:
        assert old in car or old in move, old
        car, move = car.replace(old, new, 1), move.replace(old, new, 1)
    return check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), library, day)


def index_of(library: Library, *changes: tuple[str, str], day: date = DAY) -> JudgementIndex:
    return JudgementIndex(judged(library, *changes, day=day).judgement)


@pytest.fixture(scope="module")
def index(library: Library) -> JudgementIndex:
    return index_of(library)


def test_the_car(index: JudgementIndex) -> None:
    facts = car_facts_of(index)
    assert (facts.owner, facts.call, facts.builder, facts.rebuilt) == (
        None, (Contact("RE", "555-0117", None, False),), None, None,
    )  # fmt: skip
    assert (facts.kind, facts.built) == ("parlor car", "1927")
    assert (facts.length_over_couplers, facts.truck_centers) == ("82 ft 3 in", "57 ft")
    assert (facts.extreme_width, facts.widest_thing) == ("10 ft 1 in", "drip rail over the side windows")
    assert (facts.height_over_rail, facts.highest_thing) == ("14 ft 3 in", "roof ventilator 4")
    assert facts.weight is not None
    assert (facts.weight.value, facts.weight.on) == ("171,400 lb", "2024-08-03")
    assert "scale ticket 5518" in (facts.weight.paper or "")
    assert (facts.control_valve, facts.brake_cylinders, facts.cylinder_diameters) == ("UC", 2, ("16 in",))
    assert facts.shoe_materials == ("cast iron",)
    assert facts.couplers == (CouplerAtEnd("B", "type H"), CouplerAtEnd("A", "type H"))
    end_b, end_a = facts.trucks
    assert (end_b.truck, end_b.kind, end_b.frame, end_b.axle_spacing, end_b.axles) == (
        "B", "three-axle", "built-up", "63 in", 3,
    )  # fmt: skip
    assert (end_b.bearings, end_a.bearings) == (("plain",), ("grease-lubricated roller",))
    assert end_a.weight is not None
    assert end_a.weight.value == "85,400 lb"


def test_owner_builder_and_whom_to_call(library: Library) -> None:
    people = "people:\n  JO: {role: owner, full_name: J. Orchard, telephone: 555-0142}\n"
    helper = 'RE: {role: "owner\'s helper", telephone: 555-0143}'
    card = (
        "papers:\n  - {paper: contact who can decide, until: 2026-12-31, name: A. Bell, telephone: 555-0100, "
        "hours: day and night}\n"
    )
    facts = car_facts_of(
        index_of(
            library,
            ("people:\n", people),
            ('RE: {role: "owner\'s helper", telephone: 555-0117}', helper),
            ("papers:\n", card),
            ("  built_on: 1927\n", "  built_on: 1927\n  builder: Harrow & Vale\n  rebuilt_on: 1951\n"),
        )
    )
    assert (facts.owner, facts.builder, facts.rebuilt) == ("J. Orchard", "Harrow & Vale", "1951")
    assert facts.call == (
        Contact("A. Bell", "555-0100", "day and night", True),
        Contact("J. Orchard", "555-0142", None, False),
        Contact("RE", "555-0143", None, False),
    )


def test_the_move(library: Library) -> None:
    answer = judged(library)
    facts = move_facts_of(answer, JudgementIndex(answer.judgement))
    assert (facts.host, facts.train, facts.place, facts.speed) == ("Kestrel & Northern", "passenger", "rear", "70 mph")
    assert (facts.brake_pipe_pressure, facts.release_mode, facts.rides) == ("110 psi", "graduated", "passengers")
    assert facts.places == ("Quillon Junction", "Port Averill", "Saltmarsh Quay", "Quillon Junction")
    assert (facts.miles, facts.track_classes, facts.clearances) == ("500 miles", ("4", "2"), ("plate B",))
    assert facts.sharpest_curve == "12° 30'"
    assert (facts.requested_on, facts.reply_by) == (date(2026, 9, 25), None)
    assert facts.notice is not None
    # circular 8, 1.1: 28 days; 2026-09-25 to 2026-11-06 is 42
    assert (facts.notice.days, facts.notice.last_day, facts.notice.given) == (28, date(2026, 10, 9), 42)
    assert facts.notice.in_time is True


@pytest.mark.parametrize(("sent", "in_time"), [("2026-10-09", True), ("2026-10-10", False)])
def test_a_request_is_in_time_up_to_its_last_day(library: Library, sent: str, in_time: bool) -> None:
    answer = judged(library, ("requested_on: 2026-09-25", f"requested_on: {sent}"), day=date(2026, 10, 10))
    notice = move_facts_of(answer, JudgementIndex(answer.judgement)).notice
    assert notice is not None
    assert notice.in_time is in_time


def test_a_request_after_the_day_is_none_yet(library: Library) -> None:
    reply = ("requested_on: 2026-09-25", "requested_on: 2026-10-09\n  reply_by: 2026-10-20")
    answer = judged(library, reply)
    facts = move_facts_of(answer, JudgementIndex(answer.judgement))
    assert (facts.requested_on, facts.reply_by) == (None, date(2026, 10, 20))
    assert facts.notice is not None
    assert (facts.notice.given, facts.notice.in_time) == (None, None)


def test_the_papers_that_the_circular_wants(index: JudgementIndex) -> None:
    papers = papers_wanted(index)
    assert len(papers) == 21
    held = {one.paper: (one.form, one.state, one.until) for one in papers if one.state != "not on file"}
    assert held == {
        "liability insurance": ("", "on file", "2026-12-31"),
        "agreement with the host": ("", "on file", "2027-02-28"),
        "annual mechanical inspection": ("M-12", "runs out", "2026-11-14"),
    }


@pytest.mark.parametrize(
    ("until", "state"), [("2026-11-22", "on file"), ("2026-11-21", "runs out"), ("2026-11-05", "not in order")]
)
def test_a_paper_holds_until_the_return(library: Library, until: str, state: str) -> None:
    papers = papers_wanted(index_of(library, ("until: 2026-12-31", f"until: {until}")))
    (insurance,) = [one for one in papers if one.paper == "liability insurance"]
    assert (insurance.state, insurance.until) == (state, until)


def test_a_policy_that_names_another_railroad_is_not_in_order(library: Library) -> None:
    other = ("names_host: Kestrel & Northern", "names_host: Marrow Creek & Eastern")
    papers = papers_wanted(index_of(library, other))
    assert [one.state for one in papers if one.paper == "liability insurance"] == ["not in order"]


def test_without_a_circular_no_paper_is_wanted_for_it(library: Library) -> None:
    host = ("  host: Kestrel & Northern\n", "  host: Vale & Coast\n  circular: none\n")
    assert papers_wanted(index_of(library, host)) == ()


def test_gauges(index: JudgementIndex) -> None:
    gauges = {one.name: one for one in gauges_of(index)}
    assert list(gauges) == ["G-2", "G-5", "G-7", "G-9", "P-1", "G-10", "T-4", "S-1", "S-2", "S-3", "S-4"]
    finger = gauges["G-2"]
    assert (finger.kind, finger.reads_to, finger.checked, finger.due, finger.state) == (
        "finger gauge", "1/16 in", "2026-03-01", "2027-03-01", "good",
    )  # fmt: skip
    assert (gauges["G-5"].readings, gauges["G-7"].readings) == (3, 4)
    assert (gauges["G-10"].state, gauges["G-10"].due) == ("needs no check", "")
    assert gauges["S-3"].state == "overdue"  # due 2025-03-18; good on the day of the scale ticket
    assert (gauges["S-3"].last_read, gauges["S-3"].when_read) == (date(2024, 8, 3), "good")
    assert (gauges["S-3"].readings, gauges["S-3"].not_counted) == (3, 0)
    assert gauges["G-10"].when_read == "needs no check"


@pytest.mark.parametrize(("due", "when_read"), [("2024-08-03", "good"), ("2024-08-02", "overdue")])
def test_a_gauge_is_judged_on_the_day_of_its_reading(library: Library, due: str, when_read: str) -> None:
    """The car was weighed on 2024-08-03."""
    (scale,) = (one for one in gauges_of(index_of(library, ("due: 2025-03-18", f"due: {due}"))) if one.name == "S-3")
    assert (scale.when_read, scale.state) == (when_read, "overdue")
    assert (scale.not_counted > 0) == (when_read == "overdue")


@pytest.mark.parametrize(("day", "state"), [(date(2027, 3, 1), "good"), (date(2027, 3, 2), "overdue")])
def test_a_gauge_is_good_on_the_day_it_is_due(library: Library, day: date, state: str) -> None:
    gauges = gauges_of(index_of(library, day=day))
    assert {one.state for one in gauges if one.name == "G-2"} == {state}


def test_a_gauge_without_its_due_day_or_found_wrong(library: Library) -> None:
    silent = gauges_of(index_of(library, ("checked: 2026-03-01, due: 2027-03-01}", "checked: 2026-03-01}")))
    assert (silent[0].state, silent[0].not_counted) == ("not on file", silent[0].readings)
    assert silent[0].when_read == "not on file"
    events = "events:\n  - {id: E-1, on: 2026-09-30, happened: gauge found wrong, at: car, gauge: G-2}\nwork:\n"
    wrong = gauges_of(index_of(library, ("work:\n", events)))
    assert (wrong[0].state, wrong[1].state) == ("found wrong", "good")
    assert (wrong[0].when_read, wrong[1].when_read) == ("found wrong", "good")


def test_people(index: JudgementIndex) -> None:
    rows = [(one.name, one.role, one.accepted, one.until, one.tests, one.sheets) for one in people_of(index)]
    assert rows == [
        ("RE", "owner's helper", False, "", 0, 3),
        ("HM", "shop inspector", True, "2027-03-31", 3, 2),
        ("TV", "qualified maintenance person", True, "2027-06-30", 4, 2),
        ("SO", "scale operator", False, "", 0, 1),
    ]


def test_spares(index: JudgementIndex) -> None:
    spares = spares_on_record(index)
    rows = [(one.spare, one.aboard, one.shelf, [source.section for source in one.asked_by]) for one in spares]
    assert rows == [
        ("air hose", 2, 0, ["5.8"]),
        ("hose gasket", 6, 0, ["7.6"]),
        ("brake shoe", 6, 0, ["7.6"]),
        ("service portion", 0, 1, ["5.2"]),
        ("knuckle", 1, 0, ["7.6"]),
        ("marker batteries", 4, 0, ["6.4"]),
        *((advised, 0, 0, ["7.6"]) for advised in ("knuckle pin", "oil or grease", "fuses")),
    ]


def test_wheelsets_axle_by_axle(index: JudgementIndex, library: Library) -> None:
    rows = wheelsets_by_axle(index)
    shown = [(one.axle, one.truck, one.serial, one.axle_class, one.mounted_on, one.certificate) for one in rows]
    assert shown == [
        *((str(axle), "B", f"W-3{axle}", "D", "2012-04-18", "MC-31") for axle in (1, 2, 3)),
        *((str(axle), "A", f"W-3{axle}", "D", "2019-05-20", "MC-34") for axle in (4, 5, 6)),
    ]
    assert [(one.bearing_left, one.bearing_right) for one in rows] == [
        *[("plain", "plain")] * 3,
        *[("grease-lubricated roller", "grease-lubricated roller")] * 3,
    ]
    assert {one.axle_serial for one in rows} == {None}
    marked = (
        'wheels: {L2: {serial: 71-4406}}\nbearings: {R2: {serial: "8812"}}\naxles: {"2": {serial: A-77}}\nsheets:\n'
    )
    second = wheelsets_by_axle(index_of(library, ("sheets:\n", marked)))[1]
    assert second.axle_serial == "A-77"
    assert (second.wheel_left_serial, second.wheel_right_serial) == ("71-4406", None)
    assert (second.bearing_left_serial, second.bearing_right_serial) == (None, "8812")


def test_last_good_days(index: JudgementIndex) -> None:
    rows = [(one.what, one.state, str(one.since), str(one.last)) for one in last_good_days(index)]
    assert rows[:2] == [
        ("single-car brake test", "void", "2026-08-04", "2026-09-24"),
        ("annual mechanical inspection", "short", "2025-11-14", "2026-11-14"),
    ]
    assert {one.state for one in last_good_days(index)[2:]} == {"good"}
    assert ("liability insurance", "good", "2026-01-01", "2026-12-31") in rows
    assert ("agreement with the host", "good", "2024-03-01", "2027-02-28") in rows
    assert ("periodic mechanical inspection", "good", "2026-08-04", "2027-02-04") in rows  # 184 days
    assert ("368-day inspection", "good", "2026-08-04", "2027-08-07") in rows
    assert ("readings of wheels", "good", "2026-09-12", "2026-12-11") in rows  # 90 days
    assert ("brake maintenance done", "good", "2024-03-12", "2027-03-21") in rows  # 1,104 days
    assert [row[3] for row in rows[2:]] == sorted(row[3] for row in rows[2:])


@pytest.mark.parametrize(("inspected", "state"), [("2025-11-22", "good"), ("2025-11-21", "short")])
def test_what_lasts_to_the_return_is_good(library: Library, inspected: str, state: str) -> None:
    made = ("annual mechanical inspection, on: 2025-11-14", f"annual mechanical inspection, on: {inspected}")
    rows = last_good_days(index_of(library, made))
    assert [one.state for one in rows if one.what == "annual mechanical inspection"] == [state]


def test_what_the_answer_rests_on(index: JudgementIndex) -> None:
    found = rests_on(index)
    assert found.oldest is not None
    assert (found.oldest.what, found.oldest.part) == ("gross weight ready to run", "the car")
    assert (found.oldest.on, found.oldest.days_before_departure) == (date(2024, 8, 3), 825)
    said = [(one.what, one.parts, one.by) for one in found.said_none]
    assert said == [
        ("wooden members carry load", "", ""),
        ("gas system", "", ""),
        ("generator or heater that burns fuel", "", ""),
        ("hand brake at this end", "end A", ""),
        ("shock absorbers", "trucks B, A", "2026-09-12, RE"),
        ("slide protection fitted", "", ""),
        ("heat label", "bearings L4–L6, R4–R6", "2026-09-12, RE"),
    ]


def test_what_is_fitted_is_not_said_to_be_none(library: Library) -> None:
    slide = ("slide_protection_fitted: no", "slide_protection_fitted: yes")
    changed = index_of(library, ("gas_system: none", "gas_system: fitted"), slide)
    said = {one.what for one in rests_on(changed).said_none}
    assert "gas system" not in said
    assert "slide protection fitted" not in said


def test_an_axle_without_a_brake_is_said_so(library: Library) -> None:
    middle = (
        "  all: {braked: yes, driven: nothing}",
        "  2: {braked: {reads: no, sure: no beam}}\n  all: {braked: yes, driven: nothing}",
    )
    said = [(one.what, one.parts) for one in rests_on(index_of(library, middle)).said_none]
    assert ("braked", "axle 2") in said


def test_how_many_readings_nobody_took_keep_the_car(library: Library) -> None:
    found = rests_on(index_of(library, ("coupler_height: {reads: 33-5/8 in, gauge: G-9}", "lever_length: 48 in")))
    assert found.keeping == 2  # the law's coupler height, and the host's


def test_loose_sheets_of_two_issues_differ(library: Library) -> None:
    before = judged(library).judgement
    after = judged(library, ("carried: 2}", "carried: 3}")).judgement
    one, other = issue_digest(before).split("·"), issue_digest(after).split("·")
    assert [len(part) for part in one] == [4, 4, 4]
    assert one[0] == before.digests["car"][:4]
    assert one[0] != other[0]
    assert one[1:] == other[1:]
