"""What counts: gauges that were overdue or wrong, people whom the host does not accept, what later work made void."""

from datetime import timedelta

import pytest
from msgspec.structs import replace
from random_worlds import (
    HOST,
    INSPECTOR,
    NOWHERE,
    OUT,
    REACH,
    STRANGER,
    car_record,
    cause,
    compare,
    consequence,
    criterion,
    inches,
    move,
    reading,
    relieves,
    requires,
    rulebook,
)

from carknocker.judgement.evidence import uncounted
from carknocker.judgement.judge import judge
from carknocker.record.model import NO_END, Gauge, Spare, Work
from carknocker.record.standing import car_on_day
from carknocker.record.values import Day, Figure, Word
from carknocker.rulebook.model import Voids
from carknocker.wording.set_aside import set_aside_words

TEST = "single-car brake test"
WHEEL = "wheel W-1 left"
THICK = criterion("thick", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))))
STANDS = criterion("stands", "brake system", compare("brake system", "single_car_test", "shown", Word("yes")))


def day(number):
    return OUT - timedelta(days=number)


def verdict(car, one=THICK, part=WHEEL, consequences=()):
    judgement = judge(car, move(), rulebook([one], [*REACH, *consequences]), OUT)
    return next(finding.verdict for finding in judgement.findings if finding.part.key == part)


def flange(on, gauge=None):
    return reading(WHEEL, "flange_thickness", Figure(inches(16)), on, gauge=gauge)


def gauge(checked=None, due=NO_END, before=()):
    return Gauge("G-1", "finger gauge", None, checked, due, NOWHERE, None, before)


def told(name, on, **facts):
    return Work("E-1", True, name, on, ("car",), NOWHERE, facts=facts)


def brake_test(on, by=INSPECTOR, result="passed", after=()):
    after = frozenset(after)
    return reading("brake system", "single_car_test", Word(result), on, sort="test", by=by, after=after)


def test_an_overdue_gauge_clears_no_breach():
    thin = reading(WHEEL, "flange_thickness", Figure(inches(14)), day(5), gauge=gauge(day(60), due=day(6)))
    assert verdict(car_record([thin])) == "breached"
    judgement = judge(car_record([thin]), move(), rulebook([THICK], REACH), OUT)
    (finding,) = (one for one in judgement.findings if one.part.key == WHEEL)
    assert finding.as_said
    assert finding.evidence == thin


def test_a_reading_with_a_gauge_past_its_due_day_is_not_shown():
    assert verdict(car_record([flange(day(5), gauge(day(60), due=day(5)))])) == "met"
    assert verdict(car_record([flange(day(5), gauge(day(60), due=day(6)))])) == "not shown"


def test_a_gauge_of_which_nothing_says_when_it_is_due_shows_nothing_for_the_car():
    for kind, due, shown in (
        ("finger gauge", None, "not shown"),
        ("finger gauge", NO_END, "met"),
        ("a gauge of our own", None, "not shown"),
        ("rule", None, "met"),  # the vocabulary knows that it needs no check
        ("rule", day(30), "met"),
        ("feelers", None, "met"),
    ):
        one = Gauge("G-1", kind, None, day(60), due, NOWHERE)
        assert verdict(car_record([flange(day(5), one)])) == shown, (kind, due)


def test_a_gauge_of_which_nothing_says_when_it_was_checked_shows_nothing_for_the_car():
    """Else a check that came only after the reading would be worse than none."""
    for kind, checked, before, due, shown in (
        ("finger gauge", None, (), OUT, "not shown"),
        ("finger gauge", day(9), (), OUT, "met"),
        ("finger gauge", day(4), (), OUT, "not shown"),
        ("finger gauge", None, (day(9),), OUT, "met"),
        ("finger gauge", None, (), NO_END, "not shown"),
        ("finger gauge", day(4), (), NO_END, "not shown"),
        ("finger gauge", day(9), (), NO_END, "met"),
        ("rule", None, (), OUT, "met"),  # the vocabulary knows that it needs no check
        ("rule", day(4), (), OUT, "met"),
    ):
        one = Gauge("G-1", kind, None, checked, due, NOWHERE, None, before)
        assert verdict(car_record([flange(day(5), one)])) == shown, (kind, checked, before, due)


def test_whoever_signs_without_a_last_day_is_not_accepted():
    for until, shown in ((None, "not shown"), (NO_END, "met"), (day(5), "met"), (day(6), "not shown")):
        inspector = replace(INSPECTOR, until=until)
        assert verdict(car_record([brake_test(day(5), by=inspector)]), STANDS, "brake system") == shown, until


