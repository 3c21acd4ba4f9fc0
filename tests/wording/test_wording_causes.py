"""What something follows from is said as the fault, never as the requirement that is not met."""

from case_list import answer

from carknocker.judgement.facts import FindingFact, SeenFact
from carknocker.judgement.index import JudgementIndex
from carknocker.wording.causes import fact_words


def index() -> JudgementIndex:
    return JudgementIndex(answer("two-nations/south").judgement)


def test_damage_that_calls_for_a_test_is_named_and_not_the_requirement():
    asked = {duty.consequence.name: duty.cause for duty in index().judgement.duties}
    assert fact_words(asked["shelling-calls-for-single-car-test"], index()) == "wheel R4: shelled spot 1-1/2 in"
    assert fact_words(asked["slid-flat-calls-for-single-car-test"], index()) == "wheel R3: flat spot 2-1/4 in"


def test_damage_that_no_finding_rests_on_any_more_is_told_with_its_reading_and_its_place():
    """A wheel that was renewed since: the test is asked of the axle all the same."""
    evidence = index().evidence["wheel K-104 right shelled_spot_length, sheet 1 of 2026-07-28"]
    once = SeenFact("us-federal/flange-thickness", evidence.id, "axle position 4", evidence.on)
    said = "axle 4: longest shelled spot 1-1/2 in (2026-07-28, NB), past its limit"
    assert fact_words(once, index()) == said


def test_a_finding_is_its_fault_and_one_that_is_met_its_title():
    flange = FindingFact("us-federal/flange-height", "wheel K-102 right")
    assert fact_words(flange, index()) == "wheel R2: flange 1-1/2 in high"
    rim = FindingFact("us-federal/rim-thickness", "wheel K-101 left")
    assert fact_words(rim, index()) == "wheel L1: Rim at least 1 in thick (met)"
