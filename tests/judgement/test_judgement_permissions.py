"""The host's written permission is offered where, and only where, one would clear a refusal."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from carknocker.judgement.answer import check
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement, Refusal
from carknocker.judgement.permissions import Permissions
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import Leave
from carknocker.rulebook import Library, load_library, rulesets_folders
from carknocker.whatif.hypothetical_car import NOWHERE

CASES = Path(__file__).resolve().parents[2] / "cases"


@pytest.fixture(scope="module")
def rules() -> Library:
    return load_library(rulesets_folders())


def judged(rules: Library, name: str, as_of: date, **move: str) -> Judgement:
    record = (CASES / name / "car.yaml").read_text(encoding="utf-8")
    text = (CASES / name / "move.yaml").read_text(encoding="utf-8")
    for key, value in move.items():
        line = next(one for one in text.splitlines() if one.strip().startswith(f"{key}:"))
        text = text.replace(line, f"  {key}: {value}")
    return check(read_car_text(record, "car.yaml"), read_move_text(text, "move.yaml"), rules, as_of).judgement


def permitted(found: Judgement, refusal: Refusal, purpose: str) -> Judgement:
    """The car with a written permission of the host for a refusal."""
    if refusal.finding is not None:
        rule, part = refusal.finding.criterion.id, refusal.finding.part.key
    else:
        assert refusal.duty is not None
        rule, part = refusal.duty.consequence.id, refusal.duty.part.key
    move = found.move
    leave = Leave(
        id="L-1", host=move.host, criterion=rule, at=(part,), first=move.out, last=move.back, purpose=purpose,
        signed_by="superintendent", paper="letter", where=NOWHERE,
        signed_on=found.as_of,
    )  # fmt: skip
    return judge(replace(found.car, leaves=(leave,)), move, found.rulebook, found.as_of)


CARS = [
    ("wren-hollow/before", date(2026, 10, 8)),
    ("larkspur/passenger", date(2026, 9, 1)),
    ("nothing-measured", date(2027, 3, 20)),
]


@pytest.mark.parametrize(("name", "as_of"), CARS)
def test_what_is_offered_clears_and_what_is_not_offered_does_not(rules: Library, name: str, as_of: date) -> None:
    found = judged(rules, name, as_of)
    allowed = Permissions(found)
    one_of_each = {
        (one.finding.criterion.id if one.finding else one.duty.consequence.id if one.duty else ""): one
        for one in found.refusals
        if one.against is None
    }
    assert one_of_each
    for rule, refusal in one_of_each.items():
        offered = allowed.of(refusal)
        after = permitted(found, refusal, "move")
        gone = refusal.identity not in {one.identity for one in after.refusals}
        assert gone == (offered is not None and offered.purpose == "move"), rule


def test_law_that_no_host_may_relax_is_offered_to_nobody(rules: Library) -> None:
    found = judged(rules, "larkspur/passenger", date(2026, 9, 1))
    (rim,) = found.refusals
    assert rim.finding is not None
    assert rim.finding.criterion.id == "us-federal/rim-thickness"
    assert Permissions(found).of(rim) is None


def test_where_the_law_lets_a_defective_car_move_for_repair_that_is_offered(rules: Library) -> None:
    """238.17(c): a car that became defective en route goes on to its repair; the move says where it was found."""
    found = judged(rules, "larkspur/passenger", date(2026, 9, 18), train="passenger\n  defect_found: in the train")
    (rim,) = found.refusals
    offered = Permissions(found).of(rim)
    assert offered is not None
    assert offered.purpose == "repair"
    assert offered.rule.id == "us-federal/repair-move-of-a-defect-en-route"
    after = permitted(found, rim, "repair")
    assert [one.consequence.id for one in after.refusals[0].repair] == [offered.rule.id]
    assert Permissions(after).of(after.refusals[0]) is None  # it has it already