def test_a_test_of_which_nothing_says_that_its_device_was_in_date_shows_nothing_for_the_car():
    undated = replace(brake_test(day(5)), facts={})
    assert verdict(car_record([undated]), STANDS, "brake system") == "not shown"
    # one that failed counts all the same
    good = brake_test(day(20))
    failed = replace(brake_test(day(5), result="failed"), facts={})
    assert verdict(car_record([good, failed]), STANDS, "brake system") == "breached"


def test_a_gauge_found_wrong_takes_its_readings_since_the_last_good_check_with_it():
    wrong = told("gauge found wrong", day(2), gauge=Word("G-1"))
    assert verdict(car_record([flange(day(5), gauge(checked=day(9)))], work=[wrong])) == "not shown"
    assert verdict(car_record([flange(day(9), gauge(checked=day(9)))], work=[wrong])) == "met"
    good = Day(day(6), day(6), day(6).isoformat())
    told_good = told("gauge found wrong", day(2), gauge=Word("G-1"), last_good_check=good)
    for before, read, shown in (
        ((8, 6), 7, "met"), ((8, 6), 6, "met"), ((8, 6), 5, "not shown"),
        ((8,), 7, "not shown"), ((8,), 8, "met"), ((), 9, "not shown"),  # no check of that day stands at the gauge
    ):  # fmt: skip
        checks = gauge(checked=day(1), before=tuple(map(day, before)))
        assert verdict(car_record([flange(day(read), checks)], work=[told_good])) == shown, (before, read)


def test_a_gauge_found_wrong_shows_nothing_until_a_check_finds_it_good():
    wrong = told("gauge found wrong", day(5), gauge=Word("G-1"))
    for checked, later in ((9, "not shown"), (None, "not shown"), (5, "met"), (4, "met"), (2, "not shown")):
        found = gauge(checked=None if checked is None else day(checked))
        assert verdict(car_record([flange(day(3), found)], work=[wrong])) == later
        earlier = "met" if checked == 9 else "not shown"
        assert verdict(car_record([flange(day(9), found)], work=[wrong])) == earlier


def test_a_figure_whose_gauge_is_not_named_counts_only_against_the_car():
    """Else it would be better to leave the gauge out than to say that it was overdue."""
    overdue, unnamed = flange(day(5), gauge(day(60), due=day(6))), replace(flange(day(5)), ungauged=True)
    other = replace(flange(day(5), gauge(day(60))), ungauged=True)
    assert [verdict(car_record([one])) for one in (overdue, unnamed, other)] == ["not shown"] * 3
    thin = replace(reading(WHEEL, "flange_thickness", Figure(inches(14)), day(5)), ungauged=True)
    assert verdict(car_record([thin])) == "breached"
    words = []
    for one in (unnamed, other):
        (why,) = uncounted(car_on_day(car_record([one]), OUT)).values()
        words.append(set_aside_words(why))
    assert words == [
        "nothing says which gauge showed it (`gauge`)",
        "gauge G-1 is a finger gauge, which does not show it: name the gauge that did (`gauge`)",
    ]


def test_nothing_older_comes_back_in_the_place_of_a_reading_with_an_overdue_gauge():
    good = flange(day(40), gauge(day(60), due=day(30)))
    for inches_, found in ((14, "breached"), (16, "not shown")):
        later = reading(WHEEL, "flange_thickness", Figure(inches(inches_)), day(9), gauge=gauge(day(60), due=day(10)))
        assert verdict(car_record([good, later])) == found
    assert verdict(car_record([good])) == "met"
    assert verdict(car_record([good, later, flange(day(5), gauge(day(60), due=day(1)))])) == "met"


def test_a_test_by_someone_whom_the_host_does_not_accept_is_not_shown():
    assert verdict(car_record([brake_test(day(5))]), STANDS, "brake system") == "met"
    assert verdict(car_record([brake_test(day(5), STRANGER)]), STANDS, "brake system") == "not shown"


