"""The head of an edition: `edition.yaml`. It alone is enough to choose the editions that bind a move."""

import hashlib
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Literal

import msgspec

from carknocker.documents import Location, Problem, ProblemList, load_text
from carknocker.rulebook.model import Layer

HEAD_FILE = "edition.yaml"


class EditionHead(msgspec.Struct, frozen=True):
    """What `edition.yaml` says. `until` is the last day in force. None for what an amending edition leaves open.

    only_where_named: binds no move by itself, only where a host builds on it or the move pins it: the law of another
    nation, say. builds_on_where: the key `builds_on`, None without one. installed: it came with the program, and is not
    from a folder of rulesets beside a car or given.
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
    withdrawn: tuple[str, ...]
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

    def __str__(self) -> str:
        return f"{self.ruleset} {self.name}"

    def __hash__(self) -> int:
        return hash((self.ruleset, self.name))

    def dates(self) -> str:
        """When it is in force, in words."""
        return f"edition {self.name} in force from {self.in_force}" + (f" to {self.until}" if self.until else "")


def edition_texts(head: EditionHead, problems: ProblemList) -> dict[Path, str]:
    """File → text of every file of an edition, in the order of their names. Notes what can't be read."""
    try:
        files = sorted((file for file in head.folder.iterdir() if file.suffix == ".yaml"), key=lambda file: file.name)
    except OSError as error:
        problems.add(Problem(Location(str(head.folder), 1, 1), f"the folder can't be read: {error.strerror}"))
        return {}
    texts = {file: load_text(file, problems) for file in files}
    return {file: text for file, text in texts.items() if text is not None}


def edition_digest(texts: Mapping[Path, str], base: str) -> str:
    """The SHA-256 of an edition's files. base: the digest of the edition that it amends, empty for none."""
    digest = hashlib.sha256()
    for file, text in texts.items():
        digest.update(f"{file.name}\0{len(text)}\0{text}\0".encode())
    digest.update(base.encode())
    return digest.hexdigest()
