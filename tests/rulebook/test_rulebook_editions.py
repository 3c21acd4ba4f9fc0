"""Heads, folders, amendments, digests: how editions are found and made whole."""

from datetime import date
from pathlib import Path

import pytest
from rulebook_samples import CARRIES, FLANGE, HOST_SOURCE, chapter, head, library, read, said, vocabulary, write

from carknocker.documents import InputRefused
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.model import Correction
from carknocker.wording.edition_text import edition_line, edition_rows

RIM = FLANGE.replace("id: flange", "id: rim").replace("flange_thickness", "rim_thickness")


def refused(folder: Path) -> str:
    """What is said when the library of a folder is loaded and every edition in it is read."""
    try:
        here = library(folder)
        for heads in here.heads.values():
            for each in heads:
                here.edition(each.ruleset, each.name)
    except InputRefused as error:
        return said(error.problems)
    return ""


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"format": "carknocker-edition/2"}, "`carknocker-edition/2`"),
        ({"ruleset": "laws"}, "the ruleset `laws` in the folder law"),
        ({"edition": '"2"'}, "the edition `2` in the folder 1"),
        ({"layer": "laws"}, "/ law /"),
        ({"in_force": "2020"}, "a whole day"),
        ({"in_force": "1577836800"}, "a whole day"),
        ({"in_force": "2020-02-30"}, "2020-02-30"),
        ({"in_force": "0202-01-01"}, "the year 0202 in `0202-01-01` / a year from 1800 to 2200"),
        ({"until": "2201-01-01"}, "the year 2201 in `2201-01-01`"),
        ({"until": "2019-12-31"}, "before it is in force"),
        ({"checked": ""}, "`checked` is missing"),
        ({"publihser": "x"}, "/ publisher /"),
        ({"host": "K&N"}, "layer law with a host"),
        ({"layer": "host", "builds_on": "[]", "host": ""}, "layer host without a host"),
        ({"layer": "host", "host": "K", "builds_on": ""}, "does not say what it builds on"),
        ({"removed": "[flange]"}, "amends none"),
        ({"relaxes": "[{criterion: a/b, reason: because}]"}, "law that relaxes"),
        ({"layer": "trade", "relaxes": "[{criterion: a/b}]"}, "`reason` is missing"),
        ({"layer": "trade", "relaxes": "[{criterion: b, reason: x}]"}, "a text of the agreed form"),
        ({"layer": "trade", "relaxes": "[{criterion: a/b, reason: x}, {criterion: a/b, reason: y}]"}, "relaxed twice"),
        ({"amends": '"1"'}, "amends itself"),
        ({"amends": '"0"'}, "which is not here"),
        ({"regimes": "{passanger: x}"}, "the key `passanger`"),
        ({"typed_by": "Ada Quill"}, "`typed_by` in an edition of the layer law"),
        ({"layer": "host", "host": "K", "builds_on": "[]", "confirmed_by": "{name: B, on: 2020-01-01}"},
         "`role` is missing"),
        ({"confirmed_by": "{name: B, role: officer, on: 2020-01-01}"}, "`confirmed_by` in an edition of the layer law"),
        ({"complete": "no"}, "`no` / `yes`, or `{no: WHY, lacks: [what is missing]}`"),
        ({"complete": "{no: WHY}"}, "the keys `no`"),
        ({"complete": "{no: WHY, lacks: []}"}, "a list that is empty"),
        ({"complete": "{no: WHY, lacks: [[x]]}"}, "a list that is empty or no text"),
        ({"borderline": "ignore"}, "one of `advise`, `refuse`"),
        ({"revision": "2"}, "revision 2 with 0 corrections"),
        ({"revision": "two"}, "a whole number"),
        ({"corrections": "[{on: 2020-02-01, what: a slip}]"}, "revision 1 with 1 corrections"),
        ({"revision": "3", "corrections": "[{on: 2020-02-01, what: a slip}]"}, "revision 3 with 1 corrections"),
        ({"revision": "2", "corrections": "[{what: a slip}]"}, "`on` is missing"),
        ({"revision": "2", "corrections": "[{on: 2020-02-01, what: a slip, rules: [flang]}]"}, "/ flange /"),
    ],
)  # fmt: skip
def test_a_wrong_head_is_refused(tmp_path: Path, keys: dict[str, str], words: str) -> None:
    write(tmp_path, "law", "1", head("law", "1", **keys), wheels=chapter(FLANGE))
    assert words in refused(tmp_path)


