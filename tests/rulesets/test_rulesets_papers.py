"""The hosts' papers name the host, its form and the portion that is meant; another name does not answer for it."""

from functools import cache

import pytest
from work_records import CASE, DAY

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

WREN = CASE.parents[1] / "wren-hollow" / "after"
LIBRARY = load_library(rulesets_folders())
KESTREL, MARROW = "Kestrel & Northern", "Marrow Creek & Eastern"


@cache
def _judged(old: str, new: str, host: str = KESTREL, case: str = "larkspur") -> Judgement:
    folder = CASE if case == "larkspur" else WREN
    text = (folder / "car.yaml").read_text(encoding="utf-8")
    assert old in text
    move = read_move_text((folder / "move.yaml").read_text(encoding="utf-8").replace(KESTREL, host), "move.yaml")
    car = read_car_text(text.replace(old, new), "car.yaml")
    return judge(car, move, LIBRARY.rulebooks(move).at_out, DAY if case == "larkspur" else move.out)


def _verdict(judgement: Judgement, criterion: str) -> str:
    (found,) = [one.verdict for one in judgement.findings if one.criterion.id == criterion]
    return found


@pytest.mark.parametrize(
    ("criterion", "old", "new", "verdict"),
    [
        ("liability-insurance", "x", "x", "met"),
        ("liability-insurance", f"names_host: {KESTREL}", f"names_host: {MARROW}", "breached"),
        ("liability-insurance", f", names_host: {KESTREL}", "", "not shown"),
        ("agreement", "x", "x", "met"),
        ("agreement", f"2027-12-31, host: {KESTREL}", f"2027-12-31, host: {MARROW}", "breached"),
        ("agreement", f"2027-12-31, host: {KESTREL}", "2027-12-31", "not shown"),
        ("annual-inspection", "x", "x", "met"),
        ("annual-inspection", "form: M-12", "form: E-4", "breached"),
        ("annual-inspection", "form: M-12, ", "", "not shown"),
        ("annual-inspection", f"M-12, host: {KESTREL}", f"M-12, host: {MARROW}", "breached"),
        ("annual-inspection", f"M-12, host: {KESTREL}", "M-12", "not shown"),
    ],
)
def test_kestrels_papers_name_it(criterion: str, old: str, new: str, verdict: str) -> None:
    assert _verdict(_judged(old, new), f"kestrel-and-northern/{criterion}") == verdict


@pytest.mark.parametrize(("criterion", "verdict"), [("agreement", "breached"), ("annual-inspection", "not shown")])
def test_papers_for_one_host_are_none_for_another(criterion: str, verdict: str) -> None:
    """Marrow Creek is not named in the agreement, and does not accept the man who signed the inspection."""
    judgement = _judged("x", "x", MARROW)
    assert _verdict(judgement, f"marrow-creek-and-eastern/{criterion}") == verdict


AGREEMENT = "  - {paper: agreement with the host, "
INSPECTION = "  - {test: annual mechanical inspection, "


def _beside(entry: str, other: str) -> tuple[str, str]:
    """The line of the record that begins with `entry`, and the same with another line after it."""
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    (line,) = [line for line in text.splitlines() if line.startswith(entry)]
    return line, f"{line}\n{other}"


@pytest.mark.parametrize(
    ("criterion", "entry", "other", "verdict"),
    [
        # a newer agreement with another host takes nothing from the one with this host
        ("agreement", AGREEMENT, f"{AGREEMENT}from: 2026-08-01, until: 2028-12-31, host: {MARROW}}}", "met"),
        # one for another host does not bridge the days that the one with this host leaves open
        ("agreement", AGREEMENT, f"{AGREEMENT}from: 2020-01-01, until: 2028-12-31, host: {MARROW}}}", "met"),
        ("annual-inspection", INSPECTION,
         f"{INSPECTION}on: 2026-08-20, by: CW, result: passed, form: E-4, host: {MARROW}}}", "met"),
        # what fails for another host is no longer shown to be sound for this one
        ("annual-inspection", INSPECTION,
         f"{INSPECTION}on: 2026-08-20, by: CW, result: failed, form: E-4, host: {MARROW}}}", "breached"),
    ],
)  # fmt: skip
def test_a_paper_for_another_host_takes_nothing_away(criterion: str, entry: str, other: str, verdict: str) -> None:
    old, new = _beside(entry, other)
    assert _verdict(_judged(old, new), f"kestrel-and-northern/{criterion}") == verdict


def test_another_hosts_agreement_does_not_bridge_a_gap() -> None:
    old, _ = _beside(AGREEMENT, "")
    short = f"{AGREEMENT}from: 2026-01-01, until: 2026-09-20, host: {KESTREL}}}"
    longer = f"{AGREEMENT}from: 2026-01-01, until: 2028-12-31, host: {MARROW}}}"
    alone = _verdict(_judged(old, short), "kestrel-and-northern/agreement")
    assert alone in ("breached", "lapses")
    assert _verdict(_judged(old, f"{short}\n{longer}"), "kestrel-and-northern/agreement") == alone


@pytest.mark.parametrize(
    ("spare", "state"),
    [
        ("service portion, carried: 1", "done"), ("service portion, carried: 0", "open"),
        ("emergency portion, carried: 1", "open"),
    ],
)  # fmt: skip
def test_only_the_service_portion_answers_for_an_old_valve(spare: str, state: str) -> None:
    judgement = _judged("service portion, carried: 1", spare, case="wren-hollow")
    (duty,) = [one for one in judgement.duties if one.consequence.name == "old-control-valve-needs-its-portion"]
    assert duty.state == state
    assert duty.requirement.spare == "service portion"
