"""Whether what is refused on a part reaches the car."""

from pathlib import Path

import pytest
from rulebook_samples import (
    CARRIES,
    FLANGE,
    chapter,
    checked,
    consequence_text,
    criterion_text,
)


def test_what_no_path_leads_from(tmp_path: Path) -> None:
    found = checked(tmp_path, chapter(FLANGE))
    assert "what is refused on a wheel does not reach the car (law/flange)" in found


@pytest.mark.parametrize(
    ("carries", "reaches"),
    [
        ("cause: {finding: unmet, of: wheel, effect: refuse}\ncarries_up: [wheelset, car]", True),
        ("cause: {finding: unmet, effect: refuse}\ncarries_up: [car]", True),
        ("cause: {finding: unmet, criterion: flange, effect: refuse}\ncarries_up: [car]", True),
        ("cause: [{finding: unmet, of: wheel, effect: refuse}, {unfit: truck}]\ncarries_up: [truck, car]", True),
        ("cause: [{finding: [breached, lapses], of: wheel, effect: refuse}, {finding: [not shown, void],"
         " of: wheel, "
         "effect: refuse}]\ncarries_up: [car]", True),
        ("cause: {finding: [breached], of: wheel, effect: refuse}\ncarries_up: [car]", False),
        ("cause: {finding: unmet, of: wheel, effect: refuse}\ncarries_up: [wheelset, truck]", False),
        ("cause: {finding: unmet, of: wheel, effect: restrict}\ncarries_up: [car]", False),
        ("cause: {finding: unmet, of: truck, effect: refuse}\ncarries_up: [car]", False),
        ("cause: {finding: unmet, of: wheel, effect: refuse, when: {plate: curved}}\ncarries_up: [car]", False),
        ("when: {move.train: freight}\ncause: {finding: unmet, of: wheel, effect: refuse}\ncarries_up: [car]", False),
    ],
)  # fmt: skip
def test_a_path_to_the_car(tmp_path: Path, carries: str, reaches: bool) -> None:
    assert ("does not reach the car" in checked(tmp_path, consequence_text(carries))) is not reaches


def test_a_path_may_go_by_steps_but_not_through_a_container_that_may_lack(tmp_path: Path) -> None:
    criterion = criterion_text(
        "must: {piston_travel: {shown: yes}}\nexamples: [{piston_travel: 1 in, is: met}, {is: not shown}]",
        "brake cylinder",
    )
    step = "consequences:\n  - id: a\n    title: A\n    cause: {finding: unmet, of: brake cylinder, effect: refuse}\n"
    on = "  - id: b\n    title: B\n    cause: {unfit: truck}\n    carries_up: [car]\n"
    assert "brake cylinder does not reach" in checked(
        tmp_path / "1", criterion + step + "    carries_up: [truck]\n" + on
    )
    assert checked(tmp_path / "2", criterion + step + "    carries_up: [truck, car]\n" + on) == ""


def test_an_open_duty_needs_a_path_too(tmp_path: Path) -> None:
    duty = "\n  - id: again\n    title: A\n    cause: {event: derailment}\n    requires: {duty: look, of: truck}\n"
    assert "a duty on a truck that is left open does not reach" in checked(
        tmp_path / "1", chapter(FLANGE, CARRIES + duty)
    )
    step = "  - id: c\n    title: C\n    cause: {duty: open, consequence: again}\n    carries_up: [car]\n"
    assert checked(tmp_path / "2", chapter(FLANGE, CARRIES + duty + step)) == ""
    advice = duty.replace("of: truck", "of: truck, effect: advise")
    assert checked(tmp_path / "3", chapter(FLANGE, CARRIES + advice)) == ""
