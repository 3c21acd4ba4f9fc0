"""Blockers: alike ones merged, missing readings one, each with measured, required, source, stops and clears."""

from datetime import date, timedelta

from random_worlds import (
    BACK,
    HOST,
    NOWHERE,
    OUT,
    REACH,
    attribute,
    car_record,
    cause,
    compare,
    consequence,
    criterion,
    inches,
    move,
    reading,
    requires,
    rulebook,
)  # fmt: skip

from carknocker.dossier.view import view_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.judge import judge
from carknocker.page.text import text_of
from carknocker.quantities import Period, Quantity
from carknocker.questions.check.page import page_of
from carknocker.record.model import Leave, Work
from carknocker.record.values import Figure, Interval, NotAccessible, Word
from carknocker.rulebook import RulebookChoice
from carknocker.rulebook.clauses import AttributePath, Comparison, Fixed
from carknocker.rulebook.model import CarriesUp, Remedy, Restriction, Restricts, Voids

WHEELS = [f"wheel W-{n} {side}" for n in range(1, 5) for side in ("left", "right")]
FLANGE = criterion(
    "flange", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))), title="Flange thick enough",
    remedies=(
        Remedy("wheels turned", compare("wheel", "rim_thickness", "at_least", Figure(inches(16))), ""),
        Remedy("wheelset renewed", None, ""),
    ),
)  # fmt: skip


def view(car, criteria, consequences=(), planned=None, as_of=OUT):
    book = rulebook(list(criteria), [*REACH, *consequences])
    judgement = judge(car, planned or move(), book, as_of)
    return view_of(CheckAnswer(judgement, None, RulebookChoice(book, None, ()), as_of, judgement.notes))


def flanges(sixteenths):
    return [
        reading(wheel, "flange_thickness", Figure(inches(number)), OUT)
        for wheel, number in zip(WHEELS, sixteenths, strict=True)
    ]


def test_one_breach_is_measured_required_source_stops_clears():
    found = view(car_record(flanges([15, 15, 15, 15, 14, 15, 15, 15])), [FLANGE])
    (blocker,) = found.items.blockers
    assert (blocker.parts, blocker.title, blocker.verdict) == ("wheel L3", "Flange thick enough", "breached")
    (measured,) = blocker.measured
    assert measured.measured == "7/8 in"
    assert measured.margin == "exactly at the limit, which does not pass"
    assert "2030-06-15, IN (shop inspector)" in measured.evidence
    assert blocker.required == "over 7/8 in"
    assert blocker.source == "test 1 (invented): “words”"
    assert blocker.stops == "wheelset W-3, and with it axle 3, truck A and the car"
    assert blocker.clears == (
        "wheels turned, if rim thickness at least 1 in; not shown yet", "wheelset renewed",
    )  # fmt: skip
    assert found.items.missing is None
    assert found.outcome_line == "NOT READY: 1 item keeps this car from moving."


def test_a_remedy_that_cannot_work_says_so():
    evidence = [*flanges([15] * 7 + [13]), reading(WHEELS[7], "rim_thickness", Figure(inches(15)), OUT)]
    (blocker,) = view(car_record(evidence), [FLANGE]).items.blockers
    assert blocker.clears[0] == "wheels turned: no help here; needs rim thickness at least 1 in, here 15/16 in"


def test_alike_breaches_are_one_block_with_every_part():
    found = view(car_record(flanges([14, 14, 15, 15, 13, 15, 14, 15])), [FLANGE])
    (blocker,) = found.items.blockers
    assert blocker.parts == "wheels L1, L3, L4, R1"
    assert {(one.parts, one.measured) for one in blocker.measured} == {
        ("wheels L1, L4, R1", "7/8 in"), ("wheel L3", "13/16 in"),
    }  # fmt: skip
    assert blocker.stops == "wheelsets W-1, W-3, W-4, and with them axles 1, 3, 4, trucks B, A and the car"
    (of_one,) = view(car_record(flanges([14, 14, 15, 15, 15, 15, 15, 15])), [FLANGE]).items.blockers
    assert of_one.parts == "wheels L1, R1"
    assert of_one.stops == "wheelset W-1, and with it axle 1, truck B and the car"  # both wheels of one wheelset


