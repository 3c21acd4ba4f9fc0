"""The view laid out as a page: blockers first, then what the car may do, then what it all rests on."""

from collections.abc import Iterable

from carknocker.dossier.check.blockers import Blocker
from carknocker.dossier.check.entries import Entry
from carknocker.dossier.check.heading import EditionLine
from carknocker.dossier.check.inspector import Look
from carknocker.dossier.check.missing import Missing
from carknocker.dossier.check.train_limits import RestrictionGroup
from carknocker.dossier.check.view import View
from carknocker.dossier.writing.page import Block, Bullets, Item, Page, Paragraph, Rows, Section, Tone
from carknocker.judgement.model import Outcome

TONES: dict[Outcome, Tone] = {
    "ready": "good",
    "ready with restrictions": "care",
    "repair move only": "care",
    "not ready": "bad",
}


def page_of(view: View) -> Page:
    """The page of a view. A section that has nothing to say is left out."""
    sections = (
        _move(view),
        _blocking(view),
        _restrictions(view.restrictions),
        _entries("During the move", view.on_the_way),
        _entries("What lapses when", view.lapses),
        _entries("Borderline: measure again", view.borderline),
        _advice(view),
        _entries("Relieved: it stays what it is, and does not count against the car", view.relieved),
        _entries("Void evidence", view.void),
        _entries("Spares that would not serve", view.spares),
        _inspector(view.for_the_inspector),
        _entries("Workings: figures that no gauge reads", view.workings),
        _rests_on(view),
        Section("Cautions", (Bullets(view.cautions),)),
    )
    return Page(view.car, view.outcome_line, TONES[view.outcome], tuple(s for s in sections if s is not None))


def _move(view: View) -> Section:
    rules = (("rules", line.name + (": OLD CHECK, see below" if line.old else "")) for line in view.rulebook)
    blocks: list[Block | Item] = [Rows((*view.move, *rules))]
    if view.regime:
        blocks.append(Paragraph(view.regime))
    blocks.extend(Paragraph(note, strong=True) for note in view.notes)
    return Section("The move", tuple(blocks))


def _blocking(view: View) -> Section | None:
    items = [_blocker(blocker, number) for number, blocker in enumerate(view.blockers, start=1)]
    if view.missing is not None:
        items.append(_missing_item(view.missing, len(items) + 1))
    against = [_blocker(one, number) for number, one in enumerate(view.against_the_move, start=len(items) + 1)]
    blocks: list[Block | Item] = [*items]
    if against:
        blocks.append(Paragraph("Against the move, cleared by changing the move:", strong=True))
        blocks.extend(against)
    return Section("What stands in the way", tuple(blocks)) if blocks else None


def _blocker(blocker: Blocker, number: int) -> Item:
    rows: list[tuple[str, str]] = []
    one_part = len(blocker.measured) == 1
    for one in blocker.measured:
        text = one.measured if one_part else f"{one.parts}: {one.measured}"
        if one.margin:
            text += f", {one.margin}"
        if one.evidence:
            text += f"; {one.evidence}"
        rows.append(("measured", text))
    rows.extend(("because", reason.removeprefix("because of: ")) for reason in blocker.why)
    rows.append(("required", blocker.required))
    if blocker.source:
        rows.append(("source", blocker.source))
    rows.append(("stops", blocker.stops))
    rows.extend(("clears", remedy) for remedy in blocker.clears)
    rows.extend(("repair move", leave) for leave in blocker.leave)
    return Item(f"{_sentence_case(blocker.parts)}: {blocker.title} ({blocker.verdict})", (Rows(tuple(rows)),), number)


def _missing_blocks(missing: Missing) -> tuple[Block, ...]:
    blocks: list[Block] = []
    for group in missing.groups:
        blocks.append(Paragraph(f"{group.heading} ({group.count:,})", strong=True))
        rows = (f"{row.parts}: {'; '.join(row.attributes)}" + _reason(row.reason) for row in group.rows)
        blocks.append(Bullets(tuple(rows)))
    wanted = f"{missing.criteria:,} criteri{'on' if missing.criteria == 1 else 'a'} can't be judged without them."
    more = " Some only tell whether a criterion applies: once they are known, more may be asked for."
    blocks.append(Paragraph(wanted + (more if missing.more_may_follow else "")))
    return tuple(blocks)


def _reason(reason: str) -> str:
    return f" ({reason})" if reason else ""


def _missing_item(missing: Missing, number: int) -> Item:
    rows = [("stops", missing.stops)]
    if missing.readings:
        rows.append(("clears", "read them and put them on a dated sheet, with who and which gauge"))
    if missing.tests or missing.papers:
        rows.append(("clears", "have the tests made and the papers put on record"))
    if missing.statements:
        rows.append(("clears", "say it in the move file"))
    return Item(_sentence_case(missing.title), (*_missing_blocks(missing), Rows(tuple(rows))), number)


def _sentence_case(text: str) -> str:
    return text[:1].upper() + text[1:]


def _restrictions(groups: tuple[RestrictionGroup, ...]) -> Section | None:
    items = [
        Item(
            f"{group.heading}: {group.in_all}",
            (Rows(tuple(row for entry in group.restrictions for row in _restriction_rows(entry))),),
        )
        for group in groups
    ]
    return Section("Restrictions", tuple(items)) if items else None


def _restriction_rows(entry: Entry) -> Iterable[tuple[str, str]]:
    yield "restricts", entry.title
    for line in entry.lines:
        label, _, text = line.partition(": ")
        yield ("because" if label == "because of" else label), text


def _entries(heading: str, entries: tuple[Entry, ...]) -> Section | None:
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in entries)
    return Section(heading, items) if items else None


def _advice(view: View) -> Section | None:
    blocks: list[Block | Item] = [Item(entry.title, (Bullets(entry.lines),)) for entry in view.advice]
    if view.advice_missing is not None:
        missing = view.advice_missing
        blocks.append(Item(f"Advised and {missing.title}", _missing_blocks(missing)))
    return Section("Advice: it does not change the outcome", tuple(blocks)) if blocks else None


def _inspector(looks: tuple[Look, ...]) -> Section | None:
    if not looks:
        return None
    items = tuple(
        f"{look.title} ({look.section}): {'; '.join(f'{parts}, {words}' for parts, words in look.readings)}"
        for look in looks
    )
    lead = Paragraph("The owner's latest reading stands beside each; what he finds on the day is what counts.")
    return Section("What the host's inspector will look at on the day", (lead, Bullets(items)))


def _rests_on(view: View) -> Section:
    blocks: list[Block | Item] = [Paragraph(view.summary.sentence)]
    blocks.append(Item("Rulebook", (Bullets(tuple(_edition(line) for line in view.rulebook)),)))
    blocks.extend(Item(entry.title, (Bullets(entry.lines),)) for entry in (view.sources, *view.evidence))
    if view.digests:
        blocks.append(Item("Digests (SHA-256)", (Rows(view.digests),)))
    return Section("What this rests on", tuple(blocks))


def _edition(line: EditionLine) -> str:
    old = ". OLD CHECK: look whether the text has changed since" if line.old else ""
    return f"{line.title}: {line.in_force}; {line.checked}{old}"
