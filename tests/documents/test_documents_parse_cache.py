"""The cache of parsed files answers with what was put, or not at all."""

import hashlib
import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from carknocker.documents import parse_cache
from carknocker.documents.parse_cache import MOST_ENTRIES, ParseCache, cache_key, source_digest

PACKAGE = Path(parse_cache.__file__).parent.parent


class Parsed(msgspec.Struct, frozen=True):
    name: str
    folder: Path
    limits: tuple[int, ...] = ()


VALUE = Parsed("flange", Path("law/1"), (7, 8))
OTHER = Parsed("tread", Path("law/2"))
KEY, OTHER_KEY = cache_key("a"), cache_key("b")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A cache with one entry."""
    folder = tmp_path / "carknocker"
    ParseCache(folder).put(KEY, VALUE)
    assert ParseCache(folder).get(KEY, Parsed) == VALUE
    return folder


def test_an_entry_comes_back_in_its_type(folder: Path) -> None:
    found = ParseCache(folder).get(KEY, Parsed)
    assert found == VALUE
    assert found is not None
    assert isinstance(found.folder, Path)
    assert ParseCache(folder).get(OTHER_KEY, Parsed) is None
    assert ParseCache(folder / "none").get(KEY, Parsed) is None
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert stat.S_IMODE((folder / KEY).stat().st_mode) == 0o600


def test_no_bit_of_an_entry_can_turn(folder: Path) -> None:
    entry = folder / KEY
    content = entry.read_bytes()
    for place in range(8 * len(content)):
        turned = bytearray(content)
        turned[place // 8] ^= 1 << place % 8
        entry.write_bytes(turned)
        assert ParseCache(folder).get(KEY, Parsed) is None, place
    for length in range(len(content)):
        entry.write_bytes(content[:length])
        assert ParseCache(folder).get(KEY, Parsed) is None, length
    entry.write_bytes(content + b"\0")
    assert ParseCache(folder).get(KEY, Parsed) is None
    ParseCache(folder).put(KEY, VALUE)
    assert ParseCache(folder).get(KEY, Parsed) == VALUE


def test_one_entry_does_not_stand_for_another(folder: Path) -> None:
    cache = ParseCache(folder)
    cache.put(OTHER_KEY, OTHER)
    first, second = folder / KEY, folder / OTHER_KEY
    first.rename(folder / "x")
    second.rename(first)
    (folder / "x").rename(second)
    assert cache.get(KEY, Parsed) is None
    assert cache.get(OTHER_KEY, Parsed) is None


def test_a_planted_file_does_not_serve(folder: Path) -> None:
    payload = msgspec.msgpack.encode(OTHER, enc_hook=str)
    for content in (b"", payload, hashlib.sha256(payload).digest() + payload, bytes(32) + payload, bytes(10**6)):
        (folder / KEY).write_bytes(content)
        assert ParseCache(folder).get(KEY, Parsed) is None


def test_an_entry_of_another_type_does_not_serve(folder: Path) -> None:
    ParseCache(folder).put(KEY, ["no", "structure"])
    assert ParseCache(folder).get(KEY, Parsed) is None


def replace_with_link(entry: Path, target: Path) -> None:
    entry.unlink()
    entry.symlink_to(target)


def test_a_link_is_not_followed_and_is_replaced(folder: Path, tmp_path: Path) -> None:
    entry, elsewhere = folder / KEY, tmp_path / "elsewhere"
    shutil.copy(entry, elsewhere)
    before = elsewhere.read_bytes()
    for target in (elsewhere, Path("/dev/zero"), tmp_path / "nothing"):
        replace_with_link(entry, target)
        assert ParseCache(folder).get(KEY, Parsed) is None
        ParseCache(folder).put(KEY, VALUE)
        assert not entry.is_symlink()
        assert ParseCache(folder).get(KEY, Parsed) == VALUE
    assert elsewhere.read_bytes() == before


def test_a_pipe_does_not_hold_the_start_up(folder: Path) -> None:
    entry = folder / KEY
    entry.unlink()
    os.mkfifo(entry)
    program = (
        "import sys; from pathlib import Path; from carknocker.documents.parse_cache import ParseCache\n"
        "print(ParseCache(Path(sys.argv[1])).get(sys.argv[2], dict))"
    )
    answer = subprocess.run(
        [sys.executable, "-c", program, str(folder), KEY], capture_output=True, text=True, timeout=60, check=True
    )
    assert answer.stdout == "None\n"
    ParseCache(folder).put(KEY, VALUE)
    assert ParseCache(folder).get(KEY, Parsed) == VALUE


def test_a_folder_in_place_of_an_entry_is_left_alone(folder: Path) -> None:
    (folder / KEY).unlink()
    (folder / KEY).mkdir()
    assert ParseCache(folder).get(KEY, Parsed) is None
    ParseCache(folder).put(KEY, VALUE)
    assert [entry.name for entry in folder.iterdir()] == [KEY]


@pytest.mark.parametrize("mode", [0o620, 0o602, 0o666, 0o777])
def test_an_entry_that_others_can_write_does_not_serve(folder: Path, mode: int) -> None:
    (folder / KEY).chmod(mode)
    assert ParseCache(folder).get(KEY, Parsed) is None
    ParseCache(folder).put(KEY, VALUE)
    assert ParseCache(folder).get(KEY, Parsed) == VALUE


@pytest.mark.parametrize("mode", [0o770, 0o702, 0o777])
def test_a_folder_that_others_can_write_is_not_used(folder: Path, mode: int) -> None:
    folder.chmod(mode)
    assert ParseCache(folder).get(KEY, Parsed) is None
    ParseCache(folder).put(OTHER_KEY, OTHER)
    assert [entry.name for entry in folder.iterdir()] == [KEY]
    folder.chmod(0o755)
    assert ParseCache(folder).get(KEY, Parsed) == VALUE


def test_what_belongs_to_another_user_is_not_used(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    another = os.geteuid() + 1
    monkeypatch.setattr(os, "geteuid", lambda: another)
    assert ParseCache(folder).get(KEY, Parsed) is None
    ParseCache(folder).put(OTHER_KEY, OTHER)
    assert [entry.name for entry in folder.iterdir()] == [KEY]


def test_an_entry_of_another_user_is_not_used(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fstat = os.fstat

    def given_away(handle: int) -> os.stat_result:
        status = list(fstat(handle))
        status[stat.ST_UID] += 1
        return os.stat_result(status)

    monkeypatch.setattr(os, "fstat", given_away)
    assert ParseCache(folder).get(KEY, Parsed) is None


def test_a_link_to_a_folder_is_not_used(folder: Path, tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(folder)
    assert ParseCache(link).get(KEY, Parsed) is None
    ParseCache(link).put(OTHER_KEY, OTHER)
    assert [entry.name for entry in folder.iterdir()] == [KEY]


def test_what_can_not_be_a_folder_costs_nothing(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("x")
    for folder in (file, file / "below", Path("\0"), tmp_path / ("x" * 300)):
        ParseCache(folder).put(KEY, VALUE)
        assert ParseCache(folder).get(KEY, Parsed) is None
    assert file.read_text() == "x"


def test_an_entry_that_is_too_large_is_not_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    size = (folder / KEY).stat().st_size
    monkeypatch.setattr(parse_cache, "MOST_BYTES", size)
    assert ParseCache(folder).get(KEY, Parsed) == VALUE
    monkeypatch.setattr(parse_cache, "MOST_BYTES", size - 1)
    assert ParseCache(folder).get(KEY, Parsed) is None
    monkeypatch.undo()
    os.truncate(folder / KEY, 1 << 40)
    assert ParseCache(folder).get(KEY, Parsed) is None


def test_only_the_oldest_entries_go(folder: Path) -> None:
    for name in ("notes.txt", "new", KEY[:-1]):
        (folder / name).write_text("of the user")
        os.utime(folder / name, (0, 0))
    os.utime(folder / KEY, (0, 0))
    keys = [cache_key(str(number)) for number in range(MOST_ENTRIES)]
    for key in keys:
        ParseCache(folder).put(key, OTHER)
    assert {entry.name for entry in folder.iterdir()} == {*keys, "notes.txt", "new", KEY[:-1]}


def test_a_key_is_of_its_texts_alone() -> None:
    keys = [cache_key(*texts) for texts in ((), ("",), ("", ""), ("ab",), ("a", "b"), ("b", "a"), ("\ud800",))]
    assert len(set(keys)) == len(keys)
    assert cache_key("ab") == cache_key("ab")


@pytest.fixture
def package(tmp_path: Path) -> Path:
    """The sources of the rooms whose modules take part in parsing."""
    shutil.copytree(PACKAGE, tmp_path / "package", ignore=shutil.ignore_patterns("*.pyc", "__pycache__"))
    return tmp_path / "package"


def fresh_digest(package: Path) -> bytes:
    source_digest.cache_clear()
    return source_digest(package)


def test_a_changed_reader_has_other_keys(package: Path) -> None:
    before = fresh_digest(package)
    assert before == fresh_digest(PACKAGE)
    for name in ("rulebook/clause_reader.py", "vocabulary/reader.py", "record/values.py", "rulebook/model.py"):
        module = package / name
        content, times = module.read_bytes(), module.stat()
        module.write_bytes(content.replace(b"a", b"b", 1))  # of the same size, and as old as it was
        os.utime(module, ns=(times.st_atime_ns, times.st_mtime_ns))
        assert fresh_digest(package) != before, name
        module.write_bytes(content)
    (package / "documents" / "new.py").touch()
    assert fresh_digest(package) != before
    (package / "documents" / "new.py").unlink()
    assert fresh_digest(package) == before


def test_without_sources_nothing_is_cached(package: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (package / "quantities").glob("*.py"):
        module.unlink()
    assert fresh_digest(package) == b""
    monkeypatch.setattr(parse_cache, "_PACKAGE", package)
    assert cache_key("a") == ""
    ParseCache(folder).put("", VALUE)
    assert ParseCache(folder).get("", Parsed) is None
    assert [entry.name for entry in folder.iterdir()] == [KEY]


def test_every_module_that_takes_part_in_parsing_is_in_the_key() -> None:
    program = (
        "import sys, carknocker.rulebook.edition_reader, carknocker.rulebook.head_reader\n"
        "import carknocker.vocabulary.reader\n"
        "print(*sorted(name for name in sys.modules if name.startswith('carknocker.')))"
    )
    answer = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=True)
    rooms = {name.split(".")[1] for name in answer.stdout.split()}
    assert rooms <= set(parse_cache._READER_ROOMS)
