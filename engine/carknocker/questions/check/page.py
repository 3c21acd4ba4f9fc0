"""The check as a page: blockers first, then what the car may do, then what the answer rests on.

The short page is for someone standing beside the car. The long one, with the appendix, is for a stranger who believes
only what he can look up.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from carknocker.dossier.blockers import Blocker
from carknocker.dossier.during_the_move import LapsingDay
from carknocker.dossier.inspector import InspectorItem
from carknocker.dossier.missing import Missing, MissingRow, UnlistedKind
from carknocker.dossier.restrictions import RestrictionGroup, RestrictionLines
from carknocker.dossier.view import View, view_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import (
    Block,
    Bullets,
    Drawing,
    Entry,
    Item,
    Page,
    Paragraph,
    Rows,
    Section,
    Table,
    tone_of,
)
from carknocker.questions.check.drawing_places import NamedSection, of_appendix, place_drawings
from carknocker.questions.check.photograph_section import photograph_section
from carknocker.wording.parts import joined_labels


def blocking_section(view: View) -> Section | None:
    """Blockers, what is not shown, and what is against the move, in one numbering. None if there is nothing."""
    items = [_blocker(blocker, number) for number, blocker in enumerate(view.blockers, start=1)]
    if view.missing is not None:
        items.append(_missing_item(view.missing, len(items) + 1))
    against = [_blocker(one, number) for number, one in enumerate(view.against_the_move, start=len(items) + 1)]
    blocks: list[Block | Item] = [*items]
    if against:
        blocks.append(Paragraph("Against the move, cleared by changing the move:", strong=True))
        blocks.extend(against)
    return Section("What keeps this car from moving", tuple(blocks)) if blocks else None


def _blocker(blocker: Blocker, number: int) -> Item:
    rows: list[tuple[str, str]] = []
    one_part = len({one.parts for one in blocker.measured}) == 1
    for one in blocker.measured:
        text = one.measured if one_part else f"{one.parts}: {one.measured}"
        if one.margin:
            text += f", {one.margin}"
        if one.evidence:
            text += f"; {one.evidence}"
        rows.append(("measured", text))
    rows.extend(("because", reason) for reason in blocker.why)
    rows.append(("required", blocker.required))
    if blocker.source:
        rows.append(("source", blocker.source))
    rows.append(("stops", blocker.stops))
    rows.extend(("clears", remedy) for remedy in blocker.clears)
    rows.extend(("repair move", leave) for leave in blocker.leave)
    return Item(blocker.fault.text, (Rows(tuple(rows)),), number)


def missing_blocks(missing: Missing) -> tuple[Block, ...]:
    """What is to be measured or shown, grouped by the access it takes."""
    blocks: list[Block] = []
    if missing.unlisted:
        blocks.append(Paragraph(f"Parts that must be there ({len(missing.unlisted):,})", strong=True))
        blocks.append(Bullets(unlisted_lines(missing.unlisted)))
    for group in missing.groups:
        blocks.append(Paragraph(f"{group.heading} ({group.count:,})", strong=True))
        blocks.append(Bullets(tuple(_missing_line(row) for row in group.rows)))
    wanted = f"{missing.criteria:,} criteri{'on' if missing.criteria == 1 else 'a'} can't be judged without them."
    more = " Some only tell whether a criterion applies: once they are known, more may be asked for."
    blocks.append(Paragraph(wanted + (more if missing.more_may_follow else "")))
    return tuple(blocks)


def unlisted_lines(unlisted: tuple[UnlistedKind, ...]) -> tuple[str, ...]:
    """One line for each kind of part in a container; containers of which the same is to be said are together."""
    alike: dict[str, list[str]] = {}
    for one in unlisted:
        alike.setdefault(one.words, []).append(one.container)
    return tuple(f"{joined_labels(parts)}: {words}" for words, parts in alike.items())


def _missing_line(row: MissingRow) -> str:
    reason = f" ({row.reason})" if row.reason else ""
    return ". ".join((f"{row.parts}: {'; '.join(row.attributes)}{reason}", *row.write))


def _missing_item(missing: Missing, number: int) -> Item:
    rows = [("stops", missing.stops)]
    if missing.unlisted:
        rows.append(("clears", "count and describe them in the record; `carknocker new --add` writes the places"))
    if missing.readings:
        rows.append(("clears", "read them and put them on a dated sheet, with who and which gauge"))
    if missing.tests or missing.papers:
        rows.append(("clears", "have the tests made and the papers put on record"))
    if missing.statements:
        rows.append(("clears", "say it in the move file"))
    return Item(_sentence_case(missing.title), (*missing_blocks(missing), Rows(tuple(rows))), number)


def _sentence_case(text: str) -> str:
    return text[:1].upper() + text[1:]


if TYPE_CHECKING:
    from carknocker.documents.pictures import SmallPicture
    from carknocker.questions.check.appendix import Appendix

_WHAT_THIS_IS = (
    "This page holds the car's record, which its owner keeps, against the rules named above. Each figure says who read "
    "it and when; each rule gives the sentence that it rests on. What nobody measured reads “not shown” and is never "
    "guessed.",
    "It is an aid to qualified people. It decides nothing and signs nothing: the host's mechanical department decides, "
    "and a signature is a person's. The last section tells how to work the page out again.",
)


def page_of(
    view: View, appendix: "Appendix | None" = None, drawings: Sequence[Drawing] = (),
    pictures: "Mapping[str, SmallPicture] | None" = None,
) -> Page:  # fmt: skip
    """The short page of a view; with what the appendix is made from, the long one, which is the dossier without its
    appendix. drawings: each is put into its own section. pictures: of photographs, by their files. Empty sections are
    left out."""
    whole = appendix is not None
    sections: list[NamedSection] = [
        ("move", _move(view, whole)),
        ("", Section("What this page is", tuple(map(Paragraph, _WHAT_THIS_IS))) if whole else None),
        ("blockers", blocking_section(view)),
        ("", photograph_section(view.photographs, pictures or {})),
        ("restrictions", _restrictions(view.restrictions)),
        ("", _entries("During the move: duties by leg", view.on_the_way)),
        ("margins", None),
        ("lapses", _lapses(view.lapses, whole)),
        ("", _entries("Borderline: measure again", view.borderline)),
        ("", _advice(view, whole)),
        ("", _entries("Relieved: it stays what it is, and does not count against the car", view.relieved)),
        ("", _entries("Void evidence", view.void)),
        ("", _entries("Spares that would not serve", view.spares)),
        ("inspector", _inspector(view.for_the_inspector, whole)),
    ]
    cautions = Section("Cautions", (Bullets(view.cautions),))
    if appendix is None:
        sections += [("", _rests_on(view)), ("", cautions)]
    else:
        from carknocker.questions.check.appendix_page import record_sections

        sections += record_sections(view, appendix, cautions)
    beside = tuple(f"{statement.words}." for statement in view.first_page)
    shown = place_drawings(sections, drawings)
    tone = tone_of(view.outcome, complete=view.complete)
    return Page(view.car, view.outcome_line, tone, shown, brief=True, beside=beside)


def _move(view: View, whole: bool) -> Section:
    rules = (
        (line.layer, f"{line.title if whole else line.name}: {line.in_force}; {line.checked}" + line.warning)
        for line in view.rulebook
    )
    blocks: list[Block | Item] = [Rows((*view.move, *rules))]
    if view.regime:
        blocks.append(Paragraph(view.regime))
    blocks.extend(Paragraph(note, strong=True) for note in view.notes)
    return Section("The move", tuple(blocks))


def _restrictions(groups: tuple[RestrictionGroup, ...]) -> Section | None:
    items = [
        Item(
            f"{group.heading}: {group.in_all}",
            (Rows(tuple(row for one in group.restrictions for row in _restriction_rows(one, group.in_all))),),
        )
        for group in groups
    ]
    return Section("Restrictions", tuple(items)) if items else None


def _restriction_rows(one: RestrictionLines, in_all: str) -> Iterable[tuple[str, str]]:
    if one.words != in_all:
        yield "restricts", one.words
    yield from one.lines


def _entries(heading: str, entries: tuple[Entry, ...]) -> Section | None:
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in entries)
    return Section(heading, items) if items else None


def _lapses(days: tuple[LapsingDay, ...], whole: bool) -> Section | None:
    """All that lapses; on the short page, what lapses before the return and on the first day after it."""
    entries = tuple(Entry(one.title, one.lines) for one in days)
    soon = [one for one in days if one.before_the_return]
    shown = len(entries) if whole else len(soon) + 1
    section = _entries("What lapses when", entries[:shown])
    if section is None or shown >= len(entries):
        return section
    more = len(entries) - shown
    told = f"{more} later day{'' if more == 1 else 's'}: see `--full`, or `carknocker due`."
    return Section(section.heading, (*section.blocks, Paragraph(told)))


def _advice(view: View, whole: bool) -> Section | None:
    blocks: list[Block | Item] = [Item(entry.title, (Bullets(entry.lines),)) for entry in view.advice]
    missing = view.advice_missing
    if missing is not None and whole:
        blocks.append(Item(f"Advised and {missing.title}", missing_blocks(missing)))
    elif missing is not None:
        blocks.append(Paragraph(f"Advised and {missing.counts}: see `--full`, or `carknocker worksheet`."))
    return Section("Advice: it does not change the outcome", tuple(blocks)) if blocks else None


def _inspector(looks: tuple[InspectorItem, ...], whole: bool) -> Section | None:
    """The list; on the short page, what nobody read or what is bad, and how many things there are beside."""
    if not looks:
        return None
    lead = Paragraph("The owner's latest reading stands beside each; what he finds on the day is what counts.")
    heading = "What the host's inspector will look at on the day"
    if not whole:
        items = tuple(
            f"{look.title} ({look.section}): {'; '.join(f'{parts}, {words}' for parts, words in look.readings)}"
            for look in looks
            if not look.all_read
        )
        read = len(looks) - len(items)
        things = f"{read} {'more ' * bool(items)}thing{'' if read == 1 else 's'}"
        more = f"Of {things} the record has a reading, none beyond its limit"
        blocks = (
            lead,
            *((Bullets(items),) if items else ()),
            *((Paragraph(f"{more}: see `--full`."),) if read else ()),
        )
        return Section(heading, blocks)
    columns = ("What he looks at", "Where", "Required", "Owner's latest reading", "Found on the day")
    rows = tuple(
        (f"{look.title} ({look.section})", parts, look.required, words, "")
        for look in looks
        for parts, words in look.readings
    )
    return Section(heading, (lead, Table("The inspector's own list", columns, rows)))


def _rests_on(view: View) -> Section:
    blocks: list[Block | Item] = [Paragraph(view.summary.sentence)]
    if view.sources.to_check:
        blocks.append(Paragraph(view.sources.to_check_sentence))
    blocks.append(
        Paragraph(
            "`--full` adds history, tests, evidence and digests. `--appendix` writes a second file: every criterion "
            "with its margin, workings, serials, the rules quoted."
        )
    )
    return Section("What this rests on", tuple(blocks))


def whole_page(
    answer: CheckAnswer, *, drawn: bool = False, pictures: "Mapping[str, SmallPicture] | None" = None
) -> Page:
    """The dossier as a page. drawn: with drawings, for media that show them. pictures: the
    photographs that such a medium shows, by their files."""
    from carknocker.questions.check.appendix import appendix_of  # the short page, the usual one, starts without it

    index = JudgementIndex(answer.judgement)
    view = view_of(answer, index)
    shown = [one for one in _drawings(answer, index, view) if not of_appendix(one.name)] if drawn else ()
    return page_of(view, appendix_of(index), shown, pictures)


def appendix_page(answer: CheckAnswer, *, everything: bool = False, drawn: bool = False) -> Page:
    """The appendix as a page of its own. everything: with what does not apply. drawn: with drawings."""
    from carknocker.questions.check.appendix import appendix_of
    from carknocker.questions.check.appendix_page import appendix_sections

    index = JudgementIndex(answer.judgement)
    view, appendix = view_of(answer, index), appendix_of(index)
    sections = appendix_sections(view, appendix, page_of(view, appendix).sections, everything=everything)
    shown = [one for one in _drawings(answer, index, view) if of_appendix(one.name)] if drawn else ()
    tone = tone_of(view.outcome, complete=view.complete)
    return Page(f"{view.car}: appendix", view.outcome_line, tone, place_drawings(sections, shown))


def _drawings(answer: CheckAnswer, index: JudgementIndex, view: View) -> tuple[Drawing, ...]:
    """The drawings, with the numbers that faults have on the page."""
    from carknocker.page.drawings.fault_numbers import FaultNumbers
    from carknocker.page.drawings.gallery import drawings

    numbers = {
        rule: number
        for number, one in reversed(tuple(enumerate(view.blockers, start=1)))
        for rule in one.criterion.split(", ")
    }
    return drawings(answer, index, FaultNumbers.by_rule(answer.judgement.refusals, numbers))
