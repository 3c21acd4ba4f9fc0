"""The appendix as a page of its own: what a stranger looks up after the sheets of the dossier, long lists folded."""

from collections.abc import Iterable

from msgspec.structs import replace

from carknocker.dossier.evidence import HistoryRow
from carknocker.dossier.missing import Missing
from carknocker.dossier.sheet_head import head_of
from carknocker.dossier.view import View, view_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import (
    Block,
    Bullets,
    Drawing,
    Emphasized,
    Entry,
    Item,
    Page,
    Paragraph,
    Rows,
    Section,
    texts_of,
)
from carknocker.questions.check.appendix import Appendix, KindRows, RuleApplied, appendix_of
from carknocker.questions.check.dossier_page import foot_of
from carknocker.questions.check.drawing_places import NamedSection, place_drawings
from carknocker.questions.check.full_table import full_table
from carknocker.questions.check.page import missing_blocks
from carknocker.questions.check.record_lines import line_words
from carknocker.questions.check.sheets.car_sheet import drawings_of_the_appendix
from carknocker.wording.glossary import terms_in
from carknocker.wording.limits import SIGNS_MEAN
from carknocker.wording.next_steps import BY_COMMAND, NextSteps

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


def appendix_page(
    answer: CheckAnswer,
    *,
    drawn: bool = False,
    everything: bool = False,
    index: JudgementIndex | None = None,
    steps: NextSteps = BY_COMMAND,
) -> Page:
    """The appendix of a dossier. drawn: with drawings, for media that show them. everything: with what does not apply,
    which else is only counted. index: of the same judgement, if one has been made already. steps: where it sends its
    reader on."""
    index = index or JudgementIndex(answer.judgement)
    view = view_of(answer, index)
    appendix = appendix_of(index)
    own: list[NamedSection] = [
        ("", _missing("Not measured, and asked for", view.items.missing)),
        ("criteria", _criteria(view, appendix)),
        ("", _not_applying(appendix, view, steps, everything=everything)),
        ("workings", _workings(appendix)),
        ("", _entries("Borderline: measure again", view.borderline)),
        ("", _entries("Advice: it does not change the outcome", view.advice)),
        ("", _missing("Advised, and not measured", view.advice_missing)),
        ("", _entries("Relieved: still so, but not counted against the car", view.relieved)),
        ("", _entries("Void evidence", view.void)),
        ("", _serials(appendix)),
        ("", history_section(appendix)),
        ("", evidence_section(appendix)),
        ("", _rules_in_force(view)),
        ("", _rules(appendix)),
    ]
    said = [section for _, section in own if section is not None]
    own.append(("", _glossary(said)))
    shown = place_drawings(own, drawings_of_the_appendix(_drawings(answer, index)) if drawn else ())
    verdict = Emphasized("APPENDIX", f" to the report on {answer.judgement.car.mark}: all that it rests on")
    head = replace(head_of(answer, view.blocker_count), numbered="A-")
    return Page(f"{view.car}: appendix", verdict, "plain", shown, head=head, foot=foot_of())


def _drawings(answer: CheckAnswer, index: JudgementIndex) -> tuple[Drawing, ...]:
    from carknocker.page.drawings.gallery import drawings

    return drawings(answer, index)


def _entries(heading: str, entries: tuple[Entry, ...]) -> Section | None:
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in entries)
    return Section(heading, items) if items else None


def _missing(heading: str, missing: Missing | None) -> Section | None:
    return None if missing is None else Section(heading, missing_blocks(missing), folded=True)


def _criteria(view: View, appendix: Appendix) -> Section:
    columns = ("Requirement", "Where", "Verdict", "Measured", "Margin", "Required")
    tables = (
        full_table(
            f"Requirements on {kind.parts}",
            columns,
            (
                (f"{row.title} ({row.place})", where, row.verdict, row.measured, row.margin, row.required)
                for row, where in zip(kind.rows, _where(kind), strict=True)
            ),
        )
        for kind in appendix.criteria
    )
    return Section(
        "Every requirement, part by part", (Paragraph(f"{view.summary.sentence} {SIGNS_MEAN}"), *tables), folded=True
    )


def _where(kind: KindRows) -> tuple[str, ...]:
    """The parts of each row; empty if every row is about all the parts that the caption names."""
    parts = tuple(row.parts for row in kind.rows)
    return ("",) * len(parts) if set(parts) == {kind.parts} else parts


def _not_applying(appendix: Appendix, view: View, steps: NextSteps, *, everything: bool) -> Section | None:
    if not everything:
        count = dict(view.summary.verdicts)["not applicable"]
        told = f"{count:,} findings: {steps.everything}."
        return Section("What does not apply to this car", (Paragraph(told),)) if count else None
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in appendix.not_applying)
    return Section("What does not apply to this car, and why", items, folded=True) if items else None


def _workings(appendix: Appendix) -> Section | None:
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in appendix.workings)
    return Section("Worked figures: those that no gauge reads", items) if items else None


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
        "Each requirement that applied and each consequence that followed, by edition and by how its source was read. "
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
