"""A host's circular adds to the law and never takes its place; by a rulebook that asks nothing nobody is judged."""

from pathlib import Path

import pytest
from rulebook_samples import CARRIES, FLANGE, HOST_SOURCE, chapter, checked, head, library, move, said, write

from carknocker.documents import InputRefused
from carknocker.rulebook.check import check_library

OWN = chapter(FLANGE, source=HOST_SOURCE)


def circular(folder: Path, builds_on: str, ruleset: str = "circular", edition: str = "7", **keys: str) -> Path:
    text = head(ruleset, edition, layer="host", builds_on=builds_on, **keys)
    return write(folder, ruleset, edition, text, a=OWN)


def law(folder: Path, ruleset: str = "law", **keys: str) -> None:
    write(folder, ruleset, "1", head(ruleset, "1", **keys), wheels=chapter(FLANGE, CARRIES))


def refused(folder: Path, **keys: object) -> str:
    with pytest.raises(InputRefused) as error:
        library(folder).rulebooks(move(**keys))
    return said(error.value.problems)


def bound(folder: Path) -> list[str]:
    return [edition.ruleset for edition in library(folder).rulebooks(move()).at_out.editions]


@pytest.mark.parametrize(
    ("builds_on", "words"),
    [
        ("[]", "builds on nothing"),
        ("[circular]", "builds on `circular`"),
        ("[trade]", "builds on `trade`"),
        ("[second]", "builds on `second`"),
    ],
)
def test_a_circular_without_the_law_is_refused_and_noted(tmp_path: Path, builds_on: str, words: str) -> None:
    law(tmp_path)
    write(tmp_path, "trade", "1", head("trade", "1", layer="trade"), a=chapter(FLANGE))
    circular(tmp_path, "[circular]", "second", host="Wren Valley")
    place = circular(tmp_path, builds_on)
    line = 1 + (place / "edition.yaml").read_text(encoding="utf-8").splitlines().index(f"builds_on: {builds_on}")
    found = refused(tmp_path)
    assert found.startswith(f"{line}:1 circular 7, a host's edition, {words}: no law binds with it")
    assert "one of `law` /" in found
    assert found.endswith("name the law in `builds_on`")
    assert found in said(check_library(library(tmp_path)))


def test_a_pin_does_not_bring_such_a_circular_in(tmp_path: Path) -> None:
    law(tmp_path)
    circular(tmp_path, "[law]", edition="6")
    circular(tmp_path, "[]", in_force="2024-12-01")
    assert bound(tmp_path) == ["law", "circular"]
    assert "no law binds with it" in refused(tmp_path, editions={"circular": "7"})


def test_an_edition_of_the_law_by_name_that_is_a_hosts_is_not_law(tmp_path: Path) -> None:
    law(tmp_path)
    circular(tmp_path, "[]", "law", "2", host="Wren Valley", in_force="2024-01-01")
    circular(tmp_path, "[law]")
    assert "builds on `law`: no law binds with it" in refused(tmp_path)


def test_what_an_amended_circular_builds_on_counts(tmp_path: Path) -> None:
    law(tmp_path)
    circular(tmp_path, "[]", edition="6")
    circular(tmp_path, "", amends='"6"', in_force="2024-01-01")
    assert refused(tmp_path).startswith("1:1 circular 7, a host's edition, builds on nothing")


def test_the_law_may_come_by_way_of_another_host(tmp_path: Path) -> None:
    law(tmp_path)
    circular(tmp_path, "[law]", "second", host="Wren Valley")
    circular(tmp_path, "[second]")
    assert bound(tmp_path) == ["law", "second", "circular"]
    assert said(check_library(library(tmp_path))) == ""


def test_law_that_binds_only_where_named_is_law_for_who_names_it(tmp_path: Path) -> None:
    law(tmp_path)
    law(tmp_path, "elsewhere", only_where_named="yes")
    circular(tmp_path, "[elsewhere]")
    assert bound(tmp_path) == ["elsewhere", "circular"]
    assert said(check_library(library(tmp_path))) == ""


def test_law_that_binds_only_where_named_is_asked_of_no_other(tmp_path: Path) -> None:
    law(tmp_path, "elsewhere", only_where_named="yes")
    circular(tmp_path, "[]")
    assert bound(tmp_path) == ["circular"]


def test_where_no_law_is_at_hand_a_circular_stands_alone(tmp_path: Path) -> None:
    circular(tmp_path, "[]")
    assert bound(tmp_path) == ["circular"]
    assert "no law" not in said(check_library(library(tmp_path)))


def test_an_edition_that_builds_on_itself_is_noted(tmp_path: Path) -> None:
    found = checked(tmp_path, host=OWN, host_keys={"builds_on": "[law, circular]"})
    assert found.startswith("10:1 circular 7 builds on itself")
    assert found.endswith("take `circular` out of `builds_on`")


@pytest.mark.parametrize("with_law", [False, True])
def test_a_rulebook_without_a_criterion_is_refused_and_noted(tmp_path: Path, with_law: bool) -> None:
    text = head("circular", "7", layer="host", builds_on="[law]" if with_law else "[]")
    write(tmp_path, "circular", "7", text, a=chapter())
    if with_law:
        write(tmp_path, "law", "1", head("law", "1"), wheels=chapter("", CARRIES))
    found = refused(tmp_path)
    editions = "law 1, circular 7" if with_law else "circular 7"
    assert f"no criterion in the editions that bind a move together: {editions} / at least one criterion" in found
    assert found in said(check_library(library(tmp_path)))
    if with_law:
        assert "no criterion" in refused(tmp_path, circular=False, host="")
