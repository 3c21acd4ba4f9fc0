"""Sources in words, and places in files."""

from collections.abc import Iterable
from pathlib import PurePath

import msgspec

from carknocker.documents import Location
from carknocker.judgement.model import Judgement
from carknocker.rulebook.model import Source


def place_words(source: Source) -> str:
    """The place of a sentence: `49 CFR 238.303(e)(8)(vi)`; a comma between two numbers: `circular 7, 8.1`."""
    numbers = source.document[-1:].isdigit() and source.section[:1].isdigit()
    return f"{source.document}{',' if numbers else ''} {source.section}".strip()


def cite(sources: Iterable[Source], host: str = "") -> str:
    """Where rules stand, in short: `49 CFR 238.311(a), (e)(2)`. host: whose sheet it is, which need not name him:
    `circular 8, 3.1`."""
    by_document: dict[str, dict[str, None]] = {}
    for source in sources:
        document = source.document.removeprefix(f"{host} ") if host and source.kind == "host" else source.document
        by_document.setdefault(document, {})[source.section] = None
    return "; ".join(_with_sections(document, [one for one in own if one]) for document, own in by_document.items())


def _with_sections(document: str, sections: list[str]) -> str:
    if not sections:
        return document
    between = " " if document.endswith("CFR") else ", "
    sections = [one for one in sections if not any(other.startswith(f"{one}, ") for other in sections)]  # told once
    told, last = [], ""
    for section in sections:
        head, bracket, rest = section.partition("(")
        told.append(f"({rest}" if bracket and head == last else section)
        last = head
    return f"{document}{between}{', '.join(told)}"


def source_words(source: Source) -> str:
    """`49 CFR 238.303(e)(8)(vi) (2015, read): “worn to a 7/8 inch thickness or less”`; a source from memory or
    inference says that it is to be checked."""
    place = place_words(source)
    read = ", ".join(word for word in (source.year, status_words(source)) if word)
    words = f"{place} ({read})" if read else place
    return f"{words}: “{source.words}”" if source.words else words


def status_words(source: Source) -> str:
    """How the source was read: `read`; `inference: check the current text`."""
    return f"{source.status}: check the current text" if source.to_be_checked else source.status


class FileLines(msgspec.Struct, frozen=True):
    """A range of lines of a file, first and last included."""

    file: str
    first: int
    last: int

    def __str__(self) -> str:
        return f"{self.file}:{self.first}" if self.first == self.last else f"{self.file}:{self.first}–{self.last}"


class FilePlaces(msgspec.Struct, frozen=True):
    """Ranges of lines in some files."""

    stretches: tuple[FileLines, ...] = ()

    def __str__(self) -> str:
        return ", ".join(map(str, self.stretches))


def lines_of(places: Iterable[Location]) -> FilePlaces:
    """For each file, the range from the first to the last of some places."""
    by_file: dict[str, list[int]] = {}
    for place in places:
        by_file.setdefault(place.file, []).append(place.line)
    return FilePlaces(tuple(FileLines(file, min(lines), max(lines)) for file, lines in by_file.items()))


def file_of(where: Location, judgement: Judgement) -> str:
    """The name of a file: record and move as the user named them, an edition as RULESET/EDITION/FILE, which is the same
    wherever the rulesets are stored."""
    if where.file in (judgement.car.file, judgement.move.file):
        return where.file
    return "/".join(PurePath(where.file).parts[-3:])


def place_of(where: Location, judgement: Judgement) -> str:
    """A place in a file: `car.yaml:12`."""
    return f"{file_of(where, judgement)}:{where.line}"
