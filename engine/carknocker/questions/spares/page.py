"""The spares as a page: the table first, then what it lacks, then the spares themselves."""

from collections.abc import Iterable

from carknocker.page.model import Block, Bullets, Emphasized, Item, Page, Paragraph, Rows, Section
from carknocker.questions.spares.model import Demand, OtherSpare, SparesAnswer, SpareWheelset
from carknocker.whatif.spare_cover import Cell, Needed, Reason
from carknocker.wording.alike_lines import axles_words
from carknocker.wording.duties import DUTY_STATES
from carknocker.wording.parts import compact_labels
from carknocker.wording.record_lines import RecordLine
from carknocker.wording.sources import place_words

_MOST_REASONS = 6


def spares_page(answer: SparesAnswer) -> Page:
    """The page of an answer."""
    sections = (
        _table(answer),
        _demands(answer),
        _needed(answer.needed),
        *(_wheelset(one) for one in answer.wheelsets),
        Section("Weight with what is aboard", (Rows(_rows(answer.weights)),)) if answer.weights else None,
        _others(answer.others),
        _consumables(answer),
    )
    shown = tuple(one for one in sections if one is not None)
    # never the color of a finding: spares clear no car
    return Page(f"{answer.car}: spares", Emphasized("SPARES", f": {_said(answer)}"), "care", shown)


def _said(answer: SparesAnswer) -> str:
    if not answer.wheelsets:
        return "no spare wheelset is on record"
    if answer.uncovered:
        return f"no spare wheelset fits {axles_words(answer.uncovered)}"
    if answer.uncovered_on_the_way:
        return f"no wheelset aboard fits {axles_words(answer.uncovered_on_the_way)}"
    return "for every axle a wheelset that fits is aboard"


def _table(answer: SparesAnswer) -> Section | None:
    if not answer.cells:
        return None  # the first line says that there is none
    lead = Paragraph("Each spare wheelset at each axle: the car judged as if it had always been there.")
    by_axle: dict[int, list[Cell]] = {}
    for cell in answer.cells:
        by_axle.setdefault(cell.axle, []).append(cell)
    items = tuple(
        Item(f"axle {axle}, {cells[0].truck} ({cells[0].fitted} is there)", (Rows(tuple(map(_cell, cells))),))
        for axle, cells in by_axle.items()
    )
    limits = f"READY in this table is {answer.limits[:1].lower()}{answer.limits[1:]}"  # of wheelsets, never of the car
    blocks: list[Block | Item] = [lead, *((Paragraph(limits),) if answer.limits else ()), *items]
    if answer.uncovered:
        blocks.append(Paragraph(f"No spare fits {axles_words(answer.uncovered)}", strong=True))
    if answer.uncovered_on_the_way and answer.uncovered_on_the_way != answer.uncovered:
        blocks.append(Paragraph(f"No spare aboard fits {axles_words(answer.uncovered_on_the_way)}", strong=True))
    return Section("Which spare serves where", tuple(blocks))


def _cell(cell: Cell) -> tuple[str, str]:
    label = f"{cell.spare} ({'aboard' if cell.carried else 'on the shelf'})"
    also = f"; {'; '.join(cell.also)}" if cell.also else ""
    if cell.serves and cell.outcome in ("ready", "ready with restrictions"):
        return label, Emphasized("READY", f" ({cell.outcome}){also}")
    if cell.serves:
        return label, Emphasized("READY THERE", f", the car is not ({cell.outcome}){also}")
    return label, Emphasized("NOT READY", f": {_reasons(cell.against)}{also}")


def _reasons(reasons: tuple[Reason, ...]) -> str:
    grouped: dict[str, list[str]] = {}
    for reason in reasons:
        grouped.setdefault(reason.said, []).append(reason.subject)
    told = [f"{compact_labels(subjects)}: {said}" for said, subjects in grouped.items()]
    more = len(told) - _MOST_REASONS
    return "; ".join(told[:_MOST_REASONS]) + (f"; and {more:,} more" if more > 0 else "")


def _demands(answer: SparesAnswer) -> Section:
    heading = "What the rules ask of spare wheelsets"
    if not answer.demands:
        words = f"No rule that binds this move with {answer.host} asks for a spare wheelset."
        return Section(heading, (Paragraph(words),))
    return Section(heading, (Bullets(tuple(_demand(one) for one in answer.demands)),))


def _demand(one: Demand) -> str:
    where = f": {compact_labels(one.labels)}" if one.labels else ""
    note = f", {one.note}" if one.note else ""
    state = DUTY_STATES.get(one.state, one.state)  # or whether it applies at all
    return f"{one.title}{where}: {state}{note} ({place_words(one.source)})"


def _needed(needed: Iterable[Needed]) -> Section | None:
    items = []
    for one in needed:
        rows = [("before", words) for words in one.before] + [("on the way", words) for words in one.on_the_way]
        items.append(Item(f"axle {one.axle}", (Rows(tuple(rows or [("before", "nothing more")])),)))
    return Section("What a change of wheelset calls for", tuple(items)) if items else None


def _wheelset(one: SpareWheelset) -> Section:
    where = "aboard" if one.carried else "on the shelf"
    words = "sound: no requirement that refuses is against it" if one.sound else f"NOT SOUND: {_reasons(one.against)}"
    if one.signs_of_standing:
        words += (
            f". LOOK AT IT AGAIN, it has stood long: {'; '.join(one.signs_of_standing)} (common practice, no source)"
        )
    blocks: list[Block | Item] = [Paragraph(words, strong=True), Rows(_rows((*one.ageing, *one.stowage)))]
    return Section(f"Wheelset {one.serial}, {where}", tuple(blocks))


def _rows(lines: Iterable[RecordLine]) -> tuple[tuple[str, str], ...]:
    return tuple((line.label, Emphasized("MISSING", f": {line.text}") if line.missing else line.text) for line in lines)


def _others(spares: tuple[OtherSpare, ...]) -> Section | None:
    if not spares:
        return None
    lines = (
        f"{one.name}{f' ({one.facts})' if one.facts else ''}: {one.carried} aboard, {one.shelf} on the shelf"
        + (f"; asked for: {', '.join(one.asked_by)}" if one.asked_by else "")
        for one in spares
    )
    return Section("Other spares", (Bullets(tuple(lines)),))


def _consumables(answer: SparesAnswer) -> Section | None:
    items = []
    for one in answer.consumables:
        heading = f"{one.product or 'lubricant not on record'}: {compact_labels(one.labels)}"
        used = tuple(("put in", words) for words in one.used) or (("put in", "nothing on record in the year before"),)
        items.append(Item(heading, (Rows((*_rows(one.told), *used)),)))
    return Section("Lubricants: substitutes, and what is left", tuple(items)) if items else None
