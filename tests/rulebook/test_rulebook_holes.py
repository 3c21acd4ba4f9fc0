"""Words that fall between criteria: found alone and in pairs, closed by a reason or by an unanswered criterion."""

from pathlib import Path

import pytest
from rulebook_samples import (
    HOST_SOURCE,
    chapter,
    criterion_of,
    head,
    library,
    move,
    problems_of,
    said,
    vocabulary,
    write,
)

from carknocker.documents import InputRefused
from carknocker.documents.parse_cache import ParseCache
from carknocker.rulebook import load_library
from carknocker.rulebook.check import check_library
from carknocker.rulebook.clauses import Unanswered
from carknocker.rulebook.holes import hole_problems, holes
from carknocker.rulebook.model import NotAsked

CAST = """
  - id: cast
    title: No crack in a cast frame
    of: truck
    when: {frame: cast}
    must: {frame_cracked: no}
    effect: refuse
    shown_by: owner before the move
"""
BUILT_UP = CAST.replace("cast", "built-up")
ARCH_BAR = CAST.replace("cast", "arch-bar").replace("frame: arch-bar", "frame: arch bar")
BY_PEDESTAL = CAST.replace("id: cast", "id: bolted").replace("{frame: cast}", "{pedestal: bolted}")
REACHES = """
  - id: truck-carries
    title: A truck stops its car
    cause: {finding: unmet, of: truck, effect: refuse}
    carries_up: car
"""
UNANSWERED = """
  - id: arch-bar
    title: Arch bar frame
    of: truck
    when: {frame: arch bar}
    must: {unanswered: how an arch bar frame is judged}
    effect: refuse
"""


def found(folder: Path, *chapters: str, host: str = "", relaxes: str = "") -> list[tuple[tuple[str, str], ...]]:
    """The words of each hole of the rulebook of `law 1`, with `host 1` if that has a chapter or relaxes something."""
    texts = {f"c{number}": text for number, text in enumerate(chapters)}
    write(folder, "law", "1", head("law", "1"), **texts)
    if host or relaxes:
        write(folder, "host", "1", head("host", "1", layer="host", relaxes=relaxes), own=host or chapter())
    rules = library(folder)
    rulebook = rules.rulebook(head for heads in rules.heads.values() for head in heads)
    return [hole.words for hole in holes(rulebook)]


def frames(*words: str) -> list[tuple[tuple[str, str], ...]]:
    return [(("frame", word),) for word in words]


def test_each_word_with_which_no_criterion_of_the_subject_asks(tmp_path: Path) -> None:
    assert found(tmp_path, chapter(CAST)) == frames("built-up", "arch bar")


def test_words_that_other_criteria_ask_about_are_none(tmp_path: Path) -> None:
    assert found(tmp_path, chapter(CAST + BUILT_UP)) == frames("arch bar")


def test_every_word_asked_about(tmp_path: Path) -> None:
    assert found(tmp_path, chapter(CAST + BUILT_UP + ARCH_BAR)) == []


def test_a_criterion_without_a_condition_asks_of_every_word(tmp_path: Path) -> None:
    assert (
        found(tmp_path, chapter(CAST + CAST.replace("id: cast", "id: any").replace("    when: {frame: cast}\n", "")))
        == []
    )


def test_what_another_choice_decides_may_ask_of_every_word(tmp_path: Path) -> None:
    """With the frame known and the pedestal not, the other criterion is not ruled out; only both together are."""
    assert found(tmp_path, chapter(CAST + BY_PEDESTAL)) == []
    both = CAST.replace("{frame: cast}", "{frame: cast, pedestal: bolted}")
    either = BY_PEDESTAL.replace(
        "{pedestal: bolted}", "{any: [{frame: built-up}, {frame: arch bar}, {pedestal: bolted}]}"
    )
    pairs = found(tmp_path / "pairs", chapter(both + either))
    assert pairs == [(("frame", "cast"), ("pedestal", "integral"))]


def test_another_attribute_is_another_subject(tmp_path: Path) -> None:
    other = BUILT_UP.replace("{frame_cracked: no}", "{opened_on: {shown: yes}}")
    assert found(tmp_path, chapter(CAST + other)) == frames("built-up", "arch bar") + frames("cast", "arch bar")


def test_a_kind_that_is_counted_is_a_subject(tmp_path: Path) -> None:
    counted = CAST.replace("{frame_cracked: no}", "{count: {of: spring, at_least: 2}}")
    assert found(tmp_path, chapter(counted)) == frames("built-up", "arch bar")


def test_unless_rules_out_as_well(tmp_path: Path) -> None:
    assert found(tmp_path, chapter(CAST.replace("when: {frame: cast}", "unless: {frame: arch bar}"))) == frames(
        "arch bar"
    )


