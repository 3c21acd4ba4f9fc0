"""What falls due, as a page: the first day that is not ready, what lapses when, what wears out when."""

from datetime import timedelta

from carknocker.page.leg_lines import leg_entries
from carknocker.page.model import Block, Bullets, Emphasized, Item, Page, Paragraph, Rows, Section, Table, Tone, tone_of
from carknocker.questions.due.model import Against, DueAnswer, Lapse
from carknocker.wording.next_steps import BY_COMMAND, NextSteps
from carknocker.wording.parts import compact_labels
from carknocker.wording.sources import place_words


def due_page(answer: DueAnswer, steps: NextSteps = BY_COMMAND) -> Page:
    """The page of an answer. A section that has nothing to say is left out. steps: where it sends its reader on."""
    sections = (
        _first(answer),
        _lapses(answer),
        _during(answer),
        _wear(answer),
        _miles(answer),
        Section("Notes", (Bullets(_meant(answer, steps)),)),
    )
    verdict, tone = _verdict(answer)
    shown = tuple(one for one in sections if one is not None)
    return Page(f"{answer.car}: what falls due", verdict, tone, shown, head=answer.head)


def _verdict(answer: DueAnswer) -> tuple[str, Tone]:
    limits = f". {answer.limits}" if answer.limits else ""
    to = f" ({' or '.join(answer.restricted)})" if answer.restricted else ""
    word = "READY WITH RESTRICTIONS" if answer.restricted else "READY"
    if answer.first_bad is None:
        tried = f"{to} for every departure tried, up to {answer.last_tried.isoformat()}{limits}"
        tone = tone_of("ready with restrictions" if answer.restricted else "ready", complete=answer.complete)
        return Emphasized(word, tried), tone
    if answer.first_bad == answer.out:
        return Emphasized(answer.said, f" for the move as planned, out on {answer.out.isoformat()}"), "bad"
    last = answer.first_bad - timedelta(days=1)
    return Emphasized(word, f"{to} for departures through {last.isoformat()}{limits}"), "care"


def _first(answer: DueAnswer) -> Section | None:
    if not answer.because or answer.first_bad is None or answer.first_bad_back is None:
        return None
    items = tuple(_against(one, number) for number, one in enumerate(answer.because, start=1))
    when = f"Out on {answer.first_bad.isoformat()}, back on {answer.first_bad_back.isoformat()}"
    new = "" if answer.first_bad == answer.out else ". New since the day before"
    return Section("The first departure that is not ready", (Paragraph(f"{when}{new}:"), *items))


def _against(one: Against, number: int) -> Item:
    rows = [("measured", one.measured), ("required", one.required)]
    if one.verdict not in ("lapses", "void", "against the move"):  # the fault says it
        rows.append(("because", one.reason))
    if one.source is not None:
        rows.append(("source", "; ".join(map(place_words, (one.source, *one.also)))))
    return Item(one.fault, (Rows(tuple((label, text) for label, text in rows if text)),), number)


def _lapses(answer: DueAnswer) -> Section:
    heading = f"What lapses by {answer.until.isoformat()}: the last good day of each"
    if not answer.lapses:
        return Section(heading, (Paragraph("Nothing on record does."),))
    before = [number for number, lapse in enumerate(answer.lapses) if answer.out <= lapse.day < answer.back]
    columns = ("Last good day", "What", "Rule")
    rows = tuple(_lapse(lapse, before_return=number in before) for number, lapse in enumerate(answer.lapses))
    return Section(heading, (Table(heading, columns, rows, strong=tuple(before), headed=True),))


def _lapse(lapse: Lapse, *, before_return: bool) -> tuple[str, str, str]:
    said = f"{lapse.said}: before the return" if before_return else lapse.said
    return lapse.day.isoformat(), said, "; ".join(dict.fromkeys(map(place_words, lapse.sources)))


def _during(answer: DueAnswer) -> Section | None:
    entries = leg_entries(answer.during)
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in entries)
    return Section("To be done during the move: duties by leg", items) if items else None


def _wear(answer: DueAnswer) -> Section | None:
    blocks: list[Block | Item] = []
    for one in answer.wears:
        rows = [("limit", f"{one.title}: {one.limit}"), ("rate", one.rate), ("left", one.left)]
        if one.earliest is not None:
            latest = "no last day follows" if one.latest is None else f"at the latest {one.latest.isoformat()}"
            days = f"at the earliest {one.earliest.isoformat()}, {latest}"
            rows.append(("worn out", f"{days}, at {answer.miles_a_year} a year since {one.since.isoformat()}"))
        blocks.append(Item(one.label, (Rows(tuple(rows)),)))
    if answer.no_rate:
        lines = tuple(f"{compact_labels(one.labels)}: {one.reason}" for one in answer.no_rate)
        blocks.append(Item("No rate of wear follows from the record", (Bullets(lines),)))
    return Section("What wears out: rims", tuple(blocks)) if blocks else None


def _miles(answer: DueAnswer) -> Section | None:
    lines = []
    for one in answer.miles_limits:
        when = "" if one.day is None else f", reached on {one.day.isoformat()} at {answer.miles_a_year} a year"
        lines.append(
            f"{one.title}: {compact_labels(one.labels)}: {one.made} of {one.limit} made, {one.left} left{when}"
        )
    return Section("Limits of miles", (Bullets(tuple(lines)),)) if lines else None


def _meant(answer: DueAnswer, steps: NextSteps) -> tuple[str, ...]:
    lines = [
        "The same move, of the same length, is judged for each later day of departure, on the record as it stands on "
        f"{answer.as_of.isoformat()}: nothing new is read, done or renewed, and the request is the one on record.",
        "A rate of wear comes from the wheel's own readings and the moves made; none is ever assumed.",
    ]
    if steps.miles and not answer.miles_a_year:
        lines.append(f"Name the miles planned in a year, {steps.miles}, to have days for wear.")
    return (*lines, *answer.notes)
