"""The static checks of a whole library, and of the one that comes with the project."""

from pathlib import Path

from rulebook_samples import (
    FLANGE,
    HOST_SOURCE,
    LAW_SOURCE,
    alone,
    chapter,
    checked,
    head,
    said,
    write,
)

from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.check import check_library


def test_a_good_library_has_no_problems(tmp_path: Path) -> None:
    assert checked(tmp_path, host=chapter(FLANGE, source=HOST_SOURCE)) == ""


def test_law_without_a_section_or_its_words(tmp_path: Path) -> None:
    text = chapter(FLANGE, source=LAW_SOURCE.replace("section: 238.303(e), words: worn thin, ", ""))
    found = alone(tmp_path, text)
    assert "law/flange: a source of law without a section" in found
    assert "without its operative words" in found


def test_overlapping_editions_and_what_can_not_be_read_are_told_together(tmp_path: Path) -> None:
    write(tmp_path, "law", "2", head("law", "2"), wheels=chapter(FLANGE.replace("of: wheel", "of: wheels")))
    found = checked(tmp_path)
    assert "two editions of law in force at once" in found
    assert "/ wheel /" in found


def test_an_edition_that_builds_on_what_is_not_here(tmp_path: Path) -> None:
    assert "builds on `laws`" in checked(tmp_path, host_keys={"builds_on": "[laws]"})


def test_the_editions_of_the_project_are_sound() -> None:
    assert said(check_library(load_library(rulesets_folders()))) == ""
