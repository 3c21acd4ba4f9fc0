"""Files are written whole or not at all; signs that an encoding lacks become plainer ones."""

import io
import os
import stat

import pytest

from carknocker.cli.options import Format
from carknocker.cli.output import OutputRefused, encoded, write_answer, write_bytes, write_whole
from carknocker.page.model import Page


def test_a_file_is_replaced_and_keeps_its_mode(tmp_path):
    target = tmp_path / "page"
    target.write_bytes(b"earlier")
    target.chmod(0o640)
    write_whole(target, b"now")
    assert target.read_bytes() == b"now"
    assert stat.S_IMODE(target.stat().st_mode) == 0o640
    assert list(tmp_path.iterdir()) == [target]


def test_a_write_that_fails_leaves_the_earlier_file(tmp_path, monkeypatch):
    target = tmp_path / "page"
    target.write_bytes(b"earlier")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(OutputRefused, match="no space is left on the disk"):
        write_whole(target, b"now")
    assert target.read_bytes() == b"earlier"
    assert list(tmp_path.iterdir()) == [target]


def test_a_link_stays_a_link(tmp_path):
    target, link = tmp_path / "page", tmp_path / "link"
    target.write_bytes(b"earlier")
    link.symlink_to(target)
    write_whole(link, b"now")
    assert link.is_symlink()
    assert target.read_bytes() == b"now"


@pytest.mark.parametrize(
    ("encoding", "expected"), [("ascii", b"W-1 -> L1-L3, 10 deg ?"), ("utf-8", "W-1 → L1–L3, 10° 列".encode())]
)
def test_signs_that_an_encoding_lacks_are_plainer(encoding, expected):
    assert encoded("W-1 → L1–L3, 10° 列", encoding) == expected


def test_half_a_sign_is_no_error():
    assert encoded("a\udcffb") == "a\ufffdb".encode()


class Stream(io.TextIOWrapper):
    """Standard output over bytes that are kept; a terminal or not."""

    def __init__(self, terminal: bool) -> None:
        super().__init__(io.BytesIO(), encoding="utf-8")
        self.terminal = terminal

    def isatty(self):
        return self.terminal


def test_a_pdf_is_not_written_to_a_terminal(monkeypatch):
    monkeypatch.setattr("sys.stdout", Stream(terminal=True))
    with pytest.raises(OutputRefused, match="--output FILE"):
        write_answer(Page("T", "V", "plain", ()), Format.PDF, None, json=str, page=lambda page: page)


def test_bytes_go_to_a_pipe_as_they_are(monkeypatch):
    stream = Stream(terminal=False)
    monkeypatch.setattr("sys.stdout", stream)
    write_bytes(b"%PDF\r\n\xff", None)
    assert stream.buffer.getvalue() == b"%PDF\r\n\xff"
