"""Cars moved with brakes out or another defect, as 49 CFR 238.15, 238.17 and 232.15 let them move.

Percentages, speeds, destinations and who may ride are typed from the sections.
"""

from datetime import timedelta

import pytest
from work_records import CASE, DAY

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text
from carknocker.record.move_reader import read_move_text
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.wording.refusals import against_words

LIBRARY = load_library(rulesets_folders())
CAR = (CASE / "car.yaml").read_text(encoding="utf-8")
MOVE = (CASE / "move.yaml").read_text(encoding="utf-8").replace("  operative_brakes: 100 %\n", "")
STATION, REPAIR, NEAREST = "next forward passenger station", "next forward repair location", "nearest repair location"


def ridden(move: str, train: str) -> str:
    """Nobody rides as a passenger in a train that carries none."""
    return move.replace("rides: passengers", "rides: nobody") if "carries_passengers: no" in train else move


def judged(move: str = "", train: str = "", *, car: str = "", kind: str = "passenger") -> Judgement:
    """The demo car with more said of the move, of its train, and more at the end of its record; each as a line of a
    mapping, `; ` between them."""
    text = ridden(MOVE.replace("train: passenger", f"train: {kind}"), train)
    for section, said in (("move", move), ("train", train)):
        lines = "".join(f"  {line}\n" for line in said.split("; ") if line)
        for line in said.split("; "):
            key = line.split(":")[0]
            text = "".join(
                kept for kept in text.splitlines(keepends=True) if not key or not kept.startswith(f"  {key}:")
            )
        text = text.replace(f"\n{section}:\n", f"\n{section}:\n{lines}", 1)
    read = read_move_text(text, "move.yaml")
    return judge(read_car_text(CAR + car, "car.yaml"), read, LIBRARY.rulebooks(read).at_out, read.out)


def against(judgement: Judgement) -> set[str]:
    return {against_words(one.against) for one in judgement.refusals if one.against is not None}


def refused(judgement: Judgement) -> set[str]:
    return {one.finding.criterion.name for one in judgement.refusals if one.finding is not None}


# operative | found | planned speed, allowable speed | goes to | what is against the move
BANDS = [
    ("100 %", "en route", "79 mph", "79 mph", "elsewhere", set()),
    # 85 to 99: "only to the next forward location where the necessary repairs can be made"; no speed
    ("99 %", "en route", "79 mph", "79 mph", REPAIR, set()),
    ("99 %", "en route", "79 mph", "79 mph", "elsewhere", {"destination"}),
    ("85 %", "en route", "79 mph", "79 mph", REPAIR, set()),
    ("85 %", "en route", "79 mph", "79 mph", STATION, {"destination"}),
    # 75 to 84: "50 percent of the train's maximum allowable speed or 40 mph, whichever is less"
    ("84 %", "en route", "40 mph", "80 mph", REPAIR, set()),
    ("84 %", "en route", "41 mph", "90 mph", REPAIR, {"speed"}),
    ("84 %", "en route", "40 mph", "79 mph", REPAIR, {"speed"}),
    ("75 %", "en route", "30 mph", "60 mph", REPAIR, set()),
    ("75 %", "en route", "31 mph", "60 mph", REPAIR, {"speed"}),
    ("75 %", "en route", "30 mph", "60 mph", "elsewhere", {"destination"}),
    # 50 to 74: "20 mph or less", "only to the next forward passenger station"
    ("74 %", "en route", "20 mph", "79 mph", STATION, set()),
    ("74 %", "en route", "21 mph", "79 mph", STATION, {"speed"}),
    ("50 %", "en route", "20 mph", "79 mph", REPAIR, {"destination"}),
    ("50 %", "en route", "20 mph", "79 mph", STATION, set()),
]


@pytest.mark.parametrize(("operative", "found", "speed", "allowable", "to", "wanted"), BANDS)
def test_the_bands_of_operative_brakes(
    operative: str, found: str, speed: str, allowable: str, to: str, wanted: set[str]
) -> None:
    judgement = judged(
        f"goes_to: {to}",
        f"operative_brakes: {operative}; brakes_lost: {found}; speed: {speed}; maximum_allowable_speed: {allowable}",
    )
    assert {one.against.sort for one in judgement.refusals if one.against is not None} == wanted
    assert not refused(judgement) & {"all-brakes-of-the-train", "half-of-the-brakes"}


