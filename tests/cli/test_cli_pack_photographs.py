"""`pack` and `verify` of a car with photographs: reduced copies go along, originals only if asked for."""

import hashlib
import json
import re
import shutil

import pytest
from command_line import CASES, invoke
from photograph_samples import photograph, with_position

from carknocker.documents.zip_files import files_of, zip_of

DAY = ("--as-of", "2026-10-08")
COPY = "photographs/wheel-R5-2026-09-12.jpg"
ORIGINAL = "photographs/originals/wheel-R5-2026-09-12.jpg"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The demo car with a photograph of one wheel."""
    folder = tmp_path_factory.mktemp("pack-photographs")
    shutil.copytree(CASES / "wren-hollow" / "before", folder / "car")
    (folder / "shot.jpg").write_bytes(with_position(width=1200, height=900))
    answer = invoke("photograph", folder / "car", folder / "shot.jpg", "--of", "wheel R5", "--on", "2026-09-12", "--by",
                    "RE", "--reading", "flange_thickness", "--yes")  # fmt: skip
    assert answer.exit_code == 0, answer.output
    for name, more in (("one.zip", ()), ("all.zip", ("--originals",))):
        answer = invoke("pack", folder / "car", *DAY, "--output", folder / name, *more)
        assert answer.exit_code == 1, answer.output
    return folder


@pytest.fixture
def folder(made, tmp_path):
    """A copy of it."""
    return shutil.copytree(made, tmp_path, dirs_exist_ok=True)


def members(file):
    return files_of(file.read_bytes(), "one.zip", lambda _: True)


def changed(file, name, content):
    """The pack with one file written anew, taken out (None) or put in, and its list made to fit."""
    files = members(file)
    said = json.loads(files["pack.json"])
    if content is None:
        del files[name], said["files"][name]
    else:
        files[name] = content
        said["files"][name] = hashlib.sha256(content).hexdigest()
    files["pack.json"] = json.dumps(said).encode()
    file.write_bytes(zip_of(files))
    return invoke("verify", file)


def test_the_reduced_copy_goes_along_and_the_original_does_not(folder):
    held = members(folder / "one.zip")
    assert [name for name in held if name.startswith("photographs/")] == [COPY]
    assert held[COPY] == (folder / "car" / COPY).read_bytes()
    assert not [name for name, content in held.items() if b"Secretmaker" in content]


def test_originals_go_along_if_they_are_asked_for(folder):
    held = members(folder / "all.zip")
    assert sorted(name for name in held if name.startswith("photographs/")) == [ORIGINAL, COPY]
    assert held[ORIGINAL] == (folder / "shot.jpg").read_bytes()


@pytest.mark.parametrize("name", ["one.zip", "all.zip"])
def test_a_stranger_finds_the_same(folder, name):
    shutil.rmtree(folder / "car")
    answer = invoke("verify", folder / name)
    assert answer.exit_code == 0, answer.output
    assert "IDENTICAL" in answer.stdout


@pytest.mark.parametrize("content", [None, photograph(), b"no photograph"])
def test_a_photograph_that_was_taken_out_or_changed_differs(folder, content):
    answer = changed(folder / "one.zip", COPY, content)
    assert answer.exit_code == 1, answer.output
    assert "photographs" in answer.stdout


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("photographs/more.jpg", "which the record does not name"),
        ("photographs/originals/more.jpg", "which is the original of no photograph on record"),
        ("photographs/originals/more.exe", "which no pack has"),
        ("photographs/a/b.jpg", "which no pack has"),
        ("photographs/more.svg", "which no pack has"),
    ],
)
def test_what_the_record_does_not_name_is_refused(folder, name, words):
    answer = changed(folder / "one.zip", name, photograph())
    assert answer.exit_code == 2
    assert words in re.sub(r"\s*\n[ │|]*", " ", answer.stderr)


def test_one_that_is_missing_when_it_is_packed_is_said_by_both(folder):
    (folder / "car" / COPY).unlink()
    assert invoke("pack", folder / "car", *DAY, "--output", folder / "two.zip").exit_code == 1
    assert COPY not in members(folder / "two.zip")
    assert json.loads(members(folder / "two.zip")["dossier.json"])["photographs"][0]["state"] == "missing"
    assert invoke("verify", folder / "two.zip").exit_code == 0


def test_a_dossier_is_no_longer_true_when_a_photograph_is_gone(folder):
    invoke("check", folder / "car", *DAY, "--format", "json", "--output", folder / "d.json")
    assert invoke("verify", folder / "d.json", folder / "car").exit_code == 0
    (folder / "car" / COPY).unlink()
    assert invoke("verify", folder / "d.json", folder / "car").exit_code == 1
