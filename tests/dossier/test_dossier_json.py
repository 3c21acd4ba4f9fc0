"""The answer as JSON is split as the page is: what a host decides by, and an appendix; each rule is said once."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import case_list
import pytest

from carknocker.dossier.json_form import answer_form, appendix_form, json_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

CASE = Path(__file__).parents[2] / "cases" / "wren-hollow" / "before"
CAR, MOVE = ((CASE / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml"))
LIBRARY = load_library(rulesets_folders())
MOST_BYTES = {"wren-hollow/before": 220_000, "nothing-measured": 650_000}


def judged(car: str = CAR) -> CheckAnswer:
    return check(read_car_text(car, "car.yaml"), read_move_text(MOVE, "move.yaml"), LIBRARY, date(2026, 10, 8))


@pytest.fixture(scope="module")
def answer() -> CheckAnswer:
    return judged()


@pytest.fixture(scope="module")
def form(answer: CheckAnswer) -> dict[str, Any]:
    return answer_form(answer)


@pytest.mark.parametrize("name", MOST_BYTES)
def test_the_answer_is_short(name: str) -> None:
    assert len(json_of([case_list.answer(name)]).encode()) < MOST_BYTES[name]


def test_what_says_the_same_of_several_parts_is_told_once_with_all_of_them() -> None:
    judgement = case_list.answer("nothing-measured").judgement
    form = answer_form(case_list.answer("nothing-measured"))
    told = [(one["criterion"], part, one["verdict"]) for one in form["findings"] for part in one["parts"]]
    left = [one for one in judgement.findings if one.verdict not in ("met", "not applicable")]
    assert sorted(told) == sorted((one.criterion.id, one.part.key, one.verdict) for one in left)
    (gouge,) = [one for one in form["findings"] if one["criterion"] == "us-federal/axle-gouge"]
    assert gouge["parts"] == ["axle of T-1", "axle of T-2", "axle of T-3", "axle of T-4"]
    assert gouge["can_work"] == [True]
    assert form["rules"]["us-federal/axle-gouge"]["remedies"] == [
        {"work": "wheelset renewed", "if": None, "note": None}
    ]
    refused = [
        (one["finding"], part) for one in form["refusals"] if one["finding"] for of in one["of"] for part in of["parts"]
    ]
    assert sorted(refused) == sorted(
        (one.finding.criterion.id, one.finding.part.key) for one in judgement.refusals if one.finding is not None
    )
    (gouge,) = [one for one in form["refusals"] if one["finding"] == "us-federal/axle-gouge"]
    assert gouge["of"][1] == {"parts": ["axle of T-2"], "stops": ["wheelset T-2", "axle position 2", "truck B", "car"]}
    named = {part for one in form["findings"] for part in one["parts"]}
    named |= {part for one in form["refusals"] for of in one["of"] for part in of["parts"]}
    assert named == form["parts"].keys()
    assert form["parts"]["axle of T-2"] == {"label": "axle of T-2", "kind": "axle", "fitted": True}


def test_parts_that_differ_are_told_apart(answer: CheckAnswer, form: dict[str, Any]) -> None:
    """The same requirement, met by a wheel and not by its mate, or read on two days."""
    (flange,) = [one for one in form["findings"] if one["criterion"] == "us-federal/flange-thickness"]
    assert (flange["parts"], flange["verdict"]) == (["wheel W-35 right"], "breached")
    met = [
        one for one in appendix_form(answer, everything=False)["findings"] if one["criterion"] == flange["criterion"]
    ]
    assert sum(len(one["parts"]) for one in met) == 11
    assert all(one["evidence"]["part"] in one["parts"] for one in met)


def test_every_finding_stands_once_in_the_answer_or_in_its_appendix(answer: CheckAnswer, form: dict[str, Any]) -> None:
    whole = appendix_form(answer, everything=True)
    found = [(one["criterion"], part) for one in (*form["findings"], *whole["findings"]) for part in one["parts"]]
    assert len(found) == len(set(found)) == len(answer.judgement.findings)
    assert {one["verdict"] for one in whole["findings"]} == {"met", "not applicable"}
    met = appendix_form(answer, everything=False)
    assert {one["verdict"] for one in met["findings"]} == {"met"}
    counted = {name: number for name, number in form["summary"]["verdicts"].items() if number}
    listed = [one["verdict"] for one in (*form["findings"], *whole["findings"]) for _ in one["parts"]]
    assert counted == {verdict: listed.count(verdict) for verdict in set(listed)}


def ids(value: Any) -> set[str]:
    """Every id of a rule that is named under one of these keys."""
    found: set[str] = set()
    if isinstance(value, dict):
        for key, inner in value.items():
            named = [inner] if isinstance(inner, str) else inner if isinstance(inner, list) else []
            if key in ("criterion", "consequence", "said_by", "rule", "rules", "asked_by", "criteria"):
                found.update(one for one in named if isinstance(one, str))
            found |= ids(inner)
    elif isinstance(value, list):
        for inner in value:
            found |= ids(inner)
    return found


def test_every_rule_that_is_named_is_said_once(answer: CheckAnswer, form: dict[str, Any]) -> None:
    for written in (form, appendix_form(answer, everything=True)):
        assert (
            ids({key: value for key, value in written.items() if key not in ("rules", "rulebook")})
            <= written["rules"].keys()
        )
    flange = form["rules"]["us-federal/flange-thickness"]
    assert (flange["sort"], flange["effect"], flange["edition"]) == ("criterion", "refuse", "2015")
    assert flange["source"]["words"] == "worn to a 7/8 inch thickness or less"
    assert "source" not in form["findings"][0]


def test_the_two_files_are_known_to_belong_together(answer: CheckAnswer, form: dict[str, Any]) -> None:
    rest = appendix_form(answer, everything=False)
    assert rest["format"] == "carknocker-appendix/2"
    for key in ("outcome", "as_of", "issue", "car", "move", "summary", "digests", "made_by"):
        assert rest[key] == form[key]


def test_it_has_what_the_sheets_show(form: dict[str, Any]) -> None:
    assert form["car_facts"]["owner"] is None
    assert form["car_facts"]["couplers"] == [{"end": "B", "type": "type H"}, {"end": "A", "type": "type H"}]
    assert [truck["axle_spacing"] for truck in form["car_facts"]["trucks"]] == ["63 in", "63 in"]
    assert form["move_facts"]["notice"]["last_day"] == "2026-10-09"
    assert len(form["papers_wanted"]) == 21
    assert form["last_good_days"][1]["last"] == "2026-11-14"
    assert form["gauges"][0]["name"] == "G-2"
    assert form["spares"][3] == {
        "spare": "service portion", "serial": None, "aboard": 0, "shelf": 1, "more": "control valve: UC",
        "asked_by": ["kestrel-and-northern/old-control-valve-needs-its-portion"],
        "short": "spare 4: on the shelf, not aboard", "at": "car.yaml:387",
    }  # fmt: skip
    assert form["wheelsets"][0]["certificate"] == "MC-31"
    assert [row["name"] for row in form["people"]] == ["RE", "HM", "TV", "SO"]


def test_the_faults_are_numbered_as_on_the_page(form: dict[str, Any]) -> None:
    faults = form["faults"]
    assert [one["number"] for one in faults] == list(range(1, len(faults) + 1))
    flange = next(one for one in faults if one["rules"] == ["us-federal/flange-thickness"])
    assert flange["fault"] == "Wheel R5: flange 7/8 in or thinner; must be over 7/8 in"
    assert (flange["subject"], flange["must"], flange["layers"]) == ("wheel R5", "over 7/8 in", ["law"])
    assert all(one["clears"] for one in faults)


def counts(car: str) -> dict[str, str]:
    return {row["test"]: row["counts"] for row in json.loads(json_of([judged(car)]))["tests"]}


@pytest.mark.parametrize(
    ("inspected", "said"),
    [
        ("2025-11-22", "yes"),  # twelve months from it is the day of the return
        ("2025-11-21", "to 2026-11-21, before the return"),
        ("2025-11-14", "to 2026-11-14, before the return"),
        ("2025-11-05", "not enough for: Annual mechanical inspection"),  # run out on the day before departure
    ],
)
def test_an_inspection_that_runs_out_on_the_move_does_not_simply_count(inspected: str, said: str) -> None:
    car = CAR.replace("annual mechanical inspection, on: 2025-11-14", f"annual mechanical inspection, on: {inspected}")
    assert counts(car)["annual mechanical inspection"].startswith(said)


def test_an_inspection_that_was_made_again_counts_no_longer() -> None:
    at = "annual mechanical inspection, on: 2025-11-14"
    assert at in CAR
    (line,) = [one for one in CAR.splitlines() if at in one]
    later = line.replace("2025-11-14", "2025-12-01").replace("AMI-1114", "AMI-1201")
    car = CAR.replace(line, f"{later}\n{line}")
    rows = [row for row in json.loads(json_of([judged(car)]))["tests"] if row["test"] == "annual mechanical inspection"]
    assert [(row["on"], row["counts"]) for row in rows] == [
        ("2025-12-01", "yes"), ("2025-11-14", "no: made again 2025-12-01")
    ]  # fmt: skip


def test_a_void_test_and_one_that_lasts(answer: CheckAnswer, form: dict[str, Any]) -> None:
    found = {row["test"]: row["counts"] for row in form["tests"]}
    assert found["single-car brake test"].startswith("no: void since 2026-09-24")
    assert found["hand brake test"] == "yes"
