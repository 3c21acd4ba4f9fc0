"""Verdicts: each side of a limit, go/no-go bounds, age of readings, what lapses, what nobody has shown."""

from datetime import date, timedelta

import pytest
from msgspec.structs import replace
from random_worlds import (
    BACK,
    OUT,
    REACH,
    STRANGER,
    attribute,
    car_record,
    compare,
    criterion,
    inches,
    move,
    reading,
    rulebook,
)

from carknocker.judgement.explanation import explain
from carknocker.judgement.judge import judge
from carknocker.quantities import Period, Quantity
from carknocker.record.model import Evidence, Leg
from carknocker.record.values import Bound, Day, Figure, Interval, NotAccessible, Word
from carknocker.rulebook.clauses import AllOf, AnyOf, AttributePath, ByTable, Comparison, CountOf, Unanswered
from carknocker.rulebook.model import Renewal, Restriction
from carknocker.wording.verdicts import finding_words

WHEEL = "wheel W-1 left"
YEAR = Interval(Period(months=12))


def must(word="over", limit=14, name="flange_thickness"):
    return compare("wheel", name, word, Figure(inches(limit)))


def finding(evidence, one, part=WHEEL):
    judgement = judge(car_record(evidence), move(), rulebook([one], REACH), OUT)
    return next(found for found in judgement.findings if found.part.key == part)


def read(value, ago=1, name="flange_thickness", **more):
    return reading(WHEEL, name, value, OUT - timedelta(days=ago), **more)


def figure(sixteenths):
    return Figure(inches(sixteenths))


@pytest.mark.parametrize(
    ("word", "below", "at", "above"),
    [
        ("over", "breached", "breached", "met"),
        ("at_least", "breached", "met", "met"),
        ("under", "met", "breached", "breached"),
        ("at_most", "met", "met", "breached"),
    ],
)
def test_each_word_has_its_own_side_of_the_boundary(word, below, at, above):
    for sixty_fourths, wanted in ((55, below), (56, at), (57, above)):
        value = Figure(inches(sixty_fourths, 64))
        assert finding([read(value)], criterion("c", "wheel", must(word))).verdict == wanted


@pytest.mark.parametrize(
    ("bound", "over", "at_least", "under"),
    [
        (Bound(inches(14), True, None, False), "met", "met", "breached"),  # over 7/8 in
        (Bound(inches(14), False, None, False), "not shown", "met", "breached"),  # 7/8 in or more
        (Bound(None, False, inches(14), False), "breached", "not shown", "not shown"),  # 7/8 in or less
        (Bound(None, False, inches(14), True), "breached", "breached", "met"),  # under 7/8 in
        (Bound(inches(12), True, None, False), "not shown", "not shown", "not shown"),  # over 3/4 in: another gauge
        (Bound(inches(13), False, inches(15), False), "not shown", "not shown", "not shown"),
    ],
)
def test_a_go_no_go_gauge_decides_a_limit_on_its_own_side_only(bound, over, at_least, under):
    for word, wanted in (("over", over), ("at_least", at_least), ("under", under)):
        assert finding([read(bound)], criterion("c", "wheel", must(word))).verdict == wanted


@pytest.mark.parametrize(
    ("sixteenths", "low_open", "verdict"),
    [
        (14, True, "borderline"),  # over 7/8 in, of a gauge that reads to 1/16 in and is off by 1/64 in
        (15, False, "borderline"),
        (16, False, "met"),
        (13, False, "not shown"),
    ],
)
def test_a_bound_read_with_a_gauge_that_measures_is_as_near_to_its_limit_as_a_figure(sixteenths, low_open, verdict):
    bound = Bound(inches(sixteenths), low_open, None, False)
    measured = read(bound, resolution=inches(1), gauge_uncertainty=inches(1, 64))
    for borderline in ("advise", "refuse"):
        found = finding([measured], criterion("c", "wheel", must("over"), borderline=borderline))
        assert found.verdict == verdict
        if verdict == "borderline":
            assert found.unmet is (borderline == "refuse")