@pytest.mark.parametrize(
    ("operative", "found", "wanted"),
    [
        ("100 %", "at the brake test", set()),
        ("99 %", "at the brake test", {"all-brakes-of-the-train"}),
        ("50 %", "en route", set()),
        ("49 %", "en route", {"half-of-the-brakes"}),
        ("49 %", "at the brake test", {"all-brakes-of-the-train", "half-of-the-brakes"}),
    ],
)
def test_all_brakes_at_the_origin_and_half_of_them_anywhere(operative: str, found: str, wanted: set[str]) -> None:
    judgement = judged(f"goes_to: {STATION}", f"operative_brakes: {operative}; brakes_lost: {found}; speed: 20 mph")
    assert refused(judgement) & {"all-brakes-of-the-train", "half-of-the-brakes"} == wanted


def test_a_speed_is_told_once_and_is_the_least() -> None:
    judgement = judged(
        f"goes_to: {REPAIR}",
        "operative_brakes: 80 %; brakes_lost: en route; speed: 45 mph; maximum_allowable_speed: 79 mph",
    )
    assert against(judgement) == {"the train is to run at 45 mph; the car may run at most 39.5 mph"}


@pytest.mark.parametrize(
    ("passengers", "to", "wanted"),
    [("yes", STATION, False), ("no", NEAREST, False), ("yes", NEAREST, True), ("", NEAREST, True)],
)
def test_under_three_quarters_the_passengers_leave_at_the_next_station(passengers: str, to: str, wanted: bool) -> None:
    told = f"; carries_passengers: {passengers}" if passengers else ""
    judgement = judged(f"goes_to: {to}", f"operative_brakes: 74 %; brakes_lost: en route; speed: 20 mph{told}")
    assert ("passengers-out-before-the-repair-location" in refused(judgement)) is wanted


def test_what_is_found_in_a_train_is_not_known_before_it_leaves() -> None:
    """238.15(c), 238.17(c): a defect that arises en route; one that is known at home is none of those."""
    read = read_move_text(
        MOVE.replace("\ntrain:\n", "\ntrain:\n  operative_brakes: 60 %\n  brakes_lost: en route\n").replace(
            "\nmove:\n", f"\nmove:\n  goes_to: {STATION}\n  defect_found: in the train\n"
        ),
        "move.yaml",
    )
    rulebook = LIBRARY.rulebooks(read).at_out
    day_before = read.out - timedelta(days=1)
    for day, early in ((read.out, False), (day_before, True)):
        judgement = judge(read_car_text(CAR, "car.yaml"), read, rulebook, day)
        assert ("all-brakes-of-the-train" in refused(judgement)) is early
        assert any("brakes of the train were found inoperative: en route" in note for note in judgement.notes) is early
        assert any("defect was found: in the train" in note for note in judgement.notes) is early
    # a car that was set out not long ago was in a train
    for days, early in ((31, False), (32, True)):
        ended = day_before - timedelta(days=days)
        made = f"moves_made:\n  - {{from: {ended}, to: {ended}, miles: 9 mi, host: Kestrel & Northern}}\n"
        judgement = judge(read_car_text(CAR.replace("moves_made:\n", made), "car.yaml"), read, rulebook, day_before)
        assert any("defect was found: in the train" in note for note in judgement.notes) is early
        assert any("brakes of the train were found inoperative: en route" in note for note in judgement.notes)


LEAVE = """
leaves:
  - {{id: V-1, host: Kestrel & Northern, criterion: us-federal/{criterion}, at: car, from: 2026-08-01,
     until: 2027-12-31, for: repair, leaves: none, signed_by: mechanical superintendent, signed_on: 2026-08-01}}
"""
BRAKE = ("cut_out: no", "cut_out: yes", "brakes-cut-in")
BODY = ("battery_vented: yes", "battery_vented: no", "battery-vented")
APPLIANCE = ("applies_and_releases: yes", "applies_and_releases: no", "hand-brake-works")
FREIGHT_BRAKE = ("cut_out: no", "cut_out: yes", "freight-brakes-cut-in")
KEPT, DAILY, TEST, TRAIN = "where the car is kept", "at the daily inspection", "at the brake test", "in the train"


def leaves(defect: tuple[str, str, str], move: str, train: str, kind: str = "passenger") -> set[str]:
    """The rules by which a host's written permission for repair lets the car move with a defect."""
    good, bad, criterion = defect
    assert CAR.count(good) == 1
    text = ridden(MOVE.replace("train: passenger", f"train: {kind}"), train)
    text = text.replace("\nmove:\n", f"\nmove:\n  {move}\n").replace("\ntrain:\n", f"\ntrain:\n  {train}\n")
    read = read_move_text(text, "move.yaml")
    car = read_car_text(CAR.replace(good, bad) + LEAVE.format(criterion=criterion), "car.yaml")
    judgement = judge(car, read, LIBRARY.rulebooks(read).at_out, read.out)
    assert criterion in refused(judgement)
    return {relief.consequence.name for relief in judgement.reliefs if relief.criterion == f"us-federal/{criterion}"}


