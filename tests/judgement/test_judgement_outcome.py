"""Relief, restrictions against the move, repair moves, triggers that outlive the repair."""

from datetime import timedelta

import pytest
from msgspec.structs import replace
from random_worlds import (
    BACK,
    HOST,
    NOWHERE,
    OUT,
    REACH,
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

from carknocker.dossier.heading import outcome_line
from carknocker.judgement.judge import judge
from carknocker.quantities import Period, Quantity
from carknocker.record.model import Leave, Spare, Work
from carknocker.record.values import Day, Figure, Interval, Word
from carknocker.rulebook.model import Restriction, Restricts, Voids
from carknocker.wording.refusals import against_words

TEST = "single-car brake test"
THICK = criterion("thick", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))))
BY_LEAVE = consequence("by-leave", [cause("leave")], relieves(named=True))
FOR_REPAIR = consequence(
    "for-repair",
    [cause("leave")],
    relieves(named=True, purpose="repair", leaves=(Restriction("riders", words=("nobody",)),)),
)


def mph(number):
    return Quantity("speed", number, 1, "mph")


def leave(criterion="thick", purpose="move", **more):
    given = {
        "id": "L-1",
        "host": HOST,
        "criterion": criterion,
        "at": ("car",),
        "first": OUT - timedelta(days=1),
        "last": BACK,
        "purpose": purpose,
        "signed_by": "NN",
        "paper": "letter 1",
        "where": NOWHERE,
        "signed_on": OUT - timedelta(days=1),
    }
    return Leave(**{**given, **more})


def car(thin=True, leaves=(), work=(), more=()):
    wheels = [f"wheel W-{n} {side}" for n in range(1, 5) for side in ("left", "right")]
    values = [10 if thin and wheel == wheels[0] else 16 for wheel in wheels]
    evidence = [
        reading(wheel, "flange_thickness", Figure(inches(value)), OUT - timedelta(days=3), place="axle position 1")
        for wheel, value in zip(wheels, values, strict=True)
    ]
    return car_record([*evidence, *more], leaves=list(leaves), work=list(work))


def outcome(record, consequences=(), one=THICK, **more):
    return judge(record, move(**more), rulebook([one], [*REACH, *consequences]), OUT)


def test_a_host_s_written_leave_cancels_the_effect_and_leaves_the_verdict():
    judgement = outcome(car(leaves=[leave()]), [BY_LEAVE])
    assert judgement.outcome == "ready with restrictions"
    said = "under written permission L-1 of Test Host, and under the restrictions and duties below"
    assert said.replace("Test Host", HOST) in outcome_line(judgement, 0)
    thin = next(one for one in judgement.findings if one.verdict == "breached")
    assert thin.relieved


@pytest.mark.parametrize(
    "unfit",
    [
        leave(host="Another host"),
        leave(last=BACK - timedelta(days=1)),
        leave(first=OUT + timedelta(days=1)),
        leave(criterion="another"),
        leave(purpose="repair"),
        leave(at=("wheel W-2 left",)),
        leave(at=()),
        leave(signed_on=None),
        leave(unsaid=("speed",)),
    ],
    ids=["host", "last day", "first day", "criterion", "purpose", "part", "no part", "not signed", "says no speed"],
)
def test_a_leave_for_something_else_relieves_nothing(unfit):
    assert outcome(car(leaves=[unfit]), [BY_LEAVE]).outcome == "not ready"


def test_a_host_may_relieve_law_only_where_the_criterion_allows_it():
    """A letter about a requirement of the circular relieves no law; a rule that lists the law's prudent limit does,
    where the letter names it."""
    lists = replace(BY_LEAVE, yields=(relieves(criteria=("test/thick", "test/other")),))
    for layer, relaxable, rule, named, allowed in (
        ("law", False, BY_LEAVE, "thick", False),
        ("law", True, BY_LEAVE, "thick", False),
        ("trade", True, BY_LEAVE, "thick", False),
        ("host", False, BY_LEAVE, "thick", True),
        ("law", False, lists, "thick", False),
        ("law", True, lists, "thick", True),
        ("law", True, lists, "other", False),
    ):
        one = replace(THICK, layer=layer, may_be_relaxed=relaxable)
        found = outcome(car(leaves=[leave(named)]), [rule], one).outcome
        assert found == ("ready with restrictions" if allowed else "not ready"), (layer, relaxable, named)


