"""The answer to *place-wheels* as a page: which wheelset at which axle, what it rests on, what conflicts."""

from collections.abc import Iterable
from fractions import Fraction

from carknocker.documents import listed
from carknocker.dossier.looked_at import outcome_word
from carknocker.dossier.sheet_head import head_with_outcome
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import Block, Bullets, Emphasized, Item, Page, Paragraph, Rows, Section
from carknocker.questions.place_wheels.model import Arranged, Arrangement, Shortfall
from carknocker.wording.cautions import ALWAYS, LIFTING
from carknocker.wording.parts import car_title, compact_labels
from carknocker.wording.sources import cite

_MOST_LINES = 40


def place_wheels_page(answer: Arranged) -> Page:
    """The page of an answer; a section that has nothing to say is left out."""
    car = answer.check.judgement.car
    title = f"{car_title(car)}: wheelsets by axle"
    moved = bool(answer.best is not None and answer.best.moved)
    sections = (
        _best(answer),
        _conflicts(answer),
        _ties(answer),
        _texts("Not shown yet", () if answer.best is None or answer.strict else _alike(answer.best.to_show)),
        _wheelsets(answer),
        _places(answer),
        _texts("Read again after the change", answer.void_after),
        _texts("Test after the change", answer.tests_after),
        _texts("What would still keep the car from moving", answer.still_open),
        _texts("Notes", (*answer.notes, f"Alternatives tried: {answer.tested:,}.")),
        Section("Cautions", (Bullets((*ALWAYS, LIFTING) if moved else ALWAYS),)),
    )
    shown = tuple(section for section in sections if section is not None)
    # never the color of a finding: an arrangement clears no car
    return Page(title, _verdict(answer), "care", shown, beside=_beside(answer), head=head_with_outcome(answer.check))


def _verdict(answer: Arranged) -> str:
    """The answer in one line, which begins with what it is: an arrangement is no clearance."""
    return Emphasized("ARRANGEMENT", f": {_said(answer)}")


def _said(answer: Arranged) -> str:
    best = answer.best
    if best is None:
        return "NONE WORKS with the wheelsets on hand: the requirements below can't all hold."
    number = len(best.moved)
    change = f"{number} axle{'' if number == 1 else 's'} change{'s' if number == 1 else ''}"
    if not answer.strict:
        what = f"{change}, and no fault is shown" if best.moved else "no fault is shown in what is fitted"
        shown = "1 item is" if len(best.to_show) == 1 else f"{len(best.to_show):,} items are"
        return f"NOT SHOWN YET: {what}, but {shown} to be shown first."
    return f"{change}." if best.moved else "AS IT STANDS: every wheelset can stay where it is."


def _beside(answer: Arranged) -> tuple[str, ...]:
    check = answer.check
    now = f"The car is {outcome_word(JudgementIndex(check.judgement))}, as of {check.day.isoformat()}."
    return (now, "An arrangement, not a clearance: only requirements about wheelsets are asked here.")


def _best(answer: Arranged) -> Section | None:
    if answer.best is None:
        return None
    rows = tuple(
        (f"axle {axle}, truck {truck}", words)
        for (axle, truck), words in zip(answer.axles, _lines(answer, answer.best), strict=True)
    )
    blocks: list[Block | Item] = [Rows(rows)]
    if answer.best.miles is not None:
        blocks.append(Paragraph(f"Miles to the first limit of a rim: {_miles(answer.best.miles)}."))
    return Section("Which wheelset at which axle", tuple(blocks))


