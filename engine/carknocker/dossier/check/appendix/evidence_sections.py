"""History, tests and evidence laid out: each entry with the line of the record that says it."""

from carknocker.dossier.check.appendix.appendix import Appendix
from carknocker.dossier.check.appendix.history import HistoryRow
from carknocker.dossier.check.appendix.tables import full_table, line_words
from carknocker.dossier.writing.page import Block, Item, Paragraph, Section

_RECORD = "In the record"


def history_section(appendix: Appendix) -> Section | None:
    """Work, events, tests and moves made, newest first; what came after the last test is said first."""
    if not appendix.history:
        return None
    late = [f"{row.what}, {row.on}" for row in appendix.history if row.after_last_test]
    lead = f"After the last test on record: {'; '.join(late)}." if late else "No work and no event since the last test."
    columns = ("Date", "Entry", "What", "Where", "By or for", "Mark", _RECORD)
    rows = (
        (row.on, row.sort, row.what, row.where, row.by, _mark(row), line_words(row.at, appendix.file))
        for row in appendix.history
    )
    table = full_table(f"Newest first; lines are those of {appendix.file}", columns, rows)
    return Section("Work, events and tests by date", (Paragraph(lead, strong=bool(late)), table))


def _mark(row: HistoryRow) -> str:
    marks = ["AFTER THE LAST TEST"] if row.after_last_test else []
    marks.extend(f"made void: {test}" for test in row.void)
    return "; ".join(marks)


def tests_section(appendix: Appendix) -> Section | None:
    """Each test with its signer, whether the host accepts him, code, device and its due date."""
    columns = (
        "Test", "Date and result", "Signed by", "Accepted by the host", "Code and device", "Paper and more",
        "Does it count?", _RECORD,
    )  # fmt: skip
    rows = (
        (
            f"{row.test}: {row.parts}",
            f"{row.on}, {row.result}",
            row.signed_by,
            row.accepted,
            "; ".join(word for word in (row.code and f"code {row.code}", row.device) if word),
            row.more,
            row.counts,
            line_words(row.at, appendix.file),
        )
        for row in appendix.tests
    )
    table = full_table(f"Newest first; lines are those of {appendix.file}", columns, rows)
    return Section("Tests, and who signed them", (table,)) if table.rows else None


def evidence_section(appendix: Appendix) -> Section | None:
    """The readings sheet by sheet, and the papers."""
    blocks: list[Block | Item] = []
    if appendix.sheets:
        columns = ("Date", "Read by", "Gauge", "Readings", "Of", _RECORD)
        rows = (
            (row.on, row.by, row.gauge or "none named", _count(row.readings, row.not_counted), row.parts,
             line_words(row.at, appendix.file))
            for row in appendix.sheets
        )  # fmt: skip
        caption = f"Readings, sheet by sheet, newest first; lines are those of {appendix.file}"
        blocks.append(full_table(caption, columns, rows))
    if appendix.papers:
        papers = (
            (row.paper, row.signed, row.until, row.more, line_words(row.at, appendix.file)) for row in appendix.papers
        )
        blocks.append(full_table("Papers on record", ("Paper", "Signed", "Until", "More", _RECORD), papers))
    return Section("Evidence: who read what, when, with which gauge", tuple(blocks)) if blocks else None


def _count(readings: int, not_counted: int) -> str:
    return f"{readings:,}" + (f", of which {not_counted:,} do not count" if not_counted else "")
