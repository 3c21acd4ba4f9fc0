"""Examples of consequences, remedies and renewals: read, and asked for wherever there is a number."""

from pathlib import Path

import pytest
from rulebook_samples import CARRIES, alone, consequence_text, problems_of, read, said

from carknocker.quantities import Period, Quantity

_STATE = "cause: {state: {frame: built-up}, of: truck}"
_EVENT = "cause: {event: slid wheels, when: {fact.cause: other}}"


def _text(cause: str, yields: str, *examples: str) -> str:
    lines = [cause, yields, *(("examples:", *(f"  - {{{one}}}" for one in examples)) if examples else ())]
    return consequence_text("\n".join(lines)) + CARRIES


def test_an_example_is_read_with_all_that_it_says(tmp_path: Path) -> None:
    text = _text(
        "cause: {work: [wheels turned, wheelset renewed]}",
        "requires: {duty: look, of: car, when: on the way, every: 100 mi}",
        "happened: wheels turned, plate: curved, move_lasts: 3 days, move_runs: 101 mi, is: follows, times: 1",
        "answered_by: {aged: 3 days}, is: answered, due_after: 2 days",
        "is: against the move, capped_at: 40 mph",
    )
    one, two, three = read(tmp_path, text).consequences[0].examples
    assert (one.following, one.happened, one.times, one.move_lasts) == ("follows", "wheels turned", 1, Period(days=3))
    assert one.move_runs == Quantity("distance", 101, 1, "mi")
    assert set(one.given) == {"plate"}
    assert (two.following, two.answered_by) == ("answered", Period(days=3))
    assert two.due_after is not None
    assert two.due_after.period == Period(days=2)
    assert (three.following, three.capped_at) == ("against the move", Quantity("speed", 40, 1, "mph"))


def test_judging_needs_no_examples(tmp_path: Path) -> None:
    text = _text(_STATE, "restricts: {riders: crew}", "frame: cast, is: does not follow")
    assert read(tmp_path, text, with_examples=False).consequences[0].examples == ()


@pytest.mark.parametrize(
    ("example", "words"),
    [
        ("frame: built-up", "an example without `is` / `is: …`, one of `follows`, `does not follow`"),
        ("is: folows", "what comes of it: one of `follows`, `does not follow`"),
        ("fram: cast, is: follows", "the attribute `fram` of the truck, which is not known"),
        ("fact.cause: other, is: follows", "no `fact.` here: only work and events have it"),
        ("is: follows, times: often", "how often it falls due on the way: a whole number"),
        ("is: follows, capped_at: fast", "speed"),
        ("is: follows, due_after: a while", "a period such as `30 days`, or a distance"),
        ("is: follows, happened: derailment", "work or event of the causes"),
        ("is: follows, answered_by: {age: 3 days}", "the key `age`"),
        ("is: follows, move_lasts: long", "long"),
    ],
)
def test_what_is_wrong_in_an_example_is_said(tmp_path: Path, example: str, words: str) -> None:
    assert words in said(problems_of(tmp_path, _text(_STATE, "restricts: {riders: crew}", example)))


def test_an_example_that_is_no_mapping(tmp_path: Path) -> None:
    text = consequence_text(f"{_STATE}\nrestricts: {{riders: crew}}\nexamples: [follows]")
    assert "an example such as `{frame: built-up, is: follows}`" in said(problems_of(tmp_path, text))


def test_without_a_number_no_example_is_asked_for(tmp_path: Path) -> None:
    assert alone(tmp_path, _text(_STATE, "restricts: {riders: crew}")) == ""


