"""What changed between two answers, and which entries are the reason."""

from datetime import date

from hypothesis import given
from hypothesis import strategies as st
from question_samples import MOVE, MOVED, answer

from carknocker.judgement.answer import check
from carknocker.record import read_move_text
from carknocker.rulebook import Library
from carknocker.whatif.differences.compare import compare, with_editions
from carknocker.whatif.differences.model import FindingChange

TURNED = "  - {id: J-1, on: 2030-02-20, did: wheels turned, at: [L2, R2], by: HM}"
VALVE = "  - {id: J-2, on: 2030-03-20, did: service portion replaced, by: HM}"
AGAIN = (
    "  - {on: 2030-02-21, by: RE, gauge: G-1,\n"
    "     readings: {wheels: {'L2, R2': {flange_thickness: 1-1/8 in, flat_spot_length: 0 in}}}}"
)
RENEWED = "  - {id: J-3, on: 2030-02-20, did: wheelset renewed, at: 2, off: W-2, fitted: W-9, by: HM}"


def _of(changes: tuple[FindingChange, ...], criterion: str, label: str) -> FindingChange:
    return next(one for one in changes if one.criterion == criterion and one.label == label)


def _said(change: FindingChange) -> list[str]:
    return [novelty.said for novelty in change.because]


def test_cleared_by_work_and_a_new_reading(library: Library) -> None:
    found = compare(
        answer(library, flange="7/8 in"), answer(library, flange="7/8 in", more_work=TURNED, more_sheets=AGAIN)
    )
    assert found.outcomes == ("not ready", "ready")
    assert [change.label for change in found.cleared] == ["wheel L2"]
    change = _of(found.cleared, "test-law/flange", "wheel L2")
    assert change.before_said is not None
    assert (change.before_said.measured, change.after_said and change.after_said.measured) == ("7/8 in", "1-1/8 in")
    assert _said(change) == [
        "wheel L2: flange thickness 1-1/8 in, 2030-02-21, RE",
        "J-1 wheels turned, 2030-02-20, at wheel L2, wheel R2",
    ]
    assert not found.new


def test_cleared_by_another_wheelset_is_compared_by_place(library: Library) -> None:
    sheet = (
        "  - {on: 2030-02-21, by: RE, gauge: G-1,\n"
        "     readings: {wheels: {'L2, R2': {flange_thickness: 1 in, flat_spot_length: 0 in}}}}"
    )
    after = answer(library, flange="7/8 in", second="W-9", ninth="fitted", more_work=RENEWED, more_sheets=sheet)
    found = compare(answer(library, flange="7/8 in"), after)
    change = _of(found.cleared, "test-law/flange", "wheel L2")
    assert change.note == "wheel W-2 left → wheel W-9 left"
    assert "J-3 wheelset renewed, 2030-02-20, axle 2: W-2 off, W-9 fitted" in _said(change)
    assert all(novelty.sort != "fitting" for novelty in change.because)


def test_new_because_work_made_the_test_void(library: Library) -> None:
    found = compare(answer(library), answer(library, more_work=VALVE))
    change = _of(found.new, "test-law/brake-test", "brake system")
    assert change.after is not None
    assert change.after.verdict == "void"
    assert _said(change) == ["J-2 service portion replaced, 2030-03-20"]
    (duty,) = found.duties_new
    assert (duty.before, duty.after and duty.after.state) == (None, "open")
    assert [novelty.said for novelty in duty.because] == ["J-2 service portion replaced, 2030-03-20"]


def test_a_duty_is_cleared_by_the_test_that_answers_it(library: Library) -> None:
    test = "  - {test: single-car brake test, on: 2030-03-21, by: HM, result: passed, device_due: 2030-06-21}"
    found = compare(answer(library, more_work=VALVE), answer(library, more_work=VALVE, more_tests=test))
    (duty,) = found.duties_cleared
    assert duty.after is not None
    assert duty.after.state == "done"
    assert [novelty.sort for novelty in duty.because] == ["test"]


def test_one_record_on_two_days(library: Library) -> None:
    late = {"more_work": VALVE}
    found = compare(answer(library, as_of=date(2030, 3, 10), **late), answer(library, as_of=date(2030, 3, 25), **late))
    assert found.what_differs == ("two days: 2030-03-10 → 2030-03-25",)
    assert _said(_of(found.new, "test-law/brake-test", "brake system")) == ["J-2 service portion replaced, 2030-03-20"]


def test_one_record_under_two_editions(library: Library) -> None:
    before = answer(library)
    judgement = before.judgement
    after = check(judgement.car, with_editions(judgement.move, {"test-host": "2"}), library, judgement.as_of)
    found = compare(before, after)
    assert found.what_differs == ("two rulebooks: test-host 1 → test-host 2",)
    change = _of(found.new, "test-host/height", "coupler B")
    assert [novelty.sort for novelty in change.because] == ["edition"]
    assert "test-host 2" in _said(change)[0]


