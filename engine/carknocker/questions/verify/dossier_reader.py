"""A dossier as JSON, read as a stranger's file: nothing in it is believed before its shape is checked."""

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import msgspec

from carknocker.documents import InputRefused, Location, Problem
from carknocker.documents.suggestions import nearest
from carknocker.documents.visible_text import one_line
from carknocker.dossier.json_form import FORMAT, FORMAT_OF_SEVERAL

MOST_BYTES = 100_000_000
MOST_VALUES = 4_000_000
"""In a file. A dossier takes about thirty bytes for each."""
MOST_BYTES_OF_ONE = 20_000_000
MOST_VALUES_OF_ONE = 600_000
"""In a dossier: that of the largest demo car has twenty thousand, in 600,000 bytes."""
_TO_DO = "write it anew: `carknocker check CAR --move MOVE --format json --output dossier.json`"
_BYTE = re.compile(r"\(byte (\d+)\)")
_TYPE = re.compile(r"`(\w+)`")
_TYPES = {"str": "text", "int": "a number", "float": "a number", "bool": "true or false", "object": "an object",
          "array": "a list", "null": "null", "date": "a day"}  # fmt: skip
_PATH = re.compile(r" - at `\$\.?(.*)`$")


class GivenCar(msgspec.Struct, frozen=True):
    mark: str
    name: str
    file: str


class GivenMove(msgspec.Struct, frozen=True):
    file: str


class GivenPart(msgspec.Struct, frozen=True):
    label: str


class GivenRule(msgspec.Struct, frozen=True):
    title: str


class GivenFinding(msgspec.Struct, frozen=True):
    """What a criterion says of one part, or of several alike. parts: their keys. fault: what is wrong, behind the name
    of the part; None where nothing is, or the dossier is of a program that did not say."""

    criterion: str
    parts: tuple[str, ...]
    verdict: str
    measured: str
    limit: str
    effect: str
    unmet: bool
    relieved: bool
    margin: str | None
    reason: str | None
    fault: str | None = None


class GivenCorrection(msgspec.Struct, frozen=True):
    edition: str
    on: date
    what: str
    rules: tuple[str, ...]


class GivenEdition(msgspec.Struct, frozen=True):
    """A dossier that says nothing of revisions was made before any slip was corrected."""

    ruleset: str
    edition: str
    revision: int = 1
    corrections: tuple[GivenCorrection, ...] = ()


class GivenRulebook(msgspec.Struct, frozen=True):
    editions: tuple[GivenEdition, ...]


class GivenDigests(msgspec.Struct, frozen=True):
    car: str
    move: str
    rulebook: str
    editions: dict[str, str]


class GivenMaker(msgspec.Struct, frozen=True):
    program: str
    version: str
    evaluator: str


class Given(msgspec.Struct, frozen=True):
    """What a re-check needs of a dossier. complete: whether all law that binds was at hand; None: an older
    program did not say. text: all of it, as it was read."""

    outcome: str
    as_of: date
    car: GivenCar
    move: GivenMove
    rulebook: GivenRulebook
    findings: tuple[GivenFinding, ...]
    rules: dict[str, GivenRule]
    parts: dict[str, GivenPart]
    digests: GivenDigests
    made_by: GivenMaker
    complete: bool | None = None
    not_at_hand: tuple[str, ...] = ()
    text: msgspec.Raw = msgspec.Raw()

    def form(self) -> dict[str, Any]:
        """All of the dossier as plain data. It is large: read anew each time, and not kept."""
        form: dict[str, Any] = msgspec.json.decode(self.text)
        return form


class _Whole(msgspec.Struct):
    """The keys of a file that are looked at. What they hold is not built up before it is asked for."""

    format: msgspec.Raw = msgspec.Raw(b"null")
    dossiers: msgspec.Raw = msgspec.Raw(b"null")


