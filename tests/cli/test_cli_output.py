"""Files are written whole or not at all; signs that an encoding lacks become plainer ones."""

import os
import stat

import pytest

from carknocker.cli.output import OutputRefused, encoded, write_whole


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
    with pytest.raises(OutputRefused, match="No space left"):
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
    assert encoded("a\udcffb", "utf-8") == b"a?b"
