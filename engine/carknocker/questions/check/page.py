"""The check as a short page for a terminal: what keeps the car from moving first, then what the car may do, then what
the answer rests on.

It is for someone standing beside the car. The dossier (`dossier_page.py`) and its appendix are for a stranger who
believes only what he can look up.
"""

from collections import Counter
from collections.abc import Iterable

from carknocker.dossier.blockers import Blocker
from carknocker.dossier.during_the_move import LapsingDay
from carknocker.dossier.inspector import NO_READING, InspectorItem
from carknocker.dossier.missing import Missing, MissingRow, UnlistedKind
from carknocker.dossier.restrictions import RestrictionGroup, RestrictionLines
from carknocker.dossier.view import View
from carknocker.page.model import (
    Block,
    Bullets,
    Entry,
    FaultRow,
    FaultRows,
    Item,
    Page,
    Paragraph,
    Rows,
    Section,
    tone_of,
)
from carknocker.questions.check.photograph_section import photograph_section
from carknocker.wording.parts import joined_labels
from carknocker.wording.phrases import counted


def blocking_section(view: View) -> Section | None:
    """Blockers, what is not shown, and what is against the move, in one numbering. None if there is nothing."""
    blocks: list[Block | Item] = [_item(one, number) for number, one in enumerate(view.items.of_the_car, start=1)]
    if view.items.against_the_move:
        after = len(blocks) + 1
        blocks.append(Paragraph("Against the move, cleared by changing the move:", strong=True))
        blocks.extend(_item(one, number) for number, one in enumerate(view.items.against_the_move, start=after))
    return Section("What keeps this car from moving", tuple(blocks)) if blocks else None


def _item(item: Blocker | Missing, number: int) -> Item:
    return _missing_item(item, number) if isinstance(item, Missing) else _blocker(item, number)


def _blocker(blocker: Blocker, number: int) -> Item:
    rows: list[tuple[str, str]] = []
    one_part = len({one.parts for one in blocker.measured}) == 1
    for one in blocker.measured:
        text = one.measured if one_part else f"{one.parts}: {one.measured}"
        if one.margin:
            text += f", {one.margin}"
        if one.evidence:
            text += f"; {one.evidence}"
        rows.append(("found" if blocker.verdict == "duty not done" else "measured", text))
    rows.extend(("because", reason) for reason in blocker.why)
    rows.append(("required", blocker.required))
    if blocker.source:
        rows.append(("source", blocker.source))
    if blocker.stops != "the car":
        rows.append(("stops", blocker.stops))
    rows.extend(("clears", remedy) for remedy in blocker.clears)
    rows.extend(("write it", place) for place in blocker.write)
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
    wanted = f"{counted(missing.criteria, 'requirement')} can't be judged without them."
    more = " Some only tell whether a requirement applies: once they are known, more may be asked for."
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
    if missing.descriptions:
        rows.append(("clears", "say what each part is; `carknocker new --add` asks for it and writes its place"))
    if missing.readings > missing.descriptions:
        rows.append(("clears", "read them and put them on a dated sheet, with who and which gauge"))
    if missing.tests or missing.papers:
        rows.append(("clears", "have the tests made and the papers put on record"))
    if missing.statements:
        rows.append(("clears", "say it in the move file"))
    return Item(_sentence_case(missing.title), (*missing_blocks(missing), Rows(tuple(rows))), number)


def _sentence_case(text: str) -> str:
    return text[:1].upper() + text[1:]


def page_of(view: View) -> Page:
    """The short page of a view, for someone standing beside the car: what keeps it from moving in short, before all
    else. Empty sections are left out."""
    blocking = blocking_section(view)
    sections = (
        _in_short(view),
        _move(view),
        blocking,
        photograph_section(view.photographs, {}),
        _restrictions(view.restrictions),
        _entries("During the move: duties by leg", view.on_the_way),
        _lapses(view.lapses),
        _entries("Borderline: measure again", view.borderline),
        _advice(view),
        _entries("Relieved: still so, but not counted against the car", view.relieved),
        _entries("Void evidence", view.void),
        _entries("Spares not fit for use", view.spares),
        _inspector(view.for_the_inspector),
        _rests_on(view),
        Section("Cautions", (Bullets(view.cautions),)),
    )
    beside = tuple(f"{one.words}." for one in view.first_page if one.at_once)
    tone = tone_of(view.outcome, complete=view.complete)
    shown = tuple(one for one in sections if one is not None)
    return Page(view.car, view.outcome_line, tone, shown, beside=beside)