@pytest.mark.parametrize(
    ("ended", "said", "host", "found"),
    [
        (5, {}, HOST, "met"),
        (6, {}, HOST, "not shown"),
        (6, {}, HOST.upper(), "not shown"),
        (6, {}, "", "not shown"),
        (6, {}, "Elsewhere & Western", "met"),
        (2, {}, HOST, "met"),
        (2, {"signed_before": Word("counts")}, HOST, "met"),
        (2, {"signed_before": Word("does not count")}, HOST, "not shown"),
        (2, {"signed_before": Word("does not count")}, "Elsewhere & Western", "met"),
    ],
)
def test_what_is_signed_after_an_acceptance_ended_does_not_count_nor_what_the_event_says(ended, said, host, found):
    """As by `until` of the person, whose day is the last: the test is of five days before departure."""
    event = told("acceptance ended", day(ended), person=Word("IN"), **({"host": Word(host)} if host else {}), **said)
    assert verdict(car_record([brake_test(day(5))], work=[event]), STANDS, "brake system") == found
    if host == HOST and not said:
        until = replace(INSPECTOR, until=day(ended))
        assert verdict(car_record([brake_test(day(5), until)]), STANDS, "brake system") == found


def test_who_is_accepted_anew_after_an_acceptance_ended_is_accepted():
    event = told("acceptance ended", day(9), person=Word("IN"), host=Word(HOST))
    for began, found in ((day(9), "not shown"), (day(8), "met")):
        anew = replace(INSPECTOR, accepted_from=began)
        assert verdict(car_record([brake_test(day(5), anew)], work=[event]), STANDS, "brake system") == found


def test_an_older_test_by_an_accepted_person_counts_where_the_newer_does_not():
    assert verdict(car_record([brake_test(day(9)), brake_test(day(5), STRANGER)]), STANDS, "brake system") == "met"


def test_a_failed_test_counts_whoever_made_it():
    tests = [brake_test(day(9)), brake_test(day(5), by=STRANGER, result="failed")]
    assert verdict(car_record(tests), STANDS, "brake system") == "breached"
    assert verdict(car_record([*tests, brake_test(day(3), by=STRANGER)]), STANDS, "brake system") == "breached"
    anew = [*tests, brake_test(day(3))]
    assert verdict(car_record(anew), STANDS, "brake system") == "breached"
    done = Work("J-1", False, "service portion replaced", day(4), ("brake system",), NOWHERE)
    assert verdict(car_record(anew, work=[done]), STANDS, "brake system") == "met"


@pytest.mark.parametrize(("until", "found"), [(-1, "breached"), (0, "lapses"), (9, "lapses"), (10, "met")])
def test_a_test_that_names_its_own_last_day_is_good_until_then(until, found):
    last = OUT + timedelta(days=until)
    tested = replace(brake_test(day(9)), until=last)
    judgement = judge(car_record([tested]), move(), rulebook([STANDS], REACH), OUT)
    (one,) = judgement.findings
    assert (one.verdict, one.lapses_on) == (found, last if found == "lapses" else None)
    renewed = consequence(
        "r", [cause("work", names=("service portion replaced",))], requires("brake system", test=TEST)
    )
    done = Work("J-1", False, "service portion replaced", day(20), ("brake system",), NOWHERE)
    judgement = judge(car_record([tested], work=[done]), move(), rulebook([], [renewed]), OUT)
    assert [duty.state for duty in judgement.duties] == ["done" if found == "met" else "open"]


def test_a_failed_test_takes_away_what_the_passed_one_before_relieved():
    rule = consequence("r", [cause("test", names=(TEST,))], relieves(criteria=("test/thick",), of="wheel"))
    thin = reading(WHEEL, "flange_thickness", Figure(inches(10)), day(20))
    for later, relieved in (([], True), ([brake_test(day(5), result="failed")], False)):
        car = car_record([thin, brake_test(day(9)), *later])
        judgement = judge(car, move(), rulebook([THICK], [*REACH, rule]), OUT)
        assert next(one.relieved for one in judgement.findings if one.part.key == WHEEL) is relieved


def test_a_newer_failed_test_is_breached():
    assert (
        verdict(car_record([brake_test(day(9)), brake_test(day(5), result="failed")]), STANDS, "brake system")
        == "breached"
    )


VOIDS = consequence("voids", [cause("work", names=("service portion replaced",))], Voids(TEST, (), "brake system"))
ASKS = consequence("asks", [cause("work", names=("service portion replaced",))], requires("brake system", test=TEST))


def job(on):
    return Work("J-1", False, "service portion replaced", on, ("brake system",), NOWHERE)


def duty(car):
    judgement = judge(car, move(), rulebook([STANDS], [*REACH, VOIDS, ASKS]), OUT)
    return [one.state for one in judgement.duties]


def test_work_voids_the_test_of_its_own_day_unless_that_says_after():
    before, same, after = brake_test(day(6)), brake_test(day(5)), brake_test(day(4))
    said = brake_test(day(5), after=("J-1",))
    for evidence, wanted, state in (
        (before, "void", "open"),
        (same, "void", "open"),
        (said, "met", "done"),
        (after, "met", "done"),
    ):
        car = car_record([evidence], work=[job(day(5))])
        assert verdict(car, STANDS, "brake system", [VOIDS]) == wanted
        assert duty(car) == [state]


