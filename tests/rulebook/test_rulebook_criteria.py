"""Criteria and their examples: what is read from them and what is refused."""

from pathlib import Path

import pytest
from rulebook_samples import (
    CARRIES,
    FLANGE,
    chapter,
    criterion_of,
    criterion_text,
    library,
    problems_of,
    read,
    said,
)

from carknocker.quantities import Period, Quantity, read_quantity
from carknocker.questions.rules_show.ask import show_rules
from carknocker.record.values import Bound, Figure, PressureDrop, Word
from carknocker.rulebook.clauses import AllOf, Comparison
from carknocker.rulebook.model import FaultWords, Restriction

MUST = "must: {cracked: no}"


def test_everything_of_a_criterion(tmp_path: Path) -> None:
    keys = (
        "must: {cracked: no}\nwhen: {plate: curved}\nunless: {move.train: freight}\nread_within: 90 days\n"
        "renewed: {by: crew, every: 30 days, routine: yes}\nmay_be_relaxed: yes\n"
        "effect: {restrict: {speed: [half the train's maximum allowable speed, 40 mph], place: [rear], riders: crew,"
        " tag: bad order}}\n"
        "source: {section: 238.303(e)(9), note: narrower}\nremedies: [{work: wheels turned, note: if the rim allows}]\n"
        "fault: a cracked wheel"
    )
    criterion = criterion_of(tmp_path, keys)
    assert criterion.id == "law/one"
    assert criterion.read_within == Period(days=90)
    assert criterion.renewal is not None
    assert (criterion.renewal.by, criterion.renewal.every, criterion.renewal.routine) == ("crew", Period(30), True)
    assert criterion.effect == "restrict"
    assert criterion.restrictions == (
        Restriction("speed", share=Quantity("ratio", 1, 2)),
        Restriction("speed", quantity=read_quantity("40 mph", "speed")),
        Restriction("place", words=("rear",)),
        Restriction("riders", words=("crew",)),
        Restriction("tag", words=("bad order",)),
    )
    assert (criterion.source.document, criterion.source.section, criterion.source.note) == (
        "49 CFR", "238.303(e)(9)", "narrower",
    )  # fmt: skip
    assert criterion.may_be_relaxed
    assert criterion.fault == (FaultWords("", "a cracked wheel"),)
    assert criterion.unless is not None
    assert criterion.remedies[0].work == "wheels turned"


def test_the_fault_may_be_left_out_and_is_shown_with_the_rule(tmp_path: Path) -> None:
    assert criterion_of(tmp_path / "a", MUST).fault == ()
    read(tmp_path / "b", criterion_text(f"{MUST}\nfault: a cracked wheel"))
    (shown,) = show_rules(library(tmp_path / "b"), "law", rule="one").rules
    assert ("fault", "a cracked wheel") in shown.lines


def test_the_condition_of_the_chapter_is_joined_to_the_criterions_own(tmp_path: Path) -> None:
    text = criterion_text("must: {cracked: no}\nwhen: {plate: curved}") + "when: {move.train: passenger}\n"
    when = read(tmp_path, text).criteria[0].when
    assert isinstance(when, AllOf)
    assert [str(clause.path) for clause in when.clauses if isinstance(clause, Comparison)] == ["move.train", "plate"]


def test_a_share_of_the_trains_speed(tmp_path: Path) -> None:
    keys = "must: {cracked: no}\neffect: {restrict: {speed: 75 % of the train's maximum allowable speed}}"
    assert criterion_of(tmp_path, keys).restrictions[0].share == Quantity("ratio", 3, 4)


def test_examples_of_every_form(tmp_path: Path) -> None:
    keys = (
        "must: {flange_thickness: {over: 7/8 in}}\nexamples:\n"
        "  - {flange_thickness: {takes_at: 7/8 in}, is: breached}\n"
        "  - {flange_thickness: {does_not_take_at: 7/8 in}, is: met}\n"
        "  - {flange_height: {takes_at: 1 in}, is: met}\n"
        "  - {flange_height: {does_not_take_at: 1 in}, is: met}\n"
        "  - {flange_thickness: {over: 1 in, at_most: 2 in}, is: met}\n"
        "  - {flange_thickness: {reads: 1 in, aged: 91 days}, truck.opened_on: {aged: 4 years, miles_ago: 200"
        " mi}, is: met}\n"
        "  - {car.insurance: {left: 10 days}, move_lasts: 9 days, is: lapses}\n"
    )
    examples = criterion_of(tmp_path, keys).examples
    seven, one = read_quantity("7/8 in", "length"), read_quantity("1 in", "length")
    assert examples[0].given["flange_thickness"] == Bound(None, False, seven, False, True)
    assert examples[1].given["flange_thickness"] == Bound(seven, True, None, False, True)
    assert examples[2].given["flange_height"] == Bound(one, False, None, False, True)
    assert examples[3].given["flange_height"] == Bound(None, False, one, True, True)
    assert examples[4].given["flange_thickness"] == Bound(one, True, read_quantity("2 in", "length"), False)
    assert examples[5].given["flange_thickness"] == Figure(one)
    assert examples[5].ages == {"flange_thickness": Period(91), "truck.opened_on": Period(months=48)}
    assert examples[5].miles_ago == {"truck.opened_on": read_quantity("200 mi", "distance")}
    assert examples[6].left == {"car.insurance": Period(10)}
    assert (examples[6].move_lasts, examples[6].verdict) == (Period(9), "lapses")


