"""Work and events that void what was read before or call for something new: for each, an entry that does and one that
does not.

The numbers of the rows are those of the list at the end of docs/coverage.md.
"""

import pytest
from work_records import due, fired, judged, void
from work_rows import LAW, MOVED, RENEWED, ROWS, SINGLE_CAR, Row


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_the_entry_fires(row: Row) -> None:
    judgement = judged(row.entry, row.train, row.host)
    assert set(row.rules) <= fired(judgement)
    assert set(row.void) <= void(judgement)
    assert set(row.due) <= due(judgement)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_the_other_entry_does_not(row: Row) -> None:
    assert not set(row.rules) & fired(judged(row.quiet, row.train, row.host))


def test_every_row_is_here() -> None:
    """Rows 43 and 44 are about readings, not about the car: below."""
    assert {row.number.split()[0] for row in ROWS} | {"43", "44"} == {str(number) for number in range(1, 46)}


def test_readings_of_a_gauge_found_wrong_are_not_shown() -> None:
    """Row 43. F-1 was last checked good on 2026-04-11; with it the flanges were read on 2026-07-28."""
    wrong = judged("happened: gauge found wrong, gauge: F-1")
    right = judged("happened: gauge found wrong, gauge: F-2")
    flanges = [
        {one.verdict for one in judgement.findings if one.criterion.id == LAW + "flange-thickness"}
        for judgement in (wrong, right)
    ]
    assert flanges == [{"not shown"}, {"met"}]


def test_tests_by_one_whom_the_host_does_not_accept_are_not_shown() -> None:
    """Row 44. CW signed the annual inspection; PD, whom this other host does not know, the brake test."""
    ours = {one.criterion.name: one.verdict for one in judged("happened: set out").findings}
    theirs = {
        one.criterion.name: one.verdict
        for one in judged("happened: set out", host="Marrow Creek & Eastern").findings
        if one.criterion.ruleset == "marrow-creek-and-eastern"
    }
    assert (ours["annual-inspection"], theirs["annual-inspection"]) == ("met", "not shown")
    assert (ours["single-car-test-stands"], theirs["single-car-test"]) == ("met", "not shown")


@pytest.mark.parametrize("entry", [RENEWED, MOVED], ids=["renewed", "moved"])
def test_a_changed_wheelset_leaves_the_single_car_test_in_a_passenger_train(entry: str) -> None:
    """238.311(c), (e) name other causes. Nor does it touch the hand-brake test, insurance or the power line."""
    judgement = judged(entry)
    assert SINGLE_CAR not in due(judgement)
    untouched = ("single_car_test", "hand_brake_test", "liability_insurance", "insulation_resistance")
    assert not [one for one in void(judgement) if one.startswith(untouched)]


@pytest.mark.parametrize(
    "rule", ["wheelset-change-calls-for-single-car-test", "cylinder-work-calls-for-single-car-test"]
)
def test_what_is_doubtful_is_off_unless_a_host_asks(rule: str) -> None:
    entry = RENEWED if rule.startswith("wheelset") else "did: brake cylinder renewed, at: '1'"
    for host in ("Kestrel & Northern", "Marrow Creek & Eastern"):
        named = {one.split("/")[1] for one in fired(judged(entry, host=host))}
        assert (rule in named) == (host == "Marrow Creek & Eastern")


def test_a_brake_repaired_where_no_test_can_be_made_moves_to_the_test_once_its_application_was_seen() -> None:
    """238.311(f): "may be moved in passenger service to the next forward location where the test can be made"; the rim
    of wheel L2 is another matter."""
    judgement = judged(
        "did: brake repaired where no test can be made\ndid: service portion replaced",
        tests="{test: brake application and release, on: 2026-08-20, by: PD, at: [A, B], result: passed}",
    )
    assert [one.finding.criterion.name for one in judgement.refusals if one.finding] == ["rim-thickness"]
    assert [one for one in judgement.refusals if one.duty] == []
    assert {one.restriction.sort for one in judgement.restrictions} == {"tag", "destination"}
    (against,) = (one.against for one in judgement.refusals if one.against)
    assert (against.sort, against.allowed) == ("destination", ("next forward test location",))
