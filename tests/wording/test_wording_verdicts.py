"""A finding explained is data; its words are made from it alone."""

from datetime import date
from fractions import Fraction

import pytest

from carknocker.documents import Location
from carknocker.judgement.explanation import EvidenceSeen, Margin, NothingSeen, ValueSeen
from carknocker.judgement.model import AgainstMove
from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Day, Figure, Word
from carknocker.wording.days import days_words
from carknocker.wording.limits import margin_words
from carknocker.wording.refusals import against_words, allowed_words, stated_words
from carknocker.wording.sources import lines_of
from carknocker.wording.verdicts import is_bare_answer, measured_words, names_day

DAY = date(2026, 9, 12)
INCH = Figure(Quantity("length", 7, 8, "in"))


def evidence(value, **more):
    given = {"on": DAY, "sort": "reading", **more}
    return Evidence("e", "a", "p", "p", value, where=Location("car.yaml", 1, 1), **given)


def seen(value, paper=None, dated=None, days=0, good_until=None, others=()):
    return ValueSeen(value, paper, dated, days, good_until, others)


@pytest.mark.parametrize(
    ("margin", "words"),
    [
        (None, ""),
        (Margin("within it", Fraction(1, 16), "length", False), "1/16 in to spare"),
        (Margin("past it", Fraction(1, 16), "length", True), "1/16 in past the limit"),
        (Margin("at the limit", Fraction(0), "length", True), "nothing to spare: exactly at the limit"),
        (Margin("at the limit", Fraction(0), "length", False), "exactly at the limit, which does not pass"),
        (Margin("past it", Fraction(2), "count", True), "2 past the limit"),
        (Margin("at the limit", Fraction(0), "count", True), ""),  # 0 of none
        (Margin("at the limit", Fraction(0), "count", False), "exactly at the limit, which does not pass"),
        (Margin("within it", Fraction(9), "temperature", True), "9 °F to spare"),
    ],
)
def test_a_margin(margin, words):
    assert margin_words(margin) == words


@pytest.mark.parametrize(
    ("measured", "words", "names", "bare"),
    [
        (NothingSeen(), "not shown", False, False),
        (seen(INCH), "7/8 in", False, False),
        (seen(Word("yes")), "yes", False, True),
        (EvidenceSeen(evidence(INCH)), "7/8 in, 2026-09-12", True, False),
        (EvidenceSeen(evidence(Word("no"), on=None, sort="description")), "no", False, True),
        (seen(Day(DAY, DAY, "2026-09-12"), dated=Day(DAY, DAY, "2026-09-12"), days=26),
         "2026-09-12, 26 days before departure", True, False),
        (seen(Word("passed"), good_until=DAY), "passed, good through 2026-09-12", True, False),
        (seen(Word("x"), evidence(Word("x"), sort="paper", until=DAY)), "on record until 2026-09-12", True, False),
    ],
)  # fmt: skip
def test_what_was_measured(measured, words, names, bare):
    assert measured_words(measured) == words
    assert names_day(measured, DAY) == names == ("2026-09-12" in words)
    assert is_bare_answer(measured) == bare


def test_what_is_against_the_move_in_two_pieces():
    speed = AgainstMove("speed", Quantity("speed", 60, 1, "mph"), Quantity("speed", 40, 1, "mph"))
    assert (stated_words(speed), allowed_words(speed)) == (
        "the train is to run at 60 mph", "the car may run at most 40 mph",
    )  # fmt: skip
    assert against_words(AgainstMove("riders", "passengers", ("crew",))) == "passengers are to ride; allowed: crew"
    none = AgainstMove("place", "", ())
    assert (against_words(none), allowed_words(none)) == ("no place in the train satisfies all that restricts it", "")


def test_days_that_follow_each_other_and_lines_of_files():
    days = [date(2026, 11, 6), *(date(2026, 11, day) for day in (10, 11, 12))]
    assert days_words(days) == "2026-11-06, each day from 2026-11-10 to 2026-11-12"
    places = [Location("a", 9, 1), Location("a", 3, 1), Location("b", 4, 1)]
    assert str(lines_of(places)) == "a:3–9, b:4"
