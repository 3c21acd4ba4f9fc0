"""Two editions clause by clause, and the cars that come out otherwise."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.cli.inputs import Place, read_both
from carknocker.documents import InputRefused
from carknocker.questions.rules_diff.ask import RulesDiff, car_change, diff_editions, side_of
from carknocker.questions.rules_new.ask import starter_circular, write_circular
from carknocker.rulebook import Library, load_library, rulesets_folders

CASES = Path(__file__).resolve().parents[2] / "cases"
DAY = date(2026, 10, 8)


@pytest.fixture(scope="module")
def here() -> Library:
    return load_library(rulesets_folders())


def found(old: str, new: str, library: Library) -> RulesDiff:
    return diff_editions(side_of(old, library)[0], side_of(new, library)[0])


def test_what_circular_8_changes_against_7(here: Library) -> None:
    answer = found("kestrel-and-northern/7", "kestrel-and-northern/8", here)
    assert [rule.id.partition("/")[2] for rule in answer.removed] == [
        "plain-bearing-speed", "plain-bearing-spares", "plain-bearing-boxes-at-stops",
    ]  # fmt: skip
    assert answer.added == ()
    changed = {rule.id.partition("/")[2]: {line.label: line for line in rule.lines} for rule in answer.changed}
    assert set(changed) == {"bearing-class", "request-notice", "hose-age", "missing-spare-stops-the-car"}
    notice = changed["request-notice"]["must"]
    assert "at least 21 days" in notice.before
    assert "at least 28 days" in notice.after
    assert "28 days before departure" in changed["request-notice"]["words"].after
    assert "cause" in changed["missing-spare-stops-the-car"]
    head = {line.label: (line.before, line.after) for line in answer.head}
    assert head["in force"] == ("since 2024-01-01", "since 2026-07-01")
    old, _ = side_of("kestrel-and-northern/7", here)
    assert answer.unchanged == len(old.criteria) + len(old.consequences) - len(answer.removed) - len(answer.changed)


def test_the_other_way_round_added_and_removed_change_places(here: Library) -> None:
    one = found("us-federal/2015", "us-federal/2020", here)
    two = found("us-federal/2020", "us-federal/2015", here)
    assert [rule.id for rule in one.added] == [rule.id for rule in two.removed]
    assert [rule.id for rule in one.changed] == [rule.id for rule in two.changed]
    for forth, back in zip(one.changed, two.changed, strict=True):
        assert sorted((line.label, line.before, line.after) for line in forth.lines) == sorted(
            (line.label, line.after, line.before) for line in back.lines
        )


def test_an_edition_against_itself(here: Library) -> None:
    answer = found("us-federal/2020", "us-federal/2020", here)
    assert not answer.rules_differ
    assert answer.head == ()


def test_a_car_whose_refusals_change(here: Library) -> None:
    car, move = read_both(Place(CASES / "wren-hollow" / "before", CASES), None)
    change = car_change(
        car, move, side_of("kestrel-and-northern/7", here), side_of("kestrel-and-northern/8", here), DAY
    )  # fmt: skip
    assert change.changes
    assert change.note == ""
    assert change.answer is not None
    new = {(one.criterion, one.label) for one in change.answer.new}
    assert ("kestrel-and-northern/bearing-class", "bearing L1") in new
    assert any(
        "plain-bearing-spares" in one.before.consequence.id for one in change.answer.duties_cleared if one.before
    )


def test_a_car_that_does_not_change(here: Library) -> None:
    car, move = read_both(Place(CASES / "larkspur" / "freight", CASES), None)
    sides = side_of("kestrel-and-northern/7", here), side_of("kestrel-and-northern/8", here)
    change = car_change(car, move, *sides, DAY)
    assert change.answer is not None
    assert not change.changes


def test_another_host_judges_the_car_as_if_it_hauled_it(here: Library) -> None:
    car, move = read_both(Place(CASES / "larkspur" / "passenger", CASES), None)
    sides = side_of("kestrel-and-northern/8", here), side_of("marrow-creek-and-eastern/3", here)
    change = car_change(car, move, *sides, date(2026, 9, 1))
    assert change.answer is not None
    assert "as if hauled by Kestrel & Northern and by Marrow Creek & Eastern" in change.note
    assert change.answer.after.judgement.move.host == "Marrow Creek & Eastern"


def test_an_edition_that_can_not_bind_the_move_says_so(here: Library) -> None:
    car, move = read_both(Place(CASES / "larkspur" / "passenger", CASES), None)
    sides = side_of("us-federal/2020", here), side_of("canada-passenger/part-2", here)
    change = car_change(car, move, *sides, DAY)
    assert change.answer is None
    assert "does not bind this move" in change.note


def test_a_folder_that_amends_what_is_at_hand(here: Library, tmp_path: Path) -> None:
    files = starter_circular(
        host="Kestrel & Northern", ruleset="kestrel-and-northern", edition="9", in_force=date(2027, 1, 1), builds_on=()
    )
    write_circular(tmp_path, "kestrel-and-northern", "9", files)
    folder = tmp_path / "kestrel-and-northern" / "9"
    head = folder / "edition.yaml"
    head.write_text(head.read_text().replace("builds_on: []", 'amends: "8"\nremoved: [hose-age]'), encoding="utf-8")
    answer = found("kestrel-and-northern/8", str(folder), here)
    assert [rule.id for rule in answer.removed] == ["kestrel-and-northern/hose-age"]
    assert answer.changed == ()


@pytest.mark.parametrize("given", ["us-federal", "us-federal/1999", "no-such/1", "", "a/b/c", "\0"])
def test_what_names_no_edition_is_refused(given: str, here: Library) -> None:
    with pytest.raises(InputRefused):
        side_of(given, here)
