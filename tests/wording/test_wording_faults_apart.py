"""Faults of what nobody showed read apart where two requirements ask for one reading; a fault of several things that
run out names them all, the first three by name."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta

import pytest
from case_list import answer, names
from msgspec.structs import replace
from random_worlds import BACK, NOWHERE, OUT, REACH, attribute, car_record, criterion, move, reading, rulebook

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.quantities import Period
from carknocker.record.values import Day, Interval, Word
from carknocker.rulebook.clauses import AllOf, AttributePath, Comparison, Fixed
from carknocker.rulebook.model import FaultWords
from carknocker.wording.evidence_faults import listed_up_to
from carknocker.wording.faults import fault_of_findings


@pytest.mark.parametrize("name", names())
def test_two_requirements_of_one_part_that_nobody_showed_read_apart(name: str) -> None:
    index = JudgementIndex(answer(name).judgement)
    titles: dict[str, set[str]] = defaultdict(set)
    for finding in index.judgement.findings:
        if finding.verdict == "not shown" and finding.effect == "refuse":
            titles[fault_of_findings([finding], index).text].add(finding.criterion.title)
    assert not {text: sorted(own) for text, own in titles.items() if len(own) > 1}
    assert not [text for text in titles if "must be not on record" in text]


MONTH = Fixed((Interval(Period(days=30)),))
SHORT, LAST = BACK - timedelta(days=32), BACK - timedelta(days=2)
"""Good for a month, it holds on departure and no more on the return."""


def within(name: str) -> Comparison:
    return Comparison(AttributePath("", attribute("brake system", name)), "within", MONTH, NOWHERE)


@pytest.mark.parametrize(
    ("dated", "said"),
    [
        (
            (SHORT, SHORT),
            f"Single-car brake test: runs out {LAST}; move ends {BACK}; so too brake maintenance done {SHORT}",
        ),
        ((OUT, SHORT), f"The brake system: brake maintenance done {SHORT} good through {LAST}; move ends {BACK}"),
        ((SHORT, OUT), f"Single-car brake test: runs out {LAST}; move ends {BACK}"),
    ],
)
def test_all_that_runs_out_before_the_return_is_named(dated, said) -> None:
    both = AllOf((within("single_car_test"), within("brake_maintenance_done_on")))
    rule = criterion("brake", "brake system", both, title="Brake tested and maintained within a month")
    test, done = dated
    car = car_record(
        [
            # a test older than the maintenance is doubtful, unless who signs is sure
            reading(
                "brake system", "single_car_test", Word("passed"), test, sort="test", sure="made with the maintenance"
            ),
            reading("brake system", "brake_maintenance_done_on", Day(done, done, done.isoformat()), OUT),
        ]
    )
    index = JudgementIndex(judge(car, move(), rulebook([rule], REACH), OUT))
    (finding,) = (one for one in index.judgement.findings if one.criterion.id == "test/brake")
    assert finding.verdict == "lapses"
    assert fault_of_findings([finding], index).text == said


@pytest.mark.parametrize(("number", "said"), [(2, "length and height"), (3, "length, height and width"),
                                              (5, "length, height, width and 2 more")])  # fmt: skip
def test_of_many_the_first_three_are_named(number, said) -> None:
    assert listed_up_to(["length", "height", "width", "depth", "reach"][:number]) == said


@pytest.mark.parametrize(
    ("tested", "until", "said"),
    [
        (OUT - timedelta(days=31), OUT + timedelta(days=900), f"made {OUT - timedelta(days=31)}, over 30 days before"),
        (OUT - timedelta(days=31), OUT, f"made {OUT - timedelta(days=31)}, over 30 days before"),
        (OUT - timedelta(days=9), OUT - timedelta(days=1), f"ran out {OUT - timedelta(days=1)}"),
        (OUT - timedelta(days=9), OUT, f"runs out {OUT}"),
    ],
)
def test_a_test_that_is_too_old_did_not_run_out_on_a_last_day_that_is_still_to_come(tested, until, said) -> None:
    rule = criterion("brake", "brake system", within("single_car_test"), title="Brake tested within a month")
    rule = replace(rule, fault=(FaultWords("", "made {found}, over {limit} before departure"),))
    test = replace(reading("brake system", "single_car_test", Word("passed"), tested, sort="test"), until=until)
    index = JudgementIndex(judge(car_record([test]), move(), rulebook([rule], REACH), OUT))
    (finding,) = (one for one in index.judgement.findings if one.criterion.id == "test/brake")
    assert said in fault_of_findings([finding], index).text
