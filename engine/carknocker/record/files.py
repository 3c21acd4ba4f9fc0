"""Files of the record's formats: found in a folder, and read whole or refused whole with every problem in them."""

import re
from collections.abc import Callable, Collection
from pathlib import Path
from typing import TypeVar

import msgspec

from carknocker.documents import (
    InputRefused,
    Location,
    Node,
    Problem,
    ProblemList,
    ProblemReporter,
    load_text,
    nearest,
    read_document,
)
from carknocker.documents.system_words import system_words
from carknocker.record.model import SureEntry
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Kind, Vocabulary

MOST_ENTRIES = 1_000
"""In a list or a mapping of a record or a move: readers compare entries of a log with each other."""


class RecordReporter(ProblemReporter, frozen=True):
    """The vocabulary to read by, the list of problems, and what entries say with `sure`: facts, and entries as a
    whole."""

    vocabulary: Vocabulary
    sure: list[SureEntry] = msgspec.field(default_factory=list)

    def mapping(self, node: Node | None, what: str) -> list[tuple[str, Node]]:
        """The entries of a mapping; none (reported) for anything else; none for nothing."""
        if node is None or node.is_empty:
            return []
        if node.kind != "mapping":
            self.note(node, node.describe(), f"{what}: a mapping")
            return []
        entries = node.pairs()
        self.refuse_above(MOST_ENTRIES, len(entries), node, f"entries in {what}")
        return entries

    def sequence(self, node: Node | None, what: str) -> tuple[Node, ...]:
        """The members of a list; none (reported) for anything else; none for nothing."""
        if node is None or node.is_empty:
            return ()
        if node.kind != "sequence":
            self.note(node, node.describe(), f"{what}: a list, each entry beginning with `- `")
            return ()
        self.refuse_above(MOST_ENTRIES, len(node.nodes), node, f"entries in {what}")
        return node.nodes

    def unknown_attribute(self, node: Node, key: str, known: Collection[str], kind: Kind, what: str) -> None:
        """Notes a key that is no attribute of a kind there, with the one that people call so."""
        # imported only where a message needs it, since start-up is felt at every check
        from carknocker.vocabulary.other_names import names_of_attributes

        self.unknown_key(node, key, known, what, names_of_attributes(kind))

    def unknown_section(self, node: Node, key: str, known: Collection[str], what: str) -> None:
        """Notes a key that is no section of parts, with the one that people call so."""
        from carknocker.vocabulary.other_names import names_of_sections

        self.unknown_key(node, key, known, what, names_of_sections(self.vocabulary.kinds))

    def refuse_above(self, most: int, count: int, place: Node | Location, what: str) -> None:
        """Ends the reading where there is more of a thing than any car has. Raises InputRefused."""
        if count > most:
            self.note(place, f"more than {most:,} {what}", f"at most {most:,}")
            self.problems.refuse_if_any()


CAR_FORMAT, MOVE_FORMAT = "carknocker-car/1", "carknocker-move/1"
_LINE = re.compile(r"""\s*(["']?)format\1\s*:\s*(["']?)(?P<format>[a-z]+-[a-z]+/[0-9]+)\2\s*(?:#.*)?""")


def check_format(root: Node, wanted: str, reporter: RecordReporter) -> bool:
    """Whether a document says that it is of the wanted format; if not, that is reported."""
    if root.kind != "mapping":
        reporter.note(root, root.describe(), f"a mapping that begins with `format: {wanted}`")
        return False
    given = root.get("format")
    if given is None or reporter.text(given, "format") != wanted:
        found = "no `format` line" if given is None else given.describe()
        reporter.note(given or root, found, f"`format: {wanted}`", nearest(given.text, [wanted]) if given else "")
        return False
    return True


def says_format(start: str, wanted: str) -> bool:
    """Whether one of the first lines of a text says that it is of a format."""
    return any((line := _LINE.fullmatch(one)) is not None and line["format"] == wanted for one in start.splitlines())


_Read = TypeVar("_Read")


def read_file(path: Path, read_text: Callable[[str, str], _Read]) -> _Read:
    """What `read_text` makes of the text of a file and its name. Raises InputRefused with every problem found."""
    problems = ProblemList()
    text = load_text(path, problems)
    if text is None:
        raise InputRefused(problems.problems)
    return read_text(text, str(path))


def read_whole(text: str, file: str, wanted: str, read: Callable[[Node, RecordReporter], _Read | None]) -> _Read:
    """What `read` makes of a document of the wanted format, reporting what is wrong; `file` names it. Raises
    InputRefused with every problem found."""
    problems = ProblemList()
    root = read_document(text, file, problems)
    reporter = RecordReporter(problems, load_vocabulary())
    made = read(root, reporter) if root is not None and check_format(root, wanted, reporter) else None
    problems.refuse_if_any()
    if made is None:
        raise AssertionError("a file is refused without a problem")
    return made


_ENDINGS = (".yaml", ".yml")


def find_car(path: Path) -> Path:
    """The car record that a path names: the file itself, or the only car record in the folder. Raises InputRefused."""
    return _find(path, "car", CAR_FORMAT, "")


def find_move(path: Path) -> Path:
    """The only move in a folder (or beside a file). Raises InputRefused if there is none, or more than one."""
    return _find(path if path.is_dir() else path.parent, "move", MOVE_FORMAT, "name one with `--move FILE`")


def only_move(path: Path) -> Path | None:
    """The only move in a folder, or beside a file; None where there is none, or where it can't be told which."""
    try:
        return find_move(path)
    except InputRefused:
        return None


def has_move(path: Path) -> bool:
    """Whether there is any move in a folder, or beside a file."""
    try:
        return bool(_files_of(path if path.is_dir() else path.parent, MOVE_FORMAT))
    except OSError:
        return False


def has_car(folder: Path) -> bool:
    """Whether a folder has a car record directly in it. A folder that can't be read counts as having one, so that it is
    refused by name instead of passed over."""
    try:
        return (folder / "car.yaml").is_file() or bool(_files_of(folder, CAR_FORMAT))
    except OSError:
        return True


def _find(path: Path, what: str, wanted: str, remedy: str) -> Path:
    usual = path / f"{what}.yaml"
    try:
        if not path.is_dir():
            return path
        found = _files_of(path, wanted)
        has_usual = usual.is_file()
    except OSError as error:
        reason = f"the folder can't be read: {system_words(error)}"
        problem = Problem(Location(str(path), 1, 1), reason, "a readable folder")
        raise InputRefused((problem,)) from None
    if usual in found and what == "car":
        return usual
    if len(found) == 1:
        return found[0]
    if not found and has_usual:
        return usual  # its reader says what is wrong with its first line
    names = ", ".join(file.name for file in found[:6])
    words = f"{len(found)} {what} files ({names})" if found else f"no {what} file"
    expected = f"one file that begins with `format: {wanted}`"
    raise InputRefused((Problem(Location(str(path), 1, 1), words, expected, remedy=remedy),))


def _files_of(folder: Path, wanted: str) -> list[Path]:
    """The files of a format directly in a folder, in the order of their names. Raises OSError if it can't be read."""
    return [
        file for file in sorted(folder.iterdir()) if file.suffix in _ENDINGS and file.is_file() and _says(file, wanted)
    ]


def _says(file: Path, wanted: str) -> bool:
    """Whether one of the first lines of a file says that it is of the wanted format."""
    try:
        with file.open("rb") as stream:
            return says_format(stream.read(4096).decode("utf-8-sig", errors="replace"), wanted)
    except OSError:
        return False
