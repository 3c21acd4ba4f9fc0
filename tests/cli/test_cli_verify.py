"""`carknocker verify`: 0 identical, 1 it differs, 2 the input, wherever the files lie now."""

import json
import shutil

import pytest
from command_line import CASES, invoke

BEFORE = CASES / "wren-hollow" / "before"


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """The demo car in a folder of its own, with its dossier; for tests that change nothing in it."""
    folder = tmp_path_factory.mktemp("kept")
    shutil.copytree(BEFORE, folder / "car")
    made = invoke("check", folder / "car", "--as-of", "2026-10-08", "--format", "json", "-o", folder / "d.json")
    assert made.exit_code == 1
    return folder


@pytest.fixture
def folder(kept, tmp_path):
    """A copy of it."""
    return shutil.copytree(kept, tmp_path, dirs_exist_ok=True)


def verify(folder, *more, car="car"):
    return invoke("verify", folder / "d.json", folder / car / "car.yaml", folder / car / "move.yaml", *more)


def test_the_same_files_are_identical(kept):
    answer = verify(kept)
    assert answer.exit_code == 0
    assert "IDENTICAL" in answer.stdout


def test_the_day_is_that_of_the_dossier(kept):
    assert json.loads((kept / "d.json").read_text(encoding="utf-8"))["as_of"] == "2026-10-08"
    assert "judged as of  2026-10-08" in verify(kept).stdout


def test_the_files_may_lie_elsewhere_by_now(folder):
    shutil.move(folder / "car", folder / "elsewhere")
    answer = verify(folder, car="elsewhere")
    assert answer.exit_code == 0, answer.stdout


def test_a_folder_stands_for_its_car_and_its_move(kept):
    assert invoke("verify", kept / "d.json", kept / "car", kept / "car").exit_code == 0
    assert invoke("verify", kept / "d.json", kept / "car").exit_code == 0


def test_a_changed_record_differs_and_its_digest_is_told(folder):
    file = folder / "car" / "car.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("takes_at: 7/8 in", "does_not_take_at: 7/8 in", 1), encoding="utf-8")
    answer = verify(folder)
    assert answer.exit_code == 1
    assert "the car record" in answer.stdout
    assert "Wheel R5: flange 7/8 in or thinner; must be over 7/8 in" in answer.stdout


def test_a_comment_changes_the_digest_alone(folder):
    file = folder / "car" / "car.yaml"
    file.write_text(file.read_text(encoding="utf-8") + "# a word more\n", encoding="utf-8")
    answer = verify(folder, "--format", "json")
    assert answer.exit_code == 1
    form = json.loads(answer.stdout)
    assert form["format"] == "carknocker-verify/1"
    assert [change["name"] for change in form["digests"]] == ["the car record"]
    assert form["findings"] == []
    assert form["outcome"] == ["not ready", "not ready"]


@pytest.mark.parametrize("form", ["text", "markdown", "html", "json"])
def test_every_form(kept, form):
    answer = verify(kept, "--format", form)
    assert answer.exit_code == 0
    assert "2026-10-08" in answer.stdout


def test_of_several_dossiers_that_of_the_car_is_taken(folder):
    made = invoke(
        "check",
        BEFORE,
        CASES / "nothing-measured",
        "--as-of",
        "2026-10-08",
        "--format",
        "json",
        "-o",
        folder / "d.json",
    )
    assert made.exit_code == 1
    assert invoke("verify", folder / "d.json", BEFORE, BEFORE).exit_code == 0
    other = CASES / "larkspur" / "freight"
    refused = invoke("verify", folder / "d.json", other, other)
    assert refused.exit_code == 2
    assert "0 of them" in refused.stderr


@pytest.mark.parametrize("cut", [0, 1000])
def test_a_cut_dossier_is_refused(folder, cut):
    file = folder / "d.json"
    file.write_bytes(file.read_bytes()[:cut])
    answer = verify(folder)
    assert answer.exit_code == 2
    assert "d.json" in answer.stderr
    assert "Traceback" not in answer.stderr


def test_what_is_not_there_is_refused(kept):
    assert invoke("verify", kept / "none.json", kept / "car", kept / "car").exit_code == 2
    assert invoke("verify", kept, kept / "car", kept / "car").exit_code == 2
    assert invoke("verify", kept / "d.json", kept / "none", kept / "car").exit_code == 2
