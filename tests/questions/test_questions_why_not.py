"""Why a consequence does not follow: the first thing of each of its causes that does not hold."""

import pytest
from question_samples import answer, every, line

from carknocker.questions.why.ask import why
from carknocker.rulebook import Library


def _reasons(library: Library, part: str | None, rule: str, **given: str) -> list[str]:
    found = why(answer(library, **given), part, rule)
    assert found.nodes[0].sort == "nothing"
    return [node.said for node in found.nodes[0].because]


def test_no_such_work(library: Library) -> None:
    (reason,) = _reasons(library, None, "valve-work")
    assert reason == "no service portion replaced or emergency portion replaced is on record up to 2030-05-01"


def test_work_later_than_the_day_is_no_cause_yet(library: Library) -> None:
    later = "  - {id: J-5, on: 2030-05-20, did: service portion replaced, by: HM}"
    (reason,) = _reasons(library, None, "valve-work", more_work=later)
    assert reason.startswith("no service portion replaced")


def test_a_state_names_the_condition_and_what_is_seen(library: Library) -> None:
    found = why(answer(library), "truck A", "old-frame")
    (clause,) = found.nodes[0].because
    assert clause.sort == "clause"
    assert line(clause, "asks") == "truck frame: built-up"
    assert line(clause, "seen") == "truck frame: one-piece cast"
    assert clause.because[0].said == "truck A: truck frame: one-piece cast"


def test_a_finding_that_is_met_carries_nothing_up(library: Library) -> None:
    (reason,) = _reasons(library, None, "wheel-stops-the-car")
    assert reason.startswith("no finding is unmet with the effect refuse standing")


def test_a_leave_that_does_not_cover_the_move_is_shown(library: Library) -> None:
    early = (
        "  - {id: V-1, host: Test Host, criterion: height, from: 2030-01-01, until: 2030-02-01, for: move,\n"
        "     at: coupler B, signed_by: the superintendent, signed_on: 2030-04-01, leaves: none, paper: letter 3}"
    )
    reasons = _reasons(library, None, "leave", leaves=early)
    assert reasons[0].startswith("V-1 of Test Host for height")
    assert reasons[-1] == "no written permission of this host covers the whole move"


def test_work_that_finds_nothing_to_void(library: Library) -> None:
    early = "  - {id: J-6, on: 2030-01-05, did: wheels turned, at: L1, by: HM}"
    (reason,) = _reasons(library, "L1", "turning", more_work=early)
    assert "nothing to make void" in reason


@pytest.mark.parametrize("rule", ["flat-seen", "open-test-stops-the-car", "brake-stops-the-car", "shoe-stops-the-car"])
def test_every_consequence_that_did_not_follow_has_a_reason(library: Library, rule: str) -> None:
    found = why(answer(library), None, rule)
    assert all(node.because for node in found.nodes)
    assert not any(node.sort == "firing" for node in every(found.nodes))


def test_every_rule_of_a_rulebook_can_be_asked_about_every_part(library: Library) -> None:
    found = answer(library, flange="7/8 in", frame="built-up")
    judgement = found.judgement
    for rule in (*judgement.rulebook.criteria, *judgement.rulebook.consequences):
        for word in (None, "car", "L2", "truck A", "brake system", "move"):
            assert why(found, word, rule.id).nodes