def read_dossiers(content: bytes, file: str) -> tuple[Given, ...]:
    """The dossiers in a file, one or several. Raises InputRefused for anything that `carknocker check --format json`
    did not write."""
    if len(content) > MOST_BYTES:
        raise _refused(file, f"a file of {len(content):,} bytes", f"at most {MOST_BYTES:,} bytes")
    if not content.strip():
        raise _refused(file, "an empty file", "a dossier as JSON")
    text = content.removeprefix(b"\xef\xbb\xbf")
    values = most_values(text)
    if values > MOST_VALUES:
        raise _refused(file, f"JSON of up to {values:,} values", f"at most {MOST_VALUES:,}")
    try:
        return tuple(_dossiers(text, file, values))
    except RecursionError:
        raise _refused(file, "JSON that is nested too deeply", "a dossier as JSON") from None
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        said = str(error)
        byte = _BYTE.search(said)
        at = _place(content, file, int(byte[1])) if byte else _end(content, file)
        cut = "truncated" in said
        found = "the file ends in the middle" if cut else f"no JSON ({_BYTE.sub('', said).strip()})"
        raise InputRefused((Problem(at, found, "a whole dossier as JSON", remedy=_TO_DO),)) from None


def most_values(text: bytes) -> int:
    """No fewer values than JSON holds: the first in a list or an object follows its bracket, each other a comma."""
    return 1 + text.count(b",") + text.count(b"{") + text.count(b"[")


def _dossiers(text: bytes, file: str, values: int) -> Iterator[Given]:
    """Raises msgspec.DecodeError and UnicodeDecodeError for what is no JSON."""
    msgspec.json.decode(text, type=Any if values <= MOST_VALUES_OF_ONE else msgspec.Raw)
    try:
        whole = msgspec.json.decode(text, type=_Whole)
    except msgspec.ValidationError:
        raise _refused(file, "JSON that is no object", "a dossier, as `check --format json` writes it") from None
    written = msgspec.json.decode(whole.format)
    several = memoryview(whole.dossiers)[:1].tobytes() == b"["
    if written == FORMAT:
        yield _given(msgspec.Raw(text), file, "")
    elif written == FORMAT_OF_SEVERAL and several:
        for number, one in enumerate(msgspec.json.decode(whole.dossiers, type=list[msgspec.Raw])):
            yield _given(one, file, f"dossiers[{number}].")
    elif not isinstance(written, str):
        raise _refused(file, "JSON without `format`", f"`{FORMAT}` or `{FORMAT_OF_SEVERAL}`")
    else:
        near = nearest(written, (FORMAT, FORMAT_OF_SEVERAL))
        raise _refused(file, f"the format `{one_line(written[:60])}`", f"`{FORMAT}` or `{FORMAT_OF_SEVERAL}`", near)


def _place(content: bytes, file: str, byte: int) -> Location:
    before = content[:byte]
    column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", errors="replace"))
    return Location(file, before.count(b"\n") + 1, column + 1)


def _end(content: bytes, file: str) -> Location:
    return _place(content, file, len(content))


def _given(text: msgspec.Raw, file: str, prefix: str) -> Given:
    named = f"`{prefix.rstrip('.')}`" if prefix else "a dossier"
    size = memoryview(text).nbytes
    if size > MOST_BYTES_OF_ONE:
        raise _refused(file, f"{named} of {size:,} bytes", f"at most {MOST_BYTES_OF_ONE:,} bytes")
    values = most_values(bytes(text))
    if values > MOST_VALUES_OF_ONE:
        raise _refused(file, f"{named} of up to {values:,} values", f"at most {MOST_VALUES_OF_ONE:,}")
    form = msgspec.json.decode(text)
    if not isinstance(form, dict):
        raise _refused(file, f"`{prefix.rstrip('.')}` is no object", "a dossier")
    if form.get("format") != FORMAT:
        raise _refused(file, f"`{prefix}format` is not `{FORMAT}`", f"`{FORMAT}`")
    try:
        given = msgspec.convert({key: value for key, value in form.items() if key != "text"}, Given)
    except (msgspec.ValidationError, RecursionError) as error:
        said = str(error)
        path = _PATH.search(said)
        where = f" at `{prefix}{path[1]}`" if path and path[1] else f" in `{prefix.rstrip('.')}`" if prefix else ""
        words = _TYPE.sub(lambda found: _TYPES.get(found[1], found[0]), _PATH.sub("", said))
        raise _refused(file, f"no whole dossier: {words[:1].lower()}{words[1:]}{where}", "a whole dossier") from None
    return msgspec.structs.replace(given, text=text)


def _refused(file: str, found: str, expected: str, near: str = "") -> InputRefused:
    return InputRefused((Problem(Location(file, 1, 1), found, expected, near, _TO_DO),))
