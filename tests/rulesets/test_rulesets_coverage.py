"""The coverage page: nothing of the law is left open, every id exists, and the page is that of today's editions."""

import re
from collections import Counter
from pathlib import Path

from carknocker.questions.rules_coverage.ask import Row, coverage_page, read_coverage, unaccounted
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.model import Consequence, Criterion

DOCS = Path(__file__).resolve().parents[2] / "docs"
COVERAGE = read_coverage(DOCS / "coverage.yaml")
LIBRARY = load_library(rulesets_folders())
LAW = LIBRARY.edition("us-federal", "2020")


def test_no_row_is_open_and_every_id_exists() -> None:
    assert unaccounted(COVERAGE, LIBRARY) == ()


def test_the_page_is_current() -> None:
    """Where this fails: `python -m carknocker.questions.rules_coverage.ask docs/coverage.yaml > docs/coverage.md`."""
    assert (DOCS / "coverage.md").read_text(encoding="utf-8") == coverage_page(COVERAGE, LIBRARY)


def test_each_chapter_has_all_its_rows() -> None:
    """Counted in the sections themselves: a wheel condition has up to four texts, a safety appliance up to three."""
    assert {chapter: len(rows) for chapter, rows in COVERAGE.law.items()} == {
        "Where the law names a private car": 9,
        "Wheels": 62,
        "Axles, journals, bearings": 18,
        "Trucks, springs, side bearings, couplers, body": 34,
        "Structural figures": 6,
        "Brakes in a passenger train": 30,
        "Intervals of brake maintenance": 9,
        "Periodic and daily inspections": 33,
        "Brakes in a freight or other non-passenger train": 34,
        "Excursions on the general system (subpart H)": 14,
        "Moving a car with a defect; tags": 34,
        "Safety appliances": 37,
        "Other parts": 26,
        "Lifting (29 CFR)": 11,
        "Canada: passenger cars, part II": 22,
    }


def test_every_row_says_how_far_its_text_was_read() -> None:
    known = ("read", "read again later", "name read", "from memory")
    assert [row.about for rows in COVERAGE.law.values() for row in rows if row.status not in known] == []


def test_what_was_read_says_in_which_text() -> None:
    """An annual edition, a text before or since a day, or an amendment by its page in the Federal Register; of the
    Code, the laws in effect on a day, or that its copy prints none."""
    form = re.compile(
        r"\b(annual edition|last amended \d+ FR \d+|(before|since) Dec\. 11, 2020|laws in effect|United States Code"
        r"|TC O-0-26)\b"
    )
    rows = [row for rows in COVERAGE.law.values() for row in rows]
    wrong = [row for row in rows if bool(form.search(row.text)) is (row.status == "from memory")]
    assert [(row.section, row.status, row.text) for row in wrong] == []


def test_every_criterion_of_the_law_answers_a_row() -> None:
    """What a defect stops is a chapter of its own and answers no single row."""
    answered = {name for row in COVERAGE.rows() for name in row.ids()}
    entries = [*LAW.criteria, *LAW.consequences, *LIBRARY.edition("us-federal", "2015").criteria]
    assert {entry.id for entry in entries if not entry.name.endswith("-stops-the-car")} - answered == set()


def _roots(text: str) -> set[str]:
    """The sections named: `238.303(e)(8)(i)` → 238.303."""
    return set(re.findall(r"\d{3,4}\.\d+", text))


def _entries(row: Row) -> list[Criterion | Consequence]:
    editions = [LIBRARY.edition(ruleset, head.name) for ruleset, heads in LIBRARY.heads.items() for head in heads]
    named = {
        entry.id: entry for edition in editions for entry in (*edition.criteria, *edition.consequences)
        if not row.edition or edition.ruleset != "us-federal" or edition.name == row.edition
    }  # fmt: skip
    return [named[name] for name in row.ids()]


def test_what_answers_a_row_cites_its_section() -> None:
    """By itself, or, where it stands for another text with the same figure, in the note of one of the two."""
    strangers = [
        f"{row.section} {row.about}: {[entry.id for entry in _entries(row)]}"
        for rows in COVERAGE.law.values() for row in rows
        if row.by and _roots(row.section) and not any(
            _roots(row.section) & _roots(f"{entry.source.document} {entry.source.section} {entry.source.note}")
            for entry in _entries(row)
        )
    ]  # fmt: skip
    assert strangers == []


def test_all_kinds_of_work_and_events_are_there() -> None:
    assert Counter(row.row for row in COVERAGE.work_and_events) == Counter(str(number) for number in range(1, 46))
