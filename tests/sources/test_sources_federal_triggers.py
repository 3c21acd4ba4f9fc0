"""What the law ties to a finding outlives the repair: 49 CFR 238.311(c), (d) and 232.305(b), editions 2015 and 2020.

The car is as small as it can be: one axle, its wheels, the brake.
"""

from collections.abc import Mapping
from datetime import date

import pytest
from msgspec.structs import replace

from carknocker.documents import Location
from carknocker.judgement.judge import judge
from carknocker.quantities import read_quantity
from carknocker.record.model import NO_END, CarRecord, Evidence, Fitting, Move, Part, Person, Work
from carknocker.record.part_keys import wheelset_parts
from carknocker.record.values import Day, Figure, Value, Word
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.model import Rulebook

HERE = Location("a small car", 1, 1)
HOST = "Sedge & Upland"
TESTER = Person("QT", "qualified maintenance person", "", (HOST,), NO_END, HERE)
WHEEL = "wheel W-1 left"
SEEN, TURNED, OUT = date(2026, 9, 12), date(2026, 9, 30), date(2026, 11, 6)
LIBRARY = load_library(rulesets_folders(), only=frozenset({"us-federal"}))
FIRST = (Fitting("W-1", 1, None, None, "", "", False),)
RENEWED = (
    Fitting("W-1", 1, None, TURNED, "", "J-2", False),
    Fitting("W-2", 1, TURNED, None, "J-2", "", False),
)
BEFORE, AFTER = date(2026, 2, 2), date(2026, 10, 5)


def _rulebook() -> Rulebook:
    return LIBRARY.rulebook([LIBRARY.head("us-federal", "2020")])


def _part(key: str, kind: str, container: str | None) -> Part:
    return Part(key, kind, "", key, container, True, HERE)


def _read(on: date, attribute: str, value: Value) -> Evidence:
    name = f"{attribute} {on}"
    return Evidence(name, attribute, WHEEL, "axle position 1", value, "reading", on, HERE, by=TESTER, sheet=str(on))


def _work(entry: str, name: str, on: date, facts: Mapping[str, Value], *, event: bool) -> Work:
    return Work(entry, event, name, on, (WHEEL,), HERE, facts=facts)


def _length(text: str) -> Figure:
    return Figure(read_quantity(text, "length"))


def _tests_due(
    train: str, tested: date, seen: tuple[Evidence, ...], work: tuple[Work, ...], *, renewed: bool = False
) -> set[str]:
    """Whether single-car tests that some rule calls for are open or done: the states of all such duties."""
    test = Evidence(
        "test",
        "single_car_test",
        "brake system",
        "brake system",
        Word("passed"),
        "test",
        tested,
        HERE,
        by=TESTER,
        facts={"device_due": Day(NO_END, NO_END, "never")},
    )
    car = CarRecord(
        mark="QWHX 5", name="", file="a small car", digest="",
        parts=(
            _part("car", "car", None), _part("truck B", "truck", "car"),
            _part("axle position 1", "axle position", "truck B"), _part("brake system", "brake system", "car"),
            *wheelset_parts("W-1", None if renewed else 1, False, HERE),
            *(wheelset_parts("W-2", 1, False, HERE) if renewed else ()),
        ),
        axle_trucks={1: "B"}, fittings=RENEWED if renewed else FIRST,
        evidence=tuple(sorted((*seen, test), key=lambda entry: entry.on or tested)), work=work, moves_made=(),
        spares=(), leaves=(), people={}, gauges={},
    )  # fmt: skip
    move = Move(HOST, train, OUT, OUT, "nobody", (), {}, {}, {}, True, "a move", "", HERE)  # type: ignore[arg-type]
    judged = judge(car, move, _rulebook(), OUT)
    return {duty.state for duty in judged.duties if duty.requirement.test == "single-car brake test"}


FLAT = (_read(SEEN, "flat_spot_length", _length("3 in")), _read(TURNED, "flat_spot_length", _length("0 in")))
TURNING = (_work("J-1", "wheels turned", TURNED, {}, event=False),)


@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_a_slid_flat_calls_for_its_brake_test_after_the_wheel_was_turned(train: str) -> None:
    assert _tests_due(train, BEFORE, FLAT, TURNING) == {"open"}
    assert _tests_due(train, AFTER, FLAT, TURNING) == {"done"}


@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_and_after_its_wheelset_was_renewed(train: str) -> None:
    renewal = Work(
        "J-2", False, "wheelset renewed", TURNED, ("axle position 1",), HERE, axle=1, off="W-1", fitted="W-2"
    )
    assert _tests_due(train, BEFORE, FLAT[:1], (renewal,), renewed=True) == {"open"}
    assert _tests_due(train, AFTER, FLAT[:1], (renewal,), renewed=True) == {"done"}


@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_a_wheel_never_flat_calls_for_none(train: str) -> None:
    assert _tests_due(train, BEFORE, FLAT[1:], ()) == set()


