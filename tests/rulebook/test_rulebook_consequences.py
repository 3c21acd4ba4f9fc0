"""Consequences and their causes: what is read from them and what is refused."""

from pathlib import Path

import pytest
from rulebook_samples import (
    consequence_text,
    problems_of,
    read,
    said,
)

from carknocker.quantities import Period, read_quantity
from carknocker.rulebook.clauses import Comparison
from carknocker.rulebook.model import CarriesUp, Occasion, Relieves, Requires, Restriction, Restricts, Voids


def test_all_yields_of_a_consequence(tmp_path: Path) -> None:
    keys = (
        "when: {move.train: passenger}\ncause: [{work: [valve replaced], when: {control_valve: UC}}, {event:"
        " slid wheels}]\n"
        "voids: [{test: single-car brake test}, {readings: [leakage], of: brake system}]\n"
        "carries_up: [truck, car]\n"
        "requires:\n"
        "  - {test: single-car brake test, when: before departure, within: 30 days}\n"
        "  - {spare: air hose, of: car, each: yes, number: 2, effect: advise}\n"
        "  - {duty: feel every box, when: on the way, routine: yes}\n"
        "restricts: {speed: 40 mph}\n"
        "relieves: [{criterion: named, for: repair, leaves: {speed: 10 mph}}, {criterion: flange},"
        " {consequence: law/follows},"
        " {finding: same, of: wheel}]\n"
    )
    consequence = read(tmp_path, consequence_text(keys)).consequences[0]
    assert [cause.sort for cause in consequence.causes] == ["work", "event"]
    first, second, carries, test, spare, duty, restricts, named, criterion, stopped, same = consequence.yields
    assert first == Voids("single-car brake test", (), "brake system")
    assert second == Voids("", ("leakage",), "brake system")
    assert carries == CarriesUp(("truck", "car"))
    assert test == Requires(
        "single-car brake test", "", "brake system", "before departure", "refuse", Period(30), False, False, ""
    )
    assert spare == Requires("", "air hose", "car", "before departure", "advise", None, True, False, "", number=2)
    assert duty == Requires("", "", "car", "on the way", "refuse", None, False, True, "feel every box")
    assert isinstance(restricts, Restricts)
    slow = Restriction("speed", quantity=read_quantity("10 mph", "speed"))
    assert named == Relieves(False, True, (), (), "", (slow,), "repair")
    assert criterion == Relieves(False, False, ("law/flange",), (), "", (), "move")
    assert stopped == Relieves(False, False, (), ("law/follows",), "", (), "move")
    assert same == Relieves(True, False, (), (), "wheel", (), "move")


def test_when_a_duty_on_the_way_falls_due(tmp_path: Path) -> None:
    keys = (
        "cause: {work: valve replaced}\nrequires:\n"
        "  - {duty: look, when: on the way, every: [day in service, 1500 mi]}\n"
        "  - {test: single-car brake test, when: on the way, within_first: 2 days}\n"
        "  - {duty: feel, when: on the way, every: leg}\n"
    )
    look, test, feel = read(tmp_path, consequence_text(keys)).consequences[0].yields
    assert isinstance(look, Requires)
    assert isinstance(test, Requires)
    assert isinstance(feel, Requires)
    miles = Occasion("miles", miles=read_quantity("1500 mi", "distance"))
    assert look.every == (Occasion("day in service"), miles)
    assert (test.every, test.within_first) == ((), Occasion("period", period=Period(2)))
    assert [str(one) for one in (*look.every, test.within_first, *feel.every)] == [
        "day in service", "1,500 miles", "2 days", "leg"
    ]  # fmt: skip


