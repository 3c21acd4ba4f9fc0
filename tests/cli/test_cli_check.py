"""`carknocker check`: exit statuses, forms, several cars, files."""

import json
import re

import pytest
from command_line import CASES, ROOT, answers_in_turn, carknocker, invoke
from question_samples import AS_OF, CAR, GIVEN, MOVE, MOVED, rules_in

DAY = "2026-10-08"
BEFORE = "wren-hollow/before"
AFTER = "wren-hollow/after"


def expected_of(case):
    text = (CASES / case / "expected.yaml").read_text(encoding="utf-8")
    return dict(re.findall(r"^(\w+): (.+)$", text, re.MULTILINE))


@pytest.mark.parametrize(
    "case", sorted(str(found.parent.relative_to(CASES).as_posix()) for found in CASES.glob("**/expected.yaml"))
)
def test_each_case_ends_with_the_status_of_its_outcome(case):
    """No installed edition of law has all of its text, so that none ends with 0."""
    expected = expected_of(case)
    answer = invoke("check", CASES / case, "--as-of", expected["as_of"])
    assert answer.exit_code == 1, answer.output
    line = "NOT YET LOOKED AT" if case == "nothing-measured" else expected["outcome"].upper()
    after = {"ready": ", as far as the", "ready with restrictions": ": [^;]+; as far as the"}
    said = " ".join(answer.stdout.split("\n\n")[0].split())
    assert re.search(rf" {line}{after.get(expected['outcome'], ':')}", said)


@pytest.mark.parametrize(
    ("says", "status", "line"),
    [
        ("complete: yes", 0, "\nREADY: nothing on record keeps this car from moving; the host decides.\n"),
        (
            "complete: {no: WHY, lacks: [springs, the rest]}",
            1,
            "\nREADY, as far as the 6 rules at hand go; not at hand: springs; the rest. Nothing\n"
            "on record keeps this car from moving; the host decides.\n",
        ),
    ],
)
def test_status_0_is_kept_for_law_of_which_nothing_is_missing(tmp_path, says, status, line):
    rules = rules_in(tmp_path / "rules")
    head = rules / "test-law" / "1" / "edition.yaml"
    head.write_text(head.read_text(encoding="utf-8").replace("complete: yes", says), encoding="utf-8")
    (tmp_path / "car.yaml").write_text(CAR.format(**GIVEN).lstrip("\n"), encoding="utf-8")
    (tmp_path / "move.yaml").write_text(MOVE.format(**MOVED).lstrip("\n"), encoding="utf-8")
    given = ("check", tmp_path, "--rules", rules, "--as-of", AS_OF)
    answer = invoke(*given)
    assert line in answer.stdout, answer.output
    assert answer.exit_code == status
    form = json.loads(invoke(*given, "--format", "json").stdout)
    assert (form["outcome"], form["complete"]) == ("ready", status == 0)
    assert form["not_at_hand"] == ([] if status == 0 else ["springs", "the rest"])
    assert invoke(*given, "--table").exit_code == status


def test_of_several_cars_the_worst_counts_and_all_are_written():
    answer = invoke("check", CASES / AFTER, CASES / BEFORE, "--as-of", "2026-10-28", "--format", "json")
    form = json.loads(answer.stdout)
    assert form["format"] == "carknocker-dossiers/3"
    assert [dossier["format"] for dossier in form["dossiers"]] == ["carknocker-dossier/3"] * 2
    assert answer.exit_code == 1


def test_a_car_that_cannot_be_read_leaves_the_others_answered(tmp_path):
    broken = tmp_path / "car.yaml"
    broken.write_text("format: carknocker-car/1\ncarr: {}\n")
    answer = invoke("check", broken, CASES / BEFORE, "--move", CASES / BEFORE / "move.yaml", "--as-of", DAY)
    assert answer.exit_code == 2
    assert "NOT READY" in answer.stdout
    assert f"{broken}:2:1" in answer.stderr


