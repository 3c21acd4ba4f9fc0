"""The plan of a lift: what it says, and what it refuses in plain words."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.documents import InputRefused
from carknocker.questions.lift.plan import EXAMPLE, read_plan, read_plan_text

PLAN = """\
format: carknocker-lift/1
lift:
  crane: {rating: "80,000 lb"}
  sling: {legs: 2, angle: 60, rating: 40000 lb}
  rigging: 1,800 lb
  crib: {timbers: 6x6, pattern: 2 × 2, base: 36 in, height: 3 ft 4 in}
  clearance: 3 in
  halves_equal: yes
  coupler: {rating: 30 tons, by: Q. Marrow}
"""


def test_a_plan_is_read() -> None:
    plan = read_plan_text(PLAN, "lift.yaml")
    assert (plan.crane_rating, plan.sling_rating, plan.rigging) == (80_000, 40_000, 1_800)
    assert (plan.sling_legs, plan.sling_angle) == (2, 60)
    assert (plan.crib.timbers, plan.crib.pattern, plan.crib.base, plan.crib.height) == ("6×6", "2×2", 36, 40)
    assert plan.crib.count == 2
    assert (plan.margin, plan.halves_equal) == (3, True)
    assert (plan.coupler_rating, plan.coupler_rated_by) == (60_000, "Q. Marrow")


def test_what_a_plan_may_leave_out() -> None:
    kept = [line for line in PLAN.splitlines() if not line.strip().startswith(("crane", "clear", "halves", "coupler"))]
    plan = read_plan_text("\n".join(kept).replace(", rating: 40000 lb", ""), "lift.yaml")
    assert plan.crane_rating is None
    assert plan.sling_rating is None
    assert plan.margin == Fraction(0)
    assert not plan.halves_equal
    assert plan.coupler_rating is None


def test_the_example_shown_is_a_plan_once_its_figures_are_filled_in() -> None:
    plan = read_plan_text(
        EXAMPLE.replace("…", "50000").replace("# halves", "halves").replace("# coupler", "coupler"), "x"
    )
    assert plan.crane_rating == 50_000
    assert plan.halves_equal
    assert plan.coupler_rated_by == "who"


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("carknocker-lift/1", "carknocker-lift/9", "carknocker-lift/1"),
        ("rigging: 1,800 lb", "rigging: 1,800", "unit"),
        ("angle: 60", "angle: steep", "angle such as 60°"),
        ("timbers: 6x6", "timbers: 8x8", "6×6"),
        ("legs: 2", "legs: two", "whole number"),
        ("  rigging:", "  riging:", "rigging"),
        ("lift:", "lifts:", "lift"),
        ("rating: 30 tons, by: Q. Marrow", "rating: 30 tons", "by"),
    ],
)
def test_what_is_wrong_is_told_at_its_place(old: str, new: str, told: str) -> None:
    with pytest.raises(InputRefused) as refused:
        read_plan_text(PLAN.replace(old, new, 1), "lift.yaml")
    words = " ".join(f"{one.found} {one.expected} {one.nearest} {one.remedy}" for one in refused.value.problems)
    assert told in words
    assert all(one.where.file == "lift.yaml" for one in refused.value.problems)


@pytest.mark.parametrize("text", ["", "- a\n", "words", "format: [", "lift: 3\nformat: carknocker-lift/1\n"])
def test_what_is_no_plan_is_refused(text: str) -> None:
    with pytest.raises(InputRefused):
        read_plan_text(text, "lift.yaml")


@given(st.text(max_size=200))
def test_any_text_is_a_plan_or_refused(text: str) -> None:
    for whole in (text, f"format: carknocker-lift/1\nlift: {text}\n"):
        problems: tuple[object, ...] = ("none yet",)
        try:
            read_plan_text(whole, "x")
        except InputRefused as refused:
            problems = refused.problems
        assert problems


def test_a_file_that_is_not_there_is_refused(tmp_path) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputRefused):
        read_plan(tmp_path / "none.yaml", "none.yaml")
