"""A narrow vestibule has the safety appliances of its nearest type, which a person whom the host accepts finds
(49 CFR 231.18)."""

from datetime import date
from pathlib import Path

from carknocker.judgement.answer import check
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move
from carknocker.rulebook import load_library, rulesets_folders

CASE = Path(__file__).parents[2] / "cases" / "larkspur" / "freight"
LIBRARY = load_library(rulesets_folders())
ENDS = ("end B", "end A")


def judged(by: str = "", nearest: str = "", more: str = "") -> Judgement:
    """The demo car with narrow vestibules; what their nearest type is, found by `by`."""
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    assert text.count("end_kind: wide vestibule") == 2
    text = text.replace("end_kind: wide vestibule", f"end_kind: narrow vestibule{more}")
    if nearest:
        each = f"{{nearest_type: {nearest}}}"
        sheet = (
            f"  - {{on: 2026-08-20, by: {by}, access: walking round, readings: {{ends: {{B: {each}, A: {each}}}}}}}\n"
        )
        assert text.count("\nsheets:\n") == 1
        text = text.replace("\nsheets:\n", f"\nsheets:\n{sheet}")
    return check(read_car_text(text, "car.yaml"), read_move(CASE / "move.yaml"), LIBRARY, date(2026, 9, 1)).judgement


def verdicts(judgement: Judgement, criterion: str) -> list[str]:
    name = f"us-federal/{criterion}"
    return [one.verdict for one in judgement.findings if one.criterion.id == name and one.part.key in ENDS]


def test_without_its_nearest_type_it_is_not_ready() -> None:
    judgement = judged()
    assert judgement.outcome == "not ready"
    assert verdicts(judgement, "narrow-vestibule") == ["not shown", "not shown"]


def test_as_a_wide_vestibule_it_has_four_handholds_on_its_door_posts() -> None:
    judgement = judged("CW", "wide vestibule")
    assert judgement.outcome in ("ready", "ready with restrictions")
    assert verdicts(judgement, "narrow-vestibule") == ["met", "met"]
    assert verdicts(judgement, "side-handholds-vestibule") == ["met", "met"]
    assert verdicts(judgement, "platform-handholds") == ["not applicable", "not applicable"]


def test_as_an_open_platform_it_has_two_end_platform_handholds() -> None:
    judgement = judged("CW", "open platform", ", safety_gates: no")
    assert judgement.outcome == "not ready"
    assert verdicts(judgement, "narrow-vestibule") == ["met", "met"]
    assert verdicts(judgement, "side-handholds-vestibule") == ["not applicable", "not applicable"]
    assert set(verdicts(judgement, "platform-handholds")) <= {"breached", "not shown"}


def test_the_owner_does_not_find_it() -> None:
    judgement = judged("NB", "wide vestibule")
    assert judgement.outcome == "not ready"
    assert verdicts(judgement, "narrow-vestibule") == ["not shown", "not shown"]