def test_a_bound_that_breaches_breaches_whatever_its_gauge_leaves_open():
    bound = Bound(None, False, inches(14), False)
    assert finding([read(bound, resolution=inches(1))], criterion("c", "wheel", must("over"))).verdict == "breached"


def test_met_by_less_than_the_gauge_resolves_is_borderline():
    one = criterion("c", "wheel", must("at_least"))
    for sixteenths, resolution, wanted in (
        (14, 1, "borderline"),
        (15, 1, "met"),
        (15, 2, "borderline"),
        (13, 1, "breached"),
    ):
        assert finding([read(figure(sixteenths), resolution=inches(resolution))], one).verdict == wanted
    assert not finding([read(figure(14), resolution=inches(1))], one).unmet
    strict = criterion("c", "wheel", must("at_least"), borderline="refuse")
    assert finding([read(figure(14), resolution=inches(1))], strict).unmet


def test_a_reading_older_than_accepted_is_not_shown_and_one_that_ages_on_the_way_lapses():
    one = criterion("c", "wheel", must(), read_within=Period(days=90))
    assert finding([read(figure(16), 91)], one).verdict == "not shown"
    assert finding([read(figure(10), 91)], one).verdict == "breached"  # what is bad does not age away
    lapsing = finding([read(figure(16), 85)], one)
    assert (lapsing.verdict, lapsing.lapses_on) == ("lapses", OUT + timedelta(days=5))
    assert finding([read(figure(16), 80)], one).verdict == "met"
    assert (BACK - OUT).days == 10


def test_what_the_host_looks_at_is_left_to_him_once_it_is_too_old_and_never_lapses():
    """Nothing on record is left to him, too: so an old look costs no more than none, and a bad one counts for good."""
    one = criterion("c", "wheel", must(), read_within=Period(days=90), shown_by="host on the day")
    assert finding([], one).verdict == "for the day"
    for age, verdict in ((80, "met"), (81, "for the day"), (90, "for the day"), (91, "for the day")):
        assert finding([read(figure(16), age)], one).verdict == verdict
        assert finding([read(figure(10), age)], one).verdict == "breached"
    dated = criterion("d", "wheel", must(), shown_by="host on the day")
    assert finding([read(figure(16), 91)], dated).verdict == "met"


def test_what_the_crew_renews_becomes_a_duty_instead_of_a_lapse():
    renewal = Renewal("crew", Period(days=3), True)
    one = criterion("c", "wheel", must(), read_within=Period(days=90), renewal=renewal)
    judgement = judge(car_record([read(figure(16), 85)]), move(), rulebook([one], REACH), OUT)
    assert next(f for f in judgement.findings if f.part.key == WHEEL).verdict == "met"
    duties = [one for one in judgement.on_the_way if one.finding.part.key == WHEEL]
    assert [duty.due for duty in duties] == [tuple(OUT + timedelta(days=day) for day in (0, 3, 6, 9))]


def test_an_interval_of_the_road_counts_from_the_reading_and_never_from_before_departure():
    def due(age: int, every: Period | None) -> list[tuple[date, ...]]:
        one = criterion("c", "wheel", must(), read_within=Period(days=90), renewal=Renewal("crew", every, True))
        judgement = judge(car_record([read(figure(16), age)]), move(), rulebook([one], REACH), OUT)
        return [duty.due for duty in judgement.on_the_way if duty.finding.part.key == WHEEL]

    def days(*numbers: int) -> list[tuple[date, ...]]:
        return [tuple(OUT + timedelta(days=number) for number in numbers)]

    assert due(1, Period(days=4)) == days(3, 7)  # read the day before: the fourth day after that, then again
    assert due(85, None) == days(5)  # without an interval, once: the last day on which the reading is accepted
    assert due(85, Period(days=90)) == days(5)
    assert due(3, Period(days=30)) == []  # the reading lasts to the return
    assert due(3, None) == []


