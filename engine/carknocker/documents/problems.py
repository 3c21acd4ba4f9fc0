"""Problems found in input files: collected so that all can be shown at once, and shown with their place and line."""

from collections.abc import Collection, Mapping

import msgspec

from carknocker.documents.node import Location, Node
from carknocker.documents.suggestions import nearest, some
from carknocker.quantities import QuantityError


class Problem(msgspec.Struct, frozen=True):
    """One thing wrong with an input file.

    found: what stands there. expected: what could stand there. nearest: the
    nearest right word, if there is one. remedy: what to do. line_text: the line
    of the file, as written.
    """

    where: Location
    found: str
    expected: str = ""
    nearest: str = ""
    remedy: str = ""
    line_text: str = ""


class InputRefused(Exception):
    """An input file can't be used; carries every problem found in it, each once, in the order of the file."""

    def __init__(self, problems: "tuple[Problem, ...]") -> None:
        self.problems = tuple(sorted(dict.fromkeys(problems), key=lambda problem: problem.where))
        super().__init__("\n".join(f"{p.where}: {p.found}" for p in self.problems))


class ProblemList:
    """Collects problems while a file is read; `refuse_if_any` ends the reading."""

    def __init__(self) -> None:
        self._problems: list[Problem] = []

    def add(self, problem: Problem) -> None:
        self._problems.append(problem)

    def __len__(self) -> int:
        return len(self._problems)

    @property
    def problems(self) -> tuple[Problem, ...]:
        return tuple(self._problems)

    def refuse_if_any(self) -> None:
        """Raises InputRefused with every problem collected so far, if there is one."""
        if self._problems:
            raise InputRefused(tuple(self._problems))


class ProblemReporter(msgspec.Struct, frozen=True):
    """What every reader of a file is given: it takes texts, and reports each problem at its place."""

    problems: ProblemList

    def note(self, place: Node | Location, found: str, expected: str = "", near: str = "", remedy: str = "") -> None:
        where = place.where if isinstance(place, Node) else place
        self.problems.add(Problem(where, found, expected, near, remedy))

    def note_error(self, place: Node | Location, error: QuantityError, of: str = "") -> None:
        """Notes that a text is no value; `of`: the attribute that it was to be a value of."""
        found = f"{error.found} for `{of}`" if of else error.found
        self.note(place, found, error.expected, error.nearest, error.remedy)

    def text(self, node: Node | None, what: str) -> str:
        """The text of a scalar; "" where nothing was written, and (noted) for a list or a mapping."""
        if node is None or node.is_empty:
            return ""
        if node.kind != "scalar":
            self.note(node, node.describe(), f"{what}: a text")
            return ""
        return node.text.strip()

    def unknown_key(self, node: Node, key: str, known: Collection[str], what: str) -> None:
        """Notes a key that a mapping can't have, with the nearest one that it can."""
        self.note(
            node.key_where(key), f"the key `{key[:60]}` in {what}", f"one of {some(known)}", nearest(key, known),
            "correct the key, or take it out",
        )  # fmt: skip

    def is_known(self, place: Node | Location, name: str, names: Collection[str], what: str) -> bool:
        """Whether a name is one of those that are known; noted if not."""
        if name in names:
            return True
        expected = f"one of {some(names)}" if names else f"no {what}: none is written down"
        self.note(place, f"the {what} `{name[:60]}`, which is not known", expected, nearest(name, names))
        return False


def show_problems(problems: tuple[Problem, ...], texts: Mapping[str, str] | None = None) -> str:
    """All problems, in the order of the files. `texts`: file name → its text, for the line of each problem."""
    lines = {file: text.splitlines() for file, text in (texts or {}).items()}
    blocks = [_block(problem, lines) for problem in sorted(set(problems), key=lambda p: (p.where, p.found))]
    count = len(blocks)
    return "\n\n".join([*blocks, f"{count} problem{'s' if count != 1 else ''} found; nothing was changed."])


def _block(problem: Problem, lines: Mapping[str, list[str]]) -> str:
    rows = [f"{problem.where}: found {problem.found}" if problem.expected else f"{problem.where}: {problem.found}"]
    text = problem.line_text or _line(problem.where, lines)
    if text.strip():
        shown, offset = _window(text.rstrip(), problem.where.column - 1)
        rows.append(f"    {shown}")
        rows.append("    " + " " * offset + "^")
    if problem.expected:
        rows.append(f"  expected: {problem.expected}")
    if problem.nearest:
        rows.append(f"  nearest right word: {problem.nearest}")
    if problem.remedy:
        rows.append(f"  to do: {problem.remedy}")
    return "\n".join(rows)


def _line(where: Location, lines: Mapping[str, list[str]]) -> str:
    text = lines.get(where.file, [])
    return text[where.line - 1] if 0 < where.line <= len(text) else ""


def _window(text: str, column: int, width: int = 100) -> tuple[str, int]:
    """A long line is cut round the column, so that the mark stays on the screen."""
    text = "".join(character if character.isprintable() else " " for character in text)
    if len(text) <= width:
        return text, min(column, len(text))
    start = max(0, min(column - width // 2, len(text) - width))
    return text[start : start + width], max(0, column - start)