@pytest.mark.parametrize(
    ("when", "holes"),
    [
        ("{frame: [cast, built-up]}", ["arch bar"]),
        ("{frame: {none_of: [cast, built-up]}}", ["cast", "built-up"]),
        ("{frame: {is_not: cast}}", ["cast"]),
        ("{frame: {shown: yes}}", []),
    ],
)
def test_the_words_of_the_comparison(tmp_path: Path, when: str, holes: list[str]) -> None:
    assert found(tmp_path, chapter(CAST.replace("{frame: cast}", when))) == frames(*holes)


def test_advice_asks_nothing_unless_a_host_made_it_advice(tmp_path: Path) -> None:
    advice = ARCH_BAR.replace("effect: refuse", "effect: advise")
    assert found(tmp_path, chapter(CAST + BUILT_UP + advice)) == frames("arch bar")
    relaxable = ARCH_BAR + "    may_be_relaxed: yes\n"
    relaxed = found(
        tmp_path / "relaxed",
        chapter(CAST + BUILT_UP + relaxable),
        relaxes="[{criterion: law/arch-bar, reason: enough}]",
    )
    assert relaxed == []


def test_advice_alone_has_no_holes(tmp_path: Path) -> None:
    assert found(tmp_path, chapter(CAST.replace("effect: refuse", "effect: advise"))) == []


def test_the_kind_of_train_is_left_out(tmp_path: Path) -> None:
    assert found(tmp_path, chapter(CAST.replace("{frame: cast}", "{move.train: passenger}"))) == []


def test_the_word_for_something_else_is_no_hole(tmp_path: Path) -> None:
    assert found(tmp_path, chapter(BY_PEDESTAL)) == [(("pedestal", "integral"),)]


def test_a_host_may_open_a_hole_and_may_close_one(tmp_path: Path) -> None:
    own = chapter(ARCH_BAR.replace("frame_cracked: no", "opened_on: {shown: yes}"), source=HOST_SOURCE)
    assert found(tmp_path, host=own) == frames("cast", "built-up")
    closes = chapter(ARCH_BAR, source=HOST_SOURCE)
    assert found(tmp_path / "closed", chapter(CAST + BUILT_UP), host=closes) == []


NOT_ASKED = "    not_asked: {frame: {arch bar: the text is about castings}}\n"


def test_a_reason_closes_the_hole(tmp_path: Path) -> None:
    assert found(tmp_path, chapter(CAST + NOT_ASKED)) == frames("built-up")


def test_a_reason_of_the_chapter_closes_the_hole(tmp_path: Path) -> None:
    text = chapter(CAST) + "not_asked: {truck.frame: {built-up: nailed, arch bar: bolted}}\n"
    assert found(tmp_path, text) == []


def test_a_reason_closes_only_what_its_own_criterion_names(tmp_path: Path) -> None:
    other = BUILT_UP.replace("{frame_cracked: no}", "{opened_on: {shown: yes}}").replace("id: built-up", "id: opened")
    assert found(tmp_path, chapter(CAST + BUILT_UP + NOT_ASKED + other)) == frames("cast", "arch bar")


def test_an_unanswered_criterion_closes_the_hole(tmp_path: Path) -> None:
    assert found(tmp_path, chapter(CAST + BUILT_UP + UNANSWERED)) == []
    assert found(tmp_path / "other", chapter(CAST + UNANSWERED)) == frames("built-up")


