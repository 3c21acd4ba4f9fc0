"""Problems found in input files, collected so that they can all be shown at once."""

import msgspec

from carknocker.documents.location import Location


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
