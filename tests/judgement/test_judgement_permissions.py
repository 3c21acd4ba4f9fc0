"""The host's written permission is offered where, and only where, one would clear a refusal."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from carknocker.dossier.blockers import blockers_of
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Finding, Judgement, Refusal
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


LETTER = """leaves:
  - {id: V-1, host: Kestrel & Northern, criterion: %s, of: wheel, at: L2, from: 2026-09-10,
     until: 2026-09-30, for: move, signed_by: superintendent, signed_on: 2026-08-20, paper: letter 7, leaves: none}
"""
HOLLOW = "kestrel-and-northern/tread-hollow"


def hollow_of(rules: Library, sheets: str, beside: str = "") -> tuple[Judgement, Finding]:
    """Larkspur with a permission for the hollow tread of wheel L2, and the finding about it."""
    folder = CASES / "larkspur/freight"
    record = (folder / "car.yaml").read_text(encoding="utf-8")
    assert record.count("\nsheets:\n") == 1
    record = record.replace("\nsheets:\n", f"\nsheets:\n{sheets}") + LETTER % HOLLOW + beside
    move = read_move_text((folder / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    found = check(read_car_text(record, "car.yaml"), move, rules, date(2026, 9, 1)).judgement
    return found, next(one for one in found.findings if one.criterion.id == HOLLOW and one.part.label == "wheel L2")


def read_on(*days_and_hollows: tuple[str, str]) -> str:
    return "".join(
        f"  - {{on: {on}, by: CW, gauge: F-1, readings: {{wheels: {{L2: {{tread_hollow: {hollow}}}}}}}}}\n"
        for on, hollow in days_and_hollows
    )


@pytest.mark.parametrize(
    ("readings", "covered"),
    [
        ((("2026-08-19", "3/8 in"),), True),
        ((("2026-08-20", "3/8 in"),), True),
        ((("2026-08-21", "3/8 in"),), False),
        ((("2026-08-19", "3/8 in"), ("2026-08-25", "3/8 in")), True),  # no worse
        ((("2026-08-19", "3/8 in"), ("2026-08-25", "5/8 in")), False),
        ((("2026-08-19", "5/8 in"), ("2026-08-25", "3/8 in")), True),
    ],
)
def test_a_permission_covers_no_fault_that_was_found_after_it_was_signed(
    rules: Library, readings: tuple[tuple[str, str], ...], covered: bool
) -> None:
    found, hollow = hollow_of(rules, read_on(*readings))
    assert (hollow.verdict, hollow.relieved) == ("breached", covered)
    assert [one.finding for one in found.refusals if one.finding is hollow] == ([] if covered else [hollow])
    assert bool(found.found_later) == (not covered)
    said = [
        why for blocker in blockers_of(found.refusals, JudgementIndex(found)) for why in blocker.why if "V-1" in why
    ]
    assert said == ([] if covered else [
        f"permission V-1 of Kestrel & Northern was signed on 2026-08-20 and does not cover what came or was found on "
        f"{readings[-1][0]}: ask for a new one"
    ])  # fmt: skip
    assert not [note for note in found.notes if "V-1" in note]
