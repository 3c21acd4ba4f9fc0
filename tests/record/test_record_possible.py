"""A value that can't be is refused at its line with what can be, unless it says `sure: WHY`. Ends can be."""

import pytest
from record_samples import MOVE, changed, problem_at_mark, problems_of


def reading(section: str, position: str, value: str) -> str:
    """The record with a sheet of one more reading."""
    part = f"{{{value}}}" if not position else f"{{{position}: {{{value}}}}}"
    sheet = f"  - {{on: 2026-05-10, by: RE, readings: {{{section}: {part}}}}}\n"
    return changed("events:\n", f"{sheet}events:\n")


# attribute, least and most that can be, just below, just above
ENDS = [
    ("couplers", "B", "coupler_height", "20 in", "46 in", "19-63/64 in", "46-1/64 in"),
    ("couplers", "B", "knuckle_to_guard_arm", "2 in", "9 in", "1-63/64 in", "9-1/64 in"),
    ("side_bearings", "BL", "clearance", "0 in", "8 in", None, "8.001 in"),
    ("body", "", "lowest_part_over_rail", "0 in", "48 in", None, "49 in"),
    ("body", "", "emergency_exits", "0", "80", None, "81"),
    ("bearings", "L1", "running_temperature", "-60 °F", "2000 °F", "-61 °F", "2001 °F"),
    ("brake_system", "", "brake_pipe_leakage", "0 psi/min", "140 psi/min", None, "141 psi/min"),
    ("car", "", "gross_weight", "20000 lb", "320000 lb", "19999 lb", "320001 lb"),
    ("wheels", "L2", "tape_size", "0 tapes", "1600 tapes", None, "1600.5 tapes"),
    ("wheels", "L2", "flat_spot_length", "0 in", "40 in", None, "40-1/8 in"),
    ("wheelsets", "W-1", "back_to_back", "50 in", "57 in", "49-15/16 in", "57-1/16 in"),
    ("brake_system", "", "brake_maintenance_done_on", "1890", "2026-05-10", "1889", "2026-05-11"),
]


@pytest.mark.parametrize(("section", "position", "attribute", "least", "most", "below", "above"), ENDS)
def test_both_ends_can_be_and_nothing_beyond(
    section: str, position: str, attribute: str, least: str, most: str, below: str | None, above: str
) -> None:
    for text in (least, most):
        assert problems_of(reading(section, position, f"{attribute}: {text}")) == ()
    for text in (below, above):
        if text is None:
            continue
        [problem] = problems_of(reading(section, position, f"{attribute}: {text}"))
        assert problem.found.startswith(f"`{text}` for `{attribute}`")
        assert problem.expected.startswith("from ")
        assert problem.remedy == "look again; if it is so, write `{reads: …, sure: WHY}`"
        sure = f"{{reads: {text}, sure: read by two people}}"
        assert problems_of(reading(section, position, f"{attribute}: {sure}")) == ()


def test_a_decimal_comma_is_shown_as_a_point() -> None:
    [problem] = problems_of(reading("wheels", "L2", 'flange_thickness: "22,225 mm"'))
    assert problem.found == "`22,225 mm` for `flange_thickness`, which is 875 in"
    assert (problem.expected, problem.nearest) == ("from 1/8 in to 1-3/4 in", "22.225 mm")


def test_a_figure_in_another_unit_is_shown_in_the_unit_of_the_trade() -> None:
    [problem] = problems_of(reading("couplers", "B", "coupler_height: 33 mm"))
    assert problem.found == "`33 mm` for `coupler_height`, which is 1.299 in"


@pytest.mark.parametrize(
    ("value", "refused"),
    [
        ("{takes_at: 1/8 in}", ""),
        ("{under: 1/8 in}", "`under 1/8 in` for `flange_thickness`"),
        ("{over: 1-3/4 in}", "`over 1-3/4 in` for `flange_thickness`"),
        ("{at_least: 1-3/4 in}", ""),
        ("{at_least: 2 in, at_most: 3 in}", "`between 2 in and 3 in` for `flange_thickness`"),
        ("{over: 2 in, sure: a rolled tire}", ""),
        ("not accessible (car not moved)", ""),
    ],
)
def test_bounds(value: str, refused: str) -> None:
    found = [problem.found for problem in problems_of(reading("wheels", "L2", f"flange_thickness: {value}"))]
    assert found == ([refused] if refused else [])


def test_a_day_after_its_sheet_names_the_day_of_the_sheet() -> None:
    [problem] = problems_of(reading("bearings", "L1", "last_lubricated_on: 2026-06-01"))
    assert problem.expected == "from 1900 to the day of the sheet (2026-05-10)"
    # a month may be any of its days
    assert problems_of(reading("bearings", "L1", "last_lubricated_on: 2026-05")) == ()


def test_facts_of_tests_work_and_moves() -> None:
    problem = problem_at_mark("code: manual", "code: manual, device_due: «2036-02-03")
    assert problem.expected == "from 1950 to the day of the entry + 10 years (2036-02-02)"
    assert problems_of(changed("code: manual", "code: manual, device_due: 2036-02-02")) == ()
    problem = problem_at_mark("after: J-1}", "after: J-1, cut: «2-9/16 in}")
    assert problem.expected == "from 0 in to 2-1/2 in"
    problem = problem_at_mark("gross_limit: 220000 lb", "gross_limit: «22000 lb", MOVE)
    assert problem.expected == "from 30000 lb to 500000 lb"
    problem = problem_at_mark("rides: passengers", "rides: passengers, requested_on: «2026-11-07", MOVE)
    assert problem.expected == "from the day out - 1 year (2025-11-06) to the day out (2026-11-06)"
    wrong_year = problem_at_mark("rides: passengers", "rides: passengers, requested_on: «2025-11-05", MOVE)
    assert wrong_year.expected == problem.expected
    assert problems_of(changed("rides: passengers", "rides: passengers, requested_on: 2025-11-06", MOVE)) == ()