def test_an_interval_of_the_road_counts_from_the_oldest_of_several_readings():
    both = AllOf((must(), must(name="rim_thickness")))
    one = criterion("c", "wheel", both, read_within=Period(days=30), renewal=Renewal("crew", Period(days=20), True))
    for ages in ((2, 15), (15, 2)):
        readings = [read(figure(16), ages[0]), read(figure(16), ages[1], name="rim_thickness")]
        judgement = judge(car_record(readings), move(), rulebook([one], REACH), OUT)
        (duty,) = judgement.on_the_way
        assert duty.due == (OUT + timedelta(days=5),)


def test_what_the_host_looks_at_is_listed_for_the_day_and_counts_neither_way():
    one = criterion("c", "wheel", must(), shown_by="host on the day")
    assert finding([], one).verdict == "for the day"
    assert judge(car_record([]), move(), rulebook([one], REACH), OUT).outcome == "ready"
    assert finding([read(figure(10))], one).verdict == "breached"


def test_not_accessible_is_not_shown_and_hides_no_older_figure():
    one = criterion("c", "wheel", must())
    hidden = read(NotAccessible("car not moved"), 1)
    assert finding([hidden], one).verdict == "not shown"
    assert finding([read(figure(16), 5), hidden], one).verdict == "met"


def test_a_condition_that_cannot_be_decided_is_never_not_applicable():
    when = compare("wheel", "plate_shape", "is", Word("curved"))
    one = criterion("c", "wheel", must(), when=when)
    described = reading(WHEEL, "plate_shape", Word("straight"), OUT, sort="description")
    assert finding([read(figure(10))], one).verdict == "not shown"
    assert finding([read(figure(16))], one).verdict == "met"
    assert finding([read(figure(10)), described], one).verdict == "not applicable"
    unless = criterion("c", "wheel", must(), unless=when)
    assert finding([read(figure(10))], unless).verdict == "not shown"
    assert finding([read(figure(10)), described], unless).verdict == "breached"


def test_any_of_and_all_of():
    thick, thin_rim = must("over", 14), must("at_least", 16, "rim_thickness")
    both = criterion("c", "wheel", AllOf((thick, thin_rim)))
    either = criterion("c", "wheel", AnyOf((thick, thin_rim)))
    good, bad = read(figure(16)), read(figure(10))
    rim_good, rim_bad = read(figure(16), name="rim_thickness"), read(figure(10), name="rim_thickness")
    table = [
        ([good, rim_good], "met", "met"),
        ([good, rim_bad], "breached", "met"),
        ([bad, rim_bad], "breached", "breached"),
        ([good], "not shown", "met"),
        ([bad], "breached", "not shown"),
    ]
    for evidence, wanted_both, wanted_either in table:
        assert finding(evidence, both).verdict == wanted_both
        assert finding(evidence, either).verdict == wanted_either


def test_a_count_is_open_only_while_what_is_unknown_could_change_it():
    when = compare("side bearing", "clearance", "over", Figure(inches(4)))
    one = criterion("c", "truck", CountOf("side bearing", when, "at_most", 1, must("over").where))
    wide, narrow = Figure(inches(8)), Figure(inches(2))

    def of(left, right):
        evidence = [
            reading(f"side bearing B{side}", "clearance", value, OUT)
            for side, value in (("L", left), ("R", right))
            if value is not None
        ]
        return finding(evidence, one, "truck B").verdict

    assert of(wide, narrow) == "met"
    assert of(wide, wide) == "breached"
    assert of(narrow, None) == "met"
    assert of(wide, None) == "not shown"


def test_a_count_looks_at_the_parts_inside_and_nowhere_else():
    one = criterion("c", "end", CountOf("coupler", None, "at_least", 1, must("over").where))
    record = car_record([])
    bare = replace(record, parts=tuple(part for part in record.parts if part.key != "coupler B"))
    judgement = judge(bare, move(), rulebook([one], REACH), OUT)
    assert [(f.part.key, f.verdict) for f in judgement.findings] == [("end B", "breached"), ("end A", "met")]