def test_a_cause_other_than_the_brake_spares_the_test() -> None:
    """238.311(d)."""
    slid = _work("E-1", "slid wheels", SEEN, {"cause": Word("hand brake left on")}, event=True)
    assert _tests_due("passenger", BEFORE, FLAT, (slid, *TURNING)) == set()


HAND_BRAKE = {"cause": Word("hand brake left on")}
OTHER_CAUSE = {"cause": Word("other cause than the brake")}


@pytest.mark.parametrize("train", ["passenger", "freight"])
@pytest.mark.parametrize(("happened", "states"), [(SEEN, set()), (date(2024, 9, 12), {"open"})])
def test_a_hand_brake_left_on_spares_the_test_for_what_was_found_with_it(
    train: str, happened: date, states: set[str]
) -> None:
    """238.311(d); 232.305(b): "unless known hand brake left applied"."""
    slid = _work("E-1", "slid wheels", happened, HAND_BRAKE, event=True)
    assert _tests_due(train, BEFORE, FLAT, (slid, *TURNING)) == states


@pytest.mark.transcription
@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_what_is_found_later_is_not_excused(train: str) -> None:
    slid = _work("E-1", "slid wheels", SEEN, HAND_BRAKE, event=True)
    again = _read(date(2026, 9, 13), "flat_spot_length", _length("3 in"))
    assert _tests_due(train, BEFORE, (FLAT[0], again, FLAT[1]), (slid, *TURNING)) == {"open"}


@pytest.mark.transcription
@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_no_other_damage_is_excused(train: str) -> None:
    """A slid wheel's cause says nothing of a crack."""
    slid = _work("E-1", "slid wheels", SEEN, HAND_BRAKE, event=True)
    cracked = (_read(SEEN, "thermal_crack", Word("yes")), _read(TURNED, "thermal_crack", Word("no")))
    assert _tests_due(train, BEFORE, cracked, (slid,)) == {"open"}


@pytest.mark.transcription
def test_a_crack_is_excused_by_its_own_event() -> None:
    cracked = (_read(SEEN, "thermal_crack", Word("yes")), _read(TURNED, "thermal_crack", Word("no")))
    found = _work("E-1", "thermal crack found", SEEN, OTHER_CAUSE, event=True)
    assert _tests_due("passenger", BEFORE, cracked, (found,)) == set()
    by_brake = _work("E-1", "thermal crack found", SEEN, HAND_BRAKE, event=True)
    assert _tests_due("passenger", BEFORE, cracked, (by_brake,)) == {"open"}


@pytest.mark.transcription
@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_the_wheelset_that_came_in_its_stead_is_not_excused(train: str) -> None:
    slid = _work("E-1", "slid wheels", TURNED, HAND_BRAKE, event=True)
    renewal = Work(
        "J-2", False, "wheelset renewed", TURNED, ("axle position 1",), HERE, after=frozenset({"E-1"}), axle=1,
        off="W-1", fitted="W-2",
    )  # fmt: skip
    own = _read(TURNED, "flat_spot_length", _length("3 in"))
    other = replace(own, id="other", part="wheel W-2 left", after=frozenset({"J-2"}))
    assert _tests_due(train, BEFORE, (own,), (slid, renewal), renewed=True) == set()
    assert _tests_due(train, BEFORE, (other,), (slid, renewal), renewed=True) == {"open"}


@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_slid_wheels_of_an_unsaid_cause_call_for_the_test(train: str) -> None:
    slid = _work("E-1", "slid wheels", SEEN, {}, event=True)
    assert _tests_due(train, BEFORE, FLAT[1:], (slid,)) == {"open"}


@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_built_up_tread_calls_for_the_test_whatever_its_cause(train: str) -> None:
    """238.311(d) excuses no built-up tread."""
    slid = _work("E-1", "slid wheels", SEEN, {"cause": Word("hand brake left on")}, event=True)
    seen = (_read(SEEN, "built_up_tread", Word("yes")), _read(TURNED, "built_up_tread", Word("no")))
    assert _tests_due(train, BEFORE, seen, (slid, *TURNING)) == {"open"}


@pytest.mark.parametrize(("length", "due"), [("0 in", set()), ("1/2 in", {"open"}), ("2-1/2 in", {"open"})])
@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_a_slid_flat_of_any_length_calls_for_the_test(train: str, length: str, due: set[str]) -> None:
    """238.311(c)(2) and 232.305(b)(5)(ii) say "Slid flat wheel" and no length."""
    found = (_read(SEEN, "flat_spot_length", _length(length)), FLAT[1])
    assert _tests_due(train, BEFORE, found, TURNING) == due


@pytest.mark.transcription
@pytest.mark.parametrize(("length", "due"), [("1/8 in", set()), ("9/64 in", {"open"})])
@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_up_to_an_eighth_is_no_flat_that_a_gauge_surely_tells(train: str, length: str, due: set[str]) -> None:
    """A reading of ours: the sections have no such figure."""
    found = (_read(SEEN, "flat_spot_length", _length(length)), FLAT[1])
    assert _tests_due(train, BEFORE, found, TURNING) == due
