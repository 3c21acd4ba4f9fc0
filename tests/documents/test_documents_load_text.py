"""Files are read no further than a document may be long, whatever they say of their own size."""

import io
import os
from pathlib import Path
from typing import Any

import pytest

from carknocker.documents import ProblemList, load_text, read_within
from carknocker.documents.document_reader import MOST_BYTES


def found_in(path: Path) -> list[str]:
    problems = ProblemList()
    assert load_text(path, problems) is None
    return [problem.found for problem in problems.problems]


def test_no_more_is_read_than_may_be(tmp_path: Path) -> None:
    file = tmp_path / "f.yaml"
    file.write_bytes(b"12345")
    assert read_within(file, 5) == b"12345"
    assert read_within(file, 4) is None
    assert read_within(Path("/proc/self/status"), 4) is None
    assert b"Name:" in (read_within(Path("/proc/self/status"), 100_000) or b"")


def test_of_a_file_that_grows_no_more_is_read_than_may_be(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []

    class Endless(io.RawIOBase):
        def readable(self) -> bool:
            return True

        def fileno(self) -> int:
            return empty

        def read(self, size: int = -1) -> bytes:
            asked.append(size)
            assert size >= 0
            return b" " * size

    def endless(*_: Any) -> Endless:
        return Endless()

    file = tmp_path / "f.yaml"
    file.write_bytes(b"")
    empty = os.open(file, os.O_RDONLY)
    try:
        monkeypatch.setattr(Path, "open", endless)
        assert found_in(file) == [f"a file of more than {MOST_BYTES:,} bytes"]
    finally:
        os.close(empty)
    assert asked == [MOST_BYTES + 1]


def test_a_file_larger_than_any_document_is_not_read(tmp_path: Path) -> None:
    file = tmp_path / "f.yaml"
    file.touch()
    os.truncate(file, 1 << 40)
    assert found_in(file) == ["a file of 1,099,511,627,776 bytes"]
    os.truncate(file, MOST_BYTES)
    problems = ProblemList()
    assert len(load_text(file, problems) or "") == MOST_BYTES
