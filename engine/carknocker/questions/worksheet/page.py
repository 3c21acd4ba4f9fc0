"""The worksheet as a page to print and carry: a box for each reading, in walking order."""

from carknocker.page.model import Blanks, Block, Boxes, Item, Page, Paragraph, Rows, Section
from carknocker.questions.worksheet.model import STATIONS, AlsoWanted, WantedReading, WorksheetAnswer


def worksheet_page(answer: WorksheetAnswer) -> Page:
    """The page of an answer. Stations at which nothing is wanted are left out."""
    count = len(answer.readings)
    verdict = f"{count:,} reading{'' if count == 1 else 's'} to take" if count else "No reading is wanted for this move"
    sections = [Section("This sheet", _head(answer))]
    for station in STATIONS:
        rows = [row for row in answer.readings if row.station == station]
        if rows:
            sections.append(Section(_sentence_case(station), _parts(rows)))
    if answer.also:
        sections.append(Section("Wanted too, but no reading", (Boxes(tuple(_also(one) for one in answer.also)),)))
    if answer.more_may_follow:
        words = "Some of these only tell whether a criterion applies: once they are known, more may be asked for."
        sections.append(Section("Afterwards", (Paragraph(words),)))
    return Page(f"{answer.car}: worksheet", verdict, "plain", tuple(sections))


def _head(answer: WorksheetAnswer) -> tuple[Block, ...]:
    known = Rows((
        ("move", f"{answer.host}, {answer.out.isoformat()} to {answer.back.isoformat()}"),
        ("as of", answer.as_of.isoformat()),
    ))  # fmt: skip
    written = Blanks((
        ("day", ""),
        ("read by", f"on record: {', '.join(answer.people) or 'nobody'}"),
        ("gauges", f"on record: {', '.join(answer.gauges) or 'none'}"),
        ("car stood", "level track, tanks full, moved one turn of the wheels"),
    ))  # fmt: skip
    return known, written


def _parts(rows: list[WantedReading]) -> tuple[Item, ...]:
    """A headed piece for each part, or for each kind of access where one is needed."""
    parts: dict[tuple[str, str], list[WantedReading]] = {}
    for row in rows:
        access = row.access if row.station in ("underneath", "carried spares") else ""
        parts.setdefault((row.part, access), []).append(row)
    return tuple(
        Item(f"{part} ({access})" if access else part, (Boxes(tuple(_box(row) for row in own)),))
        for (part, access), own in parts.items()
    )


def _box(row: WantedReading) -> tuple[str, str]:
    told = [
        f"limit: {'; '.join(row.limits)}" if row.limits else "",
        f"measured {row.measured}" if row.measured else "",
        f"tool: {row.tool}" if row.tool else "",
        f"read by {row.who}" if row.who else "",
        f"last: {row.last}" if row.last else "",
        "; ".join(row.why),
    ]
    return row.label, ". ".join(word for word in told if word)


def _also(one: AlsoWanted) -> tuple[str, str]:
    return f"{one.sort}: {one.label}, {one.part}", f"{_sentence_case(one.why)}; goes to {one.where}"


def _sentence_case(text: str) -> str:
    return text[:1].upper() + text[1:]