def test_a_leave_that_names_no_part_is_for_the_only_one_there_is():
    test = replace(THICK, of="brake system", must=compare("brake system", "cut_out", "is", Word("no")))
    on = OUT - timedelta(days=3)
    cut_out = [reading("brake system", "cut_out", Word("yes"), on)]
    for given in (leave(at=()), leave(at=("brake system",))):
        found = outcome(car(False, [given], more=cut_out), [BY_LEAVE], test)
        assert found.outcome == "ready with restrictions"


@pytest.mark.parametrize(
    ("part", "outcome_"),
    [
        ("wheel W-1 left", "ready with restrictions"),
        ("wheelset W-1", "ready with restrictions"),
        ("truck B", "ready with restrictions"),
        ("car", "ready with restrictions"),
        ("wheel W-1 right", "not ready"),
        ("bearing W-1 left", "not ready"),
        ("truck A", "not ready"),
        ("coupler B", "not ready"),
        ("brake system", "not ready"),
    ],
)
def test_a_leave_covers_its_part_what_it_is_in_and_what_is_in_it_and_nothing_beside(part, outcome_):
    assert outcome(car(leaves=[leave(at=(part,))]), [BY_LEAVE]).outcome == outcome_


def test_the_practice_of_the_trade_relieves_no_law_either():
    law = replace(THICK, layer="law", may_be_relaxed=False)
    for layer, outcome_ in (("trade", "not ready"), ("law", "ready with restrictions")):
        rule = replace(BY_LEAVE, layer=layer)
        assert outcome(car(leaves=[leave()]), [rule], law).outcome == outcome_


def test_what_a_leave_restricts_may_call_for_more():
    told = consequence("told", [cause("restricted", names=("speed",))], requires("car", words="tell the crew"))
    assert outcome(car(leaves=[leave()]), [BY_LEAVE, told]).outcome == "ready with restrictions"
    assert outcome(car(leaves=[leave(speed=mph(25))]), [BY_LEAVE, told]).outcome == "not ready"


def aged(word, years):
    return compare("car", "age", word, Interval(Period(months=12 * years)), owner="car")


@pytest.mark.parametrize("days", [3, 11], ids=["50 years old on the way", "50 years old after the move"])
def test_a_state_burdens_from_the_day_it_holds_and_relieves_only_to_the_end(days):
    day = OUT + timedelta(days=days)
    day = day.replace(year=day.year - 50)
    built = reading("car", "built_on", Day(day, day, "built"), OUT, sort="description")
    old = consequence("old", [cause("state", of="car", when=aged("at_least", 50))], requires("car", words="ask"))
    record = car(thin=False, more=[built])
    assert outcome(record, [old]).outcome == ("not ready" if days == 3 else "ready")
    young = consequence("young", [cause("state", of="car", when=aged("under", 50))], relieves(criteria=("test/thick",)))
    assert outcome(car(more=[built]), [young]).outcome == ("not ready" if days == 3 else "ready")


def test_what_a_leave_restricts_stands_in_the_place_of_the_refusal():
    judgement = outcome(car(leaves=[leave(speed=mph(25))]), [BY_LEAVE])
    assert judgement.outcome == "ready with restrictions"
    assert [one.restriction.quantity for one in judgement.restrictions] == [mph(25)]
    assert outcome(car(thin=False, leaves=[leave(speed=mph(25))]), [BY_LEAVE]).outcome == "ready"


def test_a_move_for_repair_needs_every_refusal_relieved_and_its_own_conditions_kept():
    allowed = [leave(purpose="repair")]
    assert outcome(car(leaves=allowed), [FOR_REPAIR], rides="nobody").outcome == "repair move only"
    assert outcome(car(leaves=allowed), [FOR_REPAIR], rides="passengers").outcome == "not ready"
    coupler = criterion("height", "coupler", compare("coupler", "coupler_height", "over", Figure(inches(14))))
    book = rulebook([THICK, coupler], [*REACH, FOR_REPAIR])
    assert judge(car(leaves=allowed), move(rides="nobody"), book, OUT).outcome == "not ready"


def slow(*speeds):
    restrictions = [Restriction("speed", quantity=mph(speed)) for speed in speeds]
    return [consequence("slow", [cause("finding", verdicts=("breached",))], Restricts(tuple(restrictions)))]


def advised(record, consequences, **more):
    return outcome(record, consequences, replace(THICK, effect="advise"), **more)


