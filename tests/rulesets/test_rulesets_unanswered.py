"""What no rule answers keeps a demo car from moving, and says so in the rule's own words."""

from pathlib import Path
from shutil import copytree

import pytest

from carknocker.dossier.view import View, view_of
from carknocker.judgement.answer import check
from carknocker.questions.plan.ask import plan
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import Library, load_library, rulesets_folders

CASE = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "freight"
LIBRARY = load_library(rulesets_folders())


def answered(old: str, new: str, library: Library = LIBRARY):
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    assert old in text
    move = read_move_text((CASE / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    return check(read_car_text(text.replace(old, new, 1), "car.yaml"), move, library, move.out)


def told(view: View) -> list[tuple[str, str, str]]:
    return [(one.title, one.parts, one.required) for one in view.items.blockers]


@pytest.mark.parametrize(
    ("old", "new", "title", "parts", "what"),
    [
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


UNANSWERED = """
  - id: rubber-of-another-kind
    title: Rubber spring of another kind
    of: spring
    when: {spring_kind: rubber}
    must: {unanswered: how such a spring is judged}
    effect: refuse
    source: {words: "a rule that leaves it open"}
    examples: [{spring_kind: rubber, is: not shown}, {spring_kind: coil, is: not applicable}]
"""


def test_no_work_answers_it(tmp_path: Path) -> None:
    """Of the rules that come with the program none is such that nothing else could be fitted: here one is."""
    (installed,) = rulesets_folders()
    copytree(installed, tmp_path, dirs_exist_ok=True)
    chapter = tmp_path / "trade-practice" / "2026" / "broken-parts.yaml"
    chapter.write_text(chapter.read_text(encoding="utf-8").rstrip() + "\n" + UNANSWERED, encoding="utf-8")
    (lack,) = plan(answered("spring_kind: coil", "spring_kind: rubber", load_library((tmp_path,)))).lacks
    assert (lack.title, lack.reason) == (
        "Rubber spring of another kind (not shown)",
        "no rule at hand says how such a spring is judged",
    )


def test_what_the_part_is_may_be_what_is_missing() -> None:
    view = view_of(answered("end_kind: wide vestibule, ", ""))
    assert "Nearest type of a narrow vestibule" not in " ".join(one.title for one in view.items.blockers)
    assert view.items.missing is not None
    rows = [row for group in view.items.missing.groups for row in group.rows]
    assert any(row.parts == "end B" and "kind of end" in row.attributes for row in rows)
