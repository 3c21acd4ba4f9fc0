"""Where an answer flips: the very place that asking about every position finds, with few questions."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_worlds import OUT, REACH, car_record, compare, criterion, inches, move, reading, rulebook

from carknocker.judgement import findings as findings_module
from carknocker.judgement.change_days import change_days
from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.criteria import compile_criterion
from carknocker.judgement.findings import view_for_must
from carknocker.judgement.judge import judge
from carknocker.judgement.part_view import PartView
from carknocker.judgement.threshold import first_holding, last_before_flip, last_holding, last_in_run
from carknocker.quantities import Period
from carknocker.record.model import Evidence
from carknocker.record.values import Day, Figure, Interval, Word
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, CountOf, EachOf

WHEEL = "wheel W-1 left"


class Counted:
    """A question about a position, with how often it was asked."""

    def __init__(self, answers: list[bool]) -> None:
        self.answers, self.asked = answers, 0

    def __call__(self, position: int) -> bool:
        self.asked += 1
        return self.answers[position]

    @property
    def changes(self) -> list[int]:
        return [place for place in range(1, len(self.answers)) if self.answers[place] != self.answers[place - 1]]


@given(st.integers(0, 4000), st.integers(1, 4000))
def test_one_flip_is_found_by_halving_in_either_direction(good: int, more: int) -> None:
    answers = [True] * (good + 1) + [False] * more
    up, down = Counted(answers), Counted(answers[::-1])
    assert last_before_flip(up, 0, len(answers) - 1) == good
    assert last_before_flip(down, len(answers) - 1, 0) == len(answers) - 1 - good
    assert max(up.asked, down.asked) <= 13


RUNS = st.lists(st.tuples(st.booleans(), st.integers(1, 300)), min_size=1, max_size=8)


@given(RUNS, st.lists(st.integers(-5, 2000), max_size=5), st.booleans())
def test_a_piecewise_answer_is_asked_about_where_it_can_change(
    runs: list[tuple[bool, int]], others: list[int], known: bool
) -> None:
    answers = [held for held, many in runs for _ in range(many)]
    asked = Counted(answers)
    changes = [*asked.changes, *others]
    last = len(answers) - 1
    holding = [place for place, held in enumerate(answers) if held]
    assert first_holding(asked, 0, last, changes) == min(holding, default=None)
    assert last_holding(asked, 0, last, changes) == max(holding, default=None)
    assert asked.asked <= 2 * (len(changes) + 1)
    if answers[0]:
        asked.asked = 0
        broken = next((place for place, held in enumerate(answers) if not held), last + 1)
        assert last_in_run(asked, 0, last, changes) == broken - 1
        assert asked.asked <= len(changes) + 2


def test_a_run_that_ends_where_no_change_was_foretold_is_still_found_to_end() -> None:
    asked = Counted([True] * 700 + [False] * 300)
    assert last_in_run(asked, 0, 999, []) == 699
    assert asked.asked <= 13


def days_ago(days: int) -> date:
    return OUT - timedelta(days=days)


def day(days: int) -> Day:
    return Day(days_ago(days), days_ago(days), days_ago(days).isoformat())


@st.composite
def records(draw: st.DrawFn) -> list[Evidence]:
    """Readings, a test, papers and a day of building, all dated; months and years too."""
    ages = st.integers(0, 300)
    span = draw(st.integers(0, 40))
    built = draw(ages)
    first = days_ago(built + span)
    found = [
        reading(WHEEL, "flange_thickness", Figure(inches(16)), days_ago(draw(ages))),
        reading("wheel W-2 left", "flange_thickness", Figure(inches(12)), days_ago(draw(ages))),
        reading("car", "built_on", Day(first, days_ago(built), "then"), OUT, sort="description"),
        reading(
            "brake system", "single_car_test", Word("passed"), days_ago(draw(ages)), sort="test",
            until=draw(st.none() | ages.map(lambda more: OUT + timedelta(days=more))),
        ),
    ]  # fmt: skip
    for number in range(draw(st.integers(0, 3))):
        start = draw(st.integers(-60, 200))
        found.append(
            reading(
                "car", "liability_insurance", Word("yes"), days_ago(max(start, 0)), number, sort="paper",
                until=days_ago(start) + timedelta(days=draw(st.integers(1, 200))),
                facts={"from": day(start)},
            )
        )  # fmt: skip
    return found


PERIODS = st.sampled_from([Period(days=90), Period(months=3), Period(months=1), Period(days=200), Period(months=12)])


@st.composite
def dated_clauses(draw: st.DrawFn) -> tuple[str, Clause]:
    """A kind of part, and a clause that looks from it at ages, papers, tests or the wheels inside."""
    kind = draw(st.sampled_from(["car", "brake system"]))
    car = "" if kind == "car" else "car"

    def one() -> Clause:
        match draw(st.integers(0, 4)):
            case 0:
                word = draw(st.sampled_from(["over", "at_least", "under", "at_most", "is", "is_not"]))
                return compare("car", "age", word, Interval(draw(PERIODS)), owner=car)
            case 1:
                return compare("car", "liability_insurance", "in_force", Word("yes"), owner=car)
            case 2 if kind == "car":
                thick = compare("wheel", "flange_thickness", "over", Figure(inches(14)))
                return EachOf("wheel", None, thick, thick.where)
            case 3 if kind == "car":
                read = compare("wheel", "flange_thickness", "shown", Word("yes"))
                return CountOf("wheel", read, "at_least", draw(st.integers(1, 2)), read.where)
            case 2 | 4 if kind == "brake system":
                return compare("brake system", "single_car_test", "within", Interval(draw(PERIODS)))
            case _ if kind == "brake system":
                return compare("brake system", "single_car_test", "shown", Word("yes"))
            case _:
                return compare("car", "built_on", "before", day(draw(st.integers(0, 300))))

    match draw(st.integers(0, 2)):
        case 0:
            return kind, AllOf((one(), one()))
        case 1:
            return kind, AnyOf((one(), one()))
        case _:
            return kind, one()


@given(records(), dated_clauses(), st.none() | PERIODS)
def test_between_the_days_of_change_nothing_changes(
    evidence: list[Evidence], asked: tuple[str, Clause], within: Period | None
) -> None:
    kind, clause = asked
    rule = criterion("dated", kind, clause, read_within=within)
    judgement = judge(car_record(evidence), move(), rulebook([rule], REACH), OUT)
    situation, one, part = judgement.situation, compile_criterion(rule), judgement.parts[kind]
    changes = set(change_days(clause, PartView(situation, kind, situation.values_of(kind), OUT), within))
    test = clause_test(clause)
    before = test(view_for_must(one, part, situation, OUT))
    for number in range(1, 500):
        day_asked = OUT + timedelta(days=number)
        truth = test(view_for_must(one, part, situation, day_asked))
        assert truth == before or day_asked in changes, day_asked
        before = truth
    assert len({one for one in changes if one > OUT}) <= 40


def older(word: str, months: int) -> Clause:
    return compare("brake system", "age", word, Interval(Period(months=months)), owner="car")


def lapsing(word: str, months: int, out_to_back: int) -> tuple[object, int]:
    """The last good day of a rule about the age of the car, and how often the car was looked at."""
    asked: list[date] = []
    real = findings_module.view_for_must

    def counted(*given: object, **more: object) -> PartView:
        asked.append(given[3])  # type: ignore[arg-type]
        return real(*given, **more)  # type: ignore[arg-type]

    built = reading("car", "built_on", day(30), OUT, sort="description", sure="a new car")
    recent = compare("brake system", "single_car_test", "within", Interval(Period(days=2000)))
    tested = reading("brake system", "single_car_test", Word("passed"), OUT, sort="test")
    rule = criterion("aged", "brake system", AnyOf((AllOf((older(word, months), recent)), older("under", 2))))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(findings_module, "view_for_must", counted)
        journey = move(back=OUT + timedelta(days=out_to_back))
        judgement = judge(car_record([built, tested]), journey, rulebook([rule], REACH), OUT)
    return judgement.findings[0].lapses_on, len(asked)


@pytest.mark.parametrize("word", ["over", "at_least"])
def test_a_move_of_ten_years_asks_no_more_than_one_of_two_weeks(word: str) -> None:
    short, few = lapsing(word, 1, 14)
    long, many = lapsing(word, 1, 3653)
    assert (short, long) == (None, OUT + timedelta(days=2000))
    assert many <= few + 13
