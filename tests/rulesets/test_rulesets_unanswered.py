"""What no rule answers keeps a demo car from moving, and says so in the rule's own words."""

from pathlib import Path

import pytest

from carknocker.dossier.view import View, view_of
from carknocker.judgement.answer import check
from carknocker.questions.plan.ask import plan
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

CASE = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "freight"
LIBRARY = load_library(rulesets_folders())


def answered(old: str, new: str):
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    assert old in text
    move = read_move_text((CASE / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    return check(read_car_text(text.replace(old, new, 1), "car.yaml"), move, LIBRARY, move.out)


def told(view: View) -> list[tuple[str, str, str]]:
    return [(one.title, one.parts, one.required) for one in view.items.blockers]


@pytest.mark.parametrize(
    ("old", "new", "title", "parts", "what"),
    [
        (
            "end_kind: wide vestibule", "end_kind: narrow vestibule", "Safety appliances of a narrow vestibule",
            "end B", "which safety appliances a narrow vestibule must have",
        ),
        (
            "class: sealed tapered cartridge, rollers: tapered", "class: cartridge plain, rollers: none",
            "Plain bearing in a cartridge", "bearings L1–L4, R1–R4",
            "how a plain bearing in a cartridge and its lubrication are judged",
        ),
    ],
)  # fmt: skip
def test_it_is_told_like_a_breach(old: str, new: str, title: str, parts: str, what: str) -> None:
    answer = answered(old, new)
    assert answer.judgement.outcome == "not ready"
    assert (title, parts, f"no rule at hand says {what}") in told(view_of(answer))


def test_no_work_answers_it() -> None:
    (lack,) = plan(answered("end_kind: wide vestibule", "end_kind: narrow vestibule")).lacks
    assert lack.title == "Safety appliances of a narrow vestibule (not shown)"
    assert lack.reason == "no rule at hand says which safety appliances a narrow vestibule must have"


def test_what_the_part_is_may_be_what_is_missing() -> None:
    view = view_of(answered("end_kind: wide vestibule, ", ""))
    assert "Safety appliances of a narrow vestibule" not in {one.title for one in view.items.blockers}
    assert view.items.missing is not None
    rows = [row for group in view.items.missing.groups for row in group.rows]
    assert any(row.parts == "end B" and "kind of end" in row.attributes for row in rows)
