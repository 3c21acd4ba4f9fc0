"""The head of an edition: `edition.yaml`. Heads are all it takes to choose the editions that bind a move."""

import hashlib
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Literal

import msgspec

from carknocker.documents import Location, Problem, ProblemList, load_text
from carknocker.documents.system_words import system_words
from carknocker.rulebook.model import Completeness, Confirmation, Correction, Layer

HEAD_FILE = "edition.yaml"


class EditionHead(msgspec.Struct, frozen=True):
    """What `edition.yaml` says. `until`: the last day in force. None: an amending edition leaves it open.

    checked_against: with what it was compared on the day `checked`, where that is less than all of its source.
    revision, corrections: slips in its own files that were corrected, as in `Edition`.
    only_where_named: binds a move only if a host builds on it or the move pins it: the law of another nation, for
    example. builds_on_where: place of the key `builds_on`, None if there is none. installed: it came with the program,
    not from a rulesets folder of the user.
    """

    ruleset: str
    name: str
    title: str
    layer: Layer
    publisher: str
    host: str
    in_force: date
    until: date | None
    checked: date
    builds_on: tuple[str, ...] | None
    amends: str
    removed: tuple[str, ...]
    regimes: Mapping[str, str]
    borderline: Literal["advise", "refuse"]
    borderline_said: bool
    relaxes: Mapping[str, str]
    routine_note: str
    only_where_named: bool
    folder: Path
    where: Location
    builds_on_where: Location | None
    installed: bool
    typed_by: str
    confirmed_by: Confirmation | None
    checked_against: str
    revision: int
    corrections: tuple[Correction, ...]
    complete: Completeness | None
    complete_where: Location | None

    def __str__(self) -> str:
        return f"{self.ruleset} {self.name}"

    def __hash__(self) -> int:
        return hash((self.ruleset, self.name))

    def dates(self) -> str:
        """When it is in force, in words."""
        return f"edition {self.name} in force from {self.in_force}" + (f" to {self.until}" if self.until else "")


def edition_texts(head: EditionHead, problems: ProblemList) -> dict[Path, str]:
    """File → text for every file of an edition, sorted by name. Reports files that can't be read."""
    try:
        files = sorted((file for file in head.folder.iterdir() if file.suffix == ".yaml"), key=lambda file: file.name)
    except OSError as error:
        problems.add(Problem(Location(str(head.folder), 1, 1), f"the folder can't be read: {system_words(error)}"))
        return {}
    texts = {file: load_text(file, problems) for file in files}
    return {file: text for file, text in texts.items() if text is not None}


def edition_digest(texts: Mapping[Path, str], base: str) -> str:
    """The SHA-256 of an edition's files. base: the digest of the edition that it amends, empty if it amends none."""
    digest = hashlib.sha256()
    for file, text in texts.items():
        digest.update(f"{file.name}\0{len(text)}\0{text}\0".encode())
    digest.update(base.encode())
    return digest.hexdigest()