def _in_short(view: View) -> Section | None:
    """A line for each item that keeps the car from moving, before all else."""
    of_the_car, of_the_move = view.items.of_the_car, view.items.against_the_move
    faults = Counter((one.fault.subject, one.fault.short_words) for one in of_the_car if not isinstance(one, Missing))
    rows = []
    for number, one in enumerate(of_the_car, start=1):
        if isinstance(one, Missing):
            rows.append(FaultRow(number, "Not measured", one.counted))
            continue
        rows.append(_row_of(number, one, apart=faults[one.fault.subject, one.fault.short_words] > 1))
    rows.extend(_row_of(number, one) for number, one in enumerate(of_the_move, start=len(rows) + 1))
    return Section("In short", (FaultRows(tuple(rows)),)) if rows else None


def _row_of(number: int, blocker: Blocker, *, apart: bool = False) -> FaultRow:
    """In the words of the first sheet. apart: another says the same of the same parts, and what is asked tells them
    apart."""
    fault = blocker.fault
    asked = f"; asked: {blocker.required}" if apart else ""
    return FaultRow(number, _sentence_case(fault.subject), f"{fault.short_words}{asked}", blocker.binds)


def _move(view: View) -> Section:
    rules = (
        (line.layer, f"{line.name}: {line.in_force}; {line.checked}" + line.warning) for line in view.rulebook
    )  # fmt: skip
    blocks: list[Block | Item] = [Rows((*view.move, *rules))]
    blocks.extend(Paragraph(note, strong=True) for note in view.notes)
    return Section("The move", tuple(blocks))


def _restrictions(groups: tuple[RestrictionGroup, ...]) -> Section | None:
    items = [
        Item(
            group.headline,
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


def _lapses(days: tuple[LapsingDay, ...]) -> Section | None:
    """What lapses before the return and on the first day after it."""
    entries = tuple(Entry(one.title, one.lines) for one in days)
    soon = [one for one in days if one.before_the_return]
    shown = len(soon) + 1
    section = _entries("What lapses when", entries[:shown])
    if section is None or shown >= len(entries):
        return section
    more = len(entries) - shown
    told = f"{more} later day{'' if more == 1 else 's'}: see `--full`, or `carknocker due`."
    return Section(section.heading, (*section.blocks, Paragraph(told)))


def _advice(view: View) -> Section | None:
    blocks: list[Block | Item] = [Item(entry.title, (Bullets(entry.lines),)) for entry in view.advice]
    missing = view.advice_missing
    if missing is not None:
        blocks.append(Paragraph(f"Advised and {missing.counts}: see `carknocker worksheet`."))
    return Section("Advice: it does not change the outcome", tuple(blocks)) if blocks else None


def _inspector(looks: tuple[InspectorItem, ...]) -> Section | None:
    """What nobody read or what is bad, with common practice that nobody read in full in one line, and how many items
    there are beside."""
    if not looks:
        return None
    lead = Paragraph("The owner's latest reading stands beside each; what he finds is what counts.")
    unread = [look for look in looks if not look.all_read]
    practice = [look for look in unread if look.of_practice and not look.beyond_limit]
    items = tuple(
        f"{look.title} ({look.section}): {'; '.join(f'{parts}, {words}' for parts, words in look.readings)}"
        for look in unread
        if look not in practice
    )
    if practice:
        told = "; ".join(f"{look.title} ({', '.join(_not_read(look))})" for look in practice)
        items = (*items, f"Common practice, not read in full: {told}")
    read = len(looks) - len(unread)
    things = f"{read} {'more ' * bool(items)}item{' has' if read == 1 else 's have'}"
    more = f"{things} a reading on record, none of them beyond its limit: `--appendix` lists them."
    blocks = (lead, *((Bullets(items),) if items else ()), *((Paragraph(more),) if read else ()))
    return Section("Items left for the host's inspector", blocks)


def _not_read(look: InspectorItem) -> list[str]:
    """The parts of which nobody read anything; all of them where each was read in part."""
    return [parts for parts, words in look.readings if words == NO_READING] or [parts for parts, _ in look.readings]


def _rests_on(view: View) -> Section:
    blocks: list[Block | Item] = []
    told = tuple(f"{one.words}." for one in view.first_page if not one.at_once)
    if told:
        blocks.append(Bullets(told))
    blocks.append(Paragraph(view.summary.sentence))
    if view.sources.to_check:
        blocks.append(Paragraph(view.sources.to_check_sentence))
    blocks.append(Paragraph("`--full` gives the dossier in eight sheets; `--appendix` the rest, as a second file."))
    return Section("What this rests on", tuple(blocks))
