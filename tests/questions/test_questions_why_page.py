"""The page of `why` about a part: what keeps the car from moving in full, what it meets in short."""

from __future__ import annotations

import sys
from pathlib import Path

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
