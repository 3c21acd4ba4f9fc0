"""Zip files: the same bytes each time, and every hostile one refused in plain words before anything is unpacked."""

import io
import stat
import struct
import zipfile
from collections.abc import Callable

import pytest

from carknocker.documents import InputRefused
from carknocker.documents.zip_files import MOST_MEMBERS, SMALL, files_of, zip_of

FILES = {"car.yaml": b"format: carknocker-car/1\n", "rulesets/law/1/edition.yaml": b"x: 1\n"}


def known(_: str) -> bool:
    return True


def made(*members: tuple[zipfile.ZipInfo | str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", method) as archive:
        for name, text in members:
            archive.writestr(name, text)
    return content.getvalue()


def refused(content: bytes, allowed: Callable[[str], bool] = known) -> str:
    with pytest.raises(InputRefused) as caught:
        files_of(content, "a.zip", allowed)
    (problem,) = caught.value.problems
    assert problem.remedy
    return problem.found


def with_mode(name: str, mode: int) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(name)
    member.create_system = 3
    member.external_attr = mode << 16
    return member


def test_what_is_written_is_read_and_is_the_same_each_time() -> None:
    assert zip_of(FILES) == zip_of(dict(reversed(FILES.items())))
    assert files_of(zip_of(FILES), "a.zip", known) == FILES
    assert files_of(zip_of({}), "a.zip", known) == {}


@pytest.mark.parametrize(
    "name",
    ["../car.yaml", "a/../../b", "/etc/passwd", "C:/x", "a\\b", "..", ".", "a//b", "./a", ".hidden", "a/.git/b", "nul",
     "con.yaml", "a./b", "a /b", "x" * 300, "caf\u00e9", "a\tb", "a\nb", "~/x:y"],
)  # fmt: skip
def test_a_name_outside_or_odd_is_refused(name: str) -> None:
    assert "a member named" in refused(made((name, b"x")))


def test_a_name_with_a_nul_is_refused() -> None:
    content = made(("car.yamlXrest", b"x")).replace(b"car.yamlXrest", b"car.yaml\0rest")
    assert "a member named" in refused(content)


def test_a_name_that_no_pack_has_is_refused() -> None:
    assert "which no pack has" in refused(zip_of(FILES), lambda name: name != "car.yaml")


@pytest.mark.parametrize(
    "mode", [stat.S_IFLNK | 0o777, stat.S_IFIFO | 0o644, stat.S_IFCHR | 0o644, stat.S_IFDIR | 0o755]
)
def test_links_and_devices_are_refused(mode: int) -> None:
    assert "a link or no ordinary file" in refused(made((with_mode("car.yaml", mode), b"/etc/passwd")))


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize(("one", "two"), [("car.yaml", "car.yaml"), ("car.yaml", "CAR.yaml")])
def test_a_name_twice_is_refused(one: str, two: str) -> None:
    assert "twice" in refused(made((one, b"x"), (two, b"y")))


def test_a_name_that_is_file_and_folder_is_refused() -> None:
    assert "as a file and as a folder" in refused(made(("a", b"x"), ("a/b", b"y")))


def test_a_bomb_is_refused_by_its_ratio_before_it_is_unpacked() -> None:
    assert "times its size" in refused(made(("car.yaml", b"0" * 50_000_000)))
    assert files_of(made(("car.yaml", b"0" * SMALL)), "a.zip", known)["car.yaml"] == b"0" * SMALL


def test_a_size_that_lies_is_refused() -> None:
    """The list says 10 bytes, the member unpacks to more."""
    content = made(("car.yaml", b"0123456789" * 20))
    real, false = struct.pack("<L", 200), struct.pack("<L", 10)
    assert content.count(real) == 2
    assert "damaged" in refused(content.replace(real, false))


def test_a_wrong_checksum_is_refused() -> None:
    content = made(("car.yaml", b"the record"), method=zipfile.ZIP_STORED)
    assert "damaged" in refused(content.replace(b"the record", b"the recird"))


def test_a_million_members_are_refused_by_the_last_bytes_alone() -> None:
    content = bytearray(zip_of(FILES))
    content[-12:-10] = content[-14:-12] = struct.pack("<H", MOST_MEMBERS + 1)
    assert "more members than any pack has" in refused(bytes(content))
    content[-12:-10] = content[-14:-12] = b"\xff\xff"  # as a zip of 64 bits says that it has more
    assert "more members than any pack has" in refused(bytes(content))


def test_a_list_that_is_longer_than_it_says_is_refused() -> None:
    content = bytearray(zip_of(FILES))
    content[-12:-10] = content[-14:-12] = struct.pack("<H", 1)
    assert "not as long as it says" in refused(bytes(content))


SPOILT = [
    lambda one: b"x" + one,
    lambda one: one + b"x",
    lambda one: one[:-1],
    lambda one: b"",
    lambda one: one[:40],
    lambda one: b"PK\x03\x04",
]


@pytest.mark.parametrize("spoil", SPOILT)
def test_anything_before_behind_or_missing_is_refused(spoil: Callable[[bytes], bytes]) -> None:
    assert "zip file" in refused(spoil(zip_of(FILES)))


def test_members_that_share_bytes_are_refused() -> None:
    """Two entries of the list that point to one member: as many times its size comes out of it."""
    content = bytearray(made(("aaaa.yaml", b"x" * 50), ("bbbb.yaml", b"x" * 50)))
    second = bytes(content).rindex(b"bbbb.yaml") - 46
    content[second + 42 : second + 46] = struct.pack("<L", 0)
    assert "does not follow" in refused(bytes(content))


def test_a_locked_member_is_refused() -> None:
    content = bytearray(made(("car.yaml", b"x")))
    entry = bytes(content).rindex(b"PK\x01\x02")
    content[entry + 8 : entry + 10] = struct.pack("<H", 1)
    assert "locked" in refused(bytes(content))


def test_another_method_is_refused() -> None:
    assert "packed by a method" in refused(made(("car.yaml", b"x"), method=zipfile.ZIP_BZIP2))