def valve(word="26-C"):
    return [reading("brake system", "control_valve", Word(word), OUT)]


@pytest.mark.parametrize("effect", ["refuse", "restrict", "advise"])
def test_what_no_rule_answers_is_never_shown(effect):
    """Whoever reads what: of a part that it is about, the finding is not shown, with the criterion's own effect."""
    when = compare("brake system", "control_valve", "is", Word("26-C"))
    one = criterion("c", "brake system", Unanswered("how it is judged", when.where), when=when, effect=effect)
    unmet = finding(valve(), one, "brake system")
    assert (unmet.verdict, unmet.unmet, unmet.criterion.effect) == ("not shown", True, effect)
    assert finding(valve("D-22"), one, "brake system").verdict == "not applicable"
    assert finding([], one, "brake system").verdict == "not shown"


def test_what_no_rule_answers_keeps_the_car_from_moving():
    when = compare("brake system", "control_valve", "is", Word("26-C"))
    one = criterion("c", "brake system", Unanswered("how it is judged", when.where), when=when)
    judgement = judge(car_record(valve()), move(), rulebook([one], REACH), OUT)
    assert judgement.outcome == "not ready"
    words = finding_words(explain(judgement, judgement.findings[0]))
    assert (words.measured, words.required, words.reason) == ("not shown", "no rule at hand says how it is judged", "")


def coupler(word):
    return [reading("coupler B", "coupler_type", Word(word), OUT)]


@pytest.mark.parametrize(
    ("word", "limit", "verdict"),
    [
        ("is", ["other"], "not shown"),
        ("is", ["type E"], "not shown"),
        ("is_not", ["type E"], "not shown"),
        ("one_of", ["type E", "other"], "not shown"),
        ("none_of", ["type E", "type F"], "not shown"),
    ],
)
def test_a_word_for_something_else_settles_no_comparison(word, limit, verdict):
    one = criterion("c", "coupler", compare("coupler", "coupler_type", word, *map(Word, limit)))
    assert finding(coupler("other"), one, "coupler B").verdict == verdict


@pytest.mark.parametrize(("word", "verdict"), [("is_not", "met"), ("none_of", "met"), ("is", "breached")])
def test_a_word_for_something_else_is_something(word, verdict):
    """Another device than those that the vocabulary lists is a device: the truck is held."""
    one = criterion("c", "truck", compare("truck", "held_to_body_by", word, Word("none")))
    held = [reading("truck B", "held_to_body_by", Word("other device"), OUT)]
    assert finding(held, one, "truck B").verdict == verdict
    some = criterion("c", "truck", compare("truck", "held_to_body_by", "one_of", Word("none"), Word("safety chains")))
    assert finding(held, some, "truck B").verdict == "not shown"


def test_a_word_for_something_else_is_a_word_on_record():
    one = criterion("c", "coupler", compare("coupler", "coupler_type", "shown"))
    assert finding(coupler("other"), one, "coupler B").verdict == "met"


def test_a_word_for_something_else_chooses_no_limit():
    def feet(number):
        return inches(16 * 12 * number)

    def by_type(word, otherwise):
        path = AttributePath("", attribute("coupler", "coupler_type"))
        limit = ByTable(path, {"type E": Figure(feet(1))}, None if otherwise is None else Figure(feet(otherwise)))
        gap = compare("coupler", "coupler_swing_each_side", "at_most")
        one = criterion("c", "coupler", Comparison(gap.path, "at_most", limit, gap.where))
        read = reading("coupler B", "coupler_swing_each_side", Figure(inches(16 * 10)), OUT)
        return finding([*coupler(word), read], one, "coupler B").verdict

    assert by_type("type E", None) == "met"
    assert by_type("type F", 2) == "met"
    assert by_type("other", 2) == "not shown"


