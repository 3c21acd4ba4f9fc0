"""The index of coverage: every row of the law that bears on a private car, with the rules that answer it or the reason
why none does. It shows whether an edition has all of the text that it stands for."""

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from msgspec import field

from carknocker.documents import InputRefused, Location, Problem, ProblemList, load_document
from carknocker.documents.structure import Structure, read_as
from carknocker.rulebook.model import Consequence, Criterion, Edition

LAW = "us-federal"
"""The ruleset of an id in the index that names none."""


class Row(Structure, frozen=True, kw_only=True):
    """One row: what it is about, and either `by` (ids) or `none` (the key of a reason)."""

    section: str = ""
    row: str = ""
    about: str = ""
    words: str = ""
    figure: str = ""
    boundary: str = ""
    status: str = ""
    text: str = ""  # the text it was read in: an annual edition, or the last amendment that the section prints
    basis: str = ""
    ruleset: str = ""  # whose text the row is of, where it is not that of `LAW`
    edition: str = ""  # of the law, where it is not the newest
    by: tuple[str, ...] = ()
    none: str = ""
    note: str = ""

    def ids(self) -> tuple[str, ...]:
        """`by`, each id with its ruleset."""
        return tuple(name if "/" in name else f"{LAW}/{name}" for name in self.by)


class Coverage(Structure, frozen=True, kw_only=True):
    """The index: chapters of rows of the law, and the rows of work and events. `reasons`: key → sentence."""

    reasons: Mapping[str, str]
    law: Mapping[str, tuple[Row, ...]]
    work_and_events: tuple[Row, ...] = field(name="work and events")

    def rows(self) -> Iterator[Row]:
        """All rows, in the order of the index."""
        for chapter in self.law.values():
            yield from chapter
        yield from self.work_and_events


def read_coverage(file: Path) -> Coverage:
    """The index in a file. Raises InputRefused with every problem found."""
    problems = ProblemList()
    node = load_document(file, problems)
    coverage = None if node is None else read_as(node, Coverage, problems)
    problems.refuse_if_any()
    if coverage is None:
        raise InputRefused((Problem(Location(str(file), 1, 1), "an empty file", "an index of coverage"),))
    return coverage


NOT_READ = "not read"
"""The reason of a row whose text is not at hand."""
_SECTION = re.compile(r"\d+\.\d+")


def not_borne_out(edition: Edition, coverage: Coverage | None) -> str:
    """Why an edition of law may not say `complete: yes`; empty if it may.

    Each section that its rules cite has a row in the coverage file; no row of its text waits to be read; and no rule is
    typed from memory.
    """
    if coverage is None:
        return "no coverage file is at hand that shows it"
    rows = [row for row in coverage.rows() if (row.ruleset or LAW) == edition.ruleset]
    unread = [row for row in rows if row.none == NOT_READ]
    if unread:
        return f"its coverage file has {unread[0].section}, {unread[0].about or unread[0].words}, as not read"
    known = {section for row in rows for section in sections(row.section)}
    rules: list[Criterion | Consequence] = [*edition.criteria, *edition.consequences]
    for rule in rules:
        if rule.source.kind != "law":
            continue
        if rule.source.status == "from memory":
            return f"{rule.id} is typed from memory"
        missing = sorted(sections(rule.source.section) - known)
        if missing:
            return f"{rule.id} is of {missing[0]}, which has no row in its coverage file"
    return ""


def sections(text: str) -> frozenset[str]:
    """The sections that a text names: `238.303(e)(8)(i)` → 238.303; one without such a number, as it stands."""
    return frozenset(_SECTION.findall(text)) or frozenset(filter(None, (text.strip(),)))
