"""`carknocker photograph`: shows what it writes, keeps copy and original, and writes nothing by halves."""

import hashlib
import io
import re
from pathlib import Path

import pytest
from command_line import invoke
from photograph_samples import photograph, with_position
from PIL import Image

from carknocker.record import read_car_text

CAR = """\
# an invented car
format: carknocker-car/1
car: {mark: QWHX 3, name: Tern, built_on: 1927}   # kept as it is
people:
  RE: {role: owner}
trucks:
  B: {truck_kind: two-axle, axles: {1: W-1, 2: W-2}}
  A: {truck_kind: two-axle, axles: {3: W-3, 4: W-4}}
wheelsets: {W-1: {axle_class: D}, W-2: {axle_class: D}, W-3: {axle_class: D}, W-4: {axle_class: D}}
sheets:
  - on: 2026-05-10
    by: RE
    readings: {wheels: {L3: {flange_height: 1-3/16 in}}}
"""
SHOT = with_position(width=3000, height=2000)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "car").mkdir()
    (tmp_path / "car" / "car.yaml").write_text(CAR, encoding="utf-8")
    (tmp_path / "IMG_0412.jpg").write_bytes(SHOT)
    return tmp_path


def put(folder: Path, *more: str, of: str = "wheel L3", file: str = "IMG_0412.jpg", on: str = "2026-05-10",
        by: str = "RE", yes: bool = True):  # fmt: skip
    said = ["--of", of, "--on", on, "--by", by, *more, *(["--yes"] if yes else [])]
    return invoke("photograph", folder / "car", folder / file, *said)


def record(folder: Path) -> str:
    return (folder / "car" / "car.yaml").read_text(encoding="utf-8")


def files(folder: Path) -> list[str]:
    return sorted(str(one.relative_to(folder / "car")) for one in (folder / "car").rglob("*") if one.is_file())


def test_it_keeps_a_small_copy_the_original_and_writes_the_entry(folder: Path) -> None:
    answer = put(folder, "--reading", "flange_height")
    assert answer.exit_code == 0, answer.output
    text = record(folder)
    assert text.startswith(CAR)
    [one] = read_car_text(text, "car.yaml").photographs
    assert (one.file, one.of, one.reading) == ("wheel-L3-2026-05-10.jpg", ("wheel L3",), "flange_height")
    copy = (folder / "car" / "photographs" / one.file).read_bytes()
    original = (folder / "car" / "photographs" / "originals" / one.file).read_bytes()
    assert original == SHOT
    assert one.sha256 == hashlib.sha256(copy).hexdigest()
    assert one.original_sha256 == hashlib.sha256(SHOT).hexdigest()
    assert b"Secretmaker" in original
    assert b"Secret" not in copy
    assert Image.open(io.BytesIO(copy)).size == (1600, 1067)
    assert [name for name in files(folder) if name.endswith(".bak")] == re.findall(r"(\S+\.bak)", answer.stdout.replace(
        str(folder / "car") + "/", ""))  # fmt: skip


def test_without_yes_and_without_a_terminal_it_only_shows(folder: Path) -> None:
    answer = put(folder, yes=False)
    assert answer.exit_code == 1
    assert "  - file: wheel-L3-2026-05-10.jpg" in answer.stdout
    assert "Nothing was written: without a terminal add --yes" in answer.stdout
    assert record(folder) == CAR
    assert files(folder) == ["car.yaml"]


def test_a_second_one_gets_a_name_of_its_own(folder: Path) -> None:
    put(folder)
    (folder / "b.png").write_bytes(photograph(kind="PNG"))
    assert put(folder, file="b.png").exit_code == 0
    assert [one.file for one in read_car_text(record(folder), "c").photographs] == [
        "wheel-L3-2026-05-10.jpg", "wheel-L3-2026-05-10-2.jpg",
    ]  # fmt: skip
    assert "photographs/originals/wheel-L3-2026-05-10-2.png" in files(folder)


def test_the_same_one_is_taken_once_for_one_thing(folder: Path) -> None:
    put(folder)
    again = put(folder)
    assert again.exit_code == 2
    assert "on record already" in again.stderr
    assert put(folder, of="wheel R3").exit_code == 0


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"of": "wheel L9"}, "the wheel `wheel L9`, which the car has not got"),
        ({"by": "XX"}, "the person `XX`, which is not known"),
        ({"on": "2026-13-01"}, "2026-13-01"),
        ({"on": "2199-01-01"}, "a day after today"),
        ({"file": "nothing.jpg"}, "there is no such file"),
        ({"file": "picture.jpg"}, "no photograph, whatever its name says"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_written(folder: Path, said: dict[str, str], words: str) -> None:
    (folder / "picture.jpg").write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    answer = put(folder, **said)
    assert answer.exit_code == 2
    assert words in re.sub(r"\s*\n[ │|]*", " ", answer.stderr)
    assert "Traceback" not in answer.output
    assert record(folder) == CAR
    assert files(folder) == ["car.yaml"]


def test_a_folder_that_leads_elsewhere_is_not_written_to(folder: Path) -> None:
    (folder / "elsewhere").mkdir()
    (folder / "car" / "photographs").symlink_to(folder / "elsewhere")
    answer = put(folder)
    assert answer.exit_code == 2
    assert "no folder of the record's own" in answer.stderr
    assert record(folder) == CAR
    assert not list((folder / "elsewhere").iterdir())


def test_a_file_that_is_there_is_not_written_over(folder: Path) -> None:
    (folder / "car" / "photographs").mkdir()
    own = folder / "car" / "photographs" / "wheel-L3-2026-05-10.jpg"
    own.write_bytes(b"mine")
    answer = put(folder)
    assert answer.exit_code == 2
    assert own.read_bytes() == b"mine"
    assert record(folder) == CAR