def insured(first, until, number=1):
    return Evidence(
        f"paper {number}", "liability_insurance", "car", "car", Word("yes"), "paper", None, must().where, until,
        facts={"from": Day(first, first, first.isoformat())},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("papers", "verdict", "lapses"),
    [
        ([(-9, 10)], "met", None),
        ([(-9, 9)], "lapses", 9),
        ([(-9, 4), (5, 20)], "met", None),
        ([(-9, 4), (6, 20)], "lapses", 4),
        ([(-9, 4), (3, 6), (6, 20)], "met", None),
        ([(1, 20)], "breached", None),
    ],
)
def test_papers_together_must_cover_every_day_of_the_move(papers, verdict, lapses):
    evidence = [insured(OUT + timedelta(a), OUT + timedelta(b), n) for n, (a, b) in enumerate(papers)]
    one = criterion("c", "car", compare("car", "liability_insurance", "in_force", Word("yes")))
    found = finding(evidence, one, "car")
    assert found.verdict == verdict
    assert found.lapses_on == (None if lapses is None else OUT + timedelta(lapses))


def test_a_borderline_that_refuses_is_not_lost_when_the_move_is_longer():
    renewal = Renewal("crew", Period(days=3), True)
    one = criterion("c", "wheel", must("at_least"), read_within=Period(days=90), renewal=renewal, borderline="refuse")
    near = [read(figure(14), 85, resolution=inches(1))]
    for back in (OUT, BACK):
        judgement = judge(car_record(near), move(back=back), rulebook([one], REACH), OUT)
        found = next(one for one in judgement.findings if one.part.key == WHEEL)
        assert (found.verdict, found.unmet) == ("borderline", True)


def test_the_miles_of_a_one_day_move_count_on_arrival():
    leg = Leg(1, "A", "B", Quantity("distance", 500, 1), {}, must().where)
    limit = Figure(Quantity("distance", 499, 1))
    one = criterion("c", "brake system", compare("brake system", "single_car_test", "within", limit))
    tested = reading("brake system", "single_car_test", Word("passed"), OUT, sort="test")
    for back in (OUT, BACK):
        judgement = judge(car_record([tested]), move(back=back, legs=(leg,)), rulebook([one], REACH), OUT)
        assert [f.verdict for f in judgement.findings] == ["lapses"]


@pytest.mark.parametrize(
    ("miles", "verdict", "lapses_on"), [(500, "lapses", OUT), (499, "met", None)], ids=["too many", "just enough"]
)
def test_the_miles_of_a_move_count_from_its_second_day_on(miles, verdict, lapses_on):
    """Nobody can say on which day which mile is made: what is good for 499 miles is surely good only on the first."""
    leg = Leg(1, "A", "B", Quantity("distance", miles, 1), {}, must().where)
    limit = Figure(Quantity("distance", 499, 1))
    one = criterion("c", "brake system", compare("brake system", "single_car_test", "within", limit))
    tested = reading("brake system", "single_car_test", Word("passed"), OUT, sort="test")
    judgement = judge(car_record([tested]), move(legs=(leg,)), rulebook([one], REACH), OUT)
    assert [(found.verdict, found.lapses_on) for found in judgement.findings] == [(verdict, lapses_on)]


def test_an_exception_that_the_miles_of_the_move_end_exempts_from_nothing_on_any_day_but_the_first():
    """Excepted up to 499 miles since the test, and then only till the car is 50 years old, on the sixth day: in between
    the criterion applies."""
    leg = Leg(1, "A", "B", Quantity("distance", 500, 1), {}, must().where)
    limit = Figure(Quantity("distance", 499, 1))
    fresh = compare("brake system", "single_car_test", "within", limit)
    one = criterion("c", "brake system", older("over", 100), when=older("under"), unless=fresh)
    tested = reading("brake system", "single_car_test", Word("passed"), OUT, sort="test")
    for legs, verdict in (((leg,), "breached"), ((), "not applicable")):
        judgement = judge(car_record([tested, built(50, 5)]), move(legs=legs), rulebook([one], REACH), OUT)
        assert [found.verdict for found in judgement.findings] == [verdict]


