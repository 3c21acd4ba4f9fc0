"""The starter record reads back, can be judged, guesses nothing, and is written whole or not at all."""

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.cli.starter_files import write_starter
from carknocker.documents import InputRefused
from carknocker.judgement.answer import check
from carknocker.questions.new.ask import starter_record
from carknocker.record import read_car, read_car_text, read_move, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

OUT, BACK = date(2030, 6, 1), date(2030, 6, 9)


def _without_marks(text: str) -> str:
    """The starter with its examples taken in."""
    return "\n".join(row[2:] if row.startswith("# ") else row for row in text.splitlines()) + "\n"


@given(st.text(max_size=30), st.text(max_size=30), st.text(max_size=30))
def test_any_name_reads_back(mark: str, name: str, host: str) -> None:
    car, move = starter_record(mark=mark, name=name, out=OUT, back=BACK, host=host)
    record = read_car_text(car.text, car.name)
    planned = read_move_text(move.text, move.name)
    assert record.mark == (_printable(mark) or "mark and number")
    assert record.name == (_printable(name) or "name of the car")
    assert planned.host == (_printable(host) or "to be named")
    assert planned.circular == bool(_printable(host))
    assert (planned.out, planned.back) == (OUT, BACK)


def _printable(text: str) -> str:
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())


def test_the_starter_says_nothing_that_was_not_given() -> None:
    car, move = starter_record(mark="TSTX 1", name="Sample", out=OUT, back=BACK)
    record = read_car_text(car.text, car.name)
    assert {(one.part, one.attribute) for one in record.evidence} == {
        ("truck B", "truck_kind"), ("truck A", "truck_kind"),
    }  # fmt: skip
    written = (record.work, record.spares, record.leaves, record.people, record.gauges, record.moves_made)
    assert not any(written)
    assert not read_move_text(move.text, move.name).facts


def test_the_starter_can_be_judged_and_everything_is_not_shown() -> None:
    car, move = starter_record(mark="TSTX 1", name="Sample", out=OUT, back=BACK)
    found = check(
        read_car_text(car.text, car.name), read_move_text(move.text, move.name), load_library(rulesets_folders()),
        date(2030, 5, 1),
    )  # fmt: skip
    assert found.outcome == "not ready"
    assert {refusal.finding.verdict for refusal in found.judgement.refusals if refusal.finding} == {"not shown"}


def test_its_examples_are_a_valid_record_and_move() -> None:
    car, move = starter_record(mark="TSTX 1", name="Sample", out=OUT, back=BACK)
    record = read_car_text(_without_marks(car.text), car.name)
    assert record.people
    assert record.work
    assert record.spares
    assert record.leaves
    assert {part.key for part in record.parts} >= {"wheelset W-9", "air hose 1", "hand brake B"}
    assert len(read_move_text(_without_marks(move.text), move.name).legs) == 2


def test_written_whole_and_read_back(tmp_path: Path) -> None:
    files = starter_record(mark="TSTX 1", name="Sample", out=OUT, back=BACK)
    folder = tmp_path / "new" / "car"
    assert write_starter(folder, files) == (folder / "car.yaml", folder / "move.yaml")
    assert read_car(folder / "car.yaml").mark == "TSTX 1"
    assert read_move(folder / "move.yaml").out == OUT
    assert sorted(path.name for path in folder.iterdir()) == ["car.yaml", "move.yaml"]


def test_a_file_that_is_there_is_left_alone_and_nothing_is_written(tmp_path: Path) -> None:
    (tmp_path / "move.yaml").write_text("mine", encoding="utf-8")
    with pytest.raises(InputRefused, match="there already"):
        write_starter(tmp_path, starter_record(mark="", name="", out=OUT, back=BACK))
    assert [(path.name, path.read_text(encoding="utf-8")) for path in tmp_path.iterdir()] == [("move.yaml", "mine")]


def test_a_folder_that_can_not_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(InputRefused, match="can't be written"):
        write_starter(tmp_path / "file" / "car", starter_record(mark="", name="", out=OUT, back=BACK))
