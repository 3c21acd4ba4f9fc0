"""Tests, papers, work, events, spares and roles of the installed vocabulary."""

import pytest

from carknocker.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()


def test_a_test_is_an_attribute_of_its_kind_and_its_facts_are_reachable() -> None:
    attribute = VOCABULARY.attribute("brake system", "single_car_test")
    assert attribute is not None
    assert (attribute.type, attribute.label) == ("test", "single-car brake test")
    facts = VOCABULARY.facts_of(attribute)
    assert facts["code"].one_of == ("manual", "automated", "four-pressure", "passenger")
    assert facts["device_due"].type == "date"
    assert facts["leakage"].type == "pressure per minute"


def test_a_paper_is_an_attribute_of_the_car_and_its_facts_are_reachable() -> None:
    attribute = VOCABULARY.attribute("car", "liability_insurance")
    assert attribute is not None
    assert (attribute.type, attribute.label) == ("paper", "liability insurance")
    assert VOCABULARY.facts_of(attribute)["amount"].type == "text"


def test_other_attributes_have_no_facts() -> None:
    assert VOCABULARY.facts_of(VOCABULARY.kinds["wheel"].attributes["flange_height"]) == {}


def test_every_test_and_paper_is_an_attribute() -> None:
    for test in VOCABULARY.tests.values():
        assert VOCABULARY.kinds[test.on].attributes[test.attribute].type == "test"
    for paper in VOCABULARY.papers.values():
        assert VOCABULARY.kinds["car"].attributes[paper.attribute].type == "paper"


def test_work_and_events_stand_on_kinds_that_there_are() -> None:
    for entry in (*VOCABULARY.work.values(), *VOCABULARY.events.values()):
        assert entry.on, entry.name
        assert set(entry.on) <= VOCABULARY.kinds.keys(), entry.name
    assert not VOCABULARY.work.keys() & VOCABULARY.events.keys()


def test_which_work_moves_wheelsets() -> None:
    moving = [work.name for work in VOCABULARY.work.values() if work.moves_wheelsets]
    assert moving == ["wheelset renewed", "wheelset moved"]


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("wheels turned", "wheel"),
        ("wheels renewed on the axle", "wheelset"),
        ("bearing opened", "bearing"),
        ("truck rolled out and returned", "truck"),
        ("center-plate liner renewed", "center plate"),
        ("side bearings adjusted", "side bearing"),
        ("service portion replaced", "brake system"),
        ("brake cylinder renewed", "brake cylinder"),
        ("hose renewed", "air hose"),
        ("brake maintenance done", "brake system"),
        ("hand brake repaired", "hand brake"),
        ("coupler renewed", "coupler"),
        ("draft gear renewed", "draft gear"),
        ("safety appliance repaired", "safety appliance"),
        ("electric welding", "truck"),
        ("head-end power work", "head-end power"),
        ("gas work", "body"),
    ],
)
def test_work_of_the_trade(name: str, kind: str) -> None:
    assert kind in VOCABULARY.work[name].on


@pytest.mark.parametrize(
    ("name", "kind", "fact"),
    [
        ("slid wheels", "wheel", "cause"),
        ("hot bearing", "bearing", "temperature"),
        ("detector stop", "axle position", "above_ambient"),
        ("derailment", "axle position", "dragged"),
        ("laid up", "car", "days"),
        ("hard coupling", "end", "speed"),
        ("stuck brake", "truck", "miles"),
        ("set out", "car", "reason"),
        ("gauge found wrong", "car", "gauge"),
    ],
)
def test_events_of_the_trade(name: str, kind: str, fact: str) -> None:
    event = VOCABULARY.events[name]
    assert kind in event.on
    assert fact in event.facts


def test_what_a_spare_fits_is_an_attribute_of_the_same_type_on_both_sides() -> None:
    for spare in VOCABULARY.spares.values():
        own = dict(spare.facts)
        if spare.thing:
            own.update(VOCABULARY.kinds[spare.thing].attributes)
        for mine, theirs in spare.fits.items():
            assert VOCABULARY.attribute(theirs.kind, theirs.name) == theirs, f"{spare.name}: {theirs.name}"
            assert own[mine].type == theirs.type
            assert own[mine].one_of == theirs.one_of


def test_a_wheelset_fits_by_axle_class_and_journal_centers() -> None:
    spare = VOCABULARY.spares["wheelset"]
    assert spare.thing == "wheelset"
    assert {mine: (theirs.kind, theirs.name) for mine, theirs in spare.fits.items()} == {
        "axle_class": ("truck", "takes_axle_class"),
        "journal_centers": ("truck", "takes_journal_centers"),
    }


def test_a_fact_that_only_fits_names_is_as_on_the_part() -> None:
    fact = VOCABULARY.spares["service portion"].facts["control_valve"]
    assert (fact.type, fact.kind) == ("one of", "")
    assert {"AB", "ABD", "26-C", "UC"} <= set(fact.one_of)


def test_roles() -> None:
    assert {"owner", "owner's helper", "shop inspector", "host's inspector"} <= set(VOCABULARY.roles)
