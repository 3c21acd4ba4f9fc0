"""What a stranger looks up: the sections at the end of a dossier, and those of its appendix, long lists folded."""

from collections.abc import Iterable

from carknocker.dossier.evidence import HistoryRow
from carknocker.dossier.view import View
from carknocker.page.model import Block, Bullets, Item, Paragraph, Rows, Section, Table, texts_of
from carknocker.questions.check.appendix import Appendix, KindRows, RuleApplied
from carknocker.questions.check.drawing_places import NamedSection
from carknocker.wording.glossary import terms_in
from carknocker.wording.limits import SIGNS_MEAN
from carknocker.wording.sources import FilePlaces


def full_table(caption: str, columns: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Table:
    """A table without its empty columns. The first column always stays."""
    listed = list(rows)
    kept = [number for number in range(len(columns)) if number == 0 or any(row[number] for row in listed)]
    return Table(
        caption,
        tuple(columns[number] for number in kept),
        tuple(tuple(row[number] for number in kept) for row in listed),
    )


def line_words(at: FilePlaces, file: str) -> str:
    """`line 12` or `lines 12–40` of the file; a place in another file also with that file's name."""
    if [one.file for one in at.stretches] != [file]:
        return str(at)
    (one,) = at.stretches
    return f"line {one.first}" if one.first == one.last else f"lines {one.first}–{one.last}"


_RECORD = "In the record"


def history_section(appendix: Appendix) -> Section | None:
    """Work, events, tests and moves made, newest first, headed by what came after the last test."""
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
    """Each test with its signer, whether the host accepts the signer, code, device and due date."""
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


def record_sections(view: View, appendix: Appendix, cautions: Section) -> list[NamedSection]:
    """The sections of a dossier after the inspector's list, in order."""
    return [
        ("", tests_section(appendix)),
        ("", evidence_section(appendix)),
        ("", history_section(appendix)),
        ("", _rules_in_force(view)),
        ("", cautions),
        ("", _recheck(appendix)),
    ]


def appendix_sections(
    view: View, appendix: Appendix, before: Iterable[Section], *, everything: bool
) -> list[NamedSection]:
    """The sections of the appendix, in order. before: the sections of the dossier, whose trade terms are to be
    explained too. everything: with what does not apply, which else is only counted."""
    own: list[NamedSection] = [
        ("", _criteria(view, appendix)),
        ("", _not_applying(appendix, view, everything=everything)),
        ("workings", _workings(appendix)),
        ("", _serials(appendix)),
        ("", _rules(appendix)),
    ]
    said = [section for _, section in own if section is not None]
    return [*own, ("", _glossary([*before, *said])), ("", _recheck(appendix))]


def _criteria(view: View, appendix: Appendix) -> Section:
    columns = ("Criterion", "Where", "Verdict", "Measured", "Margin", "Required")
    tables = (
        full_table(
            f"Criteria on {kind.parts}",
            columns,
            (
                (f"{row.title} ({row.place})", where, row.verdict, row.measured, row.margin, row.required)
                for row, where in zip(kind.rows, _where(kind), strict=True)
            ),
        )
        for kind in appendix.criteria
    )
    return Section(
        "Every criterion, part by part", (Paragraph(f"{view.summary.sentence} {SIGNS_MEAN}"), *tables), folded=True
    )


def _where(kind: KindRows) -> tuple[str, ...]:
    """The parts of each row; empty if every row is about all the parts that the caption names."""
    parts = tuple(row.parts for row in kind.rows)
    return ("",) * len(parts) if set(parts) == {kind.parts} else parts


def _not_applying(appendix: Appendix, view: View, *, everything: bool) -> Section | None:
    if not everything:
        count = dict(view.summary.verdicts)["not applicable"]
        told = f"{count:,} findings: `--all` lists them, each with its reason."
        return Section("What does not apply to this car", (Paragraph(told),)) if count else None
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in appendix.not_applying)
    return Section("What does not apply to this car, and why", items, folded=True) if items else None


def _workings(appendix: Appendix) -> Section | None:
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in appendix.workings)
    return Section("Workings: figures that no gauge reads", items) if items else None


def _serials(appendix: Appendix) -> Section | None:
    if not appendix.serials:
        return None
    columns = ("Part", "Axle", "Serial or mark", "Class and kind", "Maker", "Made", "Dates")
    rows = (
        (row.part, row.axle, row.serial or "not recorded", row.sort, row.maker, row.made, row.dates)
        for row in appendix.serials
    )
    return Section("Serials, axle by axle", (full_table("As the car's record writes them", columns, rows),))


def _rules_in_force(view: View) -> Section:
    editions = ((line.layer, line.title, line.in_force, line.checked + line.warning) for line in view.rulebook)
    columns = ("Layer", "Edition", "In force", "Its text")
    blocks: list[Block | Item] = [
        full_table("Editions that bind this move", columns, editions),
        Item(view.sources.title, (Bullets(view.sources.lines),)),
    ]
    return Section("Rules in force", tuple(blocks))


def _rules(appendix: Appendix) -> Section | None:
    groups: dict[str, dict[tuple[str, str], list[str]]] = {}
    for rule in appendix.rules:
        sentences = groups.setdefault(", ".join(filter(None, (rule.edition, _read(rule)))), {})
        sentences.setdefault((rule.words, rule.place), []).append(rule.title)
    items = tuple(
        Item(group, (Bullets(tuple(_rule(sentence, titles) for sentence, titles in sentences.items())),))
        for group, sentences in groups.items()
    )
    lead = Paragraph(
        "Each criterion that applied and each consequence that followed, by edition and by how its source was read. "
        "Rules that rest on one sentence stand together."
    )
    heading = "Every rule that judged this car, with its words"
    return Section(heading, (lead, *items), folded=True) if items else None


def _rule(sentence: tuple[str, str], titles: list[str]) -> str:
    words, place = sentence
    said = f": “{words}”" if words else ""
    return f"{'; '.join(titles)}{said} ({place})"


def _read(rule: RuleApplied) -> str:
    words = ", ".join(filter(None, (rule.year, rule.status)))
    return f"text of {words}" if rule.year else words


def _glossary(sections: Iterable[Section]) -> Section:
    terms = terms_in(texts_of(sections))
    return Section("Words used here", (Rows(tuple((term.term, term.said) for term in terms)),), folded=True)


def _recheck(appendix: Appendix) -> Section:
    recheck = appendix.recheck
    told = (
        f"Made by {recheck.program}. The same files, rules and day give this page again, letter by letter. The first "
        "command writes the dossier as JSON. The second works it out again from the two files, and says “identical” "
        "or what differs."
    )
    return Section(
        "Work it out again",
        (
            Paragraph(told),
            Rows((("make", recheck.make), ("re-check", recheck.check))),
            Item("SHA-256 digests of what was read", (Rows(recheck.digests),)),
        ),
    )
