"""The section *What stands in the way*: each blocker as labelled rows, what is not shown as one list to measure."""

from carknocker.dossier.check.blockers import Blocker
from carknocker.dossier.check.missing import Missing
from carknocker.dossier.check.view import View
from carknocker.dossier.writing.page import Block, Bullets, Item, Paragraph, Rows, Section


def blocking_section(view: View) -> Section | None:
    """Blockers, what is not shown, and what is against the move, numbered through. None where there is nothing."""
    same = _same_test(view.blockers)
    items = [
        _blocker(blocker, number, same.get(blocker.test, "")) for number, blocker in enumerate(view.blockers, start=1)
    ]
    if view.missing is not None:
        items.append(_missing_item(view.missing, len(items) + 1))
    against = [_blocker(one, number) for number, one in enumerate(view.against_the_move, start=len(items) + 1)]
    blocks: list[Block | Item] = [*items]
    if against:
        blocks.append(Paragraph("Against the move, cleared by changing the move:", strong=True))
        blocks.extend(against)
    return Section("What stands in the way", tuple(blocks)) if blocks else None


def _same_test(blockers: tuple[Blocker, ...]) -> dict[str, str]:
    """For each test that clears several blockers: which ones."""
    numbers: dict[str, list[str]] = {}
    for number, blocker in enumerate(blockers, start=1):
        if blocker.test:
            numbers.setdefault(blocker.test, []).append(str(number))
    return {
        test: f"one {test} can clear {', '.join(found[:-1])} and {found[-1]}"
        for test, found in numbers.items()
        if len(found) > 1
    }


def _blocker(blocker: Blocker, number: int, same_test: str = "") -> Item:
    rows: list[tuple[str, str]] = []
    one_part = len(blocker.measured) == 1
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
    rows.extend(("clears", remedy) for remedy in (*blocker.clears, *filter(None, (same_test,))))
    rows.extend(("repair move", leave) for leave in blocker.leave)
    return Item(f"{_sentence_case(blocker.parts)}: {blocker.title} ({blocker.verdict})", (Rows(tuple(rows)),), number)


def missing_blocks(missing: Missing) -> tuple[Block, ...]:
    """What is to be measured or shown, by what one can reach."""
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
    return Item(_sentence_case(missing.title), (*missing_blocks(missing), Rows(tuple(rows))), number)


def _sentence_case(text: str) -> str:
    return text[:1].upper() + text[1:]
