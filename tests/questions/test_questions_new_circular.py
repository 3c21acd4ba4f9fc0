"""The starter circular reads and checks as it is, and so do its examples; it is written whole or not at all."""

import tempfile
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.documents import InputRefused
from carknocker.questions.rules_check.ask import RulesReport, check_rules
from carknocker.questions.rules_new.ask import ruleset_name, starter_circular, write_circular
from carknocker.rulebook import load_library, rulesets_folders

BELOW = ("us-federal", "trade-practice")


def written(folder: Path, host: str = "Acme & Inland", edition: str = "1", *, examples: bool = False) -> RulesReport:
    ruleset = ruleset_name(host)
    files = starter_circular(
        host=host, ruleset=ruleset, edition=edition, in_force=date(2026, 1, 1), builds_on=BELOW
    )  # fmt: skip
    for path in write_circular(folder, ruleset, edition, files):
        if examples:
            rows = path.read_text(encoding="utf-8").splitlines()
            taken = "\n".join("" if row == "#" else row[2:] if row.startswith("# ") else row for row in rows)
            path.write_text(taken + "\n", encoding="utf-8")
    return check_rules([*rulesets_folders(), folder])


def test_the_starter_is_in_order_and_asks_nothing(tmp_path: Path) -> None:
    report = written(tmp_path)
    assert report.problems == ()
    own = next(one for one in report.editions if one.ruleset == "acme-and-inland")
    assert (own.criteria, own.consequences) == (0, 0)


def test_its_examples_are_in_order(tmp_path: Path) -> None:
    report = written(tmp_path, examples=True)
    assert report.problems == ()
    assert report.mismatches == ()
    own = next(one for one in report.editions if one.ruleset == "acme-and-inland")
    assert own.criteria >= 3
    assert own.consequences >= 2
    head = load_library([*rulesets_folders(), tmp_path]).head("acme-and-inland", "1")
    assert head.relaxes
    assert head.until is not None


@given(st.text(max_size=40).filter(str.isprintable), st.from_regex(r"[A-Za-z0-9][A-Za-z0-9._-]{0,8}", fullmatch=True))
def test_any_host_and_edition_read_back(host: str, edition: str) -> None:
    host = " ".join(host.split()) or "Host"
    with tempfile.TemporaryDirectory() as folder:
        ruleset = ruleset_name(host)
        files = starter_circular(
            host=host, ruleset=ruleset, edition=edition, in_force=date(2026, 1, 1), builds_on=()
        )  # fmt: skip
        write_circular(Path(folder), ruleset, edition, files)
        head = load_library([Path(folder)]).edition(ruleset, edition)
    assert (head.host, head.name, head.in_force) == (host, edition, date(2026, 1, 1))


def test_an_edition_that_is_there_is_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "acme-and-inland" / "1"
    folder.mkdir(parents=True)
    (folder / "wheels.yaml").write_text("mine", encoding="utf-8")
    with pytest.raises(InputRefused, match="there already"):
        written(tmp_path)
    assert [(path.name, path.read_text()) for path in folder.iterdir()] == [("wheels.yaml", "mine")]


def test_a_folder_that_can_not_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "acme-and-inland").write_text("", encoding="utf-8")
    with pytest.raises(InputRefused, match="can't be written"):
        written(tmp_path)


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("Kestrel & Northern", "kestrel-and-northern"), ("  Über-Bahn 2  ", "uber-bahn-2"), ("&", "and"),
        ("鉄道", "host"),
    ],
)  # fmt: skip
def test_the_name_of_a_ruleset_is_made_of_the_host(host: str, name: str) -> None:
    assert ruleset_name(host) == name