_RIM = "cause: {state: {rim_thickness: {under: 1 in}}, of: wheel}"
_CREW = "restricts: {riders: crew}"
ASKED = [
    (_STATE, "restricts: {speed: 40 mph}", "just past the boundary of the speed: 40 mph"),
    (_STATE, "restricts: {speed: 40 mph}", "on the boundary of the speed: 40 mph"),
    (
        _STATE,
        "restricts: {speed: half the train's maximum allowable speed}",
        "no example of the share of the train's maximum allowable speed",
    ),
    (_RIM, _CREW, "on the boundary of rim_thickness: 1 in"),
    (_RIM, _CREW, "just past the boundary of rim_thickness: 1 in"),
    (_RIM, _CREW, "no example that follows"),
    (_RIM, _CREW, "no example that does not follow"),
    (_STATE, "requires: {test: single-car brake test, within: 30 days}", "just past the boundary of the test's age"),
    (_STATE, "requires: {duty: look, when: on the way, every: 30 days}", "on the boundary of every: 30 days"),
    (_STATE, "requires: {duty: look, when: on the way, every: 100 mi}", "just past the boundary of every: 100 miles"),
    (_STATE, "requires: {duty: look, when: on the way, within_first: 5 days}", "no example that is due 5 days after"),
    ("cause: {leave: any}", "relieves: {criterion: named, leaves: {speed: 20 mph}}", "the boundary of the speed"),
]


@pytest.mark.parametrize(("cause", "yields", "words"), ASKED)
def test_a_number_asks_for_its_boundary(tmp_path: Path, cause: str, yields: str, words: str) -> None:
    assert words in alone(tmp_path, _text(cause, yields))


GIVEN = [
    (
        _STATE, "restricts: {speed: 40 mph}",
        ("frame: built-up, train.speed: 40 mph, is: follows",
         "frame: built-up, train.speed: 41 mph, is: against the move", "frame: cast, is: does not follow"),
    ),
    (
        _RIM, _CREW,
        ("rim_thickness: 1 in, is: does not follow", "rim_thickness: 63/64 in, is: follows"),
    ),
    (
        _STATE, "requires: {duty: look, when: on the way, within_first: 5 days}",
        ("frame: built-up, is: follows, due_after: 5 days", "frame: cast, is: does not follow"),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("cause", "yields", "examples"), GIVEN)
def test_with_them_nothing_is_missing(tmp_path: Path, cause: str, yields: str, examples: tuple[str, ...]) -> None:
    assert alone(tmp_path, _text(cause, yields, *examples)) == ""


_WHEEL = """
  - id: one
    title: One
    of: wheel
    {more}
    must: {{rim_thickness: {{over: 1 in}}}}
    effect: refuse
    shown_by: owner before the move
    examples:
      - {{rim_thickness: 1 in, is: breached}}
      - {{rim_thickness: 1-1/64 in, is: met}}
"""
NARROWED = [
    ("when: {flange_height: {at_most: 1-1/2 in}}", "on the boundary of flange_height: 1-1/2 in"),
    ("unless: {car.gross_weight: {over: 180000 lb}}", "just past the boundary of car.gross_weight"),
    ("when: {car.built_on: {after: 1945-12-31}}", "on the boundary of car.built_on: 1945-12-31"),
    ("when: {car.built_on: {before: 1946-01-01}}", "just past the boundary of car.built_on: 1946-01-01"),
    ("renewed: {by: crew, every: 30 days}", "on the boundary of renewed.every: 30 days"),
    ("remedies: [{work: wheels turned, if: {rim_left: {at_least: 1 in}}}]", "(remedy: wheels turned)"),
]


@pytest.mark.parametrize(("more", "words"), NARROWED)
def test_what_narrows_a_criterion_asks_for_its_boundary_too(tmp_path: Path, more: str, words: str) -> None:
    text = consequence_text(f"{_STATE}\nrestricts: {{riders: crew}}", _WHEEL.format(more=more)) + CARRIES
    assert words in alone(tmp_path, text)


def test_a_count_asks_for_its_boundary(tmp_path: Path) -> None:
    springs = _WHEEL.format(more="").replace("of: wheel", "of: truck").replace(
        "must: {rim_thickness: {over: 1 in}}", "must: {count: {of: spring, when: {leaf_broken: yes}, at_most: 1}}"
    )  # fmt: skip
    springs = springs.replace("{rim_thickness: 1 in,", "{parts: [{of: spring, leaf_broken: no}],").replace(
        "{rim_thickness: 1-1/64 in,", "{parts: [],"
    )
    words = alone(tmp_path, consequence_text(f"{_STATE}\nrestricts: {{riders: crew}}", springs) + CARRIES)
    assert "no example on the boundary of the count of spring: 1" in words
    assert "no example just past the boundary of the count of spring: 1" in words
