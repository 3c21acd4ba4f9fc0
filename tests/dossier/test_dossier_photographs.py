"""What a dossier says of photographs: one that is missing or was changed is said, and makes nothing better."""

import hashlib
import json
import shutil
from datetime import date
from pathlib import Path

import pytest
from photograph_samples import photograph

from carknocker.cli.inputs import check_car
from carknocker.documents.pictures import reduced_copy
from carknocker.dossier.first_page import first_page_of
from carknocker.dossier.json_form import json_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex

CASE = Path(__file__).parent.parent.parent / "cases" / "wren-hollow" / "before"
DAY = date(2026, 10, 8)
FILE = "wheel-L1.jpg"
COPY = reduced_copy(photograph(), FILE)
DIGEST = hashlib.sha256(COPY).hexdigest()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The demo car with one photograph of the flange of wheel L1."""
    car = tmp_path / "car"
    shutil.copytree(CASE, car)
    record = car / "car.yaml"
    text = record.read_text(encoding="utf-8")
    entry = (
        f"photographs:\n  - {{file: {FILE}, of: wheel L1, reading: flange_thickness, on: 2026-09-12, by: RE, "
        f"sha256: {DIGEST}, original_sha256: {'b' * 64}}}\n"
    )
    record.write_text(f"{text}\n{entry}", encoding="utf-8")
    (car / "photographs").mkdir()
    (car / "photographs" / FILE).write_bytes(COPY)
    return car


def checked(folder: Path, day: date = DAY) -> CheckAnswer:
    return check_car(folder, None, None, day)


def said(answer: CheckAnswer) -> list[str]:
    return [one.words for one in first_page_of(JudgementIndex(answer.judgement)) if one.sort == "photograph"]


def states(answer: CheckAnswer) -> list[tuple[str, str]]:
    return [(one["file"], one["state"]) for one in json.loads(json_of([answer]))["photographs"]]


def test_one_that_is_there_is_told_by_the_reading_that_it_confirms(folder: Path) -> None:
    answer = checked(folder)
    assert states(answer) == [(FILE, "on hand")]
    assert said(answer) == [
        "Sure by photograph: flange thickness of wheel L1 1-1/8 in (wheel-L1.jpg, 2026-09-12, RE (owner's helper))"
    ]


def test_one_that_is_missing_is_said(folder: Path) -> None:
    (folder / "photographs" / FILE).unlink()
    answer = checked(folder)
    assert states(answer) == [(FILE, "missing")]
    [words] = said(answer)
    assert words.startswith("Not in the folder `photographs` any more: wheel-L1.jpg of wheel L1 (line ")


def test_one_that_was_changed_is_said(folder: Path) -> None:
    (folder / "photographs" / FILE).write_bytes(COPY + b"\0")
    answer = checked(folder)
    assert states(answer) == [(FILE, "changed")]
    [words] = said(answer)
    assert words.startswith("Photographs changed since they were put on record: wheel-L1.jpg of wheel L1 (line ")


def test_a_link_is_not_followed(folder: Path, tmp_path: Path) -> None:
    own = folder / "photographs" / FILE
    elsewhere = tmp_path / "elsewhere.jpg"
    own.rename(elsewhere)
    own.symlink_to(elsewhere)
    assert states(checked(folder)) == [(FILE, "missing")]


def test_a_folder_that_is_a_link_is_not_followed(folder: Path, tmp_path: Path) -> None:
    (folder / "photographs").rename(tmp_path / "elsewhere")
    (folder / "photographs").symlink_to(tmp_path / "elsewhere")
    assert states(checked(folder)) == [(FILE, "missing")]


def test_what_was_not_yet_taken_is_not_told(folder: Path) -> None:
    assert states(checked(folder, date(2026, 9, 11))) == []
    assert states(checked(folder, date(2026, 9, 12))) == [(FILE, "on hand")]


def test_nothing_is_better_without_it(folder: Path) -> None:
    def verdicts(answer: CheckAnswer) -> list[tuple[str, str, str]]:
        return [(one.criterion.id, one.part.key, one.verdict) for one in answer.judgement.findings]

    there = checked(folder)
    (folder / "photographs" / FILE).unlink()
    gone = checked(folder)
    assert there.outcome == gone.outcome
    assert verdicts(there) == verdicts(gone)
