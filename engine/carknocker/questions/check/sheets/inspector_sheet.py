"""Sheet 5: the items left for the host's inspector, with room for what he finds."""

from carknocker.dossier.inspector import InspectorItem
from carknocker.page.model import Blanks, Block, ColumnKind, Item, Noted, Paragraph, Section, Table, Tick, Ticks
from carknocker.wording.phrases import counted

_COLUMNS = ("No.", "Item", "Where", "Must be", "Owner’s reading", "OK", "Found")
_REMARKS = 2


def inspector_sheet(items: tuple[InspectorItem, ...], host: str) -> Section | None:
    """The sheet: in full what nobody read or what is bad; as a list to tick what the owner read, and found in order,
    and what common practice looks at and nobody read. Of practice, what was read is counted only. None where nothing
    is left for him."""
    if not items:
        return None
    opened = [one for one in items if one.beyond_limit or not (one.all_read or _is_practice(one))]
    read = [one for one in items if one.all_read and not (one.planned or _is_practice(one))]
    planned = [one for one in items if one.all_read and one.planned and not _is_practice(one)]
    unread = [one for one in items if _is_practice(one) and not (one.all_read or one.beyond_limit)]
    practice = sum(one.all_read and _is_practice(one) for one in items)
    blocks: list[Block | Item] = []
    rows = tuple(
        (str(number), Noted(one.title, _cite(one.section, host)), parts, one.required, _reading(words), "", "")
        for number, (one, parts, words) in enumerate(
            ((one, parts, words) for one in opened for parts, words in one.readings), start=1
        )
    )
    if rows:
        kinds: tuple[ColumnKind, ...] = ("number", "text", "text", "text", "text", "tick", "line")
        blocks.append(Table("Items for the inspector", _COLUMNS, rows, kinds, headed=True))
    for head, listed in (
        ("Common practice, not read in full: tick, or write below what is found", unread),
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
    count = sum(len(one.readings) for one in opened) + len(read) + len(planned) + len(unread) + practice
    return Section(
        "For the host’s inspector", tuple(blocks), folded=True, sheet=True, lead=lead, alone=True, counted=str(count)
    )


def _reading(words: str) -> str:
    return "not measured" if words == "no reading" else words


def _is_practice(item: InspectorItem) -> bool:
    return item.section.startswith("common practice")


def _cite(section: str, host: str) -> str:
    """Where it stands, in short."""
    return "practice" if section.startswith("common practice") else section.removeprefix(f"{host} ")


def _tick(item: InspectorItem, host: str) -> Noted:
    told = "; ".join(f"{parts}: {_reading(words)}" for parts, words in item.readings)
    must = () if item.required == "yes" or item.required.endswith(": no") else (f"must be {item.required}",)
    return Noted(item.title, "; ".join((told, *must, _cite(item.section, host))))
