"""`reach(part, kind)`: the part itself; its nearest container of the kind; those inside it; those inside the nearest
container that has any."""

import datetime
from pathlib import Path

import pytest
from record_samples import car, move

from carknocker.record import Standing, read_car, stand

CASES = Path(__file__).parents[2] / "cases"


@pytest.fixture(scope="module")
def parlor_car() -> Standing:
    return stand(read_car(CASES / "wren-hollow" / "before" / "car.yaml"), None, datetime.date(2026, 11, 1))


@pytest.fixture(scope="module")
def small_car() -> Standing:
    return stand(car(), move(), datetime.date(2026, 11, 1))


@pytest.mark.parametrize(
    ("part", "kind", "reached"),
    [
        ("axle position 4", "truck", ("truck A",)),
        ("axle position 4", "wheel", ("wheel W-34 left", "wheel W-34 right")),
        ("axle position 4", "side bearing", ("side bearing AL", "side bearing AR")),
        ("axle position 4", "brake system", ("brake system",)),
        ("axle position 4", "axle", ("axle of W-34",)),
        ("axle position 4", "axle position", ("axle position 4",)),
        ("axle position 4", "coupler", ("coupler B", "coupler A")),
        ("wheel W-31 left", "wheelset", ("wheelset W-31",)),
        ("wheel W-31 left", "bearing", ("bearing W-31 left", "bearing W-31 right")),
        ("wheel W-31 left", "box", ("box L1", "box R1")),
        ("wheel W-31 left", "spring", tuple(f"spring {number}" for number in range(1, 9))),
        ("brake system", "brake cylinder", ("brake cylinder 1", "brake cylinder 2")),
        ("truck B", "brake cylinder", ("brake cylinder 1", "brake cylinder 2")),
        ("coupler B", "air hose", ("air hose 1", "air hose 3", "air hose 5")),
        ("car", "truck", ("truck B", "truck A")),
        ("car", "leg", ()),
        ("no such part", "car", ()),
    ],
)
def test_reach(parlor_car: Standing, part: str, kind: str, reached: tuple[str, ...]) -> None:
    assert parlor_car.reach(part, kind) == reached


def test_a_spare_reaches_only_within_itself(small_car: Standing) -> None:
    assert small_car.reach("wheel W-5 left", "wheelset") == ("wheelset W-5",)
    assert small_car.reach("wheelset W-5", "wheel") == ("wheel W-5 left", "wheel W-5 right")
    assert small_car.reach("wheelset W-5", "truck") == ()
    assert "wheel W-5 left" not in small_car.reach("car", "wheel")


def test_the_move_is_a_tree_of_its_own(small_car: Standing) -> None:
    assert small_car.reach("train", "leg") == ("leg 1",)
    assert small_car.reach("move", "car") == ()
    assert small_car.parts["leg 1"].label == "leg 1 (Quillon Junction to Port Averill)"
    facts = small_car.evidence["move"]
    assert {name for name in facts} >= {"host", "train", "rides", "out", "back"}


def test_containers_come_before_what_is_in_them(parlor_car: Standing) -> None:
    for key, part in parlor_car.parts.items():
        assert part.container is None or part.container in parlor_car.parts, key
        assert part.key == key
