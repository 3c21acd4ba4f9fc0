"""A record or a move with more of a thing than any car has is refused in words, before anything is made of it."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from record_samples import CAR, MOVE, changed, move, problems_of

from carknocker.documents import InputRefused
from carknocker.record import people_and_gauges, sheets_reader
from carknocker.record.files import MOST_ENTRIES
from carknocker.record.parts_reader import MOST_PARTS
from carknocker.record.sheets_reader import MOST_OF_A_DAY, MOST_READINGS


def with_more(section: str, entry: str, count: int) -> str:
    """The record with `count` more entries in a section; `#` in the entry is its number."""
    return changed(f"\n{section}:\n", f"\n{section}:\n" + "".join(entry.replace("#", f"{n}") for n in range(count)))


ENTRIES = {
    "people": "  P#: {role: owner}\n",
    "gauges": "  G#: {kind: air gauge}\n",
    "springs": "  S#: {at: B}\n",
    "wheelsets": "  V-#: {where: gone}\n",
    "sheets": "  - {on: 2026-05-10, by: RE, access: walking round, readings: {underframe: {body_camber: 0 in}}}\n",
    "events": "  - {id: F-#, on: 2026-04-01, happened: slid wheels, at: L1, cause: other}\n",
    "moves_made": "  - {from: 2026-03-01, to: 2026-03-09, miles: 1 mi}\n",
    "tests": "  - {test: single-car brake test, on: 2026-02-02, by: HM, result: passed, code: manual, device: D}\n",
    "work": "  - {id: K-#, on: 2026-06-02, did: wheels turned, at: L2, by: HM}\n",
    "spares": "  - {spare: air hose, carried: 1, shelf: 1}\n",
    "papers": "  - {paper: liability insurance, from: 2026-01-01, until: 2026-12-31}\n",
    "leaves": "  - {id: L-#, host: H, criterion: c, of: wheel, from: 2026-07-01, until: 2026-07-02, for: move}\n",
}


@pytest.mark.parametrize("section", ENTRIES)
def test_no_section_has_more_entries_than_any_car_has(section: str) -> None:
    found = [problem.found for problem in problems_of(with_more(section, ENTRIES[section], MOST_ENTRIES))]
    assert found[-1] == f"more than 1,000 entries in {section}"


def test_a_move_has_no_more_legs_than_any_move_has() -> None:
    leg = "  - {from: Port Averill, to: Port Averill, miles: 0 mi}\n"
    assert len(move(MOVE + leg * (MOST_ENTRIES - 1)).legs) == MOST_ENTRIES
    with pytest.raises(InputRefused) as refused:
        move(MOVE + leg * MOST_ENTRIES)
    assert refused.value.problems[0].found == "more than 1,000 entries in legs"


def test_a_car_has_no_more_parts_than_any_car_has() -> None:
    assert problems_of(with_more("springs", ENTRIES["springs"], MOST_PARTS - 100)) == ()
    found = [problem.found for problem in problems_of(with_more("springs", ENTRIES["springs"], MOST_PARTS - 10))]
    assert found == ["more than 1,000 parts"]


SHEET = """\
  - on: 2026-05-1#
    by: RE
    access: walking round
    readings:
      springs: {all: {coil_broken: no, coils_broken: 0}}
"""


def test_readings_are_counted_over_all_sheets(monkeypatch: pytest.MonkeyPatch) -> None:
    text = with_more("sheets", SHEET, 9)
    assert problems_of(text) == ()
    monkeypatch.setattr(sheets_reader, "MOST_READINGS", 20)
    made: list[Any] = []
    reading = sheets_reader._reading

    def counting(*given: Any) -> Any:
        made.append(given)
        return reading(*given)

    monkeypatch.setattr(sheets_reader, "_reading", counting)
    assert [problem.found for problem in problems_of(text)] == ["more than 20 readings"]
    assert 20 < len(made) <= 24


def test_readings_of_a_sheet_without_a_head_are_counted_as_well(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheets_reader, "MOST_READINGS", 20)
    found = [problem.found for problem in problems_of(with_more("sheets", SHEET.replace("    by: RE\n", ""), 9))]
    assert found.count("the key `by` is missing") == 6
    assert found[-1] == "more than 20 readings"
    assert MOST_READINGS == 100_000


def test_a_part_is_told_of_once_however_often_a_position_names_it() -> None:
    often = changed('"L3, R3": {flange_thickness: 1 in}', f'"{"L3, R3, " * 100}L3": {{flange_thickness: 1 in}}')
    assert problems_of(often) == ()


def test_a_day_has_no_more_different_readings_than_anyone_takes() -> None:
    readings = "{wheels: {L2: {flange_thickness: {over: 0.# in}}}}"
    entry = f"  - {{on: 2026-05-11, by: RE, access: walking round, readings: {readings}}}\n"
    alike = entry.replace("#", "5")
    assert problems_of(with_more("sheets", alike, 5 * MOST_OF_A_DAY)) == ()
    assert problems_of(with_more("sheets", entry.replace("#", "1#"), MOST_OF_A_DAY)) == ()
    found = [problem.found for problem in problems_of(with_more("sheets", entry.replace("#", "1#"), 200))]
    assert found == ["more than 50 different readings of `flange_thickness` of wheel W-2 left on 2026-05-11"]


def reached(start: str, direct: dict[str, set[str]]) -> set[str]:
    """By following every name, one after the other."""
    seen: set[str] = set()
    waiting = sorted(direct[start])
    while waiting:
        one = waiting.pop()
        if one in direct and one not in seen:
            seen.add(one)
            waiting.extend(direct[one])
    return seen


@given(st.dictionaries(st.sampled_from("abcdefgh"), st.sets(st.sampled_from("abcdefghij"))))
def test_what_came_before_is_all_that_can_be_reached(direct: dict[str, set[str]]) -> None:
    assert people_and_gauges.what_came_before(direct) == {start: reached(start, direct) for start in direct}


def test_a_long_chain_of_work_is_followed_to_its_end() -> None:
    chain = {f"J{number}": [f"J{before}" for before in range(max(0, number - 3), number)] for number in range(1_000)}
    before = people_and_gauges.what_came_before(chain)
    assert all(len(before[f"J{number}"]) == number for number in range(1_000))


def test_the_sample_is_read() -> None:
    assert problems_of(CAR) == ()
