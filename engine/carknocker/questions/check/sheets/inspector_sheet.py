"""Sheet 5: the items left for the host's inspector, with room for what he finds."""

import re

from carknocker.dossier.inspector import NO_READING, InspectorItem
from carknocker.page.model import Blanks, Block, ColumnKind, Item, Noted, Paragraph, Section, Table, Tick, Ticks
from carknocker.wording.phrases import counted

_COLUMNS = ("No.", "Item", "Where", "Must be", "Owner’s reading", "OK", "Found")
_REMARKS = 2
_FIGURE = re.compile(r"(?<![\w.])(?!1\b(?![-/.,]))\d[\d,./-]*")
"""Of a limit; a bare 1 is a word of the title, like `a minute`."""
_LONGEST_REQUIRED = 60
"""Of what an item must be, in a row of its own; more is told by its title, and is only ticked."""


def inspector_sheet(items: tuple[InspectorItem, ...], host: str) -> Section | None:
    """The sheet: in full what is bad, and the figures that nobody read; as a list to tick what the owner read, and
    found in order, and what nobody read of common practice or of several things at once. Of practice, what was read is
    counted only. None where nothing is left for him."""
    if not items:
        return None
    left = [one for one in items if not (one.beyond_limit or one.all_read or one.of_practice)]
    several = [one for one in left if len(one.required) > _LONGEST_REQUIRED]
    opened = [one for one in items if one.beyond_limit or (one in left and one not in several)]
    read = [one for one in items if one.all_read and not (one.planned or one.of_practice)]
    planned = [one for one in items if one.all_read and one.planned and not one.of_practice]
    unread = [one for one in items if one.of_practice and not (one.all_read or one.beyond_limit)]
    practice = sum(one.all_read and one.of_practice for one in items)
    blocks: list[Block | Item] = []
    rows = tuple(
        (str(number), Noted(one.title, _cite(one, host)), parts, one.required, _reading(words), "", "")
        for number, (one, parts, words) in enumerate(
            ((one, parts, words) for one in opened for parts, words in one.readings), start=1
        )
    )
    if rows:
        kinds: tuple[ColumnKind, ...] = ("number", "text", "text", "text", "text", "tick", "line")
        blocks.append(Table("Items for the inspector", _COLUMNS, rows, kinds, headed=True))
    for head, listed in (
        ("Not read in full by the owner: tick, or write below what is found", (*several, *unread)),
        ("Read by the owner, none beyond its limit: tick, or write below what is found", read),
        ("By the move as planned, read by nobody yet: tick, or write below what is found", planned),
    ):
        if listed:
            blocks.append(Item(head, (Ticks(tuple(Tick(_tick(one, host), False) for one in listed), ("", ""), 2),)))
    if practice:
        told = f"Of {counted(practice, 'more item')} of common practice the record has a reading, none beyond its limit"
        blocks.append(Paragraph(f"{told}: the appendix lists them."))
    blocks.append(Item("Remarks", (Blanks((("", ""),) * _REMARKS),
                                   Blanks(tuple((one, "") for one in ("inspector", "for", "place", "date and hour")),
                                          beside=True))))  # fmt: skip
    lead = (
        "Items that only the host can see on the day, and the owner’s latest reading beside each. What the inspector "
        "finds is what counts."
    )
    count = sum(len(one.readings) for one in opened) + len(several) + len(read) + len(planned) + len(unread) + practice
    return Section(
        "For the host’s inspector", tuple(blocks), folded=True, sheet=True, lead=lead, alone=True, counted=str(count)
    )


def _reading(words: str) -> str:
    return "not measured" if words == NO_READING else words


def _cite(item: InspectorItem, host: str) -> str:
    """Where it stands, in short."""
    return "practice" if item.of_practice else item.section.removeprefix(f"{host} ")


def _tick(item: InspectorItem, host: str) -> Noted:
    """An item with its readings. What it must be is told where its title does not tell the figure."""
    told = "; ".join(f"{parts}: {_reading(words)}" for parts, words in item.readings)
    figures = set(_FIGURE.findall(item.required)) - set(_FIGURE.findall(item.title))
    must = (item.must_be,) if figures else ()
    return Noted(item.title, "; ".join((told, *must, _cite(item, host))))