def test_the_smallest_speed_counts_and_a_faster_train_is_against_the_move():
    assert advised(car(), slow(40, 30)).outcome == "ready with restrictions"
    for speed, wanted in ((30, "ready with restrictions"), (31, "not ready")):
        facts = {"speed": Figure(mph(speed))}
        assert advised(car(), slow(40, 30), train_facts=facts).outcome == wanted


def test_half_the_train_s_maximum_allowable_speed_or_40_whichever_is_less():
    both = Restricts((Restriction("speed", share=Quantity("ratio", 1, 2)), Restriction("speed", quantity=mph(40))))
    rule = [consequence("half", [cause("finding", verdicts=("breached",))], both)]

    def at(speed, allowable=None):
        facts = {"speed": Figure(mph(speed))}
        facts |= {} if allowable is None else {"maximum_allowable_speed": Figure(mph(allowable))}
        return advised(car(), rule, train_facts=facts)

    def against(judgement):
        return [against_words(refusal.against) for refusal in judgement.refusals]

    assert against(at(60, 90)) == ["the train is to run at 60 mph; the car may run at most 40 mph"]
    assert against(at(40, 79)) == ["the train is to run at 40 mph; the car may run at most 39.5 mph"]
    assert at(40, 80).outcome == at(39, 79).outcome == "ready with restrictions"
    # a train whose maximum allowable speed nobody says may be allowed no more than it is to run
    assert against(at(40)) == ["the train is to run at 40 mph; the car may run at most 20 mph"]


def test_a_car_that_may_only_go_to_some_places():
    def rules(*lists):
        return [
            consequence(
                f"to-{n}",
                [cause("finding", verdicts=("breached",))],
                Restricts((Restriction("destination", words=words),)),
            )
            for n, words in enumerate(lists)
        ]

    station, shop = "next forward passenger station", "nearest repair location"

    def going(to, *lists):
        return advised(car(), rules(*lists), facts={} if to is None else {"goes_to": Word(to)})

    assert (
        going(shop, (station, shop)).outcome
        == going(shop, (station, shop), (shop,)).outcome
        == "ready with restrictions"
    )
    assert going(station, (station, shop), (shop,)).outcome == "not ready"
    (refusal,) = going(None, (shop,)).refusals
    assert against_words(refusal.against) == (
        "the move does not say where it goes (`goes_to`); allowed: nearest repair location"
    )
    (refusal,) = going("elsewhere", (shop,)).refusals
    assert against_words(refusal.against) == "the move goes to: elsewhere; allowed: nearest repair location"


def test_places_are_those_in_all_lists():
    def place(*words):
        return Restriction("place", words=words)

    def rules(*restrictions):
        return [
            consequence(f"place-{n}", [cause("finding", verdicts=("breached",))], Restricts((one,)))
            for n, one in enumerate(restrictions)
        ]

    rear = {"place": Word("rear")}
    assert advised(car(), rules(place("rear", "front"), place("rear")), train_facts=rear).outcome == (
        "ready with restrictions"
    )
    assert advised(car(), rules(place("front")), train_facts=rear).outcome == "not ready"
    assert advised(car(), rules(place("front"), place("rear"))).outcome == "not ready"


def test_a_slid_flat_calls_for_its_test_after_the_wheel_was_turned_too():
    flat = criterion("flat", "wheel", compare("wheel", "flat_spot_length", "under", Figure(inches(40))))
    seen = consequence(
        "seen", [cause("seen", verdicts=("breached",), criteria=("test/flat",))], requires("brake system", test=TEST)
    )
    turned = consequence("turned", [cause("work", names=("wheels turned",))], Voids("", ("flat_spot_length",), "wheel"))
    key = "wheel W-1 left"
    found = reading(key, "flat_spot_length", Figure(inches(44)), OUT - timedelta(days=30), place="axle position 1")
    again = reading(key, "flat_spot_length", Figure(inches(0)), OUT - timedelta(days=10), place="axle position 1")
    work = [Work("J-1", False, "wheels turned", OUT - timedelta(days=20), (key,), NOWHERE)]
    others = [
        reading(f"wheel W-{n} {side}", "flat_spot_length", Figure(inches(0)), OUT)
        for n in range(1, 5)
        for side in ("left", "right")
        if (n, side) != (1, "left")
    ]
    tested = reading("brake system", "single_car_test", Word("passed"), OUT - timedelta(days=5), sort="test")
    book = rulebook([flat], [*REACH, seen, turned])
    before = judge(car_record([found, again, *others], work=work), move(), book, OUT)
    assert [refusal.duty.consequence.name for refusal in before.refusals] == ["seen"]
    assert before.refusals[0].duty.since == OUT - timedelta(days=30)
    after = judge(car_record([found, again, tested, *others], work=work), move(), book, OUT)
    assert after.outcome == "ready"


