"""Files are written whole or not at all; signs that an encoding lacks become plainer ones."""

import io
import os
import stat
import tempfile

import pytest

from carknocker.cli.options import Format
from carknocker.cli.output import OutputRefused, encoded, write_answer, write_bytes, write_whole, write_with_backups
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


def of_two(folder):
    """A record, a move, and how they are to be written anew with what goes with them."""
    files = [folder / "car.yaml", folder / "move.yaml"]
    for file in files:
        file.write_text(f"earlier {file.name}\n", encoding="utf-8")
        file.chmod(0o640)
    texts = {file: (f"now {file.name}\n", file.with_name(f"{file.name}.bak")) for file in files}
    return texts, {folder / "held.yaml": b"held\n"}


def what_lies_in(folder):
    return {one.name: one.read_text(encoding="utf-8") for one in folder.iterdir()}


def test_files_that_belong_together_are_written_with_their_backups(tmp_path):
    write_with_backups(*of_two(tmp_path))
    assert what_lies_in(tmp_path) == {
        "car.yaml": "now car.yaml\n", "move.yaml": "now move.yaml\n", "held.yaml": "held\n",
        "car.yaml.bak": "earlier car.yaml\n", "move.yaml.bak": "earlier move.yaml\n",
    }  # fmt: skip
    assert {stat.S_IMODE(one.stat().st_mode) for one in tmp_path.glob("*.bak")} == {0o640}


@pytest.mark.parametrize("name", ["car.yaml", "move.yaml", "held.yaml", "car.yaml.bak", "move.yaml.bak"])
@pytest.mark.parametrize("step", ["mkstemp", "replace"])
def test_of_files_that_belong_together_none_is_written_where_one_can_not_be(tmp_path, monkeypatch, name, step):
    texts, also = of_two(tmp_path)
    before = what_lies_in(tmp_path)
    room, of = (os, "replace") if step == "replace" else (tempfile, "mkstemp")
    done, failed = getattr(room, of), []

    def full(*given, **said):
        if not failed and (os.path.basename(given[-1]) if given else said["prefix"][1:-1]) == name:
            failed.append(name)
            raise OSError(28, "No space left on device")
        return done(*given, **said)

    monkeypatch.setattr(room, of, full)
    with pytest.raises(
        OutputRefused, match=f"{name} can't be written: no space is left on the disk. Nothing was changed"
    ):
        write_with_backups(texts, also)
    assert failed
    assert what_lies_in(tmp_path) == before


def test_what_can_not_be_put_back_is_named(tmp_path, monkeypatch):
    texts, also = of_two(tmp_path)
    done = os.replace

    def full_from_the_move_on(name, target):
        if target.name == "move.yaml" or full:
            full.append(target.name)
            raise OSError(28, "No space left on device")
        done(name, target)

    full = []
    monkeypatch.setattr(os, "replace", full_from_the_move_on)
    with pytest.raises(OutputRefused, match=r"move.yaml can't be written: .*car.yaml was written all the same"):
        write_with_backups(texts, also)
    assert what_lies_in(tmp_path)["car.yaml"] == "now car.yaml\n"
    assert what_lies_in(tmp_path)["move.yaml"] == "earlier move.yaml\n"


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
