"""A year mistyped: a move of ten years, or one in ten years, asks hardly more questions than one of two weeks."""

from __future__ import annotations

from collections import Counter
from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement import findings as findings_module
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.questions.due.ask import first_bad_day
from carknocker.questions.plan.ask import plan
from carknocker.questions.why.ask import why
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import Library, load_library, rulesets_folders
from carknocker.whatif import day_watch as watch_module
from carknocker.whatif import hypothetical_finding as what_if_module
from carknocker.whatif import ready_dates as dates_module
from carknocker.whatif.ready_dates import dates_of
from carknocker.whatif.work.model import Job
from carknocker.whatif.work.trial import TriedSet, smallest

CASE = Path(__file__).parents[2] / "cases" / "wren-hollow"
AS_OF = date(2026, 10, 8)
Asked = Counter[str]


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library(rulesets_folders())


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Asked:
    """How often a part was looked at, a criterion asked again, a move judged."""
    counts: Asked = Counter()
    for module, name in (
        (findings_module, "_judge"), (findings_module, "view_for_must"), (findings_module, "view_for_when"),
        (what_if_module, "judge_part"), (watch_module, "judge_part"), (dates_module, "check"),
    ):  # fmt: skip
        real = getattr(module, name)

        def counted(*given: object, real: object = real, name: str = name, **more: object) -> object:
            counts[name] += len(given[1]) if name == "_judge" else 1  # type: ignore[arg-type]
            return real(*given, **more)  # type: ignore[operator]

        monkeypatch.setattr(module, name, counted)
    return counts


def checked(library: Library, car: str, changes: dict[str, str]) -> CheckAnswer:
    text = (CASE / car / "move.yaml").read_text()
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    record = read_car_text((CASE / car / "car.yaml").read_text(), "car.yaml")
    return check(record, read_move_text(text, "move.yaml"), library, AS_OF)


LONG = {"back: 2026-11-22": "back: 2036-11-22\n  sure: a tour of ten years", "until: 2026-11-22": "until: 2036-11-22"}
LATE = {": 2026-11-": ": 2036-11-", "requested_on: 2026-09-25": "requested_on: 2036-09-25"}


@pytest.mark.parametrize("changes", [LONG, LATE])
def test_a_judgement_looks_no_oftener(library: Library, asked: Asked, changes: dict[str, str]) -> None:
    checked(library, "before", {})
    short = asked.total()
    asked.clear()
    checked(library, "before", changes)
    assert asked.total() <= 2 * short


@pytest.mark.parametrize("changes", [LONG, LATE])
def test_why_asks_no_oftener(library: Library, asked: Asked, changes: dict[str, str]) -> None:
    answers = checked(library, "before", {}), checked(library, "before", changes)
    for answer in answers:
        refusals = len(answer.judgement.refusals)
        asked.clear()
        why(answer)
        assert asked["judge_part"] <= 25 * refusals
        assert asked.total() <= 200 * refusals


@pytest.mark.parametrize("changes", [LONG, LATE])
def test_the_dates_that_would_help_are_looked_for_no_oftener(
    library: Library, asked: Asked, changes: dict[str, str]
) -> None:
    answers = checked(library, "before", {}), checked(library, "before", changes)
    each = []
    for answer in answers:
        asked.clear()
        found = dates_of(answer, library)
        each.append((asked.total(), found.judged))
    assert each[1][1] <= each[0][1] + 4
    assert each[1][0] <= 3 * each[0][0] + 5000, each


def test_the_first_bad_day_is_looked_for_no_oftener(library: Library, asked: Asked) -> None:
    answer = checked(library, "after", {})
    asked.clear()
    first_bad_day(answer, library, date(2027, 11, 12))
    near = asked.total()
    asked.clear()
    first_bad_day(answer, library, date(2046, 11, 12))
    assert asked.total() <= 2 * near


@pytest.mark.parametrize("changes", [LONG, LATE])
def test_hardly_more_hypothetical_cars_are_judged(library: Library, changes: dict[str, str]) -> None:
    few, many = (plan(checked(library, "before", text)) for text in ({}, changes))
    assert few.judged <= 7
    assert many.judged <= few.judged + 25


def test_the_search_ends_soon_where_it_is_certain_that_no_set_suffices() -> None:
    """Seven needs that either of two jobs answers, and one that its only job does not answer after all."""
    either = {number: (Job("work", (f"a {number}",)), Job("work", (f"b {number}",))) for number in range(7)}
    in_vain = Job("work", ("in vain",))
    tried: list[frozenset[Job]] = []

    def trial(chosen: frozenset[Job]) -> TriedSet:
        tried.append(chosen)
        left = tuple((f"need {number}", both) for number, both in either.items() if chosen.isdisjoint(both))
        return TriedSet(chosen, (*left, ("last", () if in_vain in chosen else (in_vain,))), None)

    def weight(chosen: frozenset[Job]) -> tuple[int, int]:
        return len(chosen), 0

    certain = smallest(weight, trial, none_suffices=lambda: True)
    soon = len(tried)
    tried.clear()
    searched = smallest(weight, trial)
    assert not certain.complete
    assert not searched.complete
    assert (certain.proven, searched.proven) == (False, True)
    assert certain.best.jobs == searched.best.jobs
    assert (soon, len(tried)) == (10, 1 + 2**7)