@pytest.mark.parametrize(
    ("on", "after", "state"),
    [
        (6, (), "open"),
        (5, (), "open"),
        (5, ("J-9",), "open"),
        (5, ("J-1",), "done"),
        (5, ("J-2",), "done"),
        (4, (), "done"),
    ],
)
def test_a_test_of_the_day_of_the_work_answers_its_duty_only_where_it_says_after(on, after, state):
    """J-2 is of that day too and came after J-1. Nothing makes the test void: only `after` tells which came first."""
    work = [job(day(5)), replace(job(day(5)), id="J-2", name="slack adjuster work", after=frozenset({"J-1"}))]
    car = car_record([brake_test(day(on), after=frozenset(after))], work=work)
    judgement = judge(car, move(), rulebook([], [ASKS]), OUT)
    assert [(one.fact.entry, one.state) for one in judgement.duties] == [("J-1", state)]


def test_a_test_of_the_day_on_which_a_flat_was_seen_does_not_answer_for_it():
    thin = reading(WHEEL, "flange_thickness", Figure(inches(10)), day(5), place="axle position 1")
    seen = consequence("seen", [cause("seen", criteria=("test/thick",))], requires("brake system", test=TEST))
    for on, state in ((5, "open"), (4, "done")):
        judgement = judge(car_record([thin, brake_test(day(on))]), move(), rulebook([THICK], [*REACH, seen]), OUT)
        assert [one.state for one in judgement.duties] == [state]


def test_a_later_failed_test_opens_the_duty_again():
    passed, failed = brake_test(day(4)), brake_test(day(3), result="failed")
    assert duty(car_record([passed], work=[job(day(5))])) == ["done"]
    assert duty(car_record([passed, failed], work=[job(day(5))])) == ["open"]


def test_nothing_older_comes_back_in_the_place_of_void_evidence():
    car = car_record([brake_test(day(20)), brake_test(day(6))], work=[job(day(5))])
    assert verdict(car, STANDS, "brake system", [VOIDS]) == "void"


def test_a_spare_that_is_fitted_answers_no_duty():
    asks = consequence("spare", [cause("unfit", names=("car",))], requires("truck", spare="air hose"))
    wheel = reading(WHEEL, "flange_thickness", Figure(inches(10)), day(1))
    for carried, state in ((0, "open"), (1, "done")):
        spare = Spare("S-1", "air hose", "", carried, 1, {}, NOWHERE)
        judgement = judge(car_record([wheel], spares=[spare]), move(), rulebook([THICK], [*REACH, asks]), OUT)
        assert {one.state for one in judgement.duties} == {state}


def test_each_duty_needs_a_spare_of_its_own_where_the_rule_says_so():
    asks = consequence("spare", [cause("unfit", names=("car",))], requires("truck", spare="air hose", each=True))
    wheel = reading(WHEEL, "flange_thickness", Figure(inches(10)), day(1))
    for carried, states in ((1, ["open", "open"]), (2, ["done", "done"])):
        spare = Spare("S-1", "air hose", "", carried, 0, {}, NOWHERE)
        judgement = judge(car_record([wheel], spares=[spare]), move(), rulebook([THICK], [*REACH, asks]), OUT)
        assert [one.state for one in judgement.duties] == states
    assert (
        judge(
            car_record([wheel], spares=[Spare("S-1", "air hose", "", 1, 0, {}, NOWHERE)]),
            move(),
            rulebook([THICK], [*REACH, asks]),
            OUT,
        )
        .duties[0]
        .note
        == "1 of 2 × air hose aboard, fitting and sound"
    )


def test_a_test_without_the_gauge_that_shows_it_is_no_better_than_one_with_an_overdue_gauge():
    holds = criterion("holds", "brake system", compare("brake system", "leakage_test", "shown", Word("yes")))
    found = []
    for how in (
        {"gauge": Gauge("P-1", "air gauge", None, day(60), day(6), NOWHERE)},
        {"ungauged": True},
        {"gauge": Gauge("P-1", "air gauge", None, day(60), day(5), NOWHERE)},
    ):
        made = reading("brake system", "leakage_test", Word("passed"), day(5), sort="test", **how)
        found.append(verdict(car_record([made]), holds, "brake system"))
    assert found == ["not shown", "not shown", "met"]
