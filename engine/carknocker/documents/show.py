"""Writes problems out for a person: place, line, mark under the column, what was expected, what to do."""

from collections.abc import Mapping

from carknocker.documents.location import Location
from carknocker.documents.problems import Problem


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
