"""Arrangements: what they choose, against exhaustive search, and what they say where nothing holds."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from itertools import permutations
from time import process_time

import pytest
from example_counts import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from planning_samples import car_text, checked, library_in, wheelset

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.chain.fixed_point import PlainEvaluator
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.page.markdown import markdown_of
from carknocker.page.model import texts_of
from carknocker.page.text import text_of
from carknocker.questions.place_wheels.ask import place_wheels
from carknocker.questions.place_wheels.json_form import place_wheels_json
from carknocker.questions.place_wheels.model import Arranged
from carknocker.questions.place_wheels.page import place_wheels_page
from carknocker.rulebook import Library
from carknocker.whatif.hypothetical_car import fitted_now, with_wheelsets

TRUCKS = {"B": ["W-1", "W-2", "W-3"], "A": ["W-4", "W-5"]}
SERIALS = [serial for serials in TRUCKS.values() for serial in serials]
ABOUT_WHEELSETS = {f"plan-law/{name}" for name in ("flange", "rim", "class", "centers", "mates", "middle", "spread")}


@pytest.fixture(scope="module")
def sizes(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("sizes"), sizes=True)


def arranged(sizes: Library, wheelsets: dict[str, dict[str, object]], more: str = "") -> Arranged:
    return place_wheels(checked(car_text(TRUCKS, wheelsets, more=more), sizes))


def sound(**other: dict[str, object]) -> dict[str, dict[str, object]]:
    return {
        **{serial: wheelset() for serial in SERIALS},
        **{name.replace("_", "-"): one for name, one in other.items()},
    }


def test_what_holds_stays(sizes: Library) -> None:
    found = arranged(sizes, sound(S_1=wheelset()))
    assert found.best is not None
    assert (found.best.serials, found.best.moved, found.ties) == (tuple(SERIALS), (), ())


def test_the_smallest_wheels_go_to_the_middle_axle(sizes: Library) -> None:
    found = arranged(sizes, sound(W_2=wheelset(tapes=(104, 104)), W_1=wheelset(tapes=(98, 98))))
    assert found.best is not None
    assert found.best.serials[1] in ("W-1", "W-3")
    assert len(found.best.moved) == 2
    assert found.tests_after
    assert found.void_after


def test_a_spare_of_the_wrong_centers_is_not_used(sizes: Library) -> None:
    worn = sound(W_3=wheelset(bearing="plain"), S_1=wheelset(centers="6 ft 4 in"), S_2=wheelset())
    found = arranged(sizes, worn)
    assert found.best is not None
    assert found.best.serials == ("W-1", "W-2", "S-2", "W-4", "W-5")
    assert any(place.serial == "S-1" and place.reasons for place in found.places)


def test_ties_are_shown(sizes: Library) -> None:
    found = arranged(sizes, sound(W_3=wheelset(bearing="plain"), S_1=wheelset(), S_2=wheelset()))
    assert found.best is not None
    ways = {found.best.serials, *(one.serials for one in found.ties)}
    assert ways == {("W-1", "W-2", "S-1", "W-4", "W-5"), ("W-1", "W-2", "S-2", "W-4", "W-5")}


def test_too_few_wheelsets_are_named_with_the_criteria(sizes: Library) -> None:
    found = arranged(sizes, sound(W_3=wheelset(bearing="plain"), S_1=wheelset(flange="7/8 in")))
    assert found.best is None
    assert [one.criteria for one in found.conflicts] == [("plan-law/class", "plan-law/flange")]
    assert "4 of 6 wheelsets" in found.conflicts[0].words


def test_criteria_of_a_truck_that_conflict_are_named(sizes: Library) -> None:
    mixed = {
        "W-1": wheelset(tapes=(100, 100)), "W-2": wheelset(tapes=(101, 100)), "W-3": wheelset(tapes=(100, 108)),
        "W-4": wheelset(tapes=(130, 130)), "W-5": wheelset(tapes=(130, 130)),
    }  # fmt: skip
    found = arranged(sizes, mixed)
    assert found.best is None
    assert found.conflicts[0].criteria == ("plan-law/mates",)


def test_criteria_of_the_car_that_conflict_are_named(sizes: Library) -> None:
    found = arranged(sizes, sound(W_4=wheelset(tapes=(130, 130))))
    assert found.best is None
    assert [(one.where, one.criteria) for one in found.conflicts] == [("the car", ("plan-law/spread",))]


def test_what_is_not_shown_counts_only_where_nothing_shown_holds(sizes: Library) -> None:
    unread = sound(W_3=wheelset(bearing="plain"), S_1=wheelset(shown=False), S_2=wheelset())
    found = arranged(sizes, unread)
    assert found.strict
    assert found.best is not None
    assert found.best.serials[2] == "S-2"
    alone = arranged(sizes, {serial: one for serial, one in unread.items() if serial != "S-2"})
    assert not alone.strict
    assert alone.best is not None
    assert "S-1" in alone.best.serials
    assert any(one.verdict == "not shown" for one in alone.best.to_show)


def test_without_a_wear_rate_miles_do_not_decide_and_that_is_said(sizes: Library) -> None:
    found = arranged(sizes, sound(W_3=wheelset(bearing="plain"), S_1=wheelset(), S_2=wheelset()))
    assert not found.miles_used
    assert "no wear rate is known of S-1, S-2" in " ".join(found.notes)
    page = " ".join(text_of(place_wheels_page(found)).split())
    assert page.count("No wear rate of ") == 1  # what is alike of all of them is told once
    assert "plan-law/" not in page  # a rule is named by its source, not by its id
    assert arranged(sizes, sound()).notes == ()  # one arrangement only: there was nothing to decide


def test_more_miles_to_the_limit_decide_among_as_many_moved(sizes: Library) -> None:
    """S-2 lost 1/8 in of rim in 9,000 miles and has 1-1/8 in left, 81,000 miles; S-1 lost 1/4 in and has 1 in left,
    36,000 miles; the others lost 1/4 in in 18,000 and have 1 in left, 72,000 miles."""
    record = car_text(TRUCKS, sound(W_3=wheelset(bearing="plain"), S_1=wheelset(), S_2=wheelset(rim="2-1/8 in")))
    at_first = "".join(f"        {side}{axle}: {{rim_thickness: 2-1/4 in}}\n" for axle in range(1, 6) for side in "LR")
    later = "".join(f"        {side}3: {{rim_thickness: 2-1/4 in}}\n" for side in "LR")
    head = "    by: HM\n    gauge: G-1\n    readings:\n"
    record = record.replace(
        "  T-1: {kind: universal gauge, checked: 2020-01-01, due: never}\nsheets:\n",
        "  G-1: {kind: universal gauge, reads_to: 1/64 in, checked: 2020-01-01, due: never}\nsheets:\n"
        f"  - on: 2029-01-01\n{head}      wheels:\n{at_first}  - on: 2029-07-01\n{head}      wheels:\n{later}",
    )
    record = record.replace(
        "  - on: 2030-04-01\n    by: HM\n    gauge: T-1\n    readings:\n", f"  - on: 2030-04-01\n{head}"
    )
    record = record.replace(
        "tests:\n",
        "log: {complete_since: 2029-01-01, by: HM}\n"
        "moves_made:\n"
        "  - {from: 2029-02-01, to: 2029-02-03, miles: 9000 mi, host: Test Host}\n"
        "  - {from: 2029-08-01, to: 2029-08-03, miles: 9000 mi, host: Test Host}\n"
        "work:\n"
        "  - {id: J-1, on: 2029-06-01, did: wheelset renewed, at: 3, off: S-2, fitted: S-1, by: HM}\n"
        "  - {id: J-2, on: 2030-03-20, did: wheelset renewed, at: 3, off: S-1, fitted: W-3, by: HM}\n"
        "tests:\n",
    )
    found = place_wheels(checked(record, sizes))
    told = {one.serial: one.miles for one in found.wheelsets}
    assert told == {"W-1": 72000, "W-2": 72000, "W-3": None, "W-4": 72000, "W-5": 72000, "S-1": 36000, "S-2": 81000}
    assert found.best is not None
    assert (found.best.serials, found.best.miles) == (("W-1", "W-2", "S-2", "W-4", "W-5"), 72000)
    assert found.miles_used
    assert not found.ties


def judged_with(answer: CheckAnswer, serials: Iterable[str]) -> Judgement:
    judged = answer.judgement
    car = with_wheelsets(judged.car, dict(zip(sorted(fitted_now(judged.car)), serials, strict=True)), answer.day)
    return judge(car, judged.move, judged.rulebook, answer.day, evaluator=PlainEvaluator())


_WHEELSETS = st.builds(
    wheelset, bearing=st.sampled_from(["grease-lubricated roller"] * 4 + ["plain"]),
    flange=st.sampled_from(["1-1/8 in"] * 5 + ["7/8 in"]), centers=st.sampled_from(["6 ft 5 in"] * 5 + ["6 ft 4 in"]),
    tapes=st.sampled_from([(98, 98), (100, 100), (100, 102), (104, 104), (100, 104), (121, 121)]),
)  # fmt: skip


@pytest.mark.parametrize("trucks", [TRUCKS, {"B": ["W-1", "W-2"], "A": ["W-3", "W-4"]}])
@settings(max_examples=examples(3))
@given(wheelsets=st.tuples(*[_WHEELSETS] * 5))
def test_nothing_better_holds(
    sizes: Library, trucks: dict[str, list[str]], wheelsets: tuple[dict[str, object], ...]
) -> None:
    """Exhaustive search: every way to fill the axles, each judged whole: five axles without a spare, and four with."""
    serials = [serial for beneath in trucks.values() for serial in beneath]
    given_all = dict(zip([*serials, "S-1"], wheelsets, strict=False))
    answer = checked(car_text(trucks, given_all), sizes)
    found = place_wheels(answer)
    broken: dict[tuple[str, ...], set[str]] = {}
    for way in permutations(sorted(given_all), len(serials)):
        unmet = {one.criterion.id for one in judged_with(answer, way).findings if one.unmet and one.part.fitted}
        broken[way] = unmet & ABOUT_WHEELSETS
    holding = {
        way: sum(one != other for one, other in zip(way, serials, strict=True)) for way in broken if not broken[way]
    }
    if not holding:
        assert found.best is None
        assert_least_conflicts([set(one.criteria) for one in found.conflicts], list(broken.values()))
        return
    fewest = min(holding.values())
    best = sorted(way for way, moved in holding.items() if moved == fewest)
    assert found.best is not None
    assert found.best.serials == best[0]
    assert len(found.ties) + found.more_ties == len(best) - 1
    assert {one.serials for one in found.ties} <= set(best)


def assert_least_conflicts(conflicts: list[set[str]], broken: list[set[str]]) -> None:
    """broken: what each arrangement breaks. Every one breaks something of each conflict; without any one member of it
    some arrangement breaks nothing of it; no two share a member; without all of them the rest would hold."""
    assert conflicts
    for conflict in conflicts:
        assert all(conflict & one for one in broken)
        assert all(any(not (conflict - {name}) & one for one in broken) for name in conflict)
    together: set[str] = set().union(*conflicts)
    assert len(together) == sum(map(len, conflicts))
    assert any(one <= together for one in broken)


def test_two_criteria_that_hold_one_by_one_conflict_together(sizes: Library) -> None:
    """Four wheelsets of the right centers and four of an accepted class, but only three of both for four axles."""
    trucks = {"B": ["W-1", "W-2"], "A": ["W-3", "W-4"]}
    wheelsets = {
        "W-1": wheelset(), "W-2": wheelset(), "W-3": wheelset(), "W-4": wheelset(bearing="plain"),
        "S-1": wheelset(centers="6 ft 4 in"),
    }  # fmt: skip
    found = place_wheels(checked(car_text(trucks, wheelsets), sizes))
    assert [one.criteria for one in found.conflicts] == [("plan-law/centers", "plan-law/class")]
    assert "3 of 5 wheelsets can stand there (W-1, W-2, W-3)" in found.conflicts[0].words
    apart = {**wheelsets, "W-4": wheelset(tapes=(130, 130)), "S-1": wheelset(bearing="plain", tapes=(110, 110))}
    wider = place_wheels(checked(car_text(trucks, apart), sizes))
    assert [(one.where, one.criteria) for one in wider.conflicts] == [
        ("the car", ("plan-law/class", "plan-law/spread"))
    ]


def test_six_axles_and_ten_wheelsets_in_the_time_of_two_hundred_judgements(sizes: Library) -> None:
    trucks = {"B": ["W-1", "W-2", "W-3"], "A": ["W-4", "W-5", "W-6"]}
    wheelsets = {f"W-{number}": wheelset(tapes=(100 + number, 100 + number)) for number in range(1, 7)}
    wheelsets |= {f"S-{number}": wheelset(tapes=(90 + 2 * number, 90 + 2 * number)) for number in range(1, 5)}
    wheelsets["W-1"] = wheelset(bearing="plain")
    wheelsets["W-6"] = wheelset(bearing="plain")
    answer = checked(car_text(trucks, wheelsets), sizes)
    begun = process_time()
    for _ in range(5):
        judged_with(answer, ("W-1", "W-2", "W-3", "W-4", "W-5", "W-6"))
    two_hundred = (process_time() - begun) * 40
    begun = process_time()
    found = place_wheels(answer)
    assert process_time() - begun < two_hundred
    assert found.best is not None
    assert found.best.moved
    hard = {
        serial: wheelset(tapes=(size, size)) for serial, size in zip(wheelsets, range(100, 170, 7), strict=True)
    }  # fmt: skip
    answer = checked(car_text(trucks, hard), sizes)
    begun = process_time()
    found = place_wheels(answer)
    assert process_time() - begun < two_hundred
    assert [(one.where, one.criteria) for one in found.conflicts] == [("the car", ("plan-law/spread",))]


def test_the_same_twice(sizes: Library) -> None:
    wheelsets = sound(W_3=wheelset(bearing="plain"), S_1=wheelset(), S_2=wheelset())
    one, other = arranged(sizes, wheelsets), arranged(sizes, wheelsets)
    assert (one.best, one.ties, one.places, one.void_after) == (other.best, other.ties, other.places, other.void_after)


def test_a_day_before_the_last_change_is_arranged_as_the_car_then_stood(sizes: Library) -> None:
    change = "{id: J-1, on: 2030-04-20, did: wheelset renewed, at: 3, off: W-3, fitted: S-1, by: HM}"
    text = car_text(TRUCKS, sound(S_1=wheelset()), more=f"work:\n  - {change}\n")
    text = text.replace("3: W-3}", "3: S-1}").replace(", where: on the shelf", "")
    found = place_wheels(checked(text, sizes, as_of=date(2030, 4, 10)))
    assert found.axles == ((1, "B"), (2, "B"), (3, "B"), (4, "A"), (5, "A"))
    assert [one.serial for one in found.wheelsets][:5] == ["W-1", "W-2", "W-3", "W-4", "W-5"]


def test_the_pages_say_the_same_in_every_form(sizes: Library) -> None:
    found = arranged(sizes, sound(W_3=wheelset(bearing="plain"), S_1=wheelset(), S_2=wheelset()))
    page = place_wheels_page(found)
    told = json.loads(place_wheels_json(found))
    assert page.verdict.startswith("ARRANGEMENT: 1 axle changes.")
    assert page.beside[0].startswith("The car is NOT READY, as of ")
    assert (page.tone, page.bar) == ("care", None)  # no finding, and never the color of one
    markdown = markdown_of(page)
    for words in ("S-1 (from the shelf) in the place of W-3", "Lifting and jacking", "bearing: class of bearing plain"):
        assert words in markdown
    assert told["best"]["serials"] == ["W-1", "W-2", "S-1", "W-4", "W-5"]
    assert told["best"]["moved"] == [3]
    none = arranged(sizes, sound(W_3=wheelset(bearing="plain")))
    assert place_wheels_page(none).verdict.startswith("ARRANGEMENT: NONE WORKS with the wheelsets on hand")
    assert json.loads(place_wheels_json(none))["conflicts"][0]["criteria"] == ["plan-law/class"]


def test_a_wheelset_is_excluded_by_its_fault_not_by_the_title_of_the_requirement(sizes: Library) -> None:
    page = place_wheels_page(arranged(sizes, sound(W_3=wheelset(bearing="plain"))))
    texts = {one.heading: " ".join(texts_of([one])) for one in page.sections}
    assert (
        "4 of 5 wheelsets can stand there (W-1, W-2, W-4, W-5): bearing: class of bearing plain" in texts["Conflicts"]
    )
    assert "W-3 at every axle: bearing: class of bearing plain" in texts["Why not at an axle"]
    assert "Bearing of an accepted class" not in " ".join(texts.values())
    assert "(breached)" not in " ".join(texts.values())


def test_what_is_to_be_shown_yet_is_said_as_the_fault(sizes: Library) -> None:
    unread = sound(W_3=wheelset(bearing="plain"), S_1=wheelset(shown=False))
    page = place_wheels_page(arranged(sizes, unread))
    texts = {one.heading: " ".join(texts_of([one])) for one in page.sections}
    assert "wheel L3, R3: flange thickness not measured; must be over 7/8 in" in texts["Not shown yet"]
    assert "(not shown)" not in texts["Not shown yet"]
