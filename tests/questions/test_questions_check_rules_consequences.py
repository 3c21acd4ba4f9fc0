"""Examples of consequences, remedies and renewals are run by what judges a car, and say so when they are wrong."""

from pathlib import Path

import pytest
from question_samples import LAW_HEAD

from carknocker.questions.rules_check.ask import check_rules
from carknocker.questions.rules_show.ask import show_rules
from carknocker.rulebook import load_library

CHAPTER = """
chapter: Examples
source: {{document: an invented text, section: "1", words: as it stands, kind: common practice, status: invented}}
criteria:
  - id: flange
    title: Flange
    of: wheel
    must: {{flange_thickness: {{over: 7/8 in}}}}
    read_within: 30 days
    effect: {{restrict: {{speed: 40 mph}}}}
    shown_by: owner before the move
    renewed: {{by: crew, every: 10 days}}
    remedies: [{{work: wheels turned, if: {{rim_after_turning: {{at_least: 1 in}}}}}}, {{work: wheelset renewed}}]
    examples: [{{{criterion}}}]
consequences:
  - id: rule
    title: Rule
    {rule}
    examples: [{{{example}}}]
"""
SPEED = "restricts: [{speed: half the train's maximum allowable speed}, {speed: 40 mph}]"
BUILT_UP = "cause: {state: {frame: built-up}, of: truck}"
RELIEF = "relieves: {criterion: flange, for: move, leaves: {speed: 20 mph}}"
BRAKES = "cause: {work: [service portion replaced, emergency portion replaced]}"
OPENED = "cause: [{event: derailment, when: {fact.speed: {over: 10 mph}}}, {work: bearing opened, of: bearing}]"
DUTY = "requires: {duty: look, when: on the way, %s}"
TEST = "requires: {test: single-car brake test, within: 30 days}"
FLANGE = "flange_thickness: 1 in, is: met"


def judged(tmp_path: Path, rule: str, example: str, criterion: str = FLANGE) -> list[tuple[str, str]]:
    """What the examples say and what comes of them, where that differs."""
    folder = tmp_path / "test-law" / "1"
    folder.mkdir(parents=True)
    (folder / "edition.yaml").write_text(LAW_HEAD, encoding="utf-8")
    text = CHAPTER.format(criterion=criterion, rule=rule.replace("\n", "\n    "), example=example)
    (folder / "all.yaml").write_text(text, encoding="utf-8")
    report = check_rules([tmp_path])
    assert report.editions, report.problems
    return [(one.expected, one.got) for one in report.mismatches]


RIGHT = [
    (f"{BUILT_UP}\n{SPEED}", "frame: built-up, train.speed: 60 mph, is: against the move, capped_at: 30 mph"),
    (f"{BUILT_UP}\n{SPEED}", "frame: built-up, train.speed: 80 mph, is: against the move, capped_at: 40 mph"),
    # where nobody says what the train may run at most, its own speed stands for it
    (f"{BUILT_UP}\n{SPEED}", "frame: built-up, train.speed: 40 mph, is: against the move, capped_at: 20 mph"),
    (
        f"{BUILT_UP}\n{SPEED}",
        "frame: built-up, train.speed: 40 mph, train.maximum_allowable_speed: 80 mph, is: follows, capped_at: 40 mph",
    ),
    (
        f"{BUILT_UP}\n{SPEED}",
        "frame: built-up, train.speed: 40 mph, train.maximum_allowable_speed: 79 mph, is: against the move,"
        " capped_at: 39-1/2 mph",
    ),
    (f"{BUILT_UP}\n{SPEED}", "frame: built-up, is: follows, capped_at: 40 mph"),
    (f"{BUILT_UP}\n{SPEED}", "frame: cast with integral pedestals, is: does not follow"),
    (f"{BUILT_UP}\n{SPEED}", "is: follows, capped_at: 40 mph"),  # what is not said may be built-up
    (f"{BUILT_UP}\n{RELIEF}", "is: does not follow"),
    (f"when: {{move.train: freight}}\n{BUILT_UP}\n{SPEED}", "frame: built-up, is: follows"),
    (
        f"when: {{move.train: freight}}\n{BUILT_UP}\n{SPEED}",
        "frame: built-up, move.train: passenger, is: does not follow",
    ),
    (f"when: {{move.train: freight}}\n{BUILT_UP}\n{RELIEF}", "frame: built-up, is: follows, capped_at: 20 mph"),
    (f"{BUILT_UP}\n{RELIEF}", "frame: built-up, train.speed: 21 mph, is: against the move"),
    (f"{BRAKES}\n{TEST}", "answered_by: {aged: 30 days}, is: answered"),
    (f"{BRAKES}\n{TEST}", "answered_by: {aged: 31 days}, is: follows"),
    (f"{BRAKES}\n{TEST}", "happened: service portion replaced, is: follows"),
    (f"{OPENED}\nvoids: {{readings: [seal], of: bearing}}", "happened: bearing opened, is: follows"),
    (
        f"{OPENED}\nvoids: {{readings: [seal], of: bearing}}",
        "happened: derailment, fact.speed: 10 mph, is: does not follow",
    ),
    (f"{BUILT_UP}\n{DUTY % 'every: 100 mi'}", "frame: built-up, move_runs: 100 mi, is: follows, times: 0"),
    (f"{BUILT_UP}\n{DUTY % 'every: 100 mi'}", "frame: built-up, move_runs: 301 mi, is: follows, times: 3"),
    (f"{BUILT_UP}\n{DUTY % 'every: 10 days'}", "frame: built-up, move_lasts: 10 days, is: follows, times: 0"),
    (f"{BUILT_UP}\n{DUTY % 'every: 10 days'}", "frame: built-up, move_lasts: 11 days, is: follows, times: 1"),
    (
        f"{BUILT_UP}\n{DUTY % 'within_first: 5 days'}",
        "frame: built-up, move_lasts: 9 days, is: follows, due_after: 5 days",
    ),
    (
        f"{BUILT_UP}\n{DUTY % 'within_first: 100 mi'}",
        "frame: built-up, move_runs: 300 mi, is: follows, due_after: 100 mi",
    ),
    ("cause: {unfit: [truck, wheel]}\nrestricts: {riders: crew}", "is: follows"),
    ("cause: {restricted: speed}\nrestricts: {riders: crew}", "is: follows"),
    ("cause: {finding: unmet, of: wheel, effect: refuse}\ncarries_up: [car]", "is: follows"),
    (
        "cause: {finding: [breached, lapses], of: wheel, when: {plate_shape: straight}}\nrestricts: {riders: crew}",
        "plate_shape: curved, is: does not follow",
    ),
    ("cause: {seen: breached, criterion: flange}\nrequires: {test: single-car brake test}", "is: follows"),
    ("cause: {duty: open}\nrestricts: {riders: crew}", "is: follows"),
    ("cause: {test: single-car brake test}\nrelieves: {criterion: flange, for: move}", "is: follows"),
    ("cause: {leave: any}\nrelieves: {criterion: named, for: move, leaves: {speed: 20 mph}}", "is: follows"),
]