def test_examples_of_tests_and_leakage(tmp_path: Path) -> None:
    keys = (
        "must: {single_car_test: {shown: yes}}\nexamples:\n"
        "  - {single_car_test: {aged: 3 days, result: failed, device: D-7}, is: breached}\n"
        "  - {single_car_test: {aged: 3 days}, leakage: {before: 110 psi, after: 104 psi, minutes: 2}, is: met}\n"
    )
    first, second = criterion_of(tmp_path, keys, of="brake system").examples
    assert first.given == {"single_car_test": Word("failed"), "single_car_test.device": Word("D-7")}
    assert second.given["single_car_test"] == Word("passed")
    drop = second.given["leakage"]
    assert isinstance(drop, PressureDrop)
    assert drop.per_minute == read_quantity("3 psi/min", "pressure per minute")


def test_examples_with_parts_inside(tmp_path: Path) -> None:
    keys = (
        "must: {count: {of: spring, when: {leaf_broken: yes}, at_most: 1}}\nexamples:\n"
        "  - {parts: [{of: spring, leaf_broken: yes}, {of: spring}], is: met}\n"
    )
    example = criterion_of(tmp_path, keys, of="truck").examples[0]
    assert example.parts == (("spring", {"leaf_broken": Word("yes")}), ("spring", {}))


def test_examples_stay_unread_unless_wanted(tmp_path: Path) -> None:
    keys = f"{MUST}\nexamples: [{{crakced: no, is: met}}]"
    assert criterion_of(tmp_path, keys, with_examples=False).examples == ()


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        (f"{MUST}\neffcet: refuse", ["the key `effcet` in a criterion", "/ effect /"]),
        (f"{MUST}\neffect: refuses", ["/ refuse /"]),
        (f"{MUST}\neffect: restrict", ["`restrict` without saying what"]),
        (
            f"{MUST}\neffect: {{restrict: {{speed: 40}}}}",
            ["without a unit", "half the train's maximum allowable speed"],
        ),
        (f"{MUST}\neffect: {{restrict: {{place: [reer]}}}}", ["/ rear /"]),
        (f"{MUST}\neffect: {{restrict: {{riders: none}}}}", ["`none`"]),
        (f"{MUST}\neffect: {{restrict: {{}}}}", ["no restriction"]),
        (f"{MUST}\neffect: {{refuse: yes}}", ["the key `refuse` in an effect"]),
        (f"{MUST}\nshown_by: owner", ["one of `owner before the move`"]),
        (f"{MUST}\nof: wheels", ["the kind of part `wheels`", "/ wheel /"]),
        (f"{MUST}\nread_within: 90", ["a number without a unit"]),
        (f"{MUST}\nremedies: [{{work: wheel turned}}]", ["/ wheels turned /"]),
        (f"{MUST}\nremedies: [{{work: wheels turned, if: {{rim_lef: {{over: 1 in}}}}}}]", ["/ rim_left /"]),
        (f"{MUST}\nremedies: wheels turned", ["a list"]),
        (f"{MUST}\nsource: {{kind: laws}}", ["/ law /"]),
        (f"{MUST}\nsource: {{status: seen}}", ["the status of a source"]),
        (f"{MUST}\nrenewed: {{every: 3 days}}", ["`renewed` without `by`"]),
        (f"{MUST}\nrenewed: {{by: crew, every: 0 days}}", ["a period of no days"]),
        (f"{MUST}\nmay_be_relaxed: perhaps", ["yes or no"]),
        (f"{MUST}\ntightens: flange", ["`ruleset/criterion`"]),
        (f"{MUST}\nexamples: [{{cracked: no}}]", ["an example without `is`"]),
        (f"{MUST}\nexamples: [{{cracked: no, is: mett}}]", ["/ met /"]),
        (f"{MUST}\nexamples: [met]", ["an example such as"]),
        (f"{MUST}\nexamples: [{{rim_thickness: {{takes_at: 1 in}}, is: met}}]", ["no go/no-go gauge"]),
        (f"{MUST}\nexamples: [{{rim_thickness: {{aged: 1 day}}, is: met}}]", ["{reads: value of rim_thickness"]),
        (f"{MUST}\nexamples: [{{rim_thickness: {{before: 1 psi}}, is: met}}]", ["for a leakage"]),
        (f"{MUST}\nexamples: [{{parts: [{{of: sprig}}], is: met}}]", ["/ spring /"]),
        (f"{MUST}\nexamples: [{{parts: [spring], is: met}}]", ["a part inside"]),
        ("title: No must", ["a criterion without `must`"]),
    ],
)
def test_a_wrong_criterion_is_refused_with_words(tmp_path: Path, keys: str, words: list[str]) -> None:
    found = said(problems_of(tmp_path, criterion_text(keys)))
    for word in words:
        assert word in found


def test_a_source_is_needed_somewhere(tmp_path: Path) -> None:
    assert "no source" in said(problems_of(tmp_path, chapter(FLANGE, source="")))


def test_ids_are_unique_over_criteria_and_consequences(tmp_path: Path) -> None:
    found = problems_of(tmp_path, chapter(FLANGE, CARRIES.replace("wheel-carries", "flange")))
    assert "the id `flange` a second time" in said(found)
