"""Editions from a folder beside the car are told as such, and so is what an amending edition took away."""

from pathlib import Path

import pytest
from rulebook_samples import CARRIES, FLANGE, chapter, head, move, vocabulary, write

from carknocker.documents.parse_cache import ParseCache
from carknocker.rulebook import library as library_module
from carknocker.rulebook import load_library

NAMES = [f"rule-{number}" for number in range(1, 10)]
RULES = "".join(FLANGE.replace("id: flange", f"id: {name}") for name in NAMES)


@pytest.fixture
def installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The law, as if it had come with the program."""
    folder = tmp_path / "installed"
    write(folder, "law", "1", head("law", "1"), wheels=chapter(RULES, CARRIES))
    monkeypatch.setattr(library_module, "rulesets_folders", lambda: (folder,))
    return folder


def amend(folder: Path, edition: str, amends: str, removed: list[str], text: str = "", **keys: str) -> None:
    keys = {"in_force": "2021-01-01", "amends": f'"{amends}"', "removed": f"[{', '.join(removed)}]"} | keys
    write(folder, "law", edition, head("law", edition, **keys), **({"changes": text} if text else {}))


def notes(*folders: Path, cache: ParseCache | None = None) -> tuple[str, ...]:
    here = load_library(folders, vocabulary=vocabulary(), cache=cache)
    return here.rulebooks(move(host="", circular=False)).notes


def strange(edition: str) -> str:
    return (
        f"law {edition} is not installed with the program: it comes from a folder of rulesets beside the car or given "
        "with --rules"
    )


def test_of_what_is_installed_nothing_is_told(installed: Path, tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(installed)
    assert notes(installed) == notes(link) == ()


def test_an_edition_of_another_folder_is_told(installed: Path, tmp_path: Path) -> None:
    write(tmp_path / "beside", "trade", "1", head("trade", "1", layer="trade"), a=chapter(FLANGE))
    (note,) = notes(installed, tmp_path / "beside")
    assert note == strange("").replace("law ", "trade 1")
    assert str(tmp_path) not in note


def test_an_edition_that_does_not_bind_is_not_told(installed: Path, tmp_path: Path) -> None:
    amend(tmp_path / "beside", "2", "1", NAMES[:1], in_force="2030-01-01")
    assert notes(installed, tmp_path / "beside") == ()


@pytest.mark.parametrize(
    ("removed", "words"),
    [
        (NAMES[:1], "rule-1"),
        ([*NAMES[:2], "wheel-carries"], "rule-1, rule-2, wheel-carries"),
        (NAMES[:6], "rule-1, rule-2, rule-3, rule-4, rule-5, rule-6"),
        (NAMES[:8], "rule-1, rule-2, rule-3, rule-4, rule-5, rule-6 and 2 more"),
    ],
)
def test_what_such_an_edition_removes_is_told(installed: Path, tmp_path: Path, removed: list[str], words: str) -> None:
    amend(tmp_path / "beside", "2", "1", removed)
    told = (strange("2"), f"law 2 removes from what an earlier edition says: {words}")
    assert notes(installed, tmp_path / "beside") == told


def test_kept_editions_tell_the_same(installed: Path, tmp_path: Path) -> None:
    amend(tmp_path / "beside", "2", "1", NAMES[:1])
    cache = ParseCache(tmp_path / "kept")
    told = [notes(installed, tmp_path / "beside", cache=cache) for _ in range(2)]
    assert told[0] == told[1] == notes(installed, tmp_path / "beside")
    assert len(told[0]) == 2


def test_what_was_removed_on_the_way_is_told_unless_it_was_stated_anew(installed: Path, tmp_path: Path) -> None:
    beside = tmp_path / "beside"
    amend(beside, "2", "1", NAMES[:2])
    again = chapter(FLANGE.replace("id: flange", "id: rule-2"))
    amend(beside, "3", "2", NAMES[2:3], again, in_force="2022-01-01")
    assert notes(installed, beside) == (
        strange("3"),
        "law 3, by way of edition 2 that it amends, removes from what an earlier edition says: rule-1",
        "law 3 removes from what an earlier edition says: rule-3",
    )


def test_of_an_installed_edition_the_removed_criteria_are_told(installed: Path) -> None:
    amend(installed, "2", "1", ["wheel-carries", "rule-4"])
    assert notes(installed) == ("law 2 removes from what an earlier edition says: rule-4",)


def test_both_rulebooks_of_a_move_are_told_of_once(installed: Path, tmp_path: Path) -> None:
    beside = tmp_path / "beside"
    write(beside, "trade", "1", head("trade", "1", layer="trade"), a=chapter(FLANGE))
    amend(beside, "2", "1", NAMES[:1], in_force="2024-06-05")
    told = notes(installed, beside)
    assert [note.split(" is ")[0].split(" removes ")[0] for note in told[1:]] == ["trade 1", "law 2", "law 2"]
