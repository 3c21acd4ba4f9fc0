"""Which law binds: whom a car was designed to carry, whether it is a private car, and what makes an excursion one."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text
from carknocker.record.move_reader import read_move_text
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.wording.limits import clause_words

CASES = Path(__file__).resolve().parents[2] / "cases" / "larkspur"
LIBRARY = load_library(rulesets_folders())
CARRIES = "  designed_to_carry: the public\n"
EXCURSION = (
    "train: excursion\n  excursion_operator: Wren Valley Excursions\n  destination_is_the_purpose: no",
    "train:\n  other_passenger_service: no\n  mixed: no\n",
)


def _judged(train: str, car: tuple[str, str] = ("", ""), move: tuple[str, str] = ("", "")) -> Judgement:
    """The demo car in a train; in its texts one piece stands for another."""
    case = "passenger" if train == "passenger" else "freight"
    car_text = (CASES / case / "car.yaml").read_text(encoding="utf-8")
    move_text = (CASES / case / "move.yaml").read_text(encoding="utf-8")
    if train == "excursion":
        move_text = move_text.replace("train: freight", EXCURSION[0]).replace("train:\n", EXCURSION[1])
    assert car[0] in car_text
    assert move[0] in move_text
    read = read_move_text(move_text.replace(*move, 1), "move.yaml")
    here = read_car_text(car_text.replace(*car, 1), "car.yaml")
    return judge(here, read, LIBRARY.rulebooks(read).at_out, date(2026, 9, 1))


def _refused(judgement: Judgement) -> dict[str, str]:
    return {
        one.criterion.name: one.verdict for one in judgement.findings if one.unmet and one.criterion.effect == "refuse"
    }


def test_the_demo_car_carries_the_public() -> None:
    assert _refused(_judged("freight")) == {}


def test_a_car_of_which_it_is_not_on_record_keeps_the_stricter_rules() -> None:
    refused = _refused(_judged("freight", (CARRIES, "")))
    assert refused["what-the-car-was-designed-to-carry"] == "not shown"
    assert refused["freight-car-over-age"] == "not shown"


def test_a_car_for_railroad_personnel_is_a_freight_car_outside_passenger_trains() -> None:
    """215.5(c); built 1949, so over 50 years old: 215.203(b)."""
    office = (CARRIES, "  designed_to_carry: railroad personnel\n")
    refused = _refused(_judged("freight", office))
    assert refused["freight-car-over-age"] == "not shown"
    assert refused["freight-car-stencils"] == "not shown"
    applying = {
        one.criterion.name for one in _judged("freight", office).findings
        if one.verdict != "not applicable" and one.part.kind in ("wheel", "axle")
    }  # fmt: skip
    assert {"freight-car-rim-thickness", "freight-car-axle-crack"} <= applying
    assert not {"rim-thickness-215", "axle-crack"} & applying
    assert not any(name.startswith("freight-car") for name in _refused(_judged("passenger", office)))


def test_no_host_relaxes_part_215_for_a_freight_car() -> None:
    criteria = [one for one in LIBRARY.edition("us-federal", "2015").criteria if one.name.startswith("freight-car-")]
    assert len(criteria) == 53
    assert not any(one.may_be_relaxed for one in criteria)


def test_the_law_for_freight_cars_and_the_prudent_limit_have_the_same_figures() -> None:
    """One text, part 215: a figure corrected in one place is corrected in the other."""
    criteria = {one.name: one for one in LIBRARY.edition("us-federal", "2015").criteria}
    pairs = {}
    for name, one in criteria.items():
        short = name.removeprefix("freight-car-")
        other = next((f"{short}{end}" for end in ("-215", "-freight-text", "") if f"{short}{end}" in criteria), "")
        if short != name and other != name and other:
            pairs[other] = clause_words(criteria[other].must) == clause_words(one.must)
    assert len(pairs) == 44
    assert [name for name, alike in pairs.items() if not alike] == []


@pytest.mark.parametrize(("private", "verdict"), [("  private_car: no\n", "breached"), ("", "not shown")])
def test_only_private_cars_are_covered_in_a_passenger_train(private: str, verdict: str) -> None:
    yes = "  private_car: yes\n"
    assert _refused(_judged("passenger", (yes, private)))["a-private-car"] == verdict
    assert "a-private-car" not in _refused(_judged("passenger"))
    assert "a-private-car" not in _refused(_judged("freight", (yes, private)))


@pytest.mark.parametrize(
    ("riders", "verdict"),
    [
        ("rides: passengers", "not shown"),
        ("rides: passengers\n  public_rides: yes", "breached"),
        ("rides: passengers\n  public_rides: no", None),
        ("rides: crew", None),
        ("rides: nobody", None),
    ],
)
def test_a_freight_train_carries_nobody_of_the_general_public(riders: str, verdict: str | None) -> None:
    """238.5: "a train that transports or is available to transport members of the general public" is a passenger
    train."""
    refused = _refused(_judged("freight", move=("rides: nobody", riders)))
    assert refused.get("no-public-in-a-freight-train") == verdict


@pytest.mark.parametrize(
    ("said", "instead", "verdict"),
    [
        ("  excursion_operator: Wren Valley Excursions\n", "", "not shown"),
        ("  destination_is_the_purpose: no\n", "", "not shown"),
        ("destination_is_the_purpose: no", "destination_is_the_purpose: yes", "breached"),
        ("  other_passenger_service: no\n", "", "not shown"),
        ("other_passenger_service: no", "other_passenger_service: yes", "breached"),
    ],
)
def test_an_excursion_says_why_it_is_one(said: str, instead: str, verdict: str) -> None:
    """238.5: the conveyance of the passengers to a particular destination is not its principal purpose."""
    assert "an-excursion-is-one" not in _refused(_judged("excursion"))
    assert _refused(_judged("excursion", move=(said, instead)))["an-excursion-is-one"] == verdict