def test_causes_on_findings(tmp_path: Path) -> None:
    keys = (
        "cause:\n  - {finding: unmet, of: wheel, effect: refuse}\n  - {finding: [breached, lapses], criterion:"
        " flange}\n"
        "  - {seen: breached, criterion: [flange, other/rim], when: {plate: curved}, of: wheel}\n"
        "  - {duty: open, consequence: follows}\n  - {unfit: truck}\n  - {restricted: [speed, place]}\n"
        "  - {state: {plate: curved}, of: wheel}\n  - {leave: any}\n  - {test: single-car brake test}\n"
        "  - {event: slid wheels, when: {fact.cause: other}}\n  - {finding: unmet, criterion: flange, when:"
        " {plate: curved}}\n"
        "restricts: {speed: 40 mph}"
    )
    causes = read(tmp_path, consequence_text(keys)).consequences[0].causes
    assert (causes[0].unmet, causes[0].of, causes[0].effect) == (True, "wheel", "refuse")
    assert (causes[1].verdicts, causes[1].criteria) == (("breached", "lapses"), ("law/flange",))
    assert (causes[2].verdicts, causes[2].criteria) == (("breached",), ("law/flange", "other/rim"))
    assert causes[3].names == ("law/follows",)
    assert causes[4].names == ("truck",)
    assert causes[5].names == ("speed", "place")
    assert isinstance(causes[6].when, Comparison)
    assert causes[8].names == ("single-car brake test",)
    assert isinstance(causes[9].when, Comparison)
    assert str(causes[9].when.path) == "fact.cause"
    assert causes[10].when is not None


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("restricts: {speed: 40 mph}", ["a consequence without `cause`"]),
        ("cause: {work: valve replaced}", ["nothing follows"]),
        ("cause: []\nrestricts: {speed: 40 mph}", ["at least one cause"]),
        ("cause: {work: valve repalced}\nrestricts: {speed: 40 mph}", ["/ valve replaced /"]),
        ("cause: {works: valve replaced}\nrestricts: {speed: 40 mph}", ["one cause: a mapping"]),
        ("cause: {work: valve replaced, event: derailment}\nrestricts: {speed: 40 mph}", ["a list of causes"]),
        ("cause: {work: }\nrestricts: {speed: 40 mph}", ["`work` with nothing behind it"]),
        ("cause: {finding: unmets}\nrestricts: {speed: 40 mph}", ["/ unmet /"]),
        ("cause: {finding: [unmet, met]}\nrestricts: {speed: 40 mph}", ["a list of verdicts without it"]),
        ("cause: {finding: relieved}\nrestricts: {speed: 40 mph}", ["a finding: one of"]),
        ("cause: {seen: met, criterion: flange}\nrequires: {duty: look}", ["what was seen"]),
        ("cause: {seen: breached}\nrequires: {duty: look}", ["without `criterion`"]),
        ("cause: {duty: done}\nrestricts: {speed: 40 mph}", ["a duty that causes something"]),
        ("cause: {state: {plate: curved}}\nrestricts: {speed: 40 mph}", ["without `of`"]),
        ("cause: {finding: unmet, criterion: flang}\nrestricts: {speed: 40 mph}", ["`flang` in follows", "/ flange /"]),
        ("cause: {duty: open, consequence: folows}\nrestricts: {speed: 40 mph}", ["/ follows /"]),
        ("cause: {finding: unmet, when: {plate: curved}}\nrestricts: {speed: 40 mph}", ["`of: KIND` beside it"]),
        ("cause: {event: slid wheels, when: {fact.cuase: other}}\nrequires: {duty: look}", ["/ cause /"]),
        ("cause: {event: [slid wheels, derailment], when: {fact.cause: other}}\nrequires: {duty: look}",
         ["`fact.cause`"]),
        ("cause: {leave: some}\nrelieves: {criterion: named}", ["`any`"]),
        ("cause: {unfit: wheels}\nrestricts: {speed: 40 mph}", ["/ wheel /"]),
        ("cause: {restricted: sped}\nrestricts: {speed: 40 mph}", ["/ speed /"]),
        ("when: {plate: curved}\ncause: {leave: any}\nrelieves: {criterion: named}",
         ["an attribute of the kind wheel"]),
        ("cause: {work: valve replaced}\nvoids: {test: single car test}", ["/ single-car brake test /"]),
        ("cause: {work: valve replaced}\nvoids: {test: single-car brake test, of: car}",
         ["stands on the brake system"]),
        ("cause: {work: valve replaced}\nvoids: {readings: [plate], of: wheel}", ["a description, undated"]),
        ("cause: {work: valve replaced}\nvoids: {readings: [rim_left], of: wheel}", ["which is derived"]),
        ("cause: {work: valve replaced}\nvoids: {readings: [flange], of: wheel}",
         ["attribute of the wheel `flange`"]),
        ("cause: {work: valve replaced}\nvoids: {readings: [leakage]}", ["without `of`"]),
        ("cause: {work: valve replaced}\nvoids: {of: car}", ["either `test: NAME` or"]),
        ("cause: {work: valve replaced}\nvoids: []", ["what `voids` means"]),
        ("cause: {work: valve replaced}\nwithdraws: {readings: [leakage], of: brake system}", ["/ voids /"]),
        ("cause: {finding: [not shown, withdrawn], criterion: flange}\nrestricts: {speed: 40 mph}", ["/ void /"]),
        ("cause: {unfit: truck}\ncarries_up: [cars]", ["/ car /"]),
        ("cause: {unfit: truck}\ncarries_up: []", ["kinds of container"]),
        ("cause: {work: valve replaced}\nrequires: {spare: air hoses, of: car}", ["/ air hose /"]),
        ("cause: {work: valve replaced}\nrequires: {spare: air hose}", ["without `of`"]),
        ("cause: {work: valve replaced}\nrequires: {of: car}", ["exactly one of `test`"]),
        ("cause: {work: valve replaced}\nrequires: {duty: look, when: later}", ["when a duty is done"]),
        ("cause: {work: valve replaced}\nrequires: {duty: look, routine: yes}", ["only with `when: on the way`"]),
        ("cause: {work: valve replaced}\nrequires: {duty: look, every: leg}", ["`every` only with `when: on the way`"]),
        ("cause: {unfit: car}\nrequires: {duty: look, number: 2}", ["`number` only with `spare`"]),
        ("cause: {unfit: car}\nrequires: {spare: air hose, of: car, number: 0}", ["a whole number of spares"]),
        ("cause: {work: valve replaced}\nrequires: {duty: look, within_first: leg}", ["`within_first` only with"]),
        ("cause: {unfit: car}\nrequires: {duty: look, when: on the way, every: often}", ["`day in service`, `leg`"]),
        ("cause: {unfit: car}\nrequires: {duty: look, when: on the way, every: 0 days}", ["which never passes"]),
        ("cause: {unfit: car}\nrequires: {duty: look, when: on the way, every: -1 mi}", ["a period such as `30 days`"]),
        ("cause: {unfit: car}\nrequires: {duty: look, when: on the way, every: []}", ["an empty list"]),
        ("cause: {unfit: car}\nrequires: {duty: look, when: on the way, within_first: day in service}",
         ["`leg`, a period, or a distance"]),
        ("cause: {unfit: car}\nrequires: {duty: look, when: on the way, every: leg, within_first: leg}",
         ["it comes round, or is done once"]),
        ("cause: {unfit: car}\nrequires: {spare: air hose, of: car, when: on the way, every: leg}",
         ["a test or a duty"]),
        ("cause: {leave: any}\nrelieves: {of: wheel}", ["exactly one of `finding: same`"]),
        ("cause: {leave: any}\nrelieves: {finding: other}", ["`same`"]),
        ("cause: {leave: any}\nrelieves: {criterion: flang}", ["/ flange /"]),
        ("cause: {leave: any}\nrelieves: {criterion: named, for: shop}", ["what a relief is for"]),
        ("cause: {state: sometimes, of: car}\nrequires: {duty: look, when: on the way}", ["`sometimes`", "`always`"]),
        ("id: Not A Name\ncause: {leave: any}\nrelieves: {criterion: named}", ["small letters, digits and hyphens"]),
    ],
)  # fmt: skip
def test_a_wrong_consequence_is_refused_with_words(tmp_path: Path, keys: str, words: list[str]) -> None:
    text = consequence_text(keys)
    if keys.startswith("id:"):
        text = text.replace("  - id: follows\n", "").replace("    title: Follows", "  - title: Follows")
    found = said(problems_of(tmp_path, text))
    for word in words:
        assert word in found


def test_a_state_without_a_condition_says_always(tmp_path: Path) -> None:
    keys = "cause: {state: always, of: car}\nrequires: {spare: air hose, of: car, when: before departure}\n"
    (cause,) = read(tmp_path, consequence_text(keys)).consequences[0].causes
    assert (cause.sort, cause.of, cause.when) == ("state", "car", None)
