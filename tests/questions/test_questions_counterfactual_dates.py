"""The dates that would make a car ready, against judging the move on every single day."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from counterfactual_samples import MOVE, car_text, checked, finding_of, library_in

from carknocker.documents import InputRefused
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.record.model import Move
from carknocker.rulebook import Library
from carknocker.whatif import ready_dates as dates_module
from carknocker.whatif.hypothetical_finding import verdict_on
from carknocker.whatif.model import Dates, Window
from carknocker.whatif.move_days import back_on, shifted
from carknocker.whatif.ready_dates import dates_of, met_if_back_by, met_if_leaving
from carknocker.whatif.way_words import window_words

AHEAD = 130
DATED = ("test", "insured")


def is_ready(answer: CheckAnswer, library: Library, move: Move) -> bool:
    try:
        return check(answer.judgement.car, move, library, answer.day).outcome.startswith("ready")
    except InputRefused:
        return False


def day_by_day(answer: CheckAnswer, library: Library) -> Dates:
    """The same, with nothing left out."""
    move = answer.judgement.move
    first = (answer.day - move.out).days
    last = first + AHEAD
    ready = {day for day in range(first, last + 1) if is_ready(answer, library, shifted(move, day))}
    back_by = None
    for days in range((move.back - move.out).days):
        back = move.out + timedelta(days=days)
        if not is_ready(answer, library, back_on(move, back)):
            break
        back_by = back

    def window(day: int | None) -> Window | None:
        if day is None:
            return None
        low = high = day
        while low - 1 in ready:
            low -= 1
        while high + 1 in ready:
            high += 1
        first_day, last_day = timedelta(days=low), timedelta(days=high)
        return Window(
            move.out + first_day, move.out + last_day, move.back + first_day, move.back + last_day, high == last
        )

    earlier = max((day for day in ready if day < 0), default=None)
    later = min((day for day in ready if day > 0), default=None)
    out = move.out
    return Dates(
        back_by, window(earlier), window(later), out + timedelta(days=first), out + timedelta(days=last), 0, ()
    )  # fmt: skip


def compared(answer: CheckAnswer, library: Library) -> Dates:
    found = dates_of(answer, library, AHEAD)
    brute = day_by_day(answer, library)
    for name in ("back_by", "earlier", "later", "first_tried", "last_tried"):
        assert getattr(found, name) == getattr(brute, name), name
    return found


SCENES = {
    "a test lapses on the way": {"tested": "2029-06-10", "until": "2031-12-31"},
    "a test lapses before departure": {"tested": "2029-05-20", "until": "2031-12-31"},
    "a test lapsed before the day of the judgement": {"tested": "2029-03-20", "until": "2031-12-31"},
    "a paper ends on the way": {"tested": "2030-03-01", "until": "2030-06-10"},
    "a paper begins later": {"tested": "2030-03-01", "from_": "2030-06-20", "until": "2031-12-31"},
    "a paper begins later and the test ends": {"tested": "2029-08-01", "from_": "2030-06-20", "until": "2031-12-31"},
    "a paper between two days": {"tested": "2030-03-01", "from_": "2030-06-20", "until": "2030-07-20"},
    "a paper too short for the move": {"tested": "2030-03-01", "from_": "2030-06-20", "until": "2030-06-25"},
}


@pytest.fixture(scope="module")
def dated(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("dated"), (("1", "2020-01-01", DATED),))


@pytest.mark.parametrize("scene", SCENES)
def test_the_dates_are_those_of_judging_every_day(dated: Library, scene: str) -> None:
    found = compared(checked(car_text(**SCENES[scene]), dated), dated)
    assert found.judged < 12


def test_an_earlier_return_and_an_earlier_departure_are_said(dated: Library) -> None:
    answer = checked(car_text(**SCENES["a test lapses on the way"]), dated)
    found = dates_of(answer, dated)
    assert found.back_by == date(2030, 6, 10)
    assert found.earlier == Window(
        date(2030, 5, 1), date(2030, 5, 27), date(2030, 5, 15), date(2030, 6, 10), False
    )  # fmt: skip
    assert found.later is None
    assert found.earlier is not None
    assert window_words(found.earlier) == "leaving from 2030-05-01 to 2030-05-27 (back from 2030-05-15 to 2030-06-10)"


def test_a_later_departure_is_said_with_how_far_was_tried(dated: Library) -> None:
    answer = checked(car_text(**SCENES["a paper begins later"]), dated)
    found = dates_of(answer, dated, AHEAD)
    assert (found.back_by, found.earlier) == (None, None)
    assert found.later is not None
    assert (found.later.first, found.later.open_ended) == (date(2030, 6, 20), True)
    assert window_words(found.later).startswith("leaving on or after 2030-06-20 (back on 2030-07-04; tried up to")


EDITIONS = {
    "a rule that goes": (("1", "2020-01-01", ("flange",)), ("2", "2030-07-01", ("test",))),
    "a rule that comes": (("1", "2020-01-01", ("test",)), ("2", "2030-07-01", ("flange",))),
    "no rulebook yet": (("1", "2030-06-20", ("test",)),),
    "a rule for a while": (
        ("1", "2020-01-01", ("flange",)), ("2", "2030-05-20", ("test",)), ("3", "2030-07-01", ("rim",)),
    ),
}  # fmt: skip


@pytest.mark.parametrize("scene", EDITIONS)
def test_what_another_edition_asks_is_seen(tmp_path: Path, scene: str) -> None:
    library = library_in(tmp_path, EDITIONS[scene])
    if scene == "no rulebook yet":
        answer = checked(car_text(tested="2030-03-01"), library, MOVE.replace("2030-06", "2030-07"))
        early = shifted(answer.judgement.move, -20)  # as if some other rulebook had bound it on that day
        judged = judge(answer.judgement.car, early, answer.judgement.rulebook, answer.day)
        answer = CheckAnswer(judged, None, answer.choice, answer.day, ())
    else:
        move = MOVE.replace("out: 2030-06-01, back: 2030-06-15", "out: 2030-06-20, back: 2030-07-04")
        answer = checked(car_text(tested="2030-03-01"), library, move)
    assert not answer.outcome.startswith("ready") or scene == "no rulebook yet"
    found = compared(answer, library)
    assert found.helps


def test_legs_with_days_end_with_the_earlier_return(dated: Library) -> None:
    legs = "  - {from: Here, to: There, miles: 10 mi, on: 2030-06-01, until: 2030-06-03}\n"
    legs += "  - {from: There, to: Here, miles: 10 mi, on: 2030-06-14, until: 2030-06-15}\n"
    move = MOVE.rpartition("  - {from")[0] + legs
    answer = checked(car_text(**SCENES["a test lapses on the way"]), dated, move)
    assert compared(answer, dated).back_by == date(2030, 6, 10)
    early = back_on(answer.judgement.move, date(2030, 6, 10))
    assert [(leg.on, leg.until) for leg in early.legs] == [
        (date(2030, 6, 1), date(2030, 6, 3)), (date(2030, 6, 10), date(2030, 6, 10)),
    ]  # fmt: skip


def test_where_no_date_helps_it_says_what_stands_and_judges_next_to_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = library_in(tmp_path, (("1", "2020-01-01", ("flange", "test")),))
    answer = checked(car_text(), library)
    compared(answer, library)
    asked: list[object] = []
    real = dates_module.check
    monkeypatch.setattr(dates_module, "check", lambda *given: asked.append(given) or real(*given))
    found = dates_of(answer, library)
    assert not found.helps
    assert [(one.title, one.labels) for one in found.whatever] == [("flange", ("wheel L1",)), ("flange", ("wheel L3",))]
    first, second = (one.fault for one in found.whatever)
    assert first == "Wheel L1: flange thickness 13/16 in; must be over 7/8 in"
    assert second.startswith("Wheel L3: flange thickness ")
    assert len(asked) == found.judged == 2


def test_a_leave_for_a_while_makes_a_window(tmp_path: Path) -> None:
    library = library_in(tmp_path, (("1", "2020-01-01", ("flange",)),))
    place = tmp_path / "other-law" / "1" / "all.yaml"
    place.write_text(
        place.read_text()
        + "  - {id: leave, title: leave, cause: {leave: any}, relieves: {criterion: named, for: move}}\n"
    )
    leave = (
        "leaves:\n  - {id: L-1, host: Test Host, criterion: other-law/flange, from: 2030-07-01, until: 2030-08-31, "
        "at: car, leaves: none, for: move, signed_by: someone, signed_on: 2030-04-01, paper: a letter}\n"
    )
    answer = checked(car_text() + leave, library)
    found = compared(answer, library)
    assert found.later is not None
    assert (found.later.first, found.later.last) == (date(2030, 7, 1), date(2030, 8, 17))


def test_a_test_that_names_its_last_day_answers_a_duty_up_to_it(tmp_path: Path) -> None:
    """No criterion looks at the test: only the duty does, and it asks whether the test lasts to the return."""
    library = library_in(tmp_path, (("1", "2020-01-01", ("insured",)),))
    place = tmp_path / "other-law" / "1" / "all.yaml"
    place.write_text(
        place.read_text() + "  - {id: tested, title: tested, cause: {work: service portion replaced}, "
        "requires: {test: single-car brake test, of: brake system, when: before departure}}\n"
    )
    text = car_text(tested="2030-04-20", until="2031-12-31").replace(
        "code: manual,", "code: manual, until: 2030-06-10,"
    )
    work = "work:\n  - {id: J-1, did: service portion replaced, on: 2030-04-10, at: brake system, by: HM}\n"
    found = compared(checked(text + work, library), library)
    assert (found.back_by, found.later) == (date(2030, 6, 10), None)
    assert found.earlier is not None
    assert found.earlier.last_back == date(2030, 6, 10)


def test_a_state_that_holds_only_on_arrival_burdens_and_its_day_is_found(tmp_path: Path) -> None:
    """A car that is a hundred years old before the return must carry a paper that it has not got."""
    library = library_in(tmp_path, (("1", "2020-01-01", ("insured",)),))
    place = tmp_path / "other-law" / "1" / "all.yaml"
    place.write_text(
        place.read_text() + "  - {id: old, title: old, cause: {state: {age: {at_least: 99 years}}, of: car}, "
        "requires: {test: single-car brake test, of: brake system, when: before departure}}\n"
    )
    text = car_text(result="failed", until="2031-12-31").replace("built_on: 1931-04-01", "built_on: 1931-06-12")
    found = compared(checked(text, library), library)
    assert (found.back_by, found.later) == (date(2030, 6, 11), None)
    assert found.earlier is not None
    assert found.earlier.last_back == date(2030, 6, 11)


def test_a_finding_that_lapses_says_which_return_it_lasts_to(dated: Library) -> None:
    judgement = checked(car_text(), dated).judgement
    index = JudgementIndex(judgement)
    for criterion, part, last in (("test", "brake system", date(2030, 6, 10)), ("insured", "car", date(2030, 6, 10))):
        finding = finding_of(judgement, criterion, part)
        assert finding.verdict == "lapses"
        assert met_if_back_by(finding, index) == last
        assert verdict_on(index, finding, back_on(judgement.move, last)) == "met"
        assert verdict_on(index, finding, back_on(judgement.move, last + timedelta(days=1))) == "lapses"
    others = [one for one in judgement.findings if one.verdict != "lapses"]
    assert all(met_if_back_by(one, index) is None for one in others)


NOTICE = """  - id: notice
    title: notice
    of: move
    must: {notice_days: {at_least: 45 days}}
    effect: refuse
    shown_by: owner before the move
    remedies: []
    examples: []
