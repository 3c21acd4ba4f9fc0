"""The view laid out as a page: blockers first, then what the car may do, then what it all rests on.

The short page is for someone who stands beside the car; the long one, with the appendix, for a stranger who believes
only what he can look up.
"""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from carknocker.dossier.check.blocking_section import blocking_section, missing_blocks
from carknocker.dossier.check.entries import Entry
from carknocker.dossier.check.inspector import Look
from carknocker.dossier.check.lapsing import LapsingDay
from carknocker.dossier.check.placing import Placed, placed
from carknocker.dossier.check.train_limits import RestrictionGroup, RestrictionLines
from carknocker.dossier.check.view import View
from carknocker.dossier.writing.page import (
    Block,
    Bullets,
    Drawing,
    Item,
    Page,
    Paragraph,
    Rows,
    Section,
    Table,
    Tone,
)  # fmt: skip
from carknocker.judgement.model import Outcome

if TYPE_CHECKING:
    from carknocker.dossier.check.appendix.appendix import Appendix

TONES: dict[Outcome, Tone] = {
    "ready": "good",
    "ready with restrictions": "care",
    "repair move only": "care",
    "not ready": "bad",
}
_WHAT_THIS_IS = (
    "This page holds the car's record, which its owner keeps, against the rules named above. Each figure says who read "
    "it and when; each rule gives the sentence that it rests on. What nobody measured reads “not shown” and is never "
    "guessed.",
    "It is an aid to qualified people. It decides nothing and signs nothing: the host's mechanical department decides, "
    "and a signature is a person's. The last section tells how to work the page out again.",
)


def page_of(view: View, appendix: "Appendix | None" = None, drawings: Sequence[Drawing] = ()) -> Page:
    """The short page of a view; with the appendix, the long one. drawings: each is put where it belongs. A section
    that has nothing to say is left out."""
    whole = appendix is not None
    sections: list[Placed] = [
        ("move", _move(view, whole)),
        ("", Section("What this page is", tuple(map(Paragraph, _WHAT_THIS_IS))) if whole else None),
        ("blockers", blocking_section(view)),
        ("restrictions", _restrictions(view.restrictions)),
        ("", _entries("During the move: duties by leg", view.on_the_way)),
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
        from carknocker.dossier.check.appendix.sections import appendix_sections

        sections += appendix_sections(view, appendix, cautions, [found for _, found in sections if found is not None])
    return Page(view.car, view.outcome_line, TONES[view.outcome], placed(sections, drawings), brief=True)


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
    """All of it; on the short page what lapses before the return, and the first day after it."""
    entries = tuple(Entry(one.title, one.lines) for one in days)
    soon = [one for one in days if one.before_the_return]
    shown = len(entries) if whole else len(soon) + 1
    section = _entries("What lapses when", entries[:shown])
    if section is None or shown >= len(entries):
        return section
    more = len(entries) - shown
    told = f"{more} later day{'' if more == 1 else 's'}: see `--full`, or `carknocker horizon`."
    return Section(section.heading, (*section.blocks, Paragraph(told)))


def _advice(view: View, whole: bool) -> Section | None:
    blocks: list[Block | Item] = [Item(entry.title, (Bullets(entry.lines),)) for entry in view.advice]
    missing = view.advice_missing
    if missing is not None and whole:
        blocks.append(Item(f"Advised and {missing.title}", missing_blocks(missing)))
    elif missing is not None:
        blocks.append(Paragraph(f"Advised and {missing.counts}: see `--full`, or `carknocker worksheet`."))
    return Section("Advice: it does not change the outcome", tuple(blocks)) if blocks else None


def _inspector(looks: tuple[Look, ...], whole: bool) -> Section | None:
    if not looks:
        return None
    lead = Paragraph("The owner's latest reading stands beside each; what he finds on the day is what counts.")
    heading = "What the host's inspector will look at on the day"
    if not whole:
        items = tuple(
            f"{look.title} ({look.section}): {'; '.join(f'{parts}, {words}' for parts, words in look.readings)}"
            for look in looks
        )
        return Section(heading, (lead, Bullets(items)))
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
            "`--full` adds every criterion with its margin, workings, serials, history, tests, evidence and digests."
        )
    )
    return Section("What this rests on", tuple(blocks))
