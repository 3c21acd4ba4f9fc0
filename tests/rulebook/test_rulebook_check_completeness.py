"""An edition of law says how far it has its text, and its coverage file bears out a `yes`."""

from pathlib import Path

import pytest
from rulebook_samples import CARRIES, FLANGE, HOST_SOURCE, chapter, head, library, said, write

from carknocker.rulebook.check import check_library

NUMBERED = "{document: A law, section: '9.1(1)', kind: law, status: read, words: too thin}"
COVERAGE = """reasons:
  not read: It was not read.
law:
  Wheels:
    - {section: "%s", ruleset: law, about: flange, %s}
work and events: []
"""


def problems(folder: Path, *, complete: str, coverage: str = "", source: str = NUMBERED) -> str:
    write(folder, "law", "1", head("law", "1", complete=complete), wheels=chapter(FLANGE, CARRIES, source=source))
    if coverage:
        (folder / "coverage.yaml").write_text(coverage, encoding="utf-8")
    return said(check_library(library(folder)))


@pytest.mark.parametrize(
    ("complete", "coverage", "words"),
    [
        ("", "", "does not say how far it has its text"),
        ("{no: WHY, lacks: [the rest]}", "", ""),
        ("yes", "", "no coverage file is at hand"),
        ("yes", COVERAGE % ("9.1(2)", "by: [law/flange]"), ""),
        ("yes", COVERAGE % ("9.2", "by: [law/flange]"), "law/flange is of 9.1, which has no row"),
        ("yes", COVERAGE % ("9.1", "none: not read"), "has 9.1, flange, as not read"),
    ],
)
def test_a_yes_is_borne_out_by_the_coverage_file(tmp_path: Path, complete: str, coverage: str, words: str) -> None:
    found = problems(tmp_path, complete=complete, coverage=coverage)
    assert words in found if words else found == ""


def test_what_is_typed_from_memory_is_not_complete(tmp_path: Path) -> None:
    source = NUMBERED.replace("status: read", "status: from memory")
    found = problems(tmp_path, complete="yes", coverage=COVERAGE % ("9.1", "by: [law/flange]"), source=source)
    assert "law/flange is typed from memory" in found


def test_a_coverage_file_in_docs_beside_the_rulesets_serves_too(tmp_path: Path) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "coverage.yaml").write_text(COVERAGE % ("9.1", "by: [law/flange]"), encoding="utf-8")
    assert problems(tmp_path / "rulesets", complete="yes") == ""


def test_a_hosts_circular_need_not_say(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"), wheels=chapter(FLANGE, source=NUMBERED))
    own = chapter(FLANGE.replace("id: flange", "id: own"), source=HOST_SOURCE)
    write(tmp_path, "host", "1", head("host", "1", layer="host"), wheels=own)
    assert "how far" not in said(check_library(library(tmp_path)))