def test_a_day_that_has_not_come_yet_shows_nothing_that_was_done():
    one = criterion("c", "brake system", compare("brake system", "brake_maintenance_done_on", "within", YEAR))
    for on, verdict in ((OUT, "met"), (OUT + timedelta(days=1), "not shown")):
        done = reading("brake system", "brake_maintenance_done_on", Day(on, on, on.isoformat()), OUT)
        assert finding([done], one, "brake system").verdict == verdict


def test_a_test_with_an_overdue_device_is_not_shown():
    one = criterion("c", "brake system", compare("brake system", "single_car_test", "shown", Word("yes")))
    for due, verdict in ((OUT, "met"), (OUT - timedelta(days=1), "not shown")):
        facts = {"device_due": Day(due, due, due.isoformat())}
        tested = reading("brake system", "single_car_test", Word("passed"), OUT, sort="test", facts=facts)
        assert finding([tested], one, "brake system").verdict == verdict


def test_a_worse_reading_by_anyone_counts_against_what_an_accepted_person_showed():
    one = criterion("c", "wheel", must(), shown_by="accepted shop")
    good, bad = read(figure(16), 5), read(figure(10), 1, by=STRANGER)
    assert finding([good], one).verdict == "met"
    assert finding([read(figure(16), 1, by=STRANGER)], one).verdict == "not shown"
    assert finding([good, bad], one).verdict == "breached"


def test_who_read_what_decides_whether_a_criterion_applies_is_no_matter():
    when = compare("wheel", "rim_thickness", "over", Figure(inches(14)))
    one = criterion("c", "wheel", must(), when=when, shown_by="accepted shop")
    rim = read(figure(16), name="rim_thickness", by=STRANGER)
    judgement = judge(car_record([rim]), move(), rulebook([one], REACH), OUT)
    found = next(found for found in judgement.findings if found.part.key == WHEEL)
    assert (found.verdict, finding_words(explain(judgement, found)).reason) == (
        "not shown",
        "flange thickness: not read",
    )


def test_a_spare_is_breached_by_what_would_condemn_it_at_any_place():
    when = compare("wheel", "braked", "is", Word("yes"), owner="axle position")
    one = criterion("c", "wheel", must(), when=when)
    for sixteenths, verdict in ((10, "breached"), (16, "met"), (None, "not shown")):
        key = "wheel S-1 left"
        evidence = [] if sixteenths is None else [reading(key, "flange_thickness", figure(sixteenths), OUT)]
        judgement = judge(car_record(evidence, spare_wheelsets=("S-1",)), move(), rulebook([one], REACH), OUT)
        assert next(f.verdict for f in judgement.findings if f.part.key == key) == verdict


def test_an_age_reached_on_the_way_brings_the_part_under_the_criterion():
    born = OUT + timedelta(days=3)
    built = Day(born.replace(year=born.year - 50), born.replace(year=born.year - 50), "built")
    when = compare("car", "age", "at_least", Interval(Period(months=600)), owner="car")
    one = criterion("c", "wheel", must(), when=when)
    described = reading("car", "built_on", built, OUT, sort="description")
    assert finding([read(figure(10)), described], one).verdict == "breached"
    short = judge(car_record([read(figure(10)), described]), move(back=OUT), rulebook([one], REACH), OUT)
    assert next(f.verdict for f in short.findings if f.part.key == WHEEL) == "not applicable"


def built(years, days=0):
    """Built so long before the day of departure, less so many days."""
    day = OUT + timedelta(days=days)
    day = day.replace(year=day.year - years)
    return reading("car", "built_on", Day(day, day, "built"), OUT, sort="description")