def test_the_problem_names_subject_words_and_both_ways_out(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"), wheels=chapter(CAST))
    rules = library(tmp_path)
    (problem,) = hole_problems(rules.rulebook(rules.heads["law"]))
    assert problem.found == (
        "law/cast: with `frame: built-up`; `frame: arch bar` nothing is asked about frame_cracked of the truck"
    )
    assert problem.where.line == 4
    assert "not_asked: {frame: {built-up: WHY}}" in problem.remedy
    assert "unanswered" in problem.remedy


def test_what_is_read_of_not_asked(tmp_path: Path) -> None:
    one = criterion_of(
        tmp_path, "must: {frame_cracked: no}\nwhen: {frame: cast}\nnot_asked: {frame: {arch bar: bolted}}", "truck"
    )
    assert one.not_asked == (NotAsked("frame", "arch bar", "bolted"),)


@pytest.mark.parametrize(
    ("keys", "wanted"),
    [
        ("not_asked: {frame: {archbar: bolted}}", "archbar"),
        ("not_asked: {frame: {arch bar: ''}}", "without a reason"),
        ("not_asked: {fram: {arch bar: bolted}}", "fram"),
        ("not_asked: {frame_cracked: {yes: bad}}", "yes or no"),
        ("not_asked: {frame: arch bar}", "arch bar"),
        ("not_asked: arch bar", "arch bar"),
        ("not_asked: {pedestal: {bolted: no}}", "which neither `when` nor `unless` names"),
    ],
)
def test_what_is_wrong_with_not_asked(tmp_path: Path, keys: str, wanted: str) -> None:
    text = chapter(CAST + f"    {keys}\n")
    assert wanted in said(problems_of(tmp_path, text))


def test_a_choice_in_the_chapters_reasons_that_no_criterion_there_can_name(tmp_path: Path) -> None:
    text = chapter(CAST) + "not_asked: {truck.fram: {arch bar: bolted}}\n"
    assert "fram" in said(problems_of(tmp_path, text))


def test_what_is_read_of_an_unanswered_criterion(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"), wheels=chapter(UNANSWERED))
    (one,) = library(tmp_path).edition("law", "1").criteria
    assert isinstance(one.must, Unanswered)
    assert (one.must.what, one.shown_by) == ("how an arch bar frame is judged", "owner before the move")


@pytest.mark.parametrize(
    ("change", "wanted"),
    [
        (("    when: {frame: arch bar}\n", ""), "without `when`"),
        (("    effect: refuse\n", "    effect: refuse\n    shown_by: host on the day\n"), "`shown_by` beside"),
        (("    effect: refuse\n", "    effect: refuse\n    read_within: 90 days\n"), "`read_within` beside"),
        (("judged}", "judged, frame_cracked: no}"), "frame_cracked"),
        (("{unanswered: how an arch bar frame is judged}", "{all: [{unanswered: it}]}"), "unanswered"),
    ],
)
def test_what_is_wrong_with_an_unanswered_criterion(tmp_path: Path, change: tuple[str, str], wanted: str) -> None:
    assert change[0] in UNANSWERED
    assert wanted in said(problems_of(tmp_path, chapter(UNANSWERED.replace(*change))))


def test_a_rulebook_with_a_hole_judges_nobody_and_fails_its_check(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"), wheels=chapter(CAST, REACHES))
    rules = library(tmp_path)
    with pytest.raises(InputRefused) as refused:
        rules.rulebooks(move(circular=False))
    assert "with `frame: built-up`; `frame: arch bar` nothing is asked" in said(refused.value.problems)
    assert "with `frame: built-up`; `frame: arch bar` nothing is asked" in said(check_library(rules))


def test_a_hole_that_a_hosts_edition_opens_refuses_its_moves_only(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"), wheels=chapter(CAST + BUILT_UP + ARCH_BAR, REACHES))
    own = chapter(ARCH_BAR.replace("frame_cracked: no", "opened_on: {shown: yes}"), source=HOST_SOURCE)
    write(tmp_path, "circular", "1", head("circular", "1", layer="host"), own=own)
    rules = library(tmp_path)
    with pytest.raises(InputRefused) as refused:
        rules.rulebooks(move())
    assert [Path(problem.where.file).name for problem in refused.value.problems] == ["own.yaml"]
    assert len(rules.rulebooks(move(circular=False)).at_out.criteria) == 3


def test_what_has_no_hole_is_looked_through_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And again when an edition has changed; what has one is named again at each start."""
    write(tmp_path / "rules", "law", "1", head("law", "1"), wheels=chapter(CAST, REACHES))

    def problems() -> str:
        rules = load_library([tmp_path / "rules"], vocabulary=vocabulary(), cache=ParseCache(tmp_path / "cache"))
        try:
            rules.rulebooks(move(circular=False))
        except InputRefused as error:
            return said(error.problems)
        return ""

    first = problems()
    assert "built-up" in first
    assert problems() == first
    file = tmp_path / "rules" / "law" / "1" / "wheels.yaml"
    file.write_text(chapter(CAST + BUILT_UP, REACHES), encoding="utf-8")
    assert "built-up" not in problems()
    file.write_text(chapter(CAST + BUILT_UP + ARCH_BAR, REACHES), encoding="utf-8")
    assert problems() == ""
    monkeypatch.setattr("carknocker.rulebook.holes.hole_problems", lambda rulebook: pytest.fail("looked again"))
    assert problems() == ""


def test_whoever_asks_that_a_test_has_not_failed_does_not_ask_for_one(tmp_path: Path) -> None:
    tested = CAST.replace("id: cast", "id: tested").replace("of: truck", "of: brake system")
    tested = tested.replace("{frame: cast}", "{control_valve: AB}").replace(
        "{frame_cracked: no}", "{single_car_test: {shown: yes}}"
    )
    unfailed = tested.replace("id: tested", "id: unfailed").replace("    when: {control_valve: AB}\n", "")
    unfailed = unfailed.replace("{shown: yes}", "{failed: no}")
    alone = found(tmp_path / "alone", chapter(tested))
    assert alone
    assert found(tmp_path / "both", chapter(tested + unfailed)) == alone
