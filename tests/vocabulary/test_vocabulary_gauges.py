"""Kinds of gauge: each tool by which a figure is read is one, by its own name or by what people call it."""

from pathlib import Path

import pytest

from carknocker.record import read_car_text
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute

LARKSPUR = Path(__file__).parents[2] / "cases" / "larkspur" / "freight" / "car.yaml"

# the last word of a tool that is a gauge; `eye`, `bar`, `drawing` are none, and a tester of circuits reads no figure
GAUGES = (
    "gauge", "micrometer", "calliper", "feelers", "feeler", "dial", "tape", "thermometer", "scale", "trammel", "line",
    "bob", "cell", "cells", "level", "pole", "tester",
)  # fmt: skip
FIGURES = ("length", "weight", "pressure", "temperature", "resistance", "tapes")


def tools() -> set[str]:
    vocabulary = load_vocabulary()
    read: list[Attribute] = [
        one
        for kind in vocabulary.kinds.values()
        for one in kind.attributes.values()
        if one.type in FIGURES and one.tool
    ]
    words = {word for one in read for word in (one.tool or "").split(", ")}
    return {word for word in words if word.split()[-1] in GAUGES and word != "gauge"}


def test_each_tool_by_which_a_figure_is_read_is_a_kind_of_gauge() -> None:
    vocabulary, found = load_vocabulary(), tools()
    assert {"string line", "plumb bob", "level", "pole", "crane cell", "1,000 V insulation tester"} <= found
    assert {"hollow gauge", "inside micrometer", "vertical-flange gauge", "depth gauge", "trammel"} <= found
    assert {word for word in found if vocabulary.gauge_kind_called(word) not in vocabulary.gauge_kinds} == set()


def test_no_name_is_given_to_two_kinds_of_gauge() -> None:
    kinds = load_vocabulary().gauge_kinds.values()
    names = [name for kind in kinds for name in (kind.name, *kind.other_names)]
    assert sorted(names) == sorted(set(names))


@pytest.mark.parametrize(
    ("written", "kind"),
    [
        ("hollow gauge", "hollow gauge"),
        ("steel wheel gauge", "finger gauge"),
        ("Feeler Gauge", "feelers"),
        ("caliper", "calliper"),
        ("heat gun", "thermometer"),
        ("crane scale", "crane cell"),
        ("load cell", "load cells"),
        ("insulation meter", "insulation tester"),
        ('"1,000 V insulation tester"', "insulation tester"),
        ("plumb line", "plumb bob"),
        ("string and stick", "string and stick"),  # a kind that nobody knows stays as it was written
    ],
)
def test_a_gauge_of_the_record_is_of_the_kind_that_people_call_so(written: str, kind: str) -> None:
    text = LARKSPUR.read_text(encoding="utf-8")
    assert text.count("\ngauges:\n") == 1
    text = text.replace("gauges:\n", f"gauges:\n  G-1: {{kind: {written}}}\n")
    assert read_car_text(text, "car.yaml").gauges["G-1"].kind == kind


def test_what_is_held_against_the_eye_or_a_rule_needs_no_check_and_what_weighs_does() -> None:
    kinds = load_vocabulary().gauge_kinds
    for name in ("string line", "plumb bob", "level", "pole"):
        assert not kinds[name].check
        assert kinds[name].any_length
    assert all(kinds[name].check for name in ("crane cell", "load cells", "track scale", "insulation tester"))
