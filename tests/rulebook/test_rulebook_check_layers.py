"""What stands between layers: tightening, relaxing, relieving."""

from pathlib import Path

import pytest
from rulebook_samples import (
    CARRIES,
    FLANGE,
    HOST_SOURCE,
    chapter,
    checked,
    criterion_text,
    follows,
)


def circular(must: str, examples: str, more: str = "") -> str:
    return criterion_text(f"must: {must}\ntightens: law/flange\nexamples: {examples}\nsource: {HOST_SOURCE}{more}")


@pytest.mark.parametrize(
    ("must", "examples", "words"),
    [
        ("{flange_thickness: {over: 1 in}}",
         "[{flange_thickness: 1 in, is: breached}, {flange_thickness: 1-1/64 in, is: met}]", ""),
        ("{flange_thickness: {over: 7/8 in}}",
         "[{flange_thickness: 7/8 in, is: breached}, {flange_thickness: 57/64 in, is: met}]", ""),
        ("{flange_thickness: {at_least: 7/8 in}}",
         "[{flange_thickness: 7/8 in, is: met}, {flange_thickness: 55/64 in, is: breached}]",
         "flange_thickness: at least 7/8 in is looser than over 7/8 in of law/flange"),
        ("{flange_thickness: {over: 3/4 in}}",
         "[{flange_thickness: 3/4 in, is: breached}, {flange_thickness: 49/64 in, is: met}]",
         "over 3/4 in is looser than"),
        ("{flange_height: {over: 1 in}}", "[{flange_height: 1 in, is: breached}, {flange_height: 1-1/64 in, is: met}]",
         "without a limit on what that limits"),
    ],
)  # fmt: skip
def test_a_tighter_limit_must_be_on_the_stricter_side(tmp_path: Path, must: str, examples: str, words: str) -> None:
    found = checked(tmp_path, host=circular(must, examples))
    assert words in found if words else found == ""


@pytest.mark.parametrize(
    ("law", "host", "looser"),
    [
        ("{tread: [good, shelled]}", "{tread: good}", False),
        ("{tread: [good, shelled]}", "{tread: [good, built up]}", True),
        ("{tread: {is_not: built up}}", "{tread: [good, shelled]}", False),
        ("{tread: {is_not: built up}}", "{tread: {none_of: [built up, shelled]}}", False),
        ("{tread: good}", "{tread: {is_not: built up}}", True),
        ("{cracked: no}", "{cracked: {is_not: yes}}", False),
    ],
)  # fmt: skip
def test_fewer_words_are_stricter(tmp_path: Path, law: str, host: str, looser: bool) -> None:
    examples = "\nexamples: [{tread: good, is: met}, {tread: built up, is: breached}]"
    lower = criterion_text(f"must: {law}{examples}").replace("id: one", "id: flange") + "consequences:" + CARRIES
    upper = criterion_text(f"must: {host}{examples}\ntightens: law/flange\nsource: {HOST_SOURCE}")
    assert ("is looser than" in checked(tmp_path, lower, host=upper)) is looser


@pytest.mark.parametrize(("period", "looser"), [("12 months", True), ("90 days", False), ("60 days", False)])
def test_fresher_readings_are_stricter(tmp_path: Path, period: str, looser: bool) -> None:
    def text(days: str) -> str:
        return criterion_text(f"must: {{cracked: no}}\nread_within: {days}").replace("id: one", "id: flange")

    host = text(period).rstrip() + "\n    tightens: law/flange\n"
    assert ("looser than the 90 days" in checked(tmp_path, text("90 days"), host=host)) is looser


@pytest.mark.parametrize(
    ("tightens", "words"),
    [("law/flang", "/ law/flange /"), ("circular/one", "of no lower layer")],
)  # fmt: skip
def test_what_is_tightened_must_be_below(tmp_path: Path, tightens: str, words: str) -> None:
    keys = f"must: {{cracked: no}}\ntightens: {tightens}\nsource: {HOST_SOURCE}"
    assert words in checked(tmp_path, host=criterion_text(keys))


@pytest.mark.parametrize(
    ("criterion", "words"),
    [
        ("law/flange", "relaxes law/flange, which is law"),
        ("law/flang", "/ law/flange /"),
        ("circular/own", "of no lower layer"),
        ("law/soft", ""),
    ],
)  # fmt: skip
def test_a_host_relaxes_only_what_may_be_relaxed(tmp_path: Path, criterion: str, words: str) -> None:
    soft = FLANGE.replace("id: flange", "id: soft") + "    may_be_relaxed: yes\n"
    own = chapter(FLANGE.replace("id: flange", "id: own"), source=HOST_SOURCE)
    keys = {"relaxes": f"[{{criterion: {criterion}, reason: short trips}}]"}
    found = checked(tmp_path, chapter(FLANGE + soft, CARRIES), host=own, host_keys=keys)
    assert words in found if words else found == ""


def test_a_relaxation_that_may_not_be_hides_nothing_else(tmp_path: Path) -> None:
    looser = FLANGE.replace("id: flange", "id: own\n    tightens: law/flange").replace("7/8 in", "3/4 in")
    looser = looser.replace("57/64 in", "49/64 in")
    relaxes = "[{criterion: law/flange, reason: short trips}, {criterion: law/flang, reason: short trips}]"
    found = checked(tmp_path, host=chapter(looser, source=HOST_SOURCE), host_keys={"relaxes": relaxes})
    for words in ("which is law", "`law/flang`, which the rulebook does not have", "is looser than over 7/8 in"):
        assert words in found


@pytest.mark.parametrize(
    ("cause", "relieves", "words"),
    [
        ("{leave: any}", "{criterion: law/flange}", "relieves law/flange, which is law"),
        ("{finding: unmet, of: wheel}", "{finding: same}", "relieves law/flange, which is law"),
        ("{leave: any}", "{consequence: law/wheel-carries}", "relieves law/wheel-carries, which is law"),
        ("{leave: any}", "{criterion: law/soft}", ""),
        ("{leave: any}", "{criterion: named}", ""),
        ("{leave: any}", "{criterion: law/sofft}", "/ law/soft /"),
    ],
)  # fmt: skip
def test_a_host_relieves_only_law_that_may_be_relaxed(tmp_path: Path, cause: str, relieves: str, words: str) -> None:
    soft = FLANGE.replace("id: flange", "id: soft") + "    may_be_relaxed: yes\n"
    host = f"\n  - id: eases\n    title: E\n    cause: {cause}\n    relieves: {relieves}\n"
    found = checked(tmp_path, chapter(FLANGE + soft, CARRIES), host=chapter("", host, source=HOST_SOURCE))
    assert words in found if words else found == ""


def test_the_law_may_relieve_itself(tmp_path: Path) -> None:
    assert checked(tmp_path, follows("{leave: any}", "relieves: {criterion: flange}") + CARRIES) == ""
