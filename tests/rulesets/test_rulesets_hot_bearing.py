"""A bearing that ran hot: a detector's report calls for a bearing shop; a box too hot for the hand is named."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.answer import check
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move
from carknocker.rulebook import load_library, rulesets_folders

CASES = Path(__file__).parents[2] / "cases"
LIBRARY = load_library(rulesets_folders())
DAY = date(2026, 9, 1)
TRAINS = ["larkspur/freight", "larkspur/passenger", "two-nations/north"]
CALLS = "trade-practice/detector-report-calls-for-bearing-shop"


def judged(case: str, readings: str, later: str = "") -> Judgement:
    """A demo car with a sheet of two days before the page, and one of the day before it."""
    sheets = [("2026-08-30", readings), *([("2026-08-31", later)] if later else [])]
    added = "".join(f"  - {{on: {on}, by: NB, gauge: T-9, readings: {{{read}}}}}\n" for on, read in sheets)
    text = (CASES / case / "car.yaml").read_text(encoding="utf-8")
    move = read_move(CASES / case / "move.yaml")
    gauge = "  T-9: {kind: thermometer, reads_to: 2 °F, checked: 2026-07-01, due: 2027-07-01}\n"
    assert text.count("\ngauges:\n") == text.count("\nsheets:\n") == 1
    changed = text.replace("\ngauges:\n", f"\ngauges:\n{gauge}").replace("\nsheets:\n", f"\nsheets:\n{added}")
    return check(read_car_text(changed, "car.yaml"), move, LIBRARY, DAY).judgement


def calls(judgement: Judgement) -> set[str]:
    """The wheelsets whose bearings a shop has to inspect before departure for a detector's report."""
    return {
        one.duty.part.label for one in judgement.refusals if one.duty is not None and one.duty.consequence.id == CALLS
    }


@pytest.mark.parametrize("case", TRAINS)
@pytest.mark.parametrize(
    ("reported", "called"),
    [
        ("detector_above_ambient: 169 °F", False),
        ("detector_above_ambient: 170 °F", True),
        ("detector_across_axle: 94 °F", False),
        ("detector_across_axle: 95 °F", True),
    ],
)
def test_a_bearing_reported_hot_does_not_go_on_before_a_shop_saw_it(case: str, reported: str, called: bool) -> None:
    """170 °F above ambient, 95 °F across the axle: conventional settings quoted in the literature."""
    assert bool(calls(judged(case, f"bearings: {{L1: {{{reported}}}}}"))) is called


def test_a_cool_report_later_does_not_take_the_hot_one_back() -> None:
    hot, cool = (f"bearings: {{L1: {{detector_above_ambient: {figure} °F}}}}" for figure in (330, 20))
    assert calls(judged("larkspur/freight", hot, cool)) == calls(judged("larkspur/freight", hot))


@pytest.mark.parametrize(("figure", "odd"), [(180, False), (181, True), (320, True)])
def test_a_box_hotter_than_the_hand_can_bear_is_named(figure: int, odd: bool) -> None:
    """180 °F: common practice, no source."""
    found = judged("larkspur/passenger", f"bearings: {{L1: {{running_temperature: {figure} °F}}}}")
    assert any("running_temperature" in str(one.touched) for one in found.doubts) is odd
