"""What `compare` makes of parts that were not on record and are now, or the other way about."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.answer import CheckAnswer, check
from carknocker.record import read_car, read_car_text
from carknocker.record.move_reader import read_move
from carknocker.rulebook.library import Library, load_library, rulesets_folders
from carknocker.whatif.differences.compare import compare
from carknocker.whatif.differences.model import CompareAnswer

FOLDER = Path(__file__).parents[2] / "cases" / "larkspur" / "freight"
DAY = date(2026, 9, 1)
AT_A = "{at: A, spring_kind: coil, spring_place: equalizer, springs_in_nest: 2}\n"
EQUALIZER_SPRINGS = tuple(f"  {number}: {AT_A}" for number in range(9, 13))


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library(rulesets_folders())


def answered(library: Library, *without: str) -> CheckAnswer:
    text = (FOLDER / "car.yaml").read_text(encoding="utf-8")
    for line in without:
        assert line in text
        text = text.replace(line, "")
    return check(read_car_text(text, "car.yaml"), read_move(FOLDER / "move.yaml"), library, DAY)


def test_parts_of_one_kind_in_two_numbers_are_paired_once(library: Library) -> None:
    """A car of which nothing is listed, and one with jumpers of two kinds at each end."""
    cases = FOLDER.parents[1]
    cars = [
        check(read_car(cases / name / "car.yaml"), read_move(cases / name / "move.yaml"), library, day)
        for name, day in (("nothing-measured", date(2027, 3, 20)), ("wren-hollow/after", date(2026, 10, 24)))
    ]
    found = compare(*cars)
    changes = (*found.cleared, *found.new, *found.still_open, *found.changed_verdict)
    paired = [(one.before, one.after) for one in changes if one.before is not None and one.after is not None]
    assert [one for one in paired if one[0].part.unlisted is not None]
    assert not [one for one in paired if one[1].part.key not in found.after.judgement.parts]


def said(found: CompareAnswer) -> list[tuple[str, str, str]]:
    """What refuses the car, before or after."""
    lists = (("cleared", found.cleared), ("new", found.new), ("open", found.still_open))
    return [
        (name, one.label, one.note)
        for name, changes in lists
        for one in changes
        if any(finding is not None and finding.effect == "refuse" for finding in (one.before, one.after))
    ]


@pytest.mark.parametrize("missing", [1, 3])
def test_a_part_written_down_reads_as_that(library: Library, missing: int) -> None:
    found = compare(answered(library, *EQUALIZER_SPRINGS[:missing]), answered(library))
    assert found.outcomes == ("not ready", "ready")
    assert found.cleared
    note = f"put on record ({missing})"
    assert set(said(found)) == {("cleared", "equalizer springs of truck A", note)}
    assert len({one.criterion for one in found.cleared}) == len(found.cleared)  # one for all that were written down


def test_a_part_that_is_written_down_no_longer_is_new_against_the_car(library: Library) -> None:
    found = compare(answered(library), answered(library, *EQUALIZER_SPRINGS[:2]))
    assert found.outcomes == ("ready", "not ready")
    assert set(said(found)) == {("new", "equalizer springs of truck A", "no longer on record (2)")}


def test_springs_of_another_place_are_not_what_was_put_on_record(library: Library) -> None:
    """Bolster springs of truck B stay off the record; what came to truck A is told by itself."""
    bolster = "  1: {at: B, spring_kind: coil, spring_place: bolster, springs_in_nest: 2}\n"
    found = compare(answered(library, bolster, *EQUALIZER_SPRINGS[:1]), answered(library, bolster))
    assert {one[:2] for one in said(found)} == {
        ("cleared", "equalizer springs of truck A"),
        ("open", "unlisted bolster springs of truck B"),
    }


def test_one_that_refuses_when_it_is_written_down_is_still_open(library: Library) -> None:
    text = (FOLDER / "car.yaml").read_text(encoding="utf-8")
    broken = text.replace(
        "sheets:\n", "sheets:\n  - {on: 2026-08-30, by: NB, readings: {springs: {12: {compressed_solid: yes}}}}\n", 1
    )
    assert broken != text
    after = check(read_car_text(broken, "car.yaml"), read_move(FOLDER / "move.yaml"), library, DAY)
    found = compare(answered(library, *EQUALIZER_SPRINGS[2:]), after)
    mine = [one for one in found.still_open if "put on record" in one.note]
    assert mine
    assert {(one.label, one.note) for one in mine} == {("spring 12", "put on record (2)")}
    assert {one.before.verdict for one in mine if one.before} == {"not shown"}
