"""Photographs on record: what each shows, by whom and when, and the digests by which it is known again.

The files lie in the folder `photographs` beside the record; what was found there is read at the edge and told here.
"""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Literal

from msgspec.structs import replace

from carknocker.documents import Node, nearest, some
from carknocker.record.entries import PhotographEntry, read_entry
from carknocker.record.files import RecordReporter
from carknocker.record.model import CarRecord, Evidence, Photograph
from carknocker.record.part_keys import kind_of_key
from carknocker.record.people_and_gauges import References
from carknocker.record.positions import Positions

FOLDER, ORIGINALS = "photographs", "originals"
"""The folder beside a record, and the folder in it for the originals."""
MOST_BYTES_OF_COPY = 4_000_000
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,95}\.jpg")
_RESERVED = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])\.jpg", re.IGNORECASE)

State = Literal["on hand", "missing", "changed"]


def is_good_name(name: str) -> bool:
    """Whether a reduced copy may bear this name: it stays in its folder, and every system can hold it."""
    return _NAME.fullmatch(name) is not None and _RESERVED.fullmatch(name) is None


def state_of(photograph: Photograph) -> State:
    """Whether its file is as it was when it was put on record."""
    if not photograph.found:
        return "missing"
    return "on hand" if photograph.found == photograph.sha256 else "changed"


def photographs_by(car: CarRecord, day: date) -> tuple[Photograph, ...]:
    """Those that were taken by a day, in the order of the record."""
    return tuple(one for one in car.photographs if one.on <= day)


def read_photographs(
    section: Node | None, positions: Positions, references: References, evidence: Iterable[Evidence],
    reporter: RecordReporter,
) -> tuple[Photograph, ...]:  # fmt: skip
    """The photographs that a record names. Reports a name that leads out of the folder, a file named twice, and one
    that shows what is not on record."""
    found: list[Photograph] = []
    lines: dict[str, int] = {}
    names = {one.attribute for one in evidence if one.sort in ("test", "paper")}
    vocabulary = reporter.vocabulary
    on_file = (
        *(one.name for one in vocabulary.tests.values() if one.attribute in names),
        *(one.name for one in vocabulary.papers.values() if one.attribute in names),
    )
    for node in reporter.sequence(section, FOLDER):
        entry, _ = read_entry(node, PhotographEntry, reporter, "a photograph")
        if entry is None:
            continue
        _check_name(entry.file, node, lines, reporter)
        after = references.after(entry.after, entry.on, node, reporter)
        parts = _shown(entry, node, after, on_file, positions, references, reporter)
        by = references.person(entry.by, node, reporter)
        if entry.reading:
            _check_reading(entry, parts, node, reporter)
        found.append(
            Photograph(
                file=entry.file, of=entry.of, parts=parts, reading=entry.reading, on=entry.on, by=by,
                sha256=entry.sha256, original_sha256=entry.original_sha256, after=after, where=node.where,
            )
        )  # fmt: skip
    return tuple(found)


def _check_name(file: str, node: Node, lines: dict[str, int], reporter: RecordReporter) -> None:
    place = node.get("file") or node
    if not is_good_name(file):
        expected = "a name within the folder `photographs`: letters, digits, `-`, `_`, and `.jpg` at the end"
        reporter.note(place, f"the file `{file[:60]}`", expected)
    elif file.casefold() in lines:
        found = f"the file `{file[:60]}` a second time (first on line {lines[file.casefold()]})"
        reporter.note(place, found, "each photograph once", remedy="name all that it shows in one `of:`")
    lines.setdefault(file.casefold(), node.where.line)


def _shown(
    entry: PhotographEntry, node: Node, after: frozenset[str], on_file: tuple[str, ...], positions: Positions,
    references: References, reporter: RecordReporter,
) -> tuple[str, ...]:  # fmt: skip
    """The keys of the parts that it shows. Reports what it shows and is not on record."""
    place = node.get("of") or node
    parts: dict[str, None] = {}
    for text in entry.of:
        kind = positions.kind_named_in(text)
        if text in references.days or text in on_file:
            continue
        if kind is None:
            known = (*references.days, *on_file)
            expected = "a part (`wheel L3`), the id of a job or event, or a test or paper on record"
            more = f": {some(known)}" if known else ""
            reporter.note(place, f"`of: {text[:60]}`", expected + more, nearest(text, known))
        else:
            parts.update((part, None) for part, _ in positions.find(kind, text, place, entry.on, after))
    return tuple(parts)


def _check_reading(entry: PhotographEntry, parts: tuple[str, ...], node: Node, reporter: RecordReporter) -> None:
    """A reading is one of the parts that the photograph shows."""
    place = node.get("reading") or node
    shown = {kind_of_key(part) for part in parts}
    if not shown:
        reporter.note(place, f"the reading `{entry.reading[:40]}` of what is no part", "`of:` a part: `wheel L3`")
    for name in sorted(shown):
        attributes = reporter.vocabulary.kinds[name].attributes.items()
        read = [one for one, own in attributes if not own.derived and own.type not in ("test", "paper")]
        reporter.is_known(place, entry.reading, read, f"reading of a {name}")


def with_photographs(car: CarRecord, found: Mapping[str, str]) -> CarRecord:
    """The car with what was found in its folder: file → SHA-256 of what lies there now; a file that is not there has
    none. A photograph that is as it was confirms the reading that it shows."""
    if not car.photographs:
        return car
    told = tuple(replace(one, found=found.get(one.file, "")) for one in car.photographs)
    shown = _readings_shown(car, [one for one in told if one.reading and state_of(one) == "on hand"])
    evidence = tuple(
        one if one.photograph == (file := shown.get(one.id, "")) else replace(one, photograph=file)
        for one in car.evidence
    )
    return replace(car, photographs=told, evidence=evidence)


def digests_found(car: CarRecord) -> dict[str, str]:
    """What `with_photographs` was told of a car."""
    return {one.file: one.found for one in car.photographs if one.found}


def _readings_shown(car: CarRecord, photographs: Iterable[Photograph]) -> dict[str, str]:
    """Id of each reading that a photograph of its day shows → the file."""
    shown: dict[str, str] = {}
    for photograph in photographs:
        for part in photograph.parts:
            own = [
                one for one in car.by_part.get(part, {}).get(photograph.reading, ())
                if one.sort == "reading" and one.on == photograph.on
            ]  # fmt: skip
            # where two were taken on the day, before a job and after it, it shows the one of its own `after`
            for one in own if len(own) == 1 else (one for one in own if one.after == photograph.after):
                shown.setdefault(one.id, photograph.file)
    return shown
