"""A photograph to be put on record: its reduced copy under a name of its own, and the entry that names it."""

import base64
import binascii
import hashlib
import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import count
from typing import Any, NoReturn

import msgspec

from carknocker.documents import InputRefused, Location, Problem
from carknocker.documents.pictures import MOST_BYTES, reduced_copy
from carknocker.record.model import Photograph

_LONGEST_STEM = 80
_DATA = re.compile(r"data:image/(?:jpeg|png|webp);base64,")
_SHA256 = re.compile(r"[0-9a-f]{64}")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_FIELDS = ("part", "on", "by", "data")


class NewPhotograph(msgspec.Struct, frozen=True):
    """file: the name of its reduced copy. copy: its bytes. entry: what the record says of it, as it is written."""

    file: str
    copy: bytes
    entry: Mapping[str, Any]

    def is_among(self, photographs: Iterable[Photograph]) -> bool:
        """Whether the same picture of the same things is on record already."""
        named = self.entry["of"]
        of = (named,) if isinstance(named, str) else tuple(named)
        reading = self.entry.get("reading", "")
        return any((one.sha256, one.of, one.reading) == (self.entry["sha256"], of, reading) for one in photographs)


def new_photograph(
    content: bytes, file: str, of: Sequence[str], on: str, by: str, names: Iterable[str], *,
    reading: str = "", after: Sequence[str] = (), original: str | None = None,
) -> NewPhotograph:  # fmt: skip
    """What puts a photograph on record. file: its name, for messages. of: what it shows: parts, or the id of a job or
    event, a test, a paper. names: those that are taken. original: the SHA-256 of what the camera made, "" where nobody
    knows it; None: that of `content`.

    Raises InputRefused for what is no photograph. What else is wrong is found when the record is read with the entry.
    """
    copy = reduced_copy(content, file)
    name = _free_name(f"{of[0]} {on}", names)
    original = hashlib.sha256(content).hexdigest() if original is None else original
    entry: dict[str, Any] = {
        "file": name,
        "of": of[0] if len(of) == 1 else list(of),
        "reading": reading,
        "on": on,
        "by": by,
        "after": list(after),
        "sha256": hashlib.sha256(copy).hexdigest(),
        "original_sha256": original,
    }
    return NewPhotograph(name, copy, {key: value for key, value in entry.items() if value})


def _free_name(words: str, names: Iterable[str]) -> str:
    """A file name made of some words that is not taken, whatever the capitals."""
    taken = {name.casefold() for name in names}
    stem = re.sub(r"[^A-Za-z0-9_]+", "-", words).strip("-_")[:_LONGEST_STEM].strip("-_") or "photograph"
    wanted = (f"{stem}.jpg" if number == 1 else f"{stem}-{number}.jpg" for number in count(1))
    return next(name for name in wanted if name.casefold() not in taken)


def photograph_in_form(given: Any, place: str, names: Iterable[str]) -> NewPhotograph:
    """What puts a photograph on record that came in a form, `{part, on, by, data, original}`: its picture is read and
    made small anew, since a form may come from anybody. place: where it stands in the form, for messages.

    Raises InputRefused where something in it is missing or is no photograph.
    """
    if not isinstance(given, Mapping):
        _refuse(place, "a photograph that the form does not describe", "its part, day, reader and picture")
    said: dict[str, str] = {}
    for key in _FIELDS:
        value = given.get(key)
        if not isinstance(value, str) or not value.strip() or (key != "data" and len(value) > 200):
            _refuse(place, f"a photograph without `{key}`", "its part, day, reader and picture")
        said[key] = value.strip()
    if not _DAY.fullmatch(said["on"]):
        _refuse(place, f"a photograph of the day `{said['on'][:40]}`", "a day written like 2026-10-08")
    original = given.get("original") or ""
    if not isinstance(original, str) or (original and not _SHA256.fullmatch(original)):
        _refuse(place, "a photograph whose original has no SHA-256", "64 digits and letters a to f, or nothing")
    picture = _picture(said["data"], place)
    return new_photograph(picture, place, [said["part"]], said["on"], said["by"], names, original=original)


def _refuse(place: str, found: str, expected: str) -> NoReturn:
    remedy = "hand the form in again; the photograph was not taken"
    raise InputRefused((Problem(Location(place, 1, 1), found, expected, remedy=remedy),)) from None


def _picture(data: str, place: str) -> bytes:
    """The bytes that a `data:` address holds."""
    beginning = _DATA.match(data)
    if beginning is None or len(data) > MOST_BYTES:
        _refuse(place, "a photograph that does not stand in the form", "the form as it was handed out")
    try:
        return base64.b64decode(data[beginning.end() :], validate=True)
    except (binascii.Error, ValueError):
        _refuse(place, "a photograph that was cut off or damaged in the form", "the form as it was handed out")