def _conflicts(answer: Arranged) -> Section | None:
    """Each conflict with all of its criteria: what is wrong with the wheelsets that one excludes by itself; what one
    asks of several together."""
    said = {one.id: {one.title: None} for one in answer.check.judgement.rulebook.criteria}
    faults: dict[str, dict[str, None]] = {}
    for place in answer.places:
        for one in place.reasons:
            if one.known:
                faults.setdefault(one.criterion, {})[one.at_any_axle] = None
    said.update(faults)
    sources = {one.id: cite((one.source,)) for one in answer.check.judgement.rulebook.criteria}
    told = {name: f"{' or '.join(own)}{f' ({sources[name]})' if name in sources else ''}" for name, own in said.items()}
    return _texts(
        "Conflicts", (f"{one.words}: {'. '.join(map(told.__getitem__, one.criteria))}" for one in answer.conflicts)
    )


def _alike(reasons: Iterable[Shortfall]) -> Iterable[str]:
    """`wheel L1, R1: flange not measured`: parts with the same reasons together."""
    by_words: dict[str, list[str]] = {}
    for reason in reasons:
        by_words.setdefault(reason.words, []).append(reason.label)
    return (f"{compact_labels(labels)}: {words}" for words, labels in by_words.items())


def _lines(answer: Arranged, arrangement: Arrangement) -> Iterable[str]:
    now = {one.axle: one.serial for one in answer.wheelsets if one.axle is not None}
    places = {one.serial: "from the shelf" if one.where == "on the shelf" else one.where for one in answer.wheelsets}
    at = {one.serial: one.axle for one in answer.wheelsets}
    for (axle, _), serial in zip(answer.axles, arrangement.serials, strict=True):
        if now.get(axle) == serial:
            yield f"{serial} stays"
        else:
            came = f"from axle {at[serial]}" if at[serial] is not None else places[serial]
            yield f"{serial} ({came}) in the place of {now.get(axle, 'none')}"


def _miles(miles: Fraction) -> str:
    return f"{int(miles):,}"


def _ties(answer: Arranged) -> Section | None:
    lines = [", ".join(one.serials) for one in answer.ties]
    if answer.more_ties:
        lines.append(f"and {answer.more_ties:,} more")
    return _texts("As good", lines)


def _wheelsets(answer: Arranged) -> Section:
    rows = []
    no_rate: dict[str, list[str]] = {}
    for one in answer.wheelsets:
        where = f"at axle {one.axle}" if one.axle is not None else one.where
        if one.miles is None:
            no_rate.setdefault(one.no_miles, []).append(one.serial)
        rows.append((one.serial, where if one.miles is None else f"{where}; {_miles(one.miles)} miles to a limit"))
    rates = tuple(f"No wear rate of {listed(serials)}: {reason}" for reason, serials in no_rate.items())
    return Section("Wheelsets on hand", (Rows(tuple(rows)), *((Bullets(rates),) if rates else ())))


def _places(answer: Arranged) -> Section | None:
    """Why a wheelset can't stand at an axle by itself, axles with the same reasons together. What merely is to be shown
    is told once, where an answer rests on it."""
    alike: dict[tuple[str, tuple[str, ...]], list[int]] = {}
    for place in answer.places:
        reasons = [one for one in place.reasons if answer.strict or one.known]
        if reasons:
            faults = tuple(dict.fromkeys(reason.at_any_axle for reason in reasons))
            alike.setdefault((place.serial, faults), []).append(place.axle)
    every = len(answer.axles)
    lines = [
        f"{serial} {_at(axles, every)}: {'. '.join(faults[:4])}"
        + (f". And {len(faults) - 4} more" if len(faults) > 4 else "")
        for (serial, faults), axles in alike.items()
    ]
    rest = len(lines) - _MOST_LINES
    return _texts("Why not at an axle", [*lines[:_MOST_LINES], *([f"and {rest} more"] if rest > 0 else [])])


def _at(axles: list[int], every: int) -> str:
    if len(axles) == every > 1:
        return "at every axle"
    return f"at axle{'s' if len(axles) > 1 else ''} {', '.join(map(str, axles))}"


def _texts(heading: str, texts: Iterable[str]) -> Section | None:
    lines = tuple(texts)
    return Section(heading, (Bullets(lines),)) if lines else None
