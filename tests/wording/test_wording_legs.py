"""A leg in words: its days, and between which days it must leave where the move does not say."""

from __future__ import annotations

from carknocker.record import read_move_text
from carknocker.wording.legs import leg_words, legs_without_day

HEAD = """format: carknocker-move/1
move: {host: K, train: passenger, out: 2026-11-06, back: 2026-11-22, rides: nobody}
legs:
"""
FIRST = "  - {from: A, to: B, miles: 10 mi}\n"
DATED = "  - {from: B, to: C, miles: 10 mi, on: 2026-11-10, until: 2026-11-11}\n"
BARE = "  - {from: C, to: D, miles: 10 mi}\n"


def told(*legs: str) -> list[str]:
    move = read_move_text(HEAD + "".join(legs), "move.yaml")
    return [leg_words(one, move).removeprefix(f"{one.start} to {one.end}, 10 miles, ") for one in move.legs]


def test_a_leg_without_a_day_lies_between_the_days_that_are_known():
    assert told(FIRST, DATED, BARE) == [
        "leaves 2026-11-06, day of arrival not on file",
        "2026-11-10 to 2026-11-11",
        "day not on file: not before 2026-11-11, not after 2026-11-22",
    ]
    assert told(FIRST, BARE.replace("C", "B"), DATED.replace("from: B", "from: D"), BARE)[1] == (
        "day not on file: not before 2026-11-06, not after 2026-11-10"
    )


def test_a_leg_that_leaves_and_arrives_on_one_day_has_that_day_alone():
    assert told(FIRST.replace("mi}", "mi, until: 2026-11-06}"), DATED, BARE)[0] == "2026-11-06"


def test_legs_without_a_day_are_named_together():
    def named(*legs: str) -> str:
        head = HEAD.replace("back: 2026-11-22", "back: 2026-11-11")
        return legs_without_day(read_move_text(head + "".join(legs), "move.yaml"))

    assert named(FIRST, DATED) == ""
    assert named(FIRST, DATED, BARE) == "day of leg 3 not on file"
    assert (
        named(FIRST, DATED, BARE, BARE.replace("from: C, to: D", "from: D, to: C")) == "days of legs 3, 4 not on file"
    )
