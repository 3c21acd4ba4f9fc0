"""A pack: what goes in comes out the same anywhere, by the program's own editions where it has the same."""

import hashlib
import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from carknocker.cli.inputs import beside
from carknocker.documents import InputRefused
from carknocker.documents.zip_files import files_of, zip_of
from carknocker.dossier.pack import LIST, bytes_of, read_pack
from carknocker.rulebook.library import load_library

ENGINE = Path(__file__).resolve().parents[2] / "engine"
DAY = ("--as-of", "2026-10-08")


def run(*arguments: str | Path, at: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(ENGINE), "XDG_CACHE_HOME": str(at / "cache"), "HOME": str(at)}
    start = "from carknocker.cli.start import command; command()"
    command = [sys.executable, "-c", start, *map(str, arguments)]
    return subprocess.run(command, cwd=at, env=environment, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pack")
    made = run("pack", "wren-hollow/before", *DAY, "--output", "one.zip", at=folder)
    assert made.returncode == 1, made.stderr  # not ready, as `check` says
    return folder / "one.zip"


def changed(packed: Path, name: str, change: bytes, *, listed: bool) -> bytes:
    """The pack with something appended to a file; listed: with its list made to fit."""
    files = files_of(packed.read_bytes(), "one.zip", lambda _: True)
    files[name] += change
    if listed:
        said = json.loads(files[LIST])
        said["files"][name] = hashlib.sha256(files[name]).hexdigest()
        files[LIST] = json.dumps(said).encode()
    return zip_of(files)


def test_the_same_files_give_the_same_bytes_and_are_read_back(packed: Path) -> None:
    pack = read_pack(packed.read_bytes(), "one.zip")
    assert bytes_of(pack) == packed.read_bytes()
    names = zipfile.ZipFile(packed).namelist()
    assert names == sorted(names)
    assert {"car.yaml", "move.yaml", "dossier.json", LIST} <= set(names)
    assert "kestrel-and-northern 8" in pack.editions


def test_a_stranger_rechecks_it_without_anything_else(packed: Path, tmp_path: Path) -> None:
    (tmp_path / "got.zip").write_bytes(packed.read_bytes())
    answer = run("verify", "got.zip", at=tmp_path)
    assert answer.returncode == 0, answer.stdout + answer.stderr
    assert "IDENTICAL" in answer.stdout
    assert "kestrel-and-northern 8: the program has the same" in answer.stdout
    assert [one.name for one in tmp_path.iterdir() if one.name not in ("cache", "got.zip")] == []


def test_no_path_of_the_maker_is_in_it(packed: Path) -> None:
    for name, content in files_of(packed.read_bytes(), "one.zip", lambda _: True).items():
        assert b"wren-hollow/" not in content, name
        assert str(packed.parent).encode() not in content, name


def test_a_file_that_is_not_the_one_of_the_list_is_refused(packed: Path) -> None:
    with pytest.raises(InputRefused, match="is not the file"):
        read_pack(changed(packed, "car.yaml", b"# x\n", listed=False), "one.zip")


def test_a_changed_record_differs_though_its_list_fits(packed: Path, tmp_path: Path) -> None:
    (tmp_path / "got.zip").write_bytes(changed(packed, "car.yaml", b"# x\n", listed=True))
    answer = run("verify", "got.zip", at=tmp_path)
    assert answer.returncode == 1
    assert "DIFFERS" in answer.stdout


def test_law_that_is_not_the_programs_own_is_never_called_identical(packed: Path, tmp_path: Path) -> None:
    """A pack may bring a law of the same name that asks for less: its list can fit, its answer can't be `identical`."""
    name = "rulesets/us-federal/2020/edition.yaml"
    (tmp_path / "got.zip").write_bytes(changed(packed, name, b"# x\n", listed=True))
    answer = run("verify", "got.zip", at=tmp_path)
    assert answer.returncode == 2
    assert "which is not the one that the pack's list names" in answer.stderr


def test_another_law_of_the_same_name_is_told_and_never_called_identical(packed: Path, tmp_path: Path) -> None:
    files = files_of(packed.read_bytes(), "one.zip", lambda _: True)
    files["rulesets/us-federal/2020/edition.yaml"] += b"# a word more\n"
    for name, content in files.items():
        (tmp_path / "rules" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "rules" / name).write_bytes(content)
    library = load_library([tmp_path / "rules" / "rulesets"])
    said = json.loads(files[LIST])
    for heads in library.heads.values():
        said["editions"].update({str(head): library.edition(head.ruleset, head.name).digest for head in heads})
    said["files"] = {name: hashlib.sha256(one).hexdigest() for name, one in files.items() if name != LIST}
    files[LIST] = json.dumps(said).encode()
    (tmp_path / "got.zip").write_bytes(zip_of(files))
    answer = run("verify", "got.zip", at=tmp_path)
    assert answer.returncode == 1
    assert "NOT BY THE PROGRAM'S RULES" in answer.stdout
    assert "another us-federal 2020 than the program has" in " ".join(answer.stdout.split())


def test_a_pack_has_its_own_car(packed: Path, tmp_path: Path) -> None:
    answer = run("verify", packed, "wren-hollow/before", at=tmp_path)
    assert answer.returncode == 2
    assert "expected: the pack alone, which has its own" in answer.stderr


def test_a_zip_that_is_no_pack_is_refused(tmp_path: Path) -> None:
    (tmp_path / "got.zip").write_bytes(zip_of({"car.yaml": b"x: 1\n"}))
    answer = run("verify", "got.zip", at=tmp_path)
    assert answer.returncode == 2
    assert "list" in answer.stderr
    assert "Traceback" not in answer.stderr


def test_rulesets_beside_and_above_a_car_are_found(tmp_path: Path) -> None:
    car = tmp_path / "cars" / "one"
    (car / "rulesets").mkdir(parents=True)
    (tmp_path / "cars" / "rulesets").mkdir()
    (tmp_path / "rulesets").mkdir()
    assert beside(car) == (car / "rulesets", tmp_path / "cars" / "rulesets")
    assert beside(car / "car.yaml") == (car / "rulesets", tmp_path / "cars" / "rulesets")