def test_missing_readings_are_one_blocker_by_access_and_part():
    height = criterion("height", "coupler", compare("coupler", "coupler_height", "over", Figure(inches(14))))
    evidence = [reading("wheel W-1 left", "flange_thickness", NotAccessible("rod in the way"), OUT)]
    found = view(car_record(evidence), [FLANGE, height])
    assert found.items.blockers == ()
    assert found.items.missing is not None
    assert found.items.missing.title == "not shown: 10 readings; measure these"
    (group,) = found.items.missing.groups
    assert group.access == "walking round"
    height_label = attribute("coupler", "coupler_height").label
    assert [(row.parts, row.attributes, row.reason) for row in group.rows] == [
        ("couplers B, A", (height_label,), ""),
        ("wheel L1", ("flange thickness",), "not accessible (rod in the way)"),
        ("wheels L2–L4, R1–R4", ("flange thickness",), ""),
    ]
    assert "1 item keeps" in found.outcome_line


def test_a_reading_that_two_criteria_want_is_counted_once():
    second = criterion("flange-again", "wheel", compare("wheel", "flange_thickness", "at_least", Figure(inches(8))))
    found = view(car_record([]), [FLANGE, second])
    assert found.items.missing is not None
    assert found.items.missing.readings == 8
    assert found.items.missing.criteria == 2


def test_where_nothing_shows_whether_it_applies_only_that_is_asked_for():
    narrow = criterion(
        "narrow", "wheel", FLANGE.must, when=compare("wheel", "rim_thickness", "under", Figure(inches(20)))
    )  # fmt: skip
    found = view(car_record([]), [narrow])
    assert found.items.missing is not None
    assert [row.attributes for group in found.items.missing.groups for row in group.rows] == [("rim thickness",)]
    assert found.items.missing.more_may_follow


def valve_test(on, **more):
    return reading("brake system", "single_car_test", Word("passed"), on, sort="test", **more)


TEST = criterion(
    "test", "brake system",
    Comparison(AttributePath("", attribute("brake system", "single_car_test")), "within",
               Fixed((Interval(Period(days=30)),)), NOWHERE),
    title="Single-car test that stands",
)  # fmt: skip
WORK = Work("J-1", False, "service portion replaced", OUT - timedelta(days=3), ("brake system",), NOWHERE)
VOIDS = consequence(
    "voids", [cause("work", names=("service portion replaced",))],
    Voids("single-car brake test", (), "brake system"), requires("brake system", test="single-car brake test"),
    title="Work on the valve ends the test",
)  # fmt: skip


def test_void_evidence_names_the_work_and_stays_visible():
    found = view(car_record([valve_test(OUT - timedelta(days=9))], work=[WORK]), [TEST], [VOIDS])
    (item,) = found.items.blockers  # the test that is void and the duty to make it anew are one: one test clears both
    assert item.verdict == "void"
    day = WORK.on.isoformat()
    assert item.fault.text == f"Single-car brake test: void; service portion replaced after it, {day}"
    assert item.why == (f"void since {day}: J-1 service portion replaced",)  # the duty says no more
    assert [one.measured for one in item.measured] == [f"passed, {(OUT - timedelta(days=9)).isoformat()}"]
    assert item.criterion == "test/test, test/voids"
    assert len(item.clears) == 1
    assert item.clears == (f"make the single-car brake test, after {day}",)
    assert item.write == ("under `tests:` `{test: single-car brake test, on: …, by: …, result: passed}`",)
    assert item.stops == "the car"
    (void,) = found.void
    assert void.title.startswith("J-1 service portion replaced")
    assert any("passed" in line for line in void.lines)


