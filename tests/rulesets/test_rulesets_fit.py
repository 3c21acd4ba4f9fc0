"""What is fitted must fit: demo cars with one part that does not belong where it is."""

from pathlib import Path

import pytest

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

CASES = Path(__file__).resolve().parents[2] / "cases"
LIBRARY = load_library(rulesets_folders())


def judged(case: str, *changes: tuple[str, str]) -> Judgement:
    text = (CASES / case / "car.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    move = read_move_text((CASES / case / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    car = read_car_text(text, "car.yaml")
    return judge(car, move, LIBRARY.rulebooks(move).at_out, move.out)


def unmet(judgement: Judgement) -> dict[tuple[str, str], str]:
    """Criterion of fit and part → verdict, of what refuses."""
    fit = {one.id for one in LIBRARY.edition("trade-practice", "2026").criteria if one.where.file.endswith("fit.yaml")}
    return {
        (one.criterion.name, one.part.key): one.verdict
        for one in judgement.findings
        if one.unmet and one.part.fitted and one.criterion.id in fit
    }


TRUCK_B = "takes_axle_class: D\n    takes_journal_centers: 6 ft 5 in\n    smallest_wheel_diameter: 34 in"
MIDDLE_TAPE = '"L2, R2": {tape_size: {reads: 110 tapes, gauge: T-4}'
EVERY_WHEELSET = [f"wheelset K-10{number}" for number in (1, 2)]


@pytest.mark.parametrize("case", ["larkspur/freight", "wren-hollow/after"])
def test_a_sound_car_fits_together(case: str) -> None:
    judgement = judged(case)
    assert unmet(judgement) == {}
    assert judgement.outcome in ("ready", "ready with restrictions")


def test_wheelsets_of_the_wrong_class_and_centers_keep_the_car() -> None:
    wrong = TRUCK_B.replace("class: D", "class: E").replace("6 ft 5 in", "6 ft 7 in")
    judgement = judged("larkspur/freight", (TRUCK_B, wrong))
    assert judgement.outcome == "not ready"
    breached = {
        (criterion, wheelset): "breached"
        for wheelset in EVERY_WHEELSET
        for criterion in ("axle-class-fits-truck", "journal-centers-fit-truck")
    }
    # trucks of one car that take axles of two classes are doubtful, the other one too
    other = {("axle-class-fits-truck", f"wheelset {name}"): "not shown" for name in ("K-103", "K-104")}
    assert unmet(judgement) == breached | other


@pytest.mark.parametrize(
    ("centers", "verdict"), [("6 ft 5-1/16 in", None), ("6 ft 5-5/64 in", "breached"), ("6 ft 4-15/16 in", None)]
)
def test_journal_centers_within_a_sixteenth(centers: str, verdict: str | None) -> None:
    found = unmet(judged("larkspur/freight", (TRUCK_B, TRUCK_B.replace("6 ft 5 in", centers))))
    assert set(found.values()) == (set() if verdict is None else {verdict})


@pytest.mark.parametrize(
    "key", ["takes_axle_class: D", "takes_journal_centers: 6 ft 5 in", "smallest_wheel_diameter: 34 in"]
)
def test_what_a_truck_takes_has_to_be_on_record(key: str) -> None:
    judgement = judged("larkspur/freight", (f"    {key}\n", ""))
    assert judgement.outcome == "not ready"
    assert set(unmet(judgement).values()) == {"not shown"}


def test_wheels_of_which_no_tape_is_on_record_keep_the_car() -> None:
    judgement = judged(
        "wren-hollow/after",
        (MIDDLE_TAPE, '"L2, R2": {tape_size: not accessible (shoes not clear)'),
    )
    (found,) = [
        one
        for one in judgement.findings
        if one.criterion.name == "middle-wheels-not-larger" and one.part.key == "truck B"
    ]
    assert (found.verdict, found.effect) == ("not shown", "refuse")


@pytest.mark.parametrize(("least", "refused"), [("36 in", False), ("36-1/8 in", True)])
def test_wheels_smaller_than_the_truck_takes(least: str, refused: bool) -> None:
    judgement = judged("larkspur/freight", ("smallest_wheel_diameter: 34 in", f"smallest_wheel_diameter: {least}"))
    wheels = {part for criterion, part in unmet(judgement) if criterion == "wheel-diameter-fits-truck"}
    assert len(wheels) == (4 if refused else 0)


@pytest.mark.parametrize("bearing", ["plain, rollers: none", "oil-lubricated roller, rollers: tapered"])
def test_a_bearing_that_needs_a_box_in_an_adapter(bearing: str) -> None:
    adapters = ("all: {box_kind: box}", "all: {box_kind: adapter}")
    assert not [one for one in unmet(judged("larkspur/freight", adapters)) if one[0] == "bearing-fits-box"]
    found = unmet(
        judged("larkspur/freight", adapters, ("class: sealed tapered cartridge, rollers: tapered", f"class: {bearing}"))
    )
    axles = {part for criterion, part in found if criterion == "bearing-fits-box"}
    assert axles == {f"axle position {axle}" for axle in (1, 2, 3, 4)}


def test_a_truck_hose_at_an_end_and_a_brake_pipe_hose_at_a_truck() -> None:
    hose = "1: {at: B, hose_kind: brake pipe"
    at_the_end = unmet(judged("larkspur/freight", (hose, hose.replace("brake pipe", "truck"))))
    assert set(at_the_end) == {("truck-hose-at-a-truck", "air hose 1")}
    at_the_truck = unmet(judged("larkspur/freight", (hose, hose.replace("at: B", "at: truck B"))))
    assert set(at_the_truck) == {("end-hose-at-an-end", "air hose 1")}


@pytest.mark.parametrize(("middle", "refused"), [(112, False), (113, True)])
def test_the_middle_wheels_are_not_larger(middle: int, refused: bool) -> None:
    """The wheels of axles 1 and 3 tape 112, those of axle 2 are given."""
    judgement = judged(
        "wren-hollow/after", (MIDDLE_TAPE, f'"L2, R2": {{tape_size: {{reads: {middle} tapes, gauge: T-4}}')
    )
    assert (("middle-wheels-not-larger", "truck B") in unmet(judgement)) == refused


def test_a_wheelset_of_the_wrong_class_is_refused_under_another_nations_law() -> None:
    """That nation's rules on wheels and axles do not say what fits a truck; the custom of the trade does."""
    sound = "two-nations/north"
    assert ("axle-class-fits-truck", "wheelset K-101") not in unmet(judged(sound))
    wrong = judged(sound, ("    axle_class: D\n", "    axle_class: E\n"))
    assert unmet(wrong)["axle-class-fits-truck", "wheelset K-101"] == "breached"
    assert "trade-practice/axle-class-fits-truck" in {one.finding.criterion.id for one in wrong.refusals if one.finding}


def stopped_by(judgement: Judgement) -> set[tuple[str, str]]:
    return {(one.finding.criterion.id, one.finding.part.key) for one in judgement.refusals if one.finding is not None}


def test_a_truck_of_which_no_axle_has_a_brake() -> None:
    every = "  all: {braked: yes, driven: nothing}"
    braked = "  1: {braked: yes}\n  2: {braked: no}\n  3: {braked: no}\n  4: {braked: yes}"
    shoes = ("        all: {thickness: 1-1/4 in", '        "L1, R1, L4, R4": {thickness: 1-1/4 in')
    assert judged("larkspur/freight", (every, braked), shoes).outcome == "ready"
    bare = braked.replace("1: {braked: yes}", "1: {braked: no}")
    assert stopped_by(judged("larkspur/freight", (every, bare), shoes)) == {
        ("trade-practice/brake-on-every-truck", "truck B")
    }


def test_a_brake_without_the_air_that_its_valve_takes() -> None:
    auxiliary = "  1: {reservoir_kind: supply}\n  2: {reservoir_kind: auxiliary}"
    both = auxiliary.replace("kind: supply", "kind: emergency")
    valve = "control_valve: 26-C\n  release_mode: either"
    changed = (valve, valve.replace("26-C", "UC"))
    wanting = ("trade-practice/stored-emergency-air", "brake system")
    assert wanting not in stopped_by(judged("larkspur/freight", changed, (auxiliary, both)))
    assert wanting in stopped_by(judged("larkspur/freight", changed))
    main = auxiliary.replace("supply", "main").replace("auxiliary", "main")
    assert stopped_by(judged("larkspur/freight", (auxiliary, main))) == {("trade-practice/stored-air", "brake system")}


def test_what_the_trade_refuses_of_truck_and_brake_stops_the_car_under_another_nations_law() -> None:
    every = "  all: {braked: yes, driven: nothing}"
    bare = "  1: {braked: no}\n  2: {braked: no}\n  3: {braked: yes}\n  4: {braked: yes}"
    main = "  1: {reservoir_kind: supply}\n  2: {reservoir_kind: auxiliary}"
    stopped = stopped_by(
        judged("two-nations/north", (every, bare), (main, main.replace("auxiliary", "main").replace("supply", "main")))
    )
    assert {
        ("trade-practice/brake-on-every-truck", "truck B"),
        ("trade-practice/stored-air", "brake system"),
    } <= stopped
