"""The lift sheet: weights checked against each other, what may hold the standing end, figures that can be read off."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
import yaml

from carknocker.documents import InputRefused
from carknocker.page.text import text_of
from carknocker.questions.lift.ask import LiftAnswer, lift
from carknocker.questions.lift.page import lift_page
from carknocker.questions.lift.plan import read_plan
from carknocker.questions.lift.rounding import clearance_words, load_words, share_words, travel_words
from carknocker.questions.lift.weight_checks import LEAST_OF_LIGHT, MOST_APART, MOST_SHARE_APART
from carknocker.record import read_car_text
from carknocker.workings.formula import result

ROOT = Path(__file__).resolve().parents[2]
CAR = ROOT / "cases" / "wren-hollow" / "after"
GROSS, ON_B, ON_A = "gross_weight: 171,400 lb", "weight_on_truck_B: 86,000 lb", "weight_on_truck_A: 85,400 lb"
LIGHT = "  truck_centers: 57 ft 0 in\n"
"""86,000 lb and 85,400 lb are 171,400 lb."""


def lifted(end: str = "A", **changes: str) -> LiftAnswer:
    """The demo car after its work; texts of its record replaced."""
    text = (CAR / "car.yaml").read_text(encoding="utf-8")
    for name, new in changes.items():
        old = {"gross": GROSS, "on_b": ON_B, "on_a": ON_A, "light": LIGHT, "acts_on": 'acts_on: ["1", "2", "3"], ',
               "connections_at_A": "connections_to_body: [brake rod, ground strap]"}[name]  # fmt: skip
        assert text.count(old) == 1
        text = text.replace(old, new)
    plan = read_plan(CAR / "lift.yaml", "lift.yaml")
    return lift(read_car_text(text, "car.yaml"), end, plan, "lift.yaml", date(2026, 10, 28))  # type: ignore[arg-type]


def said(answer: LiftAnswer) -> str:
    return " ".join(text_of(lift_page(answer)).replace("|", " ").split())


def test_weights_that_add_up_are_said_to_agree() -> None:
    answer = lifted()
    assert answer.checks[0].verdict == "agree"
    assert "weights agree: 86,000 lb + 85,400 lb on the trucks = 171,400 lb; gross 171,400 lb" in said(answer)


@pytest.mark.parametrize(
    ("gross", "verdict"),
    [  # 1 % of 173,200 lb is 1,732 lb, of 169,700 lb 1,697 lb
        ("gross_weight: 171,300 lb", "differ"),
        ("gross_weight: 172,400 lb", "differ"),
        ("gross_weight: 173,100 lb", "differ"),
        ("gross_weight: 173,200 lb", "contradict"),
        ("gross_weight: 169,800 lb", "differ"),
        ("gross_weight: 169,700 lb", "contradict"),
    ],
)
def test_weights_that_do_not_add_up(gross: str, verdict: str) -> None:
    if verdict == "contradict":
        with pytest.raises(InputRefused) as caught:
            lifted(gross=gross)
        assert "the weights contradict each other: 86,000 lb + 85,400 lb on the trucks" in str(caught.value)
        assert [one.remedy for one in caught.value.problems] == ["look at the scale tickets, or weigh again"]
    else:
        assert lifted(gross=gross).checks[0].verdict == verdict


def test_of_weights_that_differ_by_little_the_heavier_counts_for_the_lifted_end() -> None:
    """Gross less truck B: 172,000 - 86,000 = 86,000 lb on truck A, of which 34,000 lb are its own."""
    heavier = lifted(gross="gross_weight: 172,000 lb")
    assert heavier.sheet.cases[0].load.amount.high == 52_000
    assert "WEIGHTS DIFFER" in said(heavier).upper()
    assert "600 lb apart; the heavier counts for the end that is lifted" in said(heavier)
    # gross less truck B is less than the scale: the scale stays
    assert lifted(gross="gross_weight: 170,800 lb").sheet.cases[0].load.amount.high == 51_400


def test_weights_that_can_not_be_compared_are_said_not_to_be_checked() -> None:
    answer = lifted(on_b="", light=f"{LIGHT}  light_weight: 160,000 lb\n")
    assert answer.checks[0].verdict == "not checked"
    assert "not checked: the weight on truck B is not on record" in said(answer)
    assert "weights agree: light weight 160,000 lb, gross 171,400 lb" in said(answer)


@pytest.mark.parametrize(("light", "refused"), [("174,890 lb", False), ("174,900 lb", True)])
def test_ready_to_run_a_car_weighs_no_less_than_empty(light: str, refused: bool) -> None:
    """98 % of 174,897.96 lb are 171,400 lb."""
    told = f"{LIGHT}  light_weight: {light}\n"
    if refused:
        with pytest.raises(InputRefused, match="weigh less than empty"):
            lifted(light=told)
    else:
        assert lifted(light=told).checks[1].verdict == "agree"


def test_the_limits_are_those_of_the_doubts_of_the_vocabulary() -> None:
    file = ROOT / "engine" / "carknocker" / "vocabulary" / "data" / "doubts.yaml"
    doubts = yaml.safe_load(file.read_text(encoding="utf-8"))["doubts"]
    apart, share = doubts["trucks-add-up"]["must"]["any"]
    assert apart == {"truck_weights_apart": {"at_most": f"{MOST_APART} lb"}}
    percent = MOST_SHARE_APART * 100
    assert share == {"trucks_of_gross": {"at_least": f"{100 - percent} %", "at_most": f"{100 + percent} %"}}
    assert doubts["gross-over-light"]["must"] == {"gross_of_light": {"at_least": f"{LEAST_OF_LIGHT * 100} %"}}


def test_a_hand_brake_that_acts_on_the_standing_truck_helps_the_chocks() -> None:
    """The hand brake of the demo car acts on axles 1 to 3, those of truck B."""
    answer = lifted("A")
    assert answer.holding.hand_brake == "acts there"
    assert (
        "Truck B stands: chock it on both sides of a wheel, on both rails, and set the hand brake at end B (it acts on "
        "axle 1–3)."
    ) in said(answer)


def test_a_hand_brake_of_the_lifted_end_holds_nothing() -> None:
    answer = lifted("B")
    assert answer.holding.hand_brake == "acts elsewhere"
    words = said(answer)
    assert "No hand brake acts on it: the one on record holds nothing here." in words
    assert "set the hand brake" not in words


@pytest.mark.parametrize("end", ["A", "B"])
def test_a_hand_brake_of_which_nobody_says_where_it_acts_is_none(end: str) -> None:
    answer = lifted(end, acts_on="")
    assert answer.holding.hand_brake == "not on record"
    assert "do not count on one" in said(answer)
    assert "set the hand brake" not in said(answer)


def test_one_axle_of_the_standing_truck_is_enough_and_only_that_is_named() -> None:
    answer = lifted("B", acts_on='acts_on: ["3", "4"], ', connections_at_A="connections_to_body: [hand-brake chain]")
    assert answer.holding.hand_brake == "acts there"
    assert "(it acts on axle 4)" in said(answer)


def test_a_hand_brake_whose_chain_is_at_the_lifted_truck_alone_is_not_counted_on() -> None:
    answer = lifted("B", acts_on='acts_on: ["4", "5", "6"], ')
    assert answer.holding.hand_brake == "does not agree"
    words = said(answer)
    assert (
        "acts on axle 4–6 by the record, which has its chain at truck B alone: do not count on it, and look." in words
    )
    assert "set the hand brake" not in words


def test_figures_are_rounded_to_the_safe_side() -> None:
    """(85,400 lb / 2) / sin 60° = 49,305.71 lb; 15 in × 151 in / 684 in = 3.311 in, of 20 in that leaves 16.689 in."""
    words = said(lifted())
    assert "sling leg 49,310 lb, 99 % of 50,000 lb" in words
    assert "far end dips 3-5/16 in" in words
    assert "leaves 16-11/16 in over the rail" in words
    assert "= 49,305.71 lb" in words[words.index("WORKED FIGURES, EXACT") :]
    assert "49,305.71" not in words[: words.index("WORKED FIGURES, EXACT")]


@pytest.mark.parametrize(
    ("amount", "load", "travel", "clearance"),
    [
        (Fraction(50), "50 lb", "50 in", "50 in"),
        (Fraction(50) + Fraction(1, 1000), "60 lb", "50-1/16 in", "50 in"),
        (Fraction(50) - Fraction(1, 1000), "50 lb", "50 in", "49-15/16 in"),
        (Fraction(-1, 1000), "0 lb", "0 in", "-1/16 in"),
    ],
)
def test_rounding_at_the_step(amount: Fraction, load: str, travel: str, clearance: str) -> None:
    assert load_words(result("weight", amount, "")) == load
    assert travel_words(result("length", amount, "")) == travel
    assert clearance_words(result("length", amount, "")) == clearance


@pytest.mark.parametrize(
    ("share", "words"), [(Fraction(1), "100 %"), (Fraction(10001, 10000), "101 %"), (Fraction(0), "0 %")]
)
def test_a_share_over_its_rating_never_reads_100_percent(share: Fraction, words: str) -> None:
    assert share_words(result("ratio", share, "")) == words