def test_a_demo_case_needs_no_checkout_and_is_named_as_given(tmp_path):
    answer = carknocker("check", BEFORE, "--as-of", DAY, cwd=tmp_path)
    assert answer.returncode == 1, answer.stderr
    assert f"{BEFORE}/car.yaml:" in answer.stdout
    assert str(ROOT) not in answer.stdout


def test_a_file_is_as_good_as_its_folder(monkeypatch):
    monkeypatch.chdir(ROOT)
    folder = invoke("check", f"cases/{BEFORE}", "--as-of", DAY)
    file = invoke("check", f"cases/{BEFORE}/car.yaml", "--as-of", DAY)
    assert folder.stdout == file.stdout
    assert folder.exit_code == 1


def test_the_same_inputs_give_the_same_bytes():
    calls = [
        ("check", f"cases/{BEFORE}", "--as-of", DAY, "--format", form) for form in ("text", "markdown", "json", "html")
    ]
    first = answers_in_turn(calls, {"PYTHONHASHSEED": "1", "COLUMNS": "200"})
    second = answers_in_turn(calls, {"PYTHONHASHSEED": "2", "NO_COLOR": "1", "TZ": "Pacific/Auckland"})
    assert first == second
    assert all(len(written) > 1000 for written in first)


def test_json_is_complete():
    form = json.loads(invoke("check", CASES / BEFORE, "--as-of", DAY, "--format", "json").stdout)
    assert {"format", "outcome", "findings", "rules", "digests", "refusals", "restrictions", "duties",
            "void_evidence", "reliefs", "rulebook", "notes"} <= form.keys()  # fmt: skip
    flange = next(
        one for one in form["findings"] if "wheel W-35 right" in one["parts"] and one["verdict"] == "breached"
    )  # fmt: skip
    assert form["parts"]["wheel W-35 right"] == {"label": "wheel R5", "kind": "wheel", "fitted": True}
    assert flange["limit"].startswith("over 7/8 in")
    assert flange["side"] == {"word": "over", "limit_itself_passes": False, "value_is": None}
    assert flange["evidence"]["gauge"]["name"] == "G-5"
    assert flange["evidence"]["by"]["name"] == "RE"
    assert re.fullmatch(r".*car\.yaml:\d+", flange["evidence"]["at"])
    assert form["refusals"]
    assert form["rules"][flange["criterion"]]["source"]["section"] == "238.303(e)(8)(vi)"
    assert {one["verdict"] for one in form["findings"]}.isdisjoint({"met", "not applicable"})


def test_every_key_of_the_json_is_documented(tmp_path):
    documented = set(re.findall(r"`([a-z_]+)`", (ROOT / "docs" / "json.md").read_text(encoding="utf-8")))
    form = json.loads(invoke("check", CASES / BEFORE, "--as-of", DAY, "--format", "json").stdout)
    free = {"verdicts", "editions", "facts"}

    def keys(value, under=""):
        if isinstance(value, dict):
            for key, inner in value.items():
                if under not in ("rules", "parts") and (under not in free or isinstance(inner, (dict, list))):  # ids
                    yield key
                yield from keys(inner, key)
        elif isinstance(value, list):
            for inner in value:
                yield from keys(inner)

    assert set(keys(form)) - documented == set()
    invoke(
        "check",
        CASES / BEFORE,
        "--as-of",
        DAY,
        "--format",
        "json",
        "--output",
        tmp_path / "d.json",
        "--appendix",
        "--all",
    )
    appendix = json.loads((tmp_path / "d-appendix.json").read_text(encoding="utf-8"))
    assert set(keys(appendix)) - documented == set()