EMPTY_TRAIN, EN_ROUTE = "repair-move-without-passengers", "repair-move-of-a-defect-en-route"
REVENUE, FREIGHT = "repair-move-in-a-revenue-train", "repair-move-in-a-freight-train"


@pytest.mark.parametrize(
    ("defect", "found", "passengers", "wanted"),
    [
        # 238.15(b)(1)(i): "The train is moved for purposes of repair, without passengers"
        (BRAKE, TEST, "no", {EMPTY_TRAIN}),
        (BRAKE, TEST, "yes", set()),
        # 238.15(c): a defect that arises en route
        (BRAKE, TRAIN, "yes", {EN_ROUTE}),
        (BRAKE, TRAIN, "no", {EMPTY_TRAIN, EN_ROUTE}),
        # 238.17(b)(2): another defect than of running gear, "the car is locked out and empty"
        (BODY, DAILY, "yes", {REVENUE}),
        (BODY, DAILY, "no", {EMPTY_TRAIN, REVENUE}),
        (BODY, TRAIN, "yes", {EN_ROUTE, REVENUE}),
        # 238.17(e)(2), 49 U.S.C. 20303(a): "first discovered by the railroad"
        (APPLIANCE, DAILY, "yes", {REVENUE}),
        (APPLIANCE, KEPT, "no", set()),
        (BRAKE, KEPT, "no", set()),
        (BODY, KEPT, "no", set()),
    ],
)
def test_how_a_leave_for_repair_moves_a_car_in_a_passenger_train(
    defect: tuple[str, str, str], found: str, passengers: str, wanted: set[str]
) -> None:
    assert leaves(defect, f"defect_found: {found}", f"carries_passengers: {passengers}") == wanted


def test_where_the_move_does_not_say_what_the_law_asks_no_leave_moves_it() -> None:
    assert leaves(BRAKE, f"defect_found: {TEST}", "cars: 8") == set()
    assert leaves(BRAKE, "goes_to: elsewhere", "carries_passengers: no") == set()


@pytest.mark.parametrize(("found", "wanted"), [(TRAIN, {FREIGHT}), (DAILY, set()), (TEST, set()), (KEPT, set())])
def test_in_a_freight_train_only_what_became_defective_on_the_line(found: str, wanted: set[str]) -> None:
    """232.15(a)(2): "becomes defective while it is being used by the railroad on its line"."""
    assert leaves(FREIGHT_BRAKE, f"defect_found: {found}", "cars: 8", "freight") == wanted


HAND_BRAKE = "hand_brake_kind: geared wheel"


@pytest.mark.parametrize(
    ("place", "of_the_car", "cut_out", "speed", "rides", "wanted"),
    [
        # (e)(2): "located outside the interior of the car": "locked-out and empty", "20 mph or less"
        ("outside the car", "rear", "yes", "20 mph", "nobody", set()),
        ("outside the car", "rear", "yes", "21 mph", "nobody", {"speed"}),
        ("outside the car", "rear", "yes", "20 mph", "crew", {"riders"}),
        ("outside the car", "front", "yes", "21 mph", "nobody", {"speed"}),
        ("outside the car", "rear", "no", "79 mph", "passengers", set()),
        # (e)(1): "located inside the interior of the car": "A qualified person shall be stationed"
        ("inside the car", "rear", "yes", "79 mph", "crew", set()),
        ("inside the car", "rear", "yes", "79 mph", "passengers", {"riders"}),
        ("", "rear", "yes", "21 mph", "crew", {"riders", "speed"}),  # nobody says where it is
    ],
)
def test_a_first_or_last_car_with_its_brakes_out(
    place: str, of_the_car: str, cut_out: str, speed: str, rides: str, wanted: set[str]
) -> None:
    kind = f"{HAND_BRAKE}, hand_brake_place: {place}" if place else HAND_BRAKE
    text = CAR.replace("cut_out: no", f"cut_out: {cut_out}").replace(HAND_BRAKE, kind)
    move = MOVE.replace("place: anywhere", f"place: {of_the_car}").replace("speed: 79 mph", f"speed: {speed}")
    move = move.replace("rides: passengers", f"rides: {rides}").replace(
        "\ntrain:\n", "\ntrain:\n  operative_brakes: 100 %\n"
    )
    read = read_move_text(move, "move.yaml")
    judgement = judge(read_car_text(text, "car.yaml"), read, LIBRARY.rulebooks(read).at_out, DAY)
    assert {one.against.sort for one in judgement.refusals if one.against is not None} == wanted
