"""Why the outcome is what it is: from the outcome to the reading, the gauge, the person, the sentence."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from question_samples import answer, every, leaves_of, line, rules_in

from carknocker.judgement.model import Finding
from carknocker.judgement.names import NotFound
from carknocker.questions.why.ask import why
from carknocker.record.model import Evidence, Leave, Work
from carknocker.rulebook import Library, load_library

TURNED = "  - {id: J-1, on: 2030-02-20, did: wheels turned, at: [L2, R2], by: HM}"
VALVE = "  - {id: J-2, on: 2030-03-20, did: service portion replaced, by: HM}"


def test_a_ready_car_says_that_nothing_stands_against_it(library: Library) -> None:
    found = why(answer(library))
    assert found.answer == "ready"
    assert [node.sort for node in found.nodes[0].because] == ["nothing"]
    assert "none is unmet" in found.nodes[0].because[0].said


def test_from_the_outcome_to_the_gauge_and_the_line(library: Library) -> None:
    found = why(answer(library, flange="7/8 in"))
    (outcome,) = found.nodes
    assert outcome.said == "not ready"
    (firing,) = outcome.because
    assert firing.sort == "firing"
    assert line(firing, "follows") == "unfit: wheelset W-2, axle 2, truck B and the car"
    (finding,) = firing.because
    assert finding.said == "wheel L2: flange thickness 7/8 in; must be over 7/8 in (breached)"
    assert line(finding, "requirement") == "Flange over 7/8 in"
    assert line(finding, "measured") == "7/8 in"
    assert line(finding, "stops") == "wheelset W-2, axle 2, truck B and the car"
    assert finding.source is not None
    assert finding.source.words == "7/8 in or less is worn out"
    (evidence,) = finding.because
    assert evidence.sort == "evidence"
    assert line(evidence, "by") == "RE (owner)"
    assert line(evidence, "gauge") == "G-1 (universal gauge, checked 2030-01-01, due 2031-01-01)"
    assert evidence.where is not None
    assert evidence.where.file == "car.yaml"


def test_what_is_not_shown_is_one_group_by_rule(library: Library) -> None:
    renewed = "  - {id: J-3, on: 2030-02-20, did: wheelset renewed, at: 2, off: W-2, fitted: W-9, by: HM}"
    found = why(answer(library, second="W-9", ninth="fitted", more_work=renewed))
    (group,) = found.nodes[0].because
    assert (group.sort, group.said) == ("group", "not shown: 2 findings of 1 requirement")
    assert [node.said for node in group.because] == [
        "Wheels L2, R2: flange thickness not measured; must be over 7/8 in"
    ]
    assert len(group.because[0].because) == 2


def test_void_evidence_is_struck_and_names_its_work(library: Library) -> None:
    found = why(answer(library, more_work=TURNED), "L2", "flange")
    (finding,) = found.nodes
    assert finding.said == "wheel L2: flange thickness: reading void; wheels turned after it, 2030-02-20"
    assert "J-1 wheels turned" in line(finding, "why")
    (void,) = finding.because
    assert (void.sort, void.struck) == ("void", True)
    assert [node.said for node in void.because] == ["J-1 wheels turned, 2030-02-20"]
    assert line(void, "rule") == "test-law/turning"


def test_a_relieved_effect_stays_visible_with_the_leave(library: Library) -> None:
    leave = (
        "  - {id: V-1, host: Test Host, criterion: height, from: 2030-05-01, until: 2030-07-01, for: move,\n"
        "     at: coupler B, signed_by: the superintendent, signed_on: 2030-04-01, leaves: none, paper: letter 3}"
    )
    low = "  - {on: 2030-02-02, by: RE, gauge: G-1, readings: {couplers: {B: {coupler_height: 29 in}}}}"
    found = why(answer(library, leaves=leave, more_sheets=low), "coupler B", "height")
    (finding,) = found.nodes
    assert finding.struck
    assert line(finding, "effect") == "refuse, relieved"
    relief = finding.because[0]
    assert relief.sort == "relief"
    assert [type(node.about) for node in relief.because] == [Leave]
    assert finding.because[1].sort == "evidence"


def test_a_duty_shows_its_work_and_what_answered_it(library: Library) -> None:
    open_ = why(answer(library, more_work=VALVE), None, "valve-work")
    (duty, *_) = [node for node in open_.nodes if node.sort == "duty"]
    assert (
        duty.said
        == "single-car brake test: none on file after 2030-03-20; called for by service portion replaced (due)"
    )
    assert isinstance(duty.because[0].about, Work)
    test = (
        "  - {test: single-car brake test, on: 2030-03-20, by: HM, result: passed, after: J-2, device_due: 2030-06-21}"
    )
    done = why(answer(library, more_work=VALVE, more_tests=test), None, "valve-work")
    (duty, *_) = [node for node in done.nodes if node.sort == "duty"]
    assert duty.said.endswith("done")
    assert isinstance(duty.because[-1].about, Evidence)


def test_an_open_duty_is_carried_up_by_its_firing(library: Library) -> None:
    found = why(answer(library, more_work=VALVE))
    firings = [node for node in found.nodes[0].because if node.sort == "firing"]
    assert [node.said for node in firings] == ["A refused brake stops the car", "A brake test still due stops the car"]
    assert firings[1].because[0].sort == "duty"


def test_what_was_seen_stays_a_reason_after_the_repair(library: Library) -> None:
    test = "  - {test: single-car brake test, on: 2030-01-05, by: HM, result: passed, device_due: 2030-06-21}"
    again = (
        "  - {on: 2030-02-21, by: RE, gauge: G-1,\n"
        "     readings: {wheels: {'L2, R2': {flange_thickness: 1 in, flat_spot_length: 0 in}}}}"
    )
    given = {"tested": "2030-01-04", "more_tests": test, "flat": "3 in", "more_work": TURNED, "more_sheets": again}
    found = why(answer(library, **given))
    said = [node.said for node in every(found.nodes)]
    assert any("seen beyond the limit of “Flat spot at most 2 in”" in words for words in said)
    assert any(words == "wheel R2: length of the flat spot: 3 in (void)" or "3 in" in words for words in said)


def test_a_restriction_names_the_state_it_rests_on(library: Library) -> None:
    found = why(answer(library, frame="built-up"))
    assert found.answer == "ready with restrictions"
    (restriction,) = [node for node in found.nodes[0].because if node.sort == "restriction"]
    assert restriction.said == "at most 40 mph"
    assert restriction.because[0].said == "truck A is as “Built-up frames at 40 mph” says"


def test_what_is_contrary_to_the_move_names_what_restricts(library: Library) -> None:
    found = why(answer(library, frame="built-up", move={"speed": "60 mph"}))
    (against,) = [node for node in found.nodes[0].because if node.sort == "against"]
    assert "60 mph" in against.said
    assert against.because[0].said == "at most 40 mph"


def test_does_not_apply_names_the_first_condition_that_fails(library: Library) -> None:
    found = why(answer(library), "car", "freight-only")
    (finding,) = found.nodes
    assert finding.said.endswith("not applicable")
    clause = finding.because[0]
    assert clause.sort == "clause"
    assert line(clause, "asks") == "move: kind of train: freight"
    assert line(clause, "seen") == "move: kind of train: passenger"


def test_lapses_met_and_for_the_day(library: Library) -> None:
    found = why(answer(library, tested="2029-06-03"), "brake system", "brake-test")
    assert found.nodes[0].said == "single-car brake test: runs out 2030-06-03; move ends 2030-06-05 (lapses)"
    assert line(found.nodes[0], "why") == "good through 2030-06-03; the move ends 2030-06-05"
    assert why(answer(library), "L1", "flange").nodes[0].said.endswith("met")
    shoes = why(answer(library), "L1", "shoe")
    assert [node.said.rsplit(": ", 1)[1] for node in shoes.nodes] == ["for the day"]


@pytest.mark.parametrize(("days", "counts"), [("120 days", True), ("119 days", False)])
def test_a_reading_too_old_for_its_criterion_is_struck_and_says_so(tmp_path: Path, days: str, counts: bool) -> None:
    """Read on 2030-02-01, 120 days before the departure on 2030-06-01."""
    aged = "of: wheel\n    when: {move.train: passenger}"
    library = load_library([rules_in(tmp_path, **{aged: f"{aged}\n    read_within: {days}"})])
    found = why(answer(library, move={"back": "2030-06-01"}), "L1", "flange")
    evidence = next(node for node in every(found.nodes) if isinstance(node.about, Evidence))
    assert evidence.struck is not counts
    too_old = "too old for this criterion on 2030-06-01"
    assert line(evidence, "does not count") == ("" if counts else too_old)
    assert found.nodes[0].said.endswith(": met" if counts else "must be over 7/8 in (not shown)")


@pytest.mark.parametrize(
    ("flat", "days", "verdict"), [("3 in", "119 days", "not shown"), ("1 in", "9 days", "not applicable")]
)
def test_whether_it_applies_is_asked_whatever_the_age_of_what_shows_it(
    tmp_path: Path, flat: str, days: str, verdict: str
) -> None:
    """How old a reading may be binds what must hold, not what the part is; all was read 120 days before."""
    everywhere = "of: wheel\n    when: {move.train: passenger}"
    there = f"of: wheel\n    when: {{flat_spot_length: {{over: 2 in}}}}\n    read_within: {days}"
    library = load_library([rules_in(tmp_path, **{everywhere: there})])
    (finding,) = why(answer(library, flat=flat), "R2", "flange").nodes
    assert verdict in finding.said.rpartition(" (" if verdict == "not shown" else ":")[2]
    clauses = [node.said for node in finding.because if node.sort == "clause"]
    wanted = ["it does not apply: the first condition that does not hold"] if verdict == "not applicable" else []
    assert [said.split(" (")[0] for said in clauses] == wanted


def test_a_part_shows_all_that_is_said_of_it(library: Library) -> None:
    found = why(answer(library, flange="7/8 in"), "truck B")
    assert found.nodes[0].said == "truck B is unfit"
    assert any(node.about is not None and node.said.startswith("wheel L2") for node in every(found.nodes))
    found = why(answer(library, flange="7/8 in"), "W-2")
    assert {part.key for part in found.parts} >= {"wheelset W-2", "wheel W-2 left", "bearing W-2 right", "axle of W-2"}
    assert "1 breached" in found.answer


def test_words_for_parts(library: Library) -> None:
    ready = answer(library)
    for word, keys in {
        "wheel L3": {"wheel W-3 left"},
        "WHEEL l3": {"wheel W-3 left"},
        "the car": {"car"},
        "truck_b": {"truck B"},
        "couplers": {"coupler B", "coupler A"},
        "W-9 left": {"wheel W-9 left", "bearing W-9 left"},
    }.items():
        assert {part.key for part in why(ready, word).parts} == keys
    assert {part.kind for part in why(ready, "L3").parts} >= {"wheel", "bearing", "box", "brake shoe"}


@pytest.mark.parametrize(
    ("part", "rule", "nearest"),
    [("wheel L33", None, "wheel L3"), ("truk B", None, "truck B"), (None, "flang", "flange"),
     (None, "test-law/flanges", "test-law/flange")],
)  # fmt: skip
def test_an_unknown_word_is_answered_with_the_nearest(
    library: Library, part: str | None, rule: str | None, nearest: str
) -> None:
    with pytest.raises(NotFound) as caught:
        why(answer(library), part, rule)
    assert caught.value.nearest == nearest
    assert f"`{nearest}`" in str(caught.value)


def test_a_rule_by_its_full_id_its_short_one_and_its_title(library: Library) -> None:
    ready = answer(library)
    for word in ("test-law/flange", "flange", "Flange over 7/8 in"):
        assert why(ready, "L1", word).rules == ("test-law/flange",)


@given(
    st.sampled_from(["1 in", "7/8 in", "113/128 in"]),
    st.sampled_from(["0 in", "3 in"]),
    st.sampled_from(["one-piece cast", "built-up"]),
    st.sampled_from(["", TURNED, VALVE, f"{TURNED}\n{VALVE}"]),
    st.sampled_from(["2029-06-03", "2030-03-01", "2028-01-01"]),
)
def test_every_leaf_is_of_the_judgement(
    library: Library, flange: str, flat: str, frame: str, work: str, tested: str
) -> None:
    found = answer(library, flange=flange, flat=flat, frame=frame, more_work=work, tested=tested)
    judgement = found.judgement
    standing = judgement.situation.standing
    evidence = {id(one) for own in standing.evidence.values() for entries in own.values() for one in entries}
    findings = {id(finding) for finding in judgement.findings}
    work = {id(entry) for entry in standing.work}
    tree = why(found).nodes
    shown = {id(node.about) for node in every(tree)}
    assert all(id(refusal.finding or refusal.duty) in shown for refusal in judgement.refusals if not refusal.against)
    for leaf in leaves_of(tree):
        if leaf.sort == "nothing":
            assert found.outcome == "ready"
            continue
        assert leaf.sort in ("evidence", "void", "work", "finding")
        assert id(leaf.about) in evidence | findings | work


def test_findings_in_the_tree_are_the_judgements_own(library: Library) -> None:
    found = answer(library, flange="7/8 in")
    shown = {id(node.about) for node in every(why(found).nodes) if isinstance(node.about, Finding)}
    refusing = {id(refusal.finding) for refusal in found.judgement.refusals if refusal.finding is not None}
    assert refusing <= shown <= {id(finding) for finding in found.judgement.findings}
