"""A log is complete only if it says so: before that, miles can breach a limit and never meet one."""

from datetime import date, timedelta

import pytest
from msgspec.structs import replace
from random_worlds import (
    HOST,
    INSPECTOR,
    NOWHERE,
    OUT,
    REACH,
    car_record,
    compare,
    criterion,
    move,
    reading,
    rulebook,
)

from carknocker.dossier.first_page import first_page_of
from carknocker.judgement.explanation import MilesOnlyAtLeast, NotSettled
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.quantities import Quantity
from carknocker.record.model import LogStatement, MoveMade
from carknocker.record.values import Day, Figure
from carknocker.wording.verdicts import finding_words

RECONDITIONED = date(2028, 3, 1)


def miles(number):
    return Quantity("distance", number, 1, "mi")


def judged(limit, complete, known="day"):
    """A car whose bearings were reconditioned on a day, or in that month, and that made one move of 640 mi since."""
    last = RECONDITIONED if known == "day" else date(2028, 3, 31)
    day = Day(RECONDITIONED, last, RECONDITIONED.isoformat() if known == "day" else "2028-03")
    bearings = [f"bearing W-{axle} {side}" for axle in range(1, 5) for side in ("left", "right")]
    read = [reading(one, "reconditioned_on", day, OUT - timedelta(days=9)) for one in bearings]
    log = None if complete is None else LogStatement(complete, INSPECTOR, NOWHERE)
    car = replace(car_record(read, log=log), moves_made=(
        MoveMade(date(2029, 5, 1), date(2029, 5, 9), miles(640), HOST, NOWHERE),
    ))  # fmt: skip
    one = criterion("reconditioned", "bearing", compare("bearing", "reconditioned_on", "within", Figure(miles(limit))))
    return judge(car, move(), rulebook([one], REACH), OUT)


@pytest.mark.parametrize(
    ("limit", "complete", "verdict"),
    [
        (640, RECONDITIONED, "met"),
        (639, RECONDITIONED, "breached"),
        (640, RECONDITIONED + timedelta(days=1), "not shown"),
        (639, RECONDITIONED + timedelta(days=1), "breached"),
        (640, None, "not shown"),
        (639, None, "breached"),
        (640, OUT + timedelta(days=1), "not shown"),
    ],
)
def test_miles_before_the_log_is_complete_are_a_bound(limit, complete, verdict):
    judgement = judged(limit, complete)
    assert {one.verdict for one in judgement.findings} == {verdict}
    assert judgement.outcome == ("ready" if verdict == "met" else "not ready")


@pytest.mark.parametrize(("complete", "verdict"), [(date(2028, 3, 1), "met"), (date(2028, 3, 2), "not shown")])
def test_of_a_month_the_log_has_to_be_complete_from_its_first_day_on(complete, verdict):
    assert {one.verdict for one in judged(640, complete, "month").findings} == {verdict}


def test_the_page_says_what_the_miles_come_to_and_why_they_do_not_count():
    judgement = judged(1000, date(2028, 3, 2))
    explanation = JudgementIndex(judgement).explain(judgement.findings[0])
    (reason,) = explanation.reasons
    assert isinstance(reason, NotSettled)
    assert isinstance(reason.values[0].why, MilesOnlyAtLeast)
    assert "at least 640 miles since 2028-03-01, since the log is complete only from 2028-03-02 on" in (
        finding_words(explanation).reason
    )


@pytest.mark.parametrize(
    ("complete", "words"),
    [
        (
            RECONDITIONED,
            "The log of events, work and moves made is complete since 2028-03-01, says IN (shop inspector): 1 move of "
            "640 miles, ended 2029-05-09",
        ),
        (
            OUT + timedelta(days=1),
            "The log of events, work and moves made is complete only from 2030-06-16 on, after this day",
        ),
        (
            None,
            "The record does not say since when its log of events, work and moves is complete: 1 move of 640 miles, "
            "ended 2029-05-09",
        ),
    ],
)
def test_the_first_page_says_since_when_the_log_is_complete(complete, words):
    said = [one.words for one in first_page_of(JudgementIndex(judged(640, complete))) if one.sort == "log"]
    assert said == [words]