def test_two_moves(library: Library) -> None:
    found = compare(answer(library, flange="7/8 in"), answer(library, flange="7/8 in", move={"train": "freight"}))
    assert found.what_differs[0].startswith("two moves: Test Host, passenger train")
    change = _of(found.cleared, "test-law/flange", "wheel L2")
    assert change.after is not None
    assert change.after.verdict == "not applicable"
    assert [novelty.sort for novelty in change.because] == ["move"]


def test_still_open_changed_verdict_and_changed_margin(library: Library) -> None:
    found = compare(answer(library, flange="7/8 in"), answer(library, flange="3/4 in"))
    change = _of(found.still_open, "test-law/flange", "wheel L2")
    assert change.before_said is not None
    assert change.after_said is not None
    assert (change.before_said.measured, change.after_said.measured) == ("7/8 in", "3/4 in")
    assert [novelty.said for novelty in change.because] == [
        "wheel L2: flange thickness 3/4 in, 2030-02-01, RE",
        "wheel L2: flange thickness 7/8 in, 2030-02-01, RE (no longer so)",
    ]
    found = compare(answer(library), answer(library, flange="1-1/16 in"))
    assert [change.label for change in found.changed_margin] == ["wheel L2"]
    found = compare(answer(library, flange="1 in"), answer(library, flange="29/32 in"))
    assert not found.changed_verdict
    found = compare(answer(library), answer(library, flange="113/128 in"))
    assert [change.after and change.after.verdict for change in found.changed_verdict] == ["borderline"]


def test_relief_clears_and_is_noted(library: Library) -> None:
    low = "  - {on: 2030-02-02, by: RE, gauge: G-1, readings: {couplers: {B: {coupler_height: 29 in}}}}"
    leave = (
        "  - {id: V-1, host: Test Host, criterion: height, from: 2030-05-01, until: 2030-07-01, for: move,\n"
        "     at: coupler B, signed_by: the superintendent, signed_on: 2030-04-01, leaves: none, paper: letter 3}"
    )
    found = compare(answer(library, more_sheets=low), answer(library, more_sheets=low, leaves=leave))
    change = _of(found.cleared, "test-host/height", "coupler B")
    assert change.note == "relieved"
    assert [novelty.sort for novelty in change.because] == ["leave"]


def test_restrictions_and_what_is_against_the_move(library: Library) -> None:
    fast = {"speed": "60 mph"}
    found = compare(answer(library, move=fast), answer(library, frame="built-up", move=fast))
    (restriction,) = found.restrictions_new
    assert (restriction.words, restriction.rule) == ("at most 40 mph", "test-law/old-frame")
    assert [novelty.said for novelty in restriction.because] == [
        "truck A: truck frame built-up", "truck A: truck frame one-piece cast (no longer so)",
    ]  # fmt: skip
    assert len(found.against_new) == 1
    back = compare(found.after, found.before)
    assert (len(back.restrictions_gone), len(back.against_gone)) == (1, 1)


@given(
    st.sampled_from(["1 in", "7/8 in", "3/4 in", "113/128 in"]),
    st.sampled_from(["0 in", "3 in"]),
    st.sampled_from(["one-piece cast", "built-up"]),
    st.sampled_from(["", TURNED, VALVE]),
    st.sampled_from(["2029-06-03", "2030-03-01", "2028-01-01"]),
)
def test_the_same_twice_is_empty_and_the_way_back_mirrors(
    library: Library, flange: str, flat: str, frame: str, work: str, tested: str
) -> None:
    given = {"flange": flange, "flat": flat, "frame": frame, "more_work": work, "tested": tested}
    one, same, plain = answer(library, **given), answer(library, **given), answer(library)
    assert compare(one, same).empty
    there, back = compare(plain, one), compare(one, plain)
    assert {(c.criterion, c.label) for c in there.new} == {(c.criterion, c.label) for c in back.cleared}
    assert {(c.criterion, c.label) for c in there.cleared} == {(c.criterion, c.label) for c in back.new}
    assert [n.said for n in there.added] == [n.said for n in back.removed]
    changes = (*there.new, *there.cleared, *there.changed_verdict, *there.changed_margin)
    assert all(change.because for change in changes)
    assert there.empty == (not there.added and not there.removed)


def test_pinning_keeps_the_rest_of_the_move() -> None:
    move = read_move_text(MOVE.format(**{**MOVED, "editions": "test-law: '1'"}).lstrip("\n"), "move.yaml")
    pinned = with_editions(move, {"test-host": "2"})
    assert dict(pinned.editions) == {"test-law": "1", "test-host": "2"}
    assert (pinned.out, pinned.legs) == (move.out, move.legs)
