"""Sheet 5: the items left for the host's inspector, with room for what he finds."""

import re
from collections.abc import Iterable, Iterator, Sequence

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
    opened_rows = _opened(opened, host)
    lists = (
        ("Not read in full by the owner: tick, or write below what is found", (*several, *unread)),
        ("Read by the owner, none beyond its limit: tick, or write below what is found", read),
        ("By the move as planned, read by nobody yet: tick, or write below what is found", planned),
    )
    told = _of_practice_read(practice)
    lead = (
        "Items that only the host can see on the day, and the owner’s latest reading beside each. What the inspector "
        "finds is what counts."
    )
    count = sum(len(one.readings) for one in opened) + len(several) + len(read) + len(planned) + len(unread) + practice
    short: tuple[Block | Item, ...] = ()
    if unread:
        titles = "; ".join(one.title for one in unread)
        not_read = Paragraph(f"Of common practice, not read in full by the owner: {titles}.")
        first, *others = lists
        short = (*opened_rows, *_ticked(((first[0], several), *others), host), not_read, *told, _REMARKS_ROOM)
    return Section(
        "For the host’s inspector", (*opened_rows, *_ticked(lists, host), *told, _REMARKS_ROOM), folded=True,
        sheet=True, lead=lead, alone=True, counted=str(count), gives_way=((5, short),) if short else (),
    )  # fmt: skip


def _opened(items: Iterable[InspectorItem], host: str) -> tuple[Block, ...]:
    """Items in full, each with a row for what he finds."""
    rows = tuple(
        (str(number), Noted(one.title, _cite(one, host)), parts, one.required, _reading(words), "", "")
        for number, (one, parts, words) in enumerate(
            ((one, parts, words) for one in items for parts, words in one.readings), start=1
        )
    )
    kinds: tuple[ColumnKind, ...] = ("number", "text", "text", "text", "text", "tick", "line")
    return (Table("Items for the inspector", _COLUMNS, rows, kinds, headed=True),) if rows else ()


def _ticked(lists: Iterable[tuple[str, Sequence[InspectorItem]]], host: str) -> Iterator[Item]:
    """Items as lists to tick."""
    for head, listed in lists:
        if listed:
            yield Item(head, (Ticks(tuple(Tick(_tick(one, host), False) for one in listed), ("", ""), 2),))


def _of_practice_read(number: int) -> tuple[Paragraph, ...]:
    if not number:
        return ()
    told = f"Of {counted(number, 'more item')} of common practice the record has a reading, none beyond its limit"
    return (Paragraph(f"{told}: the appendix lists them."),)


_REMARKS_ROOM = Item(
    "Remarks",
    (
        Blanks((("", ""),) * _REMARKS),
        Blanks(tuple((one, "") for one in ("inspector", "for", "place", "date and hour")), beside=True),
    ),
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
