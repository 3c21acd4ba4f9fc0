"""Sheet 4: what is to be done during the move, day by day, and what lapses when."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from msgspec.structs import replace

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas import SHEET
from carknocker.page.leg_lines import leg_name, moment_words
from carknocker.page.model import (
    Block,
    Bullets,
    Calendar,
    CalendarRow,
    Drawing,
    Item,
    Noted,
    Paragraph,
    Rows,
    Section,
    Span,
    Table,
)
from carknocker.questions.check.full_table import full_table
from carknocker.questions.check.sheets.fault_numbers import NumberedFault, fault_of_rule
from carknocker.wording.duties import Due, DuringTheMove, LegDuties, during_the_move
from carknocker.wording.last_good_days import LastGoodDay, last_good_days
from carknocker.wording.legs import leg_words
from carknocker.wording.parts import compact_labels
from carknocker.wording.sources import cite, place_words

_MOST_DAYS = 63
"""A longer move has its duties told by leg."""
_AFTER_RETURN, _MOST_ROWS = 300, 16


def duty_sheet(index: JudgementIndex, faults: tuple[NumberedFault, ...], drawings: Sequence[Drawing]) -> Section:
    """The sheet."""
    during = during_the_move(index.judgement)
    blocks: list[Block | Item] = [*_duties(during, index)]
    if during.at_any_time:
        blocks.append(Item("On any leg, when it happens", (_at_any_time(during, index.judgement.move.host),)))
    timeline = tuple(
        replace(one, headed=True) for one in drawings if one.name.startswith("timeline") and one.width >= SHEET
    )
    lapses = timeline or _lapsing(last_good_days(index), index.judgement.move.back, faults)
    if lapses:
        blocks.append(Item("What lapses", lapses))
    conditions = any(not one.routine for one in index.judgement.on_the_way)
    ticked = any(isinstance(one, Calendar) for one in blocks)
    told = ("A box is one duty on one day; mark it when it is done.",) if ticked else ()
    bound = ("The move may be made only if what is marked as a condition is done.",) if conditions else ()
    lead = " ".join((*told, *bound))
    return Section("Duties on the move, and what lapses", tuple(blocks), folded=True, sheet=True, lead=lead)


def _duties(during: DuringTheMove, index: JudgementIndex) -> Iterator[Block]:
    move = index.judgement.move
    rows = tuple((f"Leg {leg.number}", leg_words(leg, move)) for leg in move.legs)
    if rows:
        yield Rows(rows, facts=True)
    legs = during.legs
    if not legs and not during.at_any_time:
        yield Paragraph("No rule at hand asks for a duty during the move.")
        return
    days = (during.back - during.out).days + 1
    if during.undated or days > _MOST_DAYS:
        if legs:
            yield _by_leg(legs)
        return
    every = tuple(during.out + timedelta(number) for number in range(days))
    found: dict[tuple[str, str], dict[date, None]] = {}
    without_day: list[str] = []
    for leg in legs:
        for due in leg.duties:
            if not due.days:
                without_day.append(f"{leg_name(leg)}: {due.asked}: {compact_labels(due.labels)}")
            moment = ("by the day marked" if due.latest else "", due.when)
            key = _title(due), "; ".join(one for one in (_note(due), *moment) if one)
            found.setdefault(key, {}).update(dict.fromkeys(due.days))
    calendar = tuple(CalendarRow(title, note, tuple(sorted(due))) for (title, note), due in found.items() if due)
    if calendar:
        shown = tuple(sorted({*every, *(day for row in calendar for day in row.days)}))
        yield Calendar("Duties by day", shown, tuple(_spans(index)), calendar)
    if without_day:
        yield Bullets(tuple(without_day))


def _by_leg(legs: tuple[LegDuties, ...]) -> Table:
    """A row for each duty, where its days are not known or too many for a box each: on which leg, when."""
    when: dict[tuple[str, str], dict[str, list[str]]] = {}
    for leg in legs:
        for due in leg.duties:
            key = _title(due), _note(due)
            when.setdefault(key, {}).setdefault(leg_name(leg).lower(), []).append(moment_words(due) or due.asked)
    rows = tuple(
        (Noted(title, note), "; ".join(f"{leg}: {', '.join(moments)}" for leg, moments in by_leg.items()), "")
        for (title, note), by_leg in when.items()
    )
    return Table("Duties by leg", ("Duty", "When", "Done"), rows, ("text", "text", "line"), headed=True)


def _title(due: Due) -> str:
    return due.title if due.routine else f"Condition of the move: {due.title}"


def _note(due: Due) -> str:
    return "; ".join(one for one in (compact_labels(due.labels), due.by, place_words(due.source)) if one)


def _spans(index: JudgementIndex) -> Iterator[Span]:
    """The days under way by leg, and those on which the car lays over between two."""
    legs = index.judgement.move.legs
    before: tuple[date, str] | None = None
    for number, leg in enumerate(legs, start=1):
        first = leg.on
        if first is None:
            return
        last = leg.until or first
        if before is not None and first - before[0] > timedelta(1):
            yield Span(f"lays over at {before[1]}", before[0] + timedelta(1), first - timedelta(1), False)
        yield Span(str(number), first, last, True)
        before = last, leg.end


def _at_any_time(during: DuringTheMove, host: str) -> Table:
    rows = tuple((due.title, due.asked, cite((due.source,), host)) for due in during.at_any_time)
    return Table("Duties on any leg", ("Duty", "When and what", "Rule"), rows, headed=True)


def _lapsing(days: tuple[LastGoodDay, ...], back: date, faults: tuple[NumberedFault, ...]) -> tuple[Block, ...]:
    numbers = fault_of_rule(faults)
    until = back + timedelta(days=_AFTER_RETURN)
    shown = [one for one in days if one.last <= until][:_MOST_ROWS]
    if not shown:
        return ()
    rows = tuple(
        (
            Noted(one.what, one.parts),
            "" if one.since is None else one.since.isoformat(),
            f"void {one.last.isoformat()}" if one.state == "void" else one.last.isoformat(),
            _fault_word([numbers[rule] for rule in one.criteria if rule in numbers], one.state),
        )
        for one in shown
    )
    strong = tuple(number for number, one in enumerate(shown) if one.state != "good")
    heads = ("What", "Since", "Last good day", "Remark")
    return (full_table("What lapses", heads, rows, strong=strong, headed=True),)


def _fault_word(numbers: list[int], state: str) -> str:
    told = {"void": "void", "short": "before the return", "good": ""}[state]
    return f"{told}: fault {numbers[0]}" if numbers else told