def test_an_event_on_a_wheelset_that_is_gone_stays_with_the_place():
    slid = Work("E-1", True, "slid wheels", OUT - timedelta(days=30), ("wheel W-9 left",), NOWHERE)
    rule = consequence("slid", [cause("event", names=("slid wheels",))], requires("brake system", test=TEST))
    record = car(thin=False, work=[slid])
    gone = replace(
        record,
        fittings=(
            *(one for one in record.fittings if one.axle != 1),
            replace(record.fittings[0], wheelset="W-9", last=OUT - timedelta(days=20), ended_with="J-1"),
            replace(record.fittings[0], first=OUT - timedelta(days=20), began_with="J-1"),
        ),
    )
    assert [one.state for one in outcome(gone, [rule]).duties] == ["open"]


def test_a_repair_leave_of_a_host_relieves_no_law():
    law = replace(THICK, layer="law", may_be_relaxed=False)
    allowed = [leave(purpose="repair")]
    assert outcome(car(leaves=allowed), [FOR_REPAIR], law, rides="nobody").outcome == "not ready"
    by_law = replace(FOR_REPAIR, layer="law", id="law/for-repair")
    assert outcome(car(leaves=allowed), [by_law], law, rides="nobody").outcome == "repair move only"


def test_a_leave_stops_no_consequence_of_the_law_and_no_path_to_the_car():
    event = Work("E-1", True, "slid wheels", OUT - timedelta(days=9), ("wheel W-1 left",), NOWHERE)
    rule = consequence("slid", [cause("event", names=("slid wheels",))], requires("brake system", test=TEST))
    named = [leave(criterion="slid")]
    assert outcome(car(False, named, [event]), [BY_LEAVE, rule]).outcome == "ready with restrictions"
    unplaced = [leave(criterion="slid", at=())]
    assert outcome(car(False, unplaced, [event]), [BY_LEAVE, rule]).outcome == "not ready"
    assert outcome(car(False, named, [event]), [BY_LEAVE, replace(rule, layer="law")]).outcome == "not ready"
    assert outcome(car(leaves=[leave(criterion="wheels-up")]), [BY_LEAVE]).outcome == "not ready"


def test_a_leave_that_names_nothing_known_is_said():
    notes = outcome(car(leaves=[leave(criterion="thik")]), [BY_LEAVE]).notes
    assert any("`thik`, which no rule in force has; the nearest is `thick`" in note for note in notes)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({}, ""),
        ({"at": ("coupler B",)}, "Permission L-1 relieves nothing"),
        ({"purpose": "repair"}, "permission for a repair cancel `thick`"),
        ({"last": BACK - timedelta(days=1)}, "does not cover the whole move"),
        ({"last": OUT - timedelta(days=1)}, ""),
        ({"host": "Another"}, ""),
    ],
)
def test_a_leave_that_does_nothing_is_said(given, words):
    notes = outcome(car(leaves=[leave(**given)]), [BY_LEAVE]).notes
    assert words in notes[0] if words else notes == ()


def test_a_day_after_departure_is_said():
    record, book = car(thin=False), rulebook([THICK], REACH)
    assert judge(record, move(), book, OUT).notes == ()
    assert "began on" in judge(record, move(), book, OUT + timedelta(days=1)).notes[0]
    assert "ended on" in judge(record, move(), book, BACK + timedelta(days=1)).notes[0]


def fittings_of(record, *, gone="W-9", until):
    """Axle 1 held another wheelset up to a day."""
    return (
        *(one for one in record.fittings if one.axle != 1),
        replace(record.fittings[0], wheelset=gone, last=until, ended_with="J-1"),
        replace(record.fittings[0], first=until, began_with="J-1"),
    )