def test_html_is_one_page_that_loads_nothing():
    page = invoke("check", CASES / BEFORE, "--as-of", DAY, "--format", "html").stdout
    assert page.startswith("<!DOCTYPE html>")
    assert page.count("<html") == 1
    drawn = page.replace('xmlns="http://www.w3.org/2000/svg"', "").replace(
        "url(#", ""
    )  # a name, and a hatching of the page
    assert not re.search(r"<(script|img|link|iframe)|https?://|url\(", drawn)


def test_the_output_file_is_written_whole(tmp_path):
    target = tmp_path / "dossier.md"
    answer = invoke("check", CASES / BEFORE, "--as-of", DAY, "--format", "markdown", "--output", target)
    assert answer.exit_code == 1
    assert answer.stdout == ""
    assert target.read_text(encoding="utf-8").startswith("# QWHX 27 Wren Hollow")
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.parametrize("form", ["text", "json"])
def test_an_output_file_that_cannot_be_written_is_said_in_words(tmp_path, form):
    for target in (tmp_path, tmp_path / "no folder" / "dossier"):
        answer = invoke("check", CASES / BEFORE, "--as-of", DAY, "--format", form, "--output", target)
        assert answer.exit_code == 2
        assert str(target) in answer.stderr
        assert "Traceback" not in answer.output


def test_an_input_that_is_refused_leaves_the_output_file_alone(tmp_path):
    target = tmp_path / "dossier.md"
    target.write_text("earlier")
    answer = invoke("check", tmp_path / "nowhere", "--output", target)
    assert answer.exit_code == 2
    assert target.read_text() == "earlier"


@pytest.mark.parametrize(
    "arguments",
    [
        ("check",),
        ("check", "--colour", "x"),
        ("check", BEFORE, "--as-of", "yesterday"),
        ("check", BEFORE, "--as-of", "2026-02-30"),
        ("check", BEFORE, "--format", "dxf"),
        ("chekc", BEFORE),
        ("check", "no/such/car"),
        ("check", BEFORE, "--move", "no-such-move.yaml"),
        ("check", BEFORE, "--rules", "no-such-folder"),
        ("check", "car\x00.yaml"),
    ],
)
def test_wrong_use_ends_with_2_and_words(arguments):
    answer = invoke(*arguments)
    assert answer.exit_code == 2
    assert answer.stderr.strip()
    assert "Traceback" not in answer.output


def test_rules_beside_the_car_are_found(tmp_path):
    for name in ("car.yaml", "move.yaml"):
        (tmp_path / name).write_bytes((CASES / BEFORE / name).read_bytes())
    folder = tmp_path / "rulesets" / "own" / "1"
    folder.mkdir(parents=True)
    (folder / "edition.yaml").write_text("format: carknocker-edition/1\nrulesett: own\n")
    answer = invoke("check", tmp_path, "--as-of", DAY)
    assert answer.exit_code == 2
    assert "edition.yaml:2:1" in answer.stderr


def test_what_cannot_be_judged_ends_with_3(monkeypatch):
    from carknocker.cli import inputs
    from carknocker.judgement.model import CannotJudge

    def cannot(*_):
        raise CannotJudge("the proof failed")

    monkeypatch.setattr(inputs, "check", cannot)
    answer = invoke("check", CASES / BEFORE, "--as-of", DAY)
    assert answer.exit_code == 3
    assert "the proof failed" in answer.stderr
    assert answer.stdout == ""


def test_the_unexpected_ends_with_3_and_no_traceback(monkeypatch):
    from carknocker.cli import inputs

    def broken(*_):
        raise KeyError("a surprise")

    monkeypatch.setattr(inputs, "check", broken)
    answer = invoke("check", CASES / BEFORE, "--as-of", DAY)
    assert answer.exit_code == 3
    assert "KeyError: 'a surprise'" in answer.stderr
    assert "Traceback" not in answer.output


def test_the_day_is_today_if_none_is_given():
    from datetime import date

    answer = invoke("check", CASES / BEFORE, "--format", "json")
    assert json.loads(answer.stdout)["as_of"] == date.today().isoformat()