def older(word, years=50):
    return compare("car", "age", word, Interval(Period(months=12 * years)), owner="car")


def insured_still():
    return compare("car", "liability_insurance", "in_force", Word("yes"), owner="car")


@pytest.mark.parametrize(("days", "verdict"), [(9, "breached"), (10, "not applicable")])
def test_an_exemption_by_a_paper_that_ends_on_the_way_exempts_from_nothing(days, verdict):
    one = criterion("c", "wheel", must(), unless=insured_still())
    paper = insured(OUT - timedelta(days=9), OUT + timedelta(days=days))
    assert finding([read(figure(10)), paper], one).verdict == verdict


def test_an_exemption_by_age_that_ends_on_the_way_exempts_from_nothing():
    one = criterion("c", "wheel", must(), unless=older("under"))
    assert finding([read(figure(10)), built(50, 3)], one).verdict == "breached"
    assert finding([read(figure(10)), built(50, 11)], one).verdict == "not applicable"
    judgement = judge(car_record([read(figure(10)), built(50, 3)]), move(), rulebook([one], REACH), OUT)
    reason = finding_words(explain(judgement, next(one for one in judgement.findings if one.part.key == WHEEL))).reason
    assert reason.startswith("its exception ends during the move (age of the car under 50 years")
    nearly = criterion("c", "wheel", must(), when=AllOf((older("at_least"), older("under", 51))))
    assert finding([read(figure(10)), built(50, 3)], nearly).verdict == "breached"
    assert finding([read(figure(10)), built(51, 3)], nearly).verdict == "breached"
    assert finding([read(figure(10)), built(51)], nearly).verdict == "not applicable"


def test_a_part_that_is_under_a_criterion_for_some_days_only_is_under_it():
    tested = compare("brake system", "single_car_test", "within", Interval(Period(days=30)))
    one = criterion("c", "brake system", tested, when=AllOf((older("at_least"), insured_still())))
    passed = reading("brake system", "single_car_test", Word("passed"), OUT - timedelta(days=28), sort="test")
    paper = insured(OUT - timedelta(days=9), OUT + timedelta(days=6))
    # 50 years old on the fourth day, the paper ends on the seventh: neither on departure nor on arrival
    found = finding([passed, paper, built(50, 3)], one, "brake system")
    assert (found.verdict, found.lapses_on) == ("lapses", OUT + timedelta(days=2))
    assert finding([passed, paper, built(50, 8)], one, "brake system").verdict == "not applicable"


def test_what_only_ceases_to_be_asked_on_the_way_does_not_lapse():
    one = criterion("c", "wheel", must(), when=older("under"), read_within=Period(days=90))
    assert finding([read(figure(16)), built(50, 3)], one).verdict == "met"


def test_a_reading_beyond_the_limit_is_no_matter_of_the_day_where_the_condition_is_unknown():
    when = compare("car", "liability_insurance", "shown", Word("yes"), owner="car")
    one = criterion("c", "wheel", must(), when=when, shown_by="host on the day")
    assert finding([read(figure(10))], one).verdict == "not shown"
    assert finding([], one).verdict == "for the day"


def test_a_restriction_is_the_effect_of_its_criterion():
    slow = (Restriction("speed", quantity=inches(1)),)
    one = criterion("c", "wheel", must(), effect="restrict", restrictions=slow)
    evidence = [
        reading(f"wheel W-{n} {side}", "flange_thickness", figure(16), OUT)
        for n in range(1, 5)
        for side in ("left", "right")
    ]
    assert judge(car_record(evidence), move(), rulebook([one], REACH), OUT).outcome == "ready"
    evidence[0] = reading("wheel W-1 left", "flange_thickness", figure(10), OUT)
    judgement = judge(car_record(evidence), move(), rulebook([one], REACH), OUT)
    assert judgement.outcome == "ready with restrictions"
    assert [found.said_by for found in judgement.restrictions] == ["test/c"]
