"""Checking rules runs every example and collects every problem; showing them says everything they say."""

from pathlib import Path

import pytest
from question_samples import library_in, rules_in

from carknocker.judgement.names import NotFound
from carknocker.questions.rules_check.ask import check_rules
from carknocker.questions.rules_list.ask import list_rules
from carknocker.questions.rules_show.ask import show_rules
from carknocker.rulebook import Library, load_library, rulesets_folders


def test_examples_are_counted_by_edition(tmp_path: Path) -> None:
    report = check_rules([rules_in(tmp_path)])
    assert not report.mismatches
    assert [(one.ruleset, one.edition, one.criteria, one.consequences) for one in report.editions] == [
        ("test-host", "1", 1, 2), ("test-host", "2", 1, 2), ("test-law", "1", 5, 8),
    ]  # fmt: skip
    assert report.examples == sum(one.examples for one in report.editions) == 3 + 3 + 4 + 3 + 3 + 2 + 3


def test_an_example_that_says_otherwise_is_reported_at_its_place(tmp_path: Path) -> None:
    rules_in(tmp_path, **{"{flange_thickness: 57/64 in, is: met}": "{flange_thickness: 57/64 in, is: breached}"})
    report = check_rules([tmp_path])
    assert not report.ok
    (mismatch,) = report.mismatches
    assert (mismatch.rule, mismatch.number) == ("test-law/flange", 2)
    assert (mismatch.expected, mismatch.got) == ("breached", "met")
    assert mismatch.given == "flange_thickness: 57/64 in"
    lines = Path(mismatch.where.file).read_text(encoding="utf-8").splitlines()
    assert "57/64 in, is: breached" in lines[mismatch.where.line - 1]
    assert next(one for one in report.editions if one.ruleset == "test-law").mismatches == 1


def test_a_part_without_a_path_to_the_car_is_a_problem(tmp_path: Path) -> None:
    rules_in(tmp_path, **{"carries_up: [axle position, truck, car]": "carries_up: [axle position]"})
    report = check_rules([tmp_path])
    assert any("brake shoe does not reach the car" in problem.found for problem in report.problems)


@pytest.mark.parametrize("head", ["", "format: carknocker-edition/1\n", "- [", "format: [1, 2"])
def test_rules_that_can_not_be_read_are_problems(tmp_path: Path, head: str) -> None:
    rules_in(tmp_path)
    (tmp_path / "test-law/1/edition.yaml").write_text(head, encoding="utf-8")
    report = check_rules([tmp_path])
    assert report.problems
    assert not report.ok


def test_a_folder_without_rules_is_a_problem(tmp_path: Path) -> None:
    assert check_rules([tmp_path]).problems
    assert check_rules([tmp_path / "nowhere"]).problems


def test_the_rules_that_come_with_the_program_pass() -> None:
    report = check_rules(rulesets_folders())
    assert report.mismatches == ()
    assert report.problems == ()
    assert report.examples > 500


def test_the_editions_at_hand(library: Library) -> None:
    lines = list_rules(library)
    assert [(one.ruleset, one.edition, one.builds_on) for one in lines] == [
        ("test-host", "1", ("test-law",)), ("test-host", "2", ("test-law",)), ("test-law", "1", ()),
    ]  # fmt: skip


def test_a_rule_shown_says_all_that_it_says(library: Library) -> None:
    shown = show_rules(library, "test-law", None, "flange")
    (rule,) = shown.rules
    lines = dict(rule.lines)
    assert lines["must"] == "flange thickness over 7/8 in"
    assert lines["applies where"] == "move: kind of train: passenger"
    assert lines["remedy"] == "wheelset renewed"
    assert next(text for label, text in rule.lines if label == "example") == "flange_thickness: 1 in: met"
    assert (rule.status, rule.source.words) == ("invented", "7/8 in or less is worn out")
    shown = show_rules(library, "test-law", "1")
    assert len(shown.rules) == 13
    assert shown.statuses == (("invented", 13),)
    valve = next(rule for rule in shown.rules if rule.id == "test-law/valve-work")
    assert [label for label, _ in valve.lines] == ["cause", "follows", "follows", "edition"]


def test_every_rule_that_comes_with_the_program_can_be_shown() -> None:
    library = load_library(rulesets_folders())
    for line in list_rules(library):
        shown = show_rules(library, line.ruleset, line.edition)
        assert shown.rules
        assert all(text for rule in shown.rules for _, text in rule.lines)


def test_the_newest_edition_where_none_is_named(library: Library) -> None:
    assert show_rules(library, "test-host").edition.edition == "2"


@pytest.mark.parametrize(
    ("ruleset", "edition", "rule", "what", "nearest"),
    [("test-low", None, None, "ruleset", "test-law"), ("test-host", "3", None, "edition", ""),
     ("test-law", "1", "flanges", "rule", "flange")],
)  # fmt: skip
def test_an_unknown_word(
    tmp_path: Path, ruleset: str, edition: str | None, rule: str | None, what: str, nearest: str
) -> None:
    with pytest.raises(NotFound) as caught:
        show_rules(library_in(tmp_path), ruleset, edition, rule)
    assert (caught.value.what, caught.value.nearest) == (what, nearest)