def test_what_lapses_before_the_return_is_a_blocker_and_first_in_the_calendar():
    found = view(car_record([valve_test(BACK - timedelta(days=32))]), [TEST])
    (blocker,) = found.items.blockers
    assert blocker.verdict == "lapses"
    assert f"hold through {BACK.isoformat()}" in blocker.clears[0]
    assert found.lapses[0].title == f"{(BACK - timedelta(days=2)).isoformat()}, before the return"


def test_what_lapses_after_the_return_is_in_the_calendar_only():
    found = view(car_record([valve_test(OUT)]), [TEST])
    assert found.items.blockers == ()
    assert [entry.title for entry in found.lapses] == [(OUT + timedelta(days=30)).isoformat()]


def test_an_open_duty_that_is_carried_up_shows_what_it_stops():
    stops = consequence("stops", [cause("duty", names=("test/voids",))], CarriesUp(("car",)))
    carried = view(car_record([valve_test(OUT - timedelta(days=9))], work=[WORK]), [TEST], [VOIDS, stops])
    assert [one.stops for one in carried.items.blockers] == ["the car"]


def test_restrictions_say_who_says_so_and_what_is_against_the_move_comes_last():
    slow = criterion("slow", "wheel", FLANGE.must, effect="restrict", title="Slow with thin flanges",
                     restrictions=(Restriction("speed", quantity=Quantity("speed", 40, 1)),))  # fmt: skip
    crew = consequence("crew", [cause("state", of="wheel", when=FLANGE.must)],
                       Restricts((Restriction("riders", words=("crew",)),)), title="Crew only")  # fmt: skip
    found = view(car_record(flanges([14] + [15] * 7)), [slow], [crew])
    speed, riders = found.restrictions
    assert speed.in_all == "at most 40 mph"
    assert "Slow with thin flanges" in speed.restrictions[0].lines[0][1]
    assert riders.in_all == "crew only"
    (against,) = found.items.against_the_move
    assert against.measured[0].measured == "passengers are to ride"
    assert against.required == "allowed: crew"


def test_leave_relieves_and_the_finding_stays_what_it_is():
    leave = Leave("L-1", HOST, "flange", ("car",), OUT - timedelta(days=9), BACK, "move", "a superintendent",
                  "letter 4", NOWHERE, speed=Quantity("speed", 25, 1), signed_on=OUT)  # fmt: skip
    from random_worlds import relieves

    by_leave = consequence("leave", [cause("leave")], relieves(named=True), title="Leave in writing")
    found = view(car_record(flanges([14] + [15] * 7), leaves=[leave]), [FLANGE], [by_leave])
    assert found.outcome == "ready with restrictions"
    assert found.items.blockers == ()
    (entry,) = found.relieved
    assert entry.title == "Wheel L1: flange thickness 7/8 in; must be over 7/8 in"
    assert "stays breached" in entry.lines[0]
    assert "signed by a superintendent" in entry.lines[-1]


def test_an_old_check_of_an_edition_is_flagged():
    from msgspec.structs import replace

    book = rulebook([FLANGE], REACH)
    for checked, old in ((OUT - timedelta(days=365), False), (OUT - timedelta(days=366), True)):
        aged = replace(book, editions=(replace(book.editions[0], checked=checked),))
        judgement = judge(car_record([]), move(), aged, OUT)
        answer = CheckAnswer(judgement, None, RulebookChoice(aged, None, ()), OUT, ())
        assert view_of(answer).rulebook[0].old is old
        assert ("OLD CHECK" in text_of(page_of(view_of(answer)))) is old


def test_ready_is_said_modestly():
    found = view(car_record(flanges([15] * 8)), [FLANGE])
    assert found.outcome_line == "READY: nothing on record keeps this car from moving; the host decides."
    assert found.summary.sentence == "1 requirement, 1 with a part on this car to look at. 8 findings: 8 met."


def test_the_day_of_the_page_is_the_day_of_the_judgement():
    found = view(car_record(flanges([15] * 8)), [FLANGE], as_of=date(2030, 6, 20))
    assert dict(found.move)["dates"].endswith("judged as of 2030-06-20")
