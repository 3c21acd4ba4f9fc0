"""Problems found in input files: collected so that all can be shown at once, and shown with their place and line."""

from array import array
from collections.abc import Callable, Collection, Mapping, Sequence

import msgspec

from carknocker.documents.node import Location, Node
from carknocker.documents.suggestions import NO_OTHER_NAMES, OtherNames, nearest, some
from carknocker.documents.visible_text import visible, visible_line
from carknocker.quantities import QuantityError

MOST_PROBLEMS = 1_000
"""So many problems end the reading of a file: whoever mends them will read it again."""
MOST_SHOWN = 100
_PIECE = 65_536


class Problem(msgspec.Struct, frozen=True):
    """One thing wrong with an input file.

    found: what stands there. expected: what could stand there. nearest: the
    nearest right word, if there is one. remedy: what to do. line_text: the line
    of the file, as written. sample: a file that would do, to be copied line by
    line: the program's own text. lacks: the key that is missing there, if that
    is what is wrong.
    """

    where: Location
    found: str
    expected: str = ""
    nearest: str = ""
    remedy: str = ""
    line_text: str = ""
    sample: str = ""
    lacks: str = ""


class InputRefused(Exception):
    """An input file can't be used; carries every problem found in it, each once, in the order of the file."""

    def __init__(self, problems: "tuple[Problem, ...]") -> None:
        self.problems = tuple(sorted(dict.fromkeys(problems), key=lambda problem: problem.where))
        super().__init__("\n".join(f"{p.where}: {p.found}" for p in self.problems))


class ProblemList:
    """Collects problems while a file is read; `refuse_if_any` ends the reading, and so does one problem too many."""

    def __init__(self) -> None:
        self._problems: list[Problem] = []

    def add(self, problem: Problem) -> None:
        """Raises InputRefused, with every problem collected so far, if there are MOST_PROBLEMS."""
        self._problems.append(problem)
        if len(self._problems) >= MOST_PROBLEMS:
            raise InputRefused(tuple(self._problems))

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

    def note(
        self, place: Node | Location, found: str, expected: str = "", near: str = "", remedy: str = "", lacks: str = ""
    ) -> None:  # fmt: skip
        where = place.where if isinstance(place, Node) else place
        self.problems.add(Problem(where, found, expected, near, remedy, lacks=lacks))

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

    def unknown_key(
        self, node: Node, key: str, known: Collection[str], what: str, other_names: OtherNames = NO_OTHER_NAMES
    ) -> None:
        """Notes a key that a mapping can't have, with the nearest one that it can."""
        near = nearest(key, known, other_names)
        self.note(
            node.key_where(key), f"the key `{key[:60]}` in {what}", f"one of {some(known)}", near,
            "correct the key, or take it out",
        )  # fmt: skip

    def is_known(
        self, place: Node | Location, name: str, names: Collection[str], what: str,
        other_names: Callable[[], OtherNames] = dict,
    ) -> bool:  # fmt: skip
        """Whether a name is one of those that are known; noted if not. other_names: asked only then."""
        if name in names:
            return True
        expected = f"one of {some(names)}" if names else f"no {what}: none is written down"
        near = nearest(name, names, other_names())
        self.note(place, f"the {what} `{name[:60]}`, which is not known", expected, near)
        return False


class TextLines:
    """The lines of a text by their number, counted from 0. Of a text with many lines only the places are kept."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._starts = array("L")
        self._lines: dict[int, str] = {}

    def __len__(self) -> int:
        self._look()
        return len(self._starts) - 1

    def __getitem__(self, number: int) -> str:
        self._look()
        if number not in self._lines:
            ended = self._text[self._starts[number] : self._starts[number + 1]].splitlines()
            self._lines[number] = ended[0]
        return self._lines[number]

    def _look(self) -> None:
        """Finds the starts, piece by piece, the first time that a line is asked for; last is the end of the text."""
        if self._starts:
            return
        self._starts.append(0)
        begin = 0
        while begin < len(self._text):
            end = self._text.find("\n", begin + _PIECE) + 1 or len(self._text)
            for line in self._text[begin:end].splitlines(keepends=True):
                self._starts.append(self._starts[-1] + len(line))
            begin = end


def show_problems(problems: Sequence[Problem], texts: Mapping[str, str] | None = None) -> str:
    """The problems in the order of the files, only the first of many. `texts`: file name → its text, for the line of
    each problem."""
    lines = {file: TextLines(text) for file, text in (texts or {}).items()}
    distinct = sorted(set(problems), key=lambda problem: (problem.where, problem.found))
    blocks = [_block(problem, lines) for problem in distinct[:MOST_SHOWN]]
    return "\n\n".join([*blocks, _summary(len(distinct), stopped=len(problems) >= MOST_PROBLEMS)])


def _summary(count: int, *, stopped: bool) -> str:
    if count <= MOST_SHOWN:
        return f"{count} problem{'s' if count != 1 else ''} found; nothing was changed."
    at_least = "at least " if stopped else ""
    return f"{count:,} problems found, {at_least}{count - MOST_SHOWN:,} more than are shown; nothing was changed."


_WHOLE_SENTENCES = ("there is ", "this is ", "this can't ", "can't ", "the file can't ", "the files can't ",
                    "the folder can't ", "the file is ", "the YAML breaks ")  # fmt: skip


def _block(problem: Problem, lines: Mapping[str, TextLines]) -> str:
    where, found = visible_line(str(problem.where)), visible_line(problem.found)
    is_said = not problem.expected or found.startswith(_WHOLE_SENTENCES)
    rows = [f"{where}: {found}" if is_said else f"{where}: found {found}"]
    text = problem.line_text or _line(problem.where, lines)
    if text and not text.isspace():
        shown, offset = _window(text, problem.where.column - 1)
        rows.append(f"    {shown}")
        rows.append("    " + " " * offset + "^")
    if problem.expected:
        rows.append(f"  expected: {visible_line(problem.expected)}")
    if problem.nearest:
        rows.append(f"  nearest right word: {visible_line(problem.nearest)}")
    if problem.remedy:
        rows.append(f"  to do: {visible_line(problem.remedy)}")
    if problem.sample:
        rows.extend(("", visible(problem.sample)))
    return "\n".join(rows)


def _line(where: Location, lines: Mapping[str, TextLines]) -> str:
    text = lines.get(where.file)
    return text[where.line - 1] if text is not None and 0 < where.line <= len(text) else ""


def _window(text: str, column: int, width: int = 100) -> tuple[str, int]:
    """The part of a line round the column that is shown, and the column in it, so that the mark stays on the screen."""
    length = len(text.rstrip())
    start = 0 if length <= width else max(0, min(column - width // 2, length - width))
    return visible_line(text[start : min(start + width, length)]), max(0, min(column, length) - start)
