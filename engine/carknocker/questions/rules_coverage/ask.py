"""The coverage page: every row of the law, and every kind of work or event, with what in the editions answers it.

Made of an index (`docs/coverage.yaml`) and of the editions. Run as a module it writes the page to the standard output:
`python -m carknocker.questions.rules_coverage.ask docs/coverage.yaml > docs/coverage.md`.
"""

import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from carknocker.rulebook.clauses import Unanswered
from carknocker.rulebook.coverage import LAW, Coverage, Row, read_coverage
from carknocker.rulebook.library import Library, load_library, rulesets_folders
from carknocker.rulebook.model import Consequence, Criterion, Source
from carknocker.wording.limits import clause_words


def unaccounted(coverage: Coverage, library: Library) -> tuple[str, ...]:
    """What is wrong with the index, in words: rows without answer or with two, ids and reasons that are not there."""
    entries = {name: _entries(library, name) for name in library.heads}
    found = []
    for row in coverage.rows():
        said = f"{row.section or row.row}, {row.about}"
        if bool(row.by) == bool(row.none):
            found.append(f"{said}: neither answered nor given a reason" if not row.by else f"{said}: both")
        if row.none and row.none not in coverage.reasons:
            found.append(f"{said}: the reason `{row.none}` is not in the list")
        for name in row.ids():
            if _entry(entries, name, row.edition) is None:
                found.append(f"{said}: no edition has `{name}`")
    used = {row.none for row in coverage.rows()}
    found.extend(f"the reason `{reason}` is used nowhere" for reason in coverage.reasons if reason not in used)
    return tuple(found)


def coverage_page(coverage: Coverage, library: Library) -> str:
    """The page in Markdown. `library` is read as it stands, so that the page shows what the editions say."""
    entries = {name: _entries(library, name) for name in library.heads}
    law = [row for chapter in coverage.law.values() for row in chapter]
    lines = [
        "# What the rulesets cover", "",
        "Made from `docs/coverage.yaml` and from the editions; do not edit it by hand. Each row of the law that bears "
        "on a private car has a criterion or a consequence that answers it, or the reason why it has none. An id "
        f"without a ruleset in front is one of `{LAW}`. Behind an id stand what it does, who shows it, and how far its "
        "source was read: where that is *from memory* or *inference*, check the current text before relying on it.", "",
        f"{len(law)} rows of the law, {sum(bool(row.by) for row in law)} answered; "
        f"{len(coverage.work_and_events)} kinds of work and events.", "",
        "## Why a row has no criterion", "", "| reason | rows |", "| --- | --- |",
    ]  # fmt: skip
    counted = Counter(row.none for row in coverage.rows() if row.none)
    lines.extend(f"| {sentence} | {counted[reason]} |" for reason, sentence in coverage.reasons.items())
    for chapter, rows in coverage.law.items():
        lines.extend(("", f"## {chapter}", "", _HEAD, "| --- | --- | --- | --- | --- | --- |"))
        lines.extend(_line(
            row.section, row.about, f"“{row.words}”" if row.words else "",
            "; ".join(part for part in (row.figure, row.boundary) if part), _read(row), _answer(row, coverage, entries),
        ) for row in rows)  # fmt: skip
    lines.extend(("", "## Work and events", "",
                  "What is doubtful is off, unless a host's circular asks for it.", "",
                  "| row | work or event | basis | answer |", "| --- | --- | --- | --- |"))  # fmt: skip
    lines.extend(
        _line(row.row, row.about, row.basis, _answer(row, coverage, entries)) for row in coverage.work_and_events
    )
    lines.extend(("", "## Words about which nothing is asked", "",
                  "Criteria that name a choice ask about each of its words, or say why not; where nobody knows, a "
                  "criterion says that no rule answers.", "",
                  "| ruleset | part | criterion | where | reason |", "| --- | --- | --- | --- | --- |"))  # fmt: skip
    lines.extend(dict.fromkeys(_not_asked(entries)))
    return "\n".join(lines) + "\n"


_HEAD = "| section | about | words | figure; defect when | how far read, in which text | answer |"

_Entry = Criterion | Consequence
_Entries = dict[str, dict[str, dict[str, _Entry]]]  # ruleset → edition, oldest first → id → entry


def _entries(library: Library, ruleset: str) -> dict[str, dict[str, _Entry]]:
    found: dict[str, dict[str, _Entry]] = {}
    for head in library.heads[ruleset]:
        edition = library.edition(ruleset, head.name)
        own: list[_Entry] = [*edition.criteria, *edition.consequences]
        found[edition.name] = {entry.id: entry for entry in own}
    return found


def _entry(entries: _Entries, name: str, edition: str) -> _Entry | None:
    """The entry of an edition, or the newest of that id."""
    editions = entries.get(name.split("/")[0], {})
    if edition and edition in editions:
        return editions[edition].get(name)
    return next((found[name] for found in reversed(editions.values()) if name in found), None)


def _answer(row: Row, coverage: Coverage, entries: _Entries) -> str:
    said = [f"none: {coverage.reasons.get(row.none, row.none)}"] if row.none else []
    for name in row.ids():
        entry = _entry(entries, name, row.edition)
        said.append(f"`{name.removeprefix(LAW + '/')}` ({'not there' if entry is None else _about(entry)})")
    return "<br>".join([*said, *([row.note] if row.note else [])])


def _about(entry: _Entry) -> str:
    if isinstance(entry, Consequence):
        return f"consequence; {_status(entry.source)}"
    return f"{entry.effect}; {entry.shown_by}; {_status(entry.source)}"


def _read(row: Row) -> str:
    return f"{row.status}: {row.text}" if row.text else row.status


def _status(source: Source) -> str:
    return f"{source.status} {source.year}".strip()


def _not_asked(entries: _Entries) -> Iterator[str]:
    """A line for each choice of each criterion: the words of one reason together."""
    for ruleset, editions in entries.items():
        for criterion in (entry for edition in editions.values() for entry in edition.values()):
            if not isinstance(criterion, Criterion):
                continue
            if isinstance(criterion.must, Unanswered) and criterion.when is not None:
                said = f"no rule at hand says {criterion.must.what}"
                yield _line(ruleset, criterion.of, f"`{criterion.name}`", clause_words(criterion.when), said)
            words: dict[tuple[str, str], list[str]] = {}
            for one in criterion.not_asked:
                words.setdefault((one.path, one.reason), []).append(one.word)
            for (path, reason), some in words.items():
                where = f"{path.replace('_', ' ')}: {', '.join(some)}"
                yield _line(ruleset, criterion.of, f"`{criterion.name}`", where, reason)


def _line(*cells: str) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in cells) + " |"


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(
            "Say which index: python -m carknocker.questions.rules_coverage.ask docs/coverage.yaml > docs/coverage.md"
        )
    sys.stdout.write(coverage_page(read_coverage(Path(sys.argv[1])), load_library(rulesets_folders())))
