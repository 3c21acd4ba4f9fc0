"""The page of `why` about a part: what keeps the car from moving in full, what it meets in short."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from carknocker.judgement.model import Finding
from carknocker.page.model import Leaf, Tree
from carknocker.questions.why.ask import why
from carknocker.questions.why.page import why_page

sys.path.insert(0, str(Path(__file__).parents[1] / "cases"))
import case_list

BEFORE = "wren-hollow/before"


def leaves(part: str, rule: str | None = None) -> tuple[Leaf, ...]:
    page = why_page(why(case_list.answer(BEFORE), part, rule))
    return next(block for section in page.sections for block in section.blocks if isinstance(block, Tree)).leaves


def test_what_a_part_meets_is_told_in_short_and_each_of_it_once() -> None:
    judgement = case_list.answer(BEFORE).judgement
    own = [finding for finding in judgement.findings if finding.part.label == "wheel R5"]
    found = leaves("wheel R5")
    for verdict, words in (("met", "met"), ("not applicable", "do not apply")):
        of_verdict: list[Finding] = [finding for finding in own if finding.verdict == verdict]
        group = next(leaf for leaf in found if leaf.text == f"{len(of_verdict)} {words}")
        assert group.notes == ("each in full: `carknocker why CAR PART RULE`",)
        assert len(group.under) == len(of_verdict)
        for finding, leaf in zip(of_verdict, group.under, strict=True):
            assert finding.criterion.title in leaf.text
            assert leaf.under == ()
            assert f"rule: {finding.criterion.name}" in " ".join((leaf.text, *leaf.notes))
    figures = "measured: 1-11/16 in; required: at least 1 in; margin: "
    passed = next(leaf for leaf in found if leaf.text.endswith(" met")).under
    assert any(figures in " ".join(leaf.notes) for leaf in passed)


def test_what_stands_against_a_part_and_what_is_asked_by_name_is_told_in_full() -> None:
    breached = next(leaf for leaf in leaves("wheel R5") if leaf.text.endswith(" (breached)"))
    assert any(note.startswith("source: ") for note in breached.notes)
    assert breached.under
    (met,) = leaves("wheel R5", "rim-thickness")
    assert met.text.endswith(": met")
    assert any(note.startswith("source: ") for note in met.notes)
    assert met.under


def test_what_a_condition_saw_of_the_move_is_not_said_twice() -> None:
    """The evidence under the condition says it: `the move: kind of train: passenger`."""

    def every(found: tuple[Leaf, ...]) -> list[Leaf]:
        return [one for leaf in found for one in (leaf, *every(leaf.under))]

    told = [leaf for leaf in every(leaves("car")) if any("asks: move: " in note for note in leaf.notes)]
    assert told
    assert not any(note.startswith("seen: move: ") for leaf in told for note in leaf.notes)


@pytest.mark.parametrize(
    ("part", "rule", "asked"),
    [
        ("wheel R5", "us-federal/flange-thickness", "Why: Wheel R5: flange 7/8 in or thinner?"),
        ("wheel", "out-of-round", "Why: Wheels L1–L6, R1–R6: out of round not measured?"),
        ("car", "annual-inspection", "Why: Annual mechanical inspection: runs out 2026-11-14; move ends 2026-11-22?"),
        ("brake system", "old-control-valve-needs-its-portion",
         "Why: Spare service portion: not aboard; must ride with an old control valve?"),
        ("wheel R4", "us-federal/flange-thickness", "Why: wheel R4: Flange thicker than 7/8 in?"),  # it is
    ],
)  # fmt: skip
def test_the_title_says_the_fault_and_the_requirement_only_of_what_meets_it(part: str, rule: str, asked: str) -> None:
    assert why(case_list.answer(BEFORE), part, rule).question == asked


def test_all_that_is_not_shown_is_told_by_its_faults_each_with_its_rule() -> None:
    def every(found: tuple[Leaf, ...]) -> list[Leaf]:
        return [one for leaf in found for one in (leaf, *every(leaf.under))]

    page = why_page(why(case_list.answer("nothing-measured")))
    (tree,) = [block for block in page.sections[0].blocks if isinstance(block, Tree)]
    told = {leaf.text: leaf.notes for leaf in every(tree.leaves)}
    assert told["Axles of T-1, T-2, T-3, T-4: gouge depth not measured; must be at most 1/8 in"] == (
        "49 CFR 215.105(b); rule: axle-gouge",
    )