def test_what_happened_to_a_wheelset_that_is_gone_asks_nothing_of_the_one_that_came():
    until = OUT - timedelta(days=20)
    hot = Work("E-1", True, "slid wheels", OUT - timedelta(days=30), ("wheel W-9 left",), NOWHERE)
    record = car(thin=False, work=[hot])
    record = replace(record, fittings=fittings_of(record, until=until))
    look = consequence(
        "look", [cause("event", names=("slid wheels",))], requires("wheelset", test="wheelset mounting check")
    )
    assert outcome(record, [look]).duties == ()
    still = replace(record, work=(replace(hot, at=("wheel W-2 left",)),))
    assert [one.part.key for one in outcome(still, [look]).duties] == ["wheelset W-2"]


def test_what_happened_to_a_wheelset_that_is_gone_still_voids_the_readings_of_its_place():
    until = OUT - timedelta(days=20)
    slid = Work("E-1", True, "slid wheels", OUT - timedelta(days=30), ("wheel W-9 left",), NOWHERE)
    old = reading("side bearing BL", "clearance", Figure(inches(4)), OUT - timedelta(days=40))
    other = reading("side bearing AL", "clearance", Figure(inches(4)), OUT - timedelta(days=40))
    new_wheel = reading("wheel W-1 left", "rim_thickness", Figure(inches(20)), OUT - timedelta(days=50))
    record = car(thin=False, work=[slid], more=[old, other, new_wheel])
    record = replace(record, fittings=fittings_of(record, until=until))
    voids = [
        consequence("truck", [cause("event", names=("slid wheels",))], Voids("", ("clearance",), "side bearing")),
        consequence("wheel", [cause("event", names=("slid wheels",))], Voids("", ("rim_thickness",), "wheel")),
    ]
    assert [one.evidence.part for one in outcome(record, voids).voided] == ["side bearing BL"]


def test_advice_never_changes_the_outcome():
    assert outcome(car(), one=replace(THICK, effect="advise")).outcome == "ready"


def test_routine_duties_on_the_way_leave_a_car_ready_and_others_restrict_it():
    for routine, wanted in ((True, "ready"), (False, "ready with restrictions")):
        duty = requires("car", words="look at it", when="on the way", routine=routine)
        rule = consequence(
            "look",
            [cause("state", of="car", when=compare("car", "train", "is", Word("passenger"), owner="move"))],
            duty,
        )
        assert outcome(car(thin=False), [rule]).outcome == wanted


@pytest.mark.parametrize(
    ("number", "carried", "state"), [(2, 2, "done"), (2, 1, "open"), (1, 1, "done"), (1, 0, "open")]
)
def test_as_many_spares_as_the_circular_asks_for_ride_along(number, carried, state):
    needs = requires("car", spare="air hose", number=number)
    asked = consequence("hoses", [cause("event", names=("slid wheels",))], needs)
    slid = Work("E-1", True, "slid wheels", OUT - timedelta(days=5), ("wheel W-1 left",), NOWHERE)
    record = replace(car(thin=False, work=[slid]), spares=(Spare("S-1", "air hose", "", carried, 0, {}, NOWHERE),))
    judgement = outcome(record, [asked])
    assert {duty.state for duty in judgement.duties} == {state}
    assert judgement.outcome == ("ready" if state == "done" else "not ready")


@pytest.mark.parametrize(("trucks", "carried", "state"), [(2, 4, "done"), (2, 3, "open")])
def test_with_each_so_many_ride_along_for_each_part(trucks, carried, state):
    described = [compare("truck", "truck_kind", "is", Word("two-axle"))]
    asked = consequence("hoses", [cause("state", of="truck", when=one) for one in described],
                        requires("truck", spare="air hose", number=2, each=True))  # fmt: skip
    record = replace(car(thin=False), spares=(Spare("S-1", "air hose", "", carried, 0, {}, NOWHERE),))
    assert [duty.state for duty in outcome(record, [asked]).duties] == [state] * trucks


@pytest.mark.parametrize(("named", "relieved"), [("hoses", True), ("thick", False)])
def test_a_leave_may_name_the_rule_behind_a_duty(named, relieved):
    asked = consequence("hoses", [cause("event", names=("slid wheels",))], requires("car", spare="air hose", number=1))
    slid = Work("E-1", True, "slid wheels", OUT - timedelta(days=5), ("wheel W-1 left",), NOWHERE)
    judgement = outcome(car(thin=False, work=[slid], leaves=[leave(named)]), [asked, BY_LEAVE])
    assert (not judgement.refusals) is relieved