"""


@pytest.mark.parametrize(
    ("criterion", "part", "text", "expected"),
    [
        ("test", "brake system", {"tested": "2029-06-10"}, (date(2030, 5, 27), None)),
        ("test", "brake system", {"tested": "2029-04-10"}, (None, None)),
        ("insured", "car", {"from_": "2030-06-20", "until": "2030-07-20"}, (None, date(2030, 6, 20))),
        ("insured", "car", {"until": "2030-06-10"}, (date(2030, 5, 27), None)),
        ("notice", "the move", {}, (None, date(2030, 6, 15))),
    ],
)
def test_a_finding_says_the_nearest_departures_with_which_it_is_met(
    tmp_path: Path, criterion: str, part: str, text: dict[str, str], expected: tuple[date | None, date | None]
) -> None:
    library = library_in(tmp_path, (("1", "2020-01-01", DATED),))
    place = tmp_path / "other-law" / "1" / "all.yaml"
    place.write_text(place.read_text().replace("consequences:\n", f"{NOTICE}consequences:\n"))
    move = MOVE.replace("host: Test Host", "requested_on: 2030-05-01, host: Test Host")
    judgement = checked(car_text(**text), library, move).judgement
    finding, index = finding_of(judgement, criterion, part), JudgementIndex(judgement)
    assert met_if_leaving(finding, index) == expected
    for days in range(-31, AHEAD):
        day = judgement.move.out + timedelta(days=days)
        earlier, later = expected
        between = (earlier or date.min) < day < (later or date.max)
        verdict = verdict_on(index, finding, shifted(judgement.move, days))
        if day in expected:
            assert verdict == "met"
        elif between and days:
            assert verdict != "met"
