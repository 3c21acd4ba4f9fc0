"""`tag`, `rules diff`, `rules new`, `rules schemas`: answers, statuses, forms."""

import json
import re

import pytest
from command_line import CASES, ROOT, carknocker, flat, invoke

BEFORE = CASES / "wren-hollow" / "before"
DAY = ("--as-of", "2026-10-08")
FORMS = ["text", "markdown", "json", "html"]
OLD, NEW = "kestrel-and-northern/7", "kestrel-and-northern/8"


@pytest.mark.parametrize("form", FORMS)
def test_rules_diff_says_what_changes_and_for_which_car(form):
    answer = invoke("rules", "diff", OLD, NEW, BEFORE, *DAY, "--format", form)
    assert answer.exit_code == 0
    for word in ("plain-bearing-speed", "28 days", "hose-age", "Wren Hollow", "bearing-class"):
        assert word in flat(answer.stdout)


def test_rules_diff_counts_the_cars_that_come_out_otherwise():
    answer = carknocker("rules", "diff", OLD, NEW, "wren-hollow/before", "larkspur/freight", *DAY)
    assert answer.returncode == 0
    assert "CARS: 1 of 2 come out otherwise" in flat(answer.stdout)
    assert str(ROOT) not in answer.stdout


def test_rules_diff_without_a_car_is_about_the_rules_alone():
    form = json.loads(invoke("rules", "diff", "us-federal/2015", "us-federal/2020", "--format", "json").stdout)
    assert form["cars"] == []
    assert len(form["changed"]) >= 4
    assert invoke("rules", "diff", NEW, NEW).stdout.splitlines()[1].startswith("NO RULE DIFFERS")


@pytest.mark.parametrize("arguments", [("kestrel", NEW), (OLD, "kestrel-and-northern/9"), (OLD, NEW, "no-such-car")])
def test_rules_diff_of_what_is_not_there_is_said(arguments):
    answer = invoke("rules", "diff", *arguments, *DAY)
    assert answer.exit_code == 2
    assert answer.stderr
    assert "Traceback" not in answer.stderr


@pytest.mark.parametrize("form", FORMS)
def test_tag_has_the_defect_and_no_signature(form):
    answer = invoke("tag", BEFORE, *DAY, "--destination", "Quillon shop", "--format", form)
    assert answer.exit_code == 1
    for word in ("heel R5", "238.303(e)(8)(vi)", "Quillon shop", "238.17(c)(4)"):
        assert word in flat(answer.stdout)
    if form == "json":
        tag = json.loads(answer.stdout)
        assert tag["signature"] is tag["job_title"] is tag["inspector"] is None
    else:
        assert "The owner never signs" in flat(answer.stdout)
        assert "COPY 2 OF 2" in answer.stdout


def test_a_day_of_inspection_is_a_day():
    assert invoke("tag", BEFORE, *DAY, "--inspected-on", "yesterday").exit_code == 2


def test_every_key_of_the_tag_and_of_the_difference_is_documented():
    documented = set(re.findall(r"`([a-z_]+)`", (ROOT / "docs" / "json.md").read_text(encoding="utf-8")))
    tag = json.loads(invoke("tag", BEFORE, *DAY, "--format", "json").stdout)
    diff = json.loads(invoke("rules", "diff", OLD, NEW, BEFORE, *DAY, "--format", "json").stdout)
    for form in (tag, {**diff, "cars": []}, *tag["defects"], *diff["cars"], *diff["changed"], diff["before"]):
        assert set(form) - documented == set()


def test_rules_new_writes_a_circular_that_checks_and_never_over_another(tmp_path):
    folder = tmp_path / "my-rulesets"
    arguments = ("rules", "new", folder, "--host", "Acme & Inland", "--in-force", "2026-01-01")
    answer = invoke(*arguments)
    assert answer.exit_code == 0
    assert (folder / "acme-and-inland" / "1" / "edition.yaml").is_file()
    assert invoke("rules", "check", folder).exit_code == 0
    before = {path: path.read_bytes() for path in folder.rglob("*.yaml")}
    again = invoke(*arguments)
    assert again.exit_code == 2
    assert "there already" in again.stderr
    assert {path: path.read_bytes() for path in folder.rglob("*.yaml")} == before


def test_rules_new_takes_the_ruleset_of_a_host_that_is_known(tmp_path):
    answer = invoke(
        "rules", "new", tmp_path, "--host", "kestrel & northern", "--edition", "9", "--in-force", "2028-01-01"
    )
    assert answer.exit_code == 0
    assert (tmp_path / "kestrel-and-northern" / "9" / "edition.yaml").is_file()
    assert invoke("rules", "check", tmp_path).exit_code == 0


@pytest.mark.parametrize(
    "arguments",
    [
        ("--host", "Kestrel & Northern", "--edition", "8"),
        ("--host", "  "),
        ("--host", "A", "--edition", "../x"),
        ("--host", "A", "--ruleset", "A b"),
        ("--host", "A", "--in-force", "soon"),
        (),
    ],
)
def test_rules_new_refuses_what_can_not_be(arguments, tmp_path):
    answer = invoke("rules", "new", tmp_path / "x", *arguments)
    assert answer.exit_code == 2
    assert not (tmp_path / "x").exists()


def test_rules_schemas_writes_the_files_that_are_in_docs(tmp_path):
    answer = invoke("rules", "schemas", tmp_path / "a" / "b")
    assert answer.exit_code == 0
    written = {path.name: path.read_bytes() for path in (tmp_path / "a" / "b").iterdir()}
    assert written == {path.name: path.read_bytes() for path in (ROOT / "docs" / "schemas").iterdir()}
    (tmp_path / "file").write_text("")
    assert invoke("rules", "schemas", tmp_path / "file").exit_code == 2