@pytest.mark.parametrize(("rule", "example"), RIGHT)
def test_what_comes_of_a_cause(tmp_path: Path, rule: str, example: str) -> None:
    assert judged(tmp_path, rule, example) == []


WRONG = [
    (f"{BUILT_UP}\n{SPEED}", "frame: built-up, is: does not follow", "does not follow", "follows"),
    (
        f"{BUILT_UP}\n{SPEED}", "frame: built-up, train.speed: 60 mph, is: against the move, capped_at: 29 mph",
        "against the move; at most 29 mph", "against the move; at most 30 mph",
    ),
    (f"{BUILT_UP}\nrestricts: {{riders: crew}}", "frame: built-up, is: follows, capped_at: 9 mph",
     "follows; at most 9 mph", "follows; no speed"),
    (f"{BRAKES}\n{TEST}", "answered_by: {aged: 31 days}, is: answered", "answered", "follows"),
    (f"{BUILT_UP}\n{DUTY % 'every: 100 mi'}", "frame: built-up, move_runs: 101 mi, is: follows, times: 2",
     "follows; due 2 times on the way", "follows; due 1 time on the way"),
    (f"{BUILT_UP}\n{DUTY % 'within_first: 5 days'}",
     "frame: built-up, move_lasts: 9 days, is: follows, due_after: 6 days",
     "follows; due 6 days after departure", "follows; not due 6 days after departure"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "example", "said", "got"), WRONG)
def test_an_example_that_is_wrong_says_what_comes_instead(
    tmp_path: Path, rule: str, example: str, said: str, got: str
) -> None:
    assert judged(tmp_path, rule, example) == [(said, got)]


OF_CRITERIA = [
    ("flange_thickness: 7/8 in, is: breached, capped_at: 40 mph", []),
    (
        "flange_thickness: 7/8 in, is: breached, capped_at: 41 mph",
        [("breached; at most 41 mph", "breached; at most 40 mph")],
    ),
    ("flange_thickness: 1 in, is: met, capped_at: 40 mph", [("met; at most 40 mph", "met; no speed")]),
    (
        "flange_thickness: 7/8 in, rim_after_turning: 1 in, is: breached, clears: [wheelset renewed, wheels turned]",
        [],
    ),
    (
        "flange_thickness: 7/8 in, rim_after_turning: 63/64 in, is: breached, clears: [wheels turned]",
        [("breached; cleared by wheels turned", "breached; cleared by wheelset renewed")],
    ),
    ("flange_thickness: {reads: 1 in, aged: 0 days}, move_lasts: 10 days, is: met, times: 0", []),
    (
        "flange_thickness: {reads: 1 in, aged: 0 days}, move_lasts: 11 days, is: met, times: 2",
        [("met; due 2 times on the way", "met; due 1 time on the way")],
    ),
]


@pytest.mark.parametrize(("example", "differing"), OF_CRITERIA)
def test_examples_of_remedies_renewals_and_speeds(
    tmp_path: Path, example: str, differing: list[tuple[str, str]]
) -> None:
    rule = "cause: {leave: any}\nrelieves: {criterion: named, for: move}"
    assert judged(tmp_path, rule, "is: follows", example) == differing


@pytest.mark.parametrize(
    ("requires", "said"),
    [
        (DUTY % "every: [leg, 100 mi]", "required of the car, on the way: look, every leg or 100 miles (refuse)"),
        (DUTY % "within_first: 5 days", "required of the car, on the way: look, within the first 5 days (refuse)"),
        (TEST, "required of the brake system, before departure: single-car brake test, passed, not older than 30 days "
               "(refuse)"),
    ],
)  # fmt: skip
def test_intervals_are_shown_and_so_compared(tmp_path: Path, requires: str, said: str) -> None:
    assert judged(tmp_path, f"{BUILT_UP}\n{requires}", "frame: cast with integral pedestals, is: does not follow") == []
    shown = show_rules(load_library([tmp_path]), "test-law", None, "rule")
    assert dict(shown.rules[0].lines)["follows"] == said