def test_the_head_alone_is_read_until_an_edition_is_wanted(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"), wheels="chapter: [")
    here = library(tmp_path)
    assert [str(each) for each in here.heads["law"]] == ["law 1"]
    with pytest.raises(InputRefused):
        here.edition("law", "1")


def test_an_edition_is_read_once(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"), wheels=chapter(FLANGE))
    here = library(tmp_path)
    assert here.edition("law", "1") is here.edition("law", "1")
    assert here.edition("law", "1").criteria[0].examples == ()
    assert len(here.reading_examples().edition("law", "1").criteria[0].examples) == 4


def test_only_some_rulesets_are_looked_at(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"))
    write(tmp_path, "other", "1", "broken: [")
    here = load_library([tmp_path], only=frozenset({"law"}), vocabulary=vocabulary())
    assert list(here.heads) == ["law"]


def test_one_edition_in_two_folders_with_the_same_bytes_is_one(tmp_path: Path) -> None:
    write(tmp_path / "a", "law", "1", head("law", "1"))
    write(tmp_path / "b", "law", "1", head("law", "1"))
    here = load_library([tmp_path / "a", tmp_path / "b"], vocabulary=vocabulary())
    assert [one.folder for one in here.heads["law"]] == [tmp_path / "a" / "law" / "1"]


def test_one_edition_in_two_folders_with_another_chapter_is_refused(tmp_path: Path) -> None:
    write(tmp_path / "a", "law", "1", head("law", "1"))
    write(tmp_path / "b", "law", "1", head("law", "1"), more=chapter(FLANGE))
    with pytest.raises(InputRefused, match="a second time"):
        load_library([tmp_path / "a", tmp_path / "b"], vocabulary=vocabulary())


def test_one_edition_in_two_folders_that_differ_in_a_byte_is_refused(tmp_path: Path) -> None:
    write(tmp_path / "a", "law", "1", head("law", "1"))
    write(tmp_path / "b", "law", "1", head("law", "1") + "\n")
    with pytest.raises(InputRefused, match="a second time"):
        load_library([tmp_path / "a", tmp_path / "b"], vocabulary=vocabulary())


def test_no_rulesets_at_all(tmp_path: Path) -> None:
    with pytest.raises(InputRefused, match="no edition"):
        load_library([tmp_path], vocabulary=vocabulary())
    with pytest.raises(InputRefused, match="can't be read"):
        load_library([tmp_path / "nowhere"], vocabulary=vocabulary())


def test_names_that_are_not_here(tmp_path: Path) -> None:
    write(tmp_path, "law", "2020", head("law", "2020"))
    here = library(tmp_path)
    with pytest.raises(InputRefused) as ruleset:
        here.edition("laws", "2020")
    assert ruleset.value.problems[0].nearest == "law"
    with pytest.raises(InputRefused) as edition:
        here.edition("law", "2021")
    assert edition.value.problems[0].nearest == "2020"


def test_problems_of_all_chapters_come_at_once(tmp_path: Path) -> None:
    bad = chapter(FLANGE.replace("of: wheel", "of: wheels"))
    write(tmp_path, "law", "1", head("law", "1"), a=bad, b=bad.replace("id: flange", "id: other"), c="chaptr: x\n")
    found = refused(tmp_path)
    assert found.count("/ wheel /") == 2
    assert "/ chapter /" in found
    assert "a chapter without `chapter`" in found


@pytest.mark.parametrize(
    "text", ["[]", "criteria: 3\nchapter: x", "chapter: x\ncriteria: [3, [], {}]", "", "a: b: c", "\t"]
)
def test_a_broken_chapter_is_refused(tmp_path: Path, text: str) -> None:
    write(tmp_path, "law", "1", head("law", "1"), a=text)
    assert refused(tmp_path) != ""


def test_the_digest_follows_every_file_and_nothing_else(tmp_path: Path) -> None:
    one = read(tmp_path / "1", chapter(FLANGE)).digest
    same = read(tmp_path / "2", chapter(FLANGE)).digest
    other = read(tmp_path / "3", chapter(FLANGE) + "# a remark\n").digest
    assert one == same
    assert one != other


def amending(folder: Path, changes: str = "", **keys: str) -> Path:
    write(folder, "law", "1", head("law", "1", regimes="{passenger: one}", borderline="refuse"),
          wheels=chapter(FLANGE + RIM, CARRIES))  # fmt: skip
    values = {"amends": '"1"', "in_force": "2024-01-01"} | keys
    return write(folder, "law", "2", head("law", "2", **values), changes=changes or chapter(FLANGE))


def test_an_amendment_replaces_adds_and_removes(tmp_path: Path) -> None:
    changed = (
        FLANGE.replace("over: 7/8 in", "over: 1 in")
        .replace("57/64 in", "65/64 in")
        .replace("flange_thickness: 7/8", "flange_thickness: 1")
    )
    new = FLANGE.replace("id: flange", "id: height")
    amending(tmp_path, chapter(changed + new), removed="[rim, brake-carries]", regimes="{freight: two}")
    here = library(tmp_path)
    base, edition = here.edition("law", "1"), here.edition("law", "2")
    assert [criterion.name for criterion in edition.criteria] == ["flange", "height"]
    assert [criterion.edition for criterion in edition.criteria] == ["2", "2"]
    assert [consequence.name for consequence in edition.consequences] == ["wheel-carries"]
    assert edition.consequences[0].edition == "1"
    assert edition.regimes == {"passenger": "one", "freight": "two"}
    assert [criterion.name for criterion in base.criteria] == ["flange", "rim"]


def test_an_amendment_keeps_what_it_leaves_out(tmp_path: Path) -> None:
    amending(tmp_path)
    edition = library(tmp_path).edition("law", "2")
    assert [(criterion.name, criterion.edition) for criterion in edition.criteria] == [("flange", "2"), ("rim", "1")]
    assert {criterion.borderline for criterion in edition.criteria} == {"refuse"}


def test_an_amendment_says_what_borderline_costs(tmp_path: Path) -> None:
    amending(tmp_path, borderline="advise")
    assert {criterion.borderline for criterion in library(tmp_path).edition("law", "2").criteria} == {"advise"}


CORRECTED = {"revision": "2", "corrections": "[{on: 2020-02-01, what: a slip in one, rules: [flange]}]"}


def test_corrections_are_read_and_an_amendment_shows_those_of_what_it_amends(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1", **CORRECTED), wheels=chapter(FLANGE + RIM, CARRIES))
    later = "[{on: 2024-02-01, what: a slip, rules: [rim]}, {on: 2024-03-01, what: another}]"
    values = {"amends": '"1"', "in_force": "2024-01-01", "revision": "3", "corrections": later}
    write(tmp_path, "law", "2", head("law", "2", **values), changes=chapter(RIM))
    base, edition = (library(tmp_path).edition("law", name) for name in ("1", "2"))
    first = Correction("1", date(2020, 2, 1), "a slip in one", ("flange",))
    assert (base.revision, base.corrections) == (2, (first,))
    assert edition.revision == 3
    assert edition.corrections == (
        first, Correction("2", date(2024, 2, 1), "a slip", ("rim",)), Correction("2", date(2024, 3, 1), "another", ()),
    )  # fmt: skip


def test_an_amendment_may_not_correct_a_rule_that_it_does_not_state(tmp_path: Path) -> None:
    amending(tmp_path, revision="2", corrections="[{on: 2024-02-01, what: a slip, rules: [rim]}]")
    assert "`rim` under `corrections`" in refused(tmp_path)


def test_where_editions_are_shown_their_corrections_are(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1", **CORRECTED), wheels=chapter(FLANGE, CARRIES))
    write(tmp_path, "law", "2", head("law", "2", in_force="2024-01-01"), wheels=chapter(FLANGE, CARRIES))
    here = library(tmp_path)
    one, two = (dict(edition_rows(edition_line(each, here))) for each in here.heads["law"])
    assert (one["revision"], one["corrected"]) == ("2", "2020-02-01: a slip in one (flange)")
    assert not {"revision", "corrected"} & set(two)


def test_the_digest_of_an_amendment_follows_what_it_amends(tmp_path: Path) -> None:
    amending(tmp_path / "a")
    amending(tmp_path / "b")
    file = tmp_path / "b" / "law" / "1" / "wheels.yaml"
    file.write_text(file.read_text(encoding="utf-8") + "# a remark\n", encoding="utf-8")
    digests = {library(tmp_path / name).edition("law", "2").digest for name in "ab"}
    assert len(digests) == 2


def test_a_cause_may_name_what_a_later_edition_removes(tmp_path: Path) -> None:
    duty = (
        "\n  - id: stops\n    title: S\n    cause: {finding: unmet, criterion: rim, effect: refuse}"
        "\n    carries_up: car\n"
    )
    write(tmp_path, "law", "1", head("law", "1"), wheels=chapter(FLANGE + RIM, duty))
    write(tmp_path, "law", "2", head("law", "2", amends='"1"', in_force="2024-01-01", removed="[rim]"))
    assert len(library(tmp_path).edition("law", "2").consequences) == 1
    write(tmp_path, "law", "3", head("law", "3", amends='"2"', in_force="2025-01-01"), a=chapter("", duty))
    assert "`rim` in stops" in refused(tmp_path)


@pytest.mark.parametrize(
    ("keys", "changes", "words"),
    [
        ({"removed": "[rimm]"}, "", "/ rim /"),
        ({"withdrawn": "[rim]"}, "", "/ removed /"),
        ({"removed": "[flange]"}, "", "removed and stated anew"),
        ({"in_force": "2020-01-01"}, "", "a day after 2020-01-01"),
        ({"layer": "trade"}, "", "another layer"),
        ({}, chapter(FLANGE, CARRIES.replace("wheel-carries", "rim")), "another sort of entry"),
        ({"amends": '"3"'}, "", "which is not here / one of `1`"),
    ],
)  # fmt: skip
def test_a_wrong_amendment_is_refused(tmp_path: Path, keys: dict[str, str], changes: str, words: str) -> None:
    amending(tmp_path, changes, **keys)
    assert words in refused(tmp_path)


def test_a_ring_of_amendments_is_refused(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1", amends='"2"'))
    write(tmp_path, "law", "2", head("law", "2", amends='"1"'))
    assert "a ring of amendments" in refused(tmp_path)


def test_a_host_edition_names_its_own_source(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"), wheels=chapter(FLANGE))
    write(tmp_path, "host", "7", head("host", "7", layer="host"), a=chapter(FLANGE, source=HOST_SOURCE))
    edition = library(tmp_path).edition("host", "7")
    assert (edition.host, edition.builds_on, edition.criteria[0].id) == ("Kestrel & Northern", ("law",), "host/flange")
    assert edition.criteria[0].source.kind == "host"


def test_the_rulesets_of_the_checkout_are_found() -> None:
    (folder,) = rulesets_folders()
    assert (folder / "us-federal").is_dir()


def test_an_empty_list_is_never_offered(tmp_path: Path) -> None:
    """An edition without criteria, in which a consequence names one."""
    rule = CARRIES.replace("of: wheel", "criterion: flange")
    write(tmp_path, "law", "1", head("law", "1"), wheels=chapter("", rule))
    found = refused(tmp_path)
    assert "nothing of its own, or `ruleset/criterion` of a lower layer" in found
    assert "one of ," not in found
    assert "one of  " not in found


@pytest.mark.parametrize(
    ("given", "what", "right"), [("law/1", "one edition", "rules"), ("law", "one ruleset", "rules")]
)
def test_a_folder_of_one_edition_or_of_one_ruleset_is_refused_since_nothing_of_it_would_be_read(
    tmp_path: Path, given: str, what: str, right: str
) -> None:
    rules = tmp_path / right
    write(rules, "law", "1", head("law", "1"))
    with pytest.raises(InputRefused) as error:
        load_library([rules, rules / given])
    (problem,) = error.value.problems
    assert problem.where.file == str(rules / given)
    assert (problem.found, problem.remedy) == (f"the folder of {what}", f"name {rules}")


def test_a_folder_of_rulesets_is_read(tmp_path: Path) -> None:
    write(tmp_path, "law", "1", head("law", "1"))
    assert set(load_library([tmp_path]).heads) == {"law"}
