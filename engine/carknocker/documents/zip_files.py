"""Zip files written the same each time, and read as if a stranger meant harm: everything is checked before anything is
unpacked, and nothing is ever written to disk here."""

import io
import re
import stat
import zipfile
import zlib
from collections.abc import Callable, Mapping
from typing import NoReturn

from carknocker.documents.node import Location
from carknocker.documents.problems import InputRefused, Problem

MOST_BYTES = 100_000_000
"""Of a zip file."""
MOST_MEMBERS = 1_000
MOST_UNPACKED = 200_000_000
"""Of all that is in it together."""
MOST_TIMES = 200
"""How many times as large as its packed form a member may be, where it is over SMALL: YAML and JSON shrink to a
hundredth at most."""
SMALL = 100_000
_DAY = (1980, 1, 1, 0, 0, 0)
"""The first day that a zip file can say: of every member, so that the same files give the same bytes."""
_END = b"PK\x05\x06"
_END_LENGTH = 22
_LOCAL_HEADER = 30
_LONGEST_NAME = 200
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._ -]*(?:/[A-Za-z0-9][A-Za-z0-9._ -]*)*")
_FLAGS = 0x800  # the name is UTF-8; any other flag (encryption, sizes behind the data) is refused
_RESERVED = frozenset(
    ("con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10)))
)


def zip_of(files: Mapping[str, bytes]) -> bytes:
    """A zip file of some files, in the order of their names. The same files give the same bytes."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(files):
            member = zipfile.ZipInfo(name, _DAY)
            member.create_system = 3
            member.external_attr = (stat.S_IFREG | 0o644) << 16
            member.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(member, files[name])
    return made.getvalue()


def is_zip(start: bytes) -> bool:
    """Whether a file with these first bytes is a zip file."""
    return start[:4] in (b"PK\x03\x04", _END)


def files_of(content: bytes, file: str, known: Callable[[str], bool]) -> dict[str, bytes]:
    """The files in a zip file by name. `file` names it. known: whether a name may stand in it.

    Raises InputRefused, in plain words, for a zip file that holds anything else than what `zip_of` writes: a name
    twice, outside the folder, or with characters that a name needs not have; a link; more, larger or more tightly
    packed members than such a file has; members that overlap; one that is damaged; anything before or behind.
    """
    _check_frame(content, file)
    try:
        archive = zipfile.ZipFile(io.BytesIO(content))
    except (zipfile.BadZipFile, ValueError, OSError, RuntimeError, NotImplementedError, UnicodeError) as error:
        _refuse(file, f"a damaged zip file ({error})")
    with archive:
        members = archive.infolist()
        if len(members) != _number_said(content):
            _refuse(file, "a zip file whose list of members is not as long as it says")
        for member in members:
            _check_member(member, file, known)
        _check_names(members, file)
        _check_places(members, archive.start_dir, file)
        if sum(member.file_size for member in members) > MOST_UNPACKED:
            _refuse(file, f"a zip file with more than {MOST_UNPACKED:,} bytes in it", f"at most {MOST_UNPACKED:,}")
        return {member.filename: _content(archive, member, file) for member in members}


def _refuse(file: str, found: str, expected: str = "a pack as `carknocker pack` writes it") -> NoReturn:
    remedy = "ask for the pack again; nothing was unpacked"
    raise InputRefused((Problem(Location(file, 1, 1), found, expected, remedy=remedy),)) from None


def _number_said(content: bytes) -> int:
    return int.from_bytes(content[-12:-10], "little")


def _check_frame(content: bytes, file: str) -> None:
    """Refuses by the last bytes alone what would make even the list of members costly to read."""
    end = content[-_END_LENGTH:]
    if len(content) > MOST_BYTES:
        _refuse(file, f"a zip file of {len(content):,} bytes", f"at most {MOST_BYTES:,}")
    if len(end) < _END_LENGTH or end[:4] != _END or end[20:22] != b"\0\0":
        _refuse(file, "no zip file, or one with something behind its end")
    if end[4:8] != b"\0\0\0\0" or end[8:10] != end[10:12]:
        _refuse(file, "a zip file in several parts")
    count, size, start = (int.from_bytes(end[one:two], "little") for one, two in ((10, 12), (12, 16), (16, 20)))
    if count > MOST_MEMBERS or size > MOST_MEMBERS * (46 + _LONGEST_NAME):
        _refuse(file, "a zip file with more members than any pack has", f"at most {MOST_MEMBERS:,}")
    if start + size != len(content) - _END_LENGTH or (count and content[:4] != b"PK\x03\x04"):
        _refuse(file, "a zip file with something before its first member or behind its last")


def _check_member(member: zipfile.ZipInfo, file: str, known: Callable[[str], bool]) -> None:
    name = member.filename
    shown = f"`{member.orig_filename[:60]}`"
    if member.orig_filename != name or len(name) > _LONGEST_NAME or _NAME.fullmatch(name) is None:
        _refuse(
            file, f"a member named {shown}", "names of letters, digits, `.`, `-`, `_`, within the pack's own folder"
        )
    pieces = name.split("/")
    if any(piece.endswith((".", " ")) or piece.partition(".")[0].casefold() in _RESERVED for piece in pieces):
        _refuse(file, f"a member named {shown}, which no folder can hold everywhere")
    if not known(name):
        _refuse(file, f"a member named {shown}, which no pack has")
    mode = member.external_attr >> 16
    if member.is_dir() or (stat.S_IFMT(mode) not in (0, stat.S_IFREG)):
        _refuse(file, f"{shown}, which is a link or no ordinary file")
    if member.flag_bits & ~_FLAGS:
        _refuse(file, f"{shown}, which is locked or written in a way that no pack is")
    if member.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        _refuse(file, f"{shown}, packed by a method that no pack uses")
    if member.file_size > MOST_UNPACKED:
        _refuse(file, f"{shown} of {member.file_size:,} bytes", f"at most {MOST_UNPACKED:,}")
    if member.file_size > max(SMALL, member.compress_size * MOST_TIMES):
        _refuse(file, f"{shown}, which unpacks to more than {MOST_TIMES} times its size")


def _check_names(members: list[zipfile.ZipInfo], file: str) -> None:
    seen: set[str] = set()
    for member in members:
        folded = member.filename.casefold()
        if folded in seen:
            _refuse(file, f"the member `{member.filename[:60]}` twice", "each name once, whatever its capitals")
        seen.add(folded)
    folders = {"/".join(name.split("/")[:depth]) for name in seen for depth in range(1, name.count("/") + 1)}
    if folders & seen:
        _refuse(file, f"`{sorted(folders & seen)[0][:60]}` as a file and as a folder")


def _check_places(members: list[zipfile.ZipInfo], end: int, file: str) -> None:
    """Members that overlap share bytes, so that a small file could unpack to a huge one."""
    free = 0
    for member in sorted(members, key=lambda one: one.header_offset):
        if member.header_offset != free:
            _refuse(file, f"`{member.filename[:60]}`, which does not follow the member before it")
        free = member.header_offset + _LOCAL_HEADER + len(member.filename.encode()) + member.compress_size
    if free != end:
        _refuse(file, "a zip file with something between its members and their list")


def _content(archive: zipfile.ZipFile, member: zipfile.ZipInfo, file: str) -> bytes:
    try:
        with archive.open(member) as opened:
            content = opened.read(member.file_size + 1)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError, NotImplementedError) as error:
        _refuse(file, f"`{member.filename[:60]}`, which is damaged ({error})")
    if len(content) != member.file_size:
        _refuse(file, f"`{member.filename[:60]}`, which is not as long as the zip file says")
    return content
