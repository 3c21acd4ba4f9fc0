"""Sheet 2: each fault with what was found, what it must be, the rule, and what clears it; then what restricts the car
and what is asked for without being a fault, which stands on sheet 1 where there is no fault."""

from collections.abc import Iterable, Iterator, Mapping

from carknocker.dossier.blockers import Blocker
from carknocker.dossier.looked_at import NOT_LOOKED_AT
from carknocker.dossier.missing import Missing
from carknocker.dossier.view import View
from carknocker.page.model import Bullets, Drawing, Emphasized, Item, Paragraph, Rows, Section, Table
from carknocker.page.paper import text_parts
from carknocker.questions.check.sheets.fault_numbers import NumberedFault, number_of_the_missing
from carknocker.wording.sources import cite

_LONGEST_HALF = 600
"""Letters of what restricts the car, and of what is asked for, where each has half the width."""
_MUCH_ADVICE = 1500
"""Letters of advice; of more, the figures stand in the appendix alone."""
_MOST_REASONS = 4
"""Why what was read does not count; the appendix gives all."""
_IN_FULL = ((3, 5), (6, 3))
"""Faults in full, where there are more than the sheets have room for, by the turn at which they give way: at first one
sheet of them."""
_QUOTED = 2
"""Of rules that restrict the car; the words of more stand in the appendix alone."""


def fault_sheet(
    view: View, faults: tuple[NumberedFault, ...], host: str, file: str, pictures: Mapping[int, Drawing]
) -> Section | None:
    """The sheet; None where there is no fault. pictures: by the numbers of the faults, for media that show them."""
    items = [_fault(one, file, pictures.get(one.number)) for one in faults]
    if view.items.missing is not None:
        number = number_of_the_missing(view)
        items.insert(number - 1, _missing(view.items.missing, number))
    if not items:
        return None
    heading = faults_heading(view)
    none = "" if heading == "Faults" else "Nothing read so far shows a fault. "
    binds = f"Law binds every move; the circular binds moves on the {host}."
    lead = f"{none}Each must be cleared before the car moves. {binds}"
    more = tuple(_more(view, file))
    gives_way = tuple(
        (turn, (*items[:full], _in_short(items[full:], faults, host), *more))
        for turn, full in _IN_FULL
        if len(items) > full
    )
    return Section(
        heading, (*items, *more), folded=True, sheet=True, lead=lead, counted=str(len(items)),
        gives_way=gives_way,
    )  # fmt: skip


def _in_short(items: Iterable[Item], faults: tuple[NumberedFault, ...], host: str) -> Item:
    """Faults in a row each, where the sheets have no room for all of them in full."""
    sources = {one.number: cite(one.sources, host) for one in faults}
    rows = tuple((str(one.number), one.heading, sources.get(one.number, "")) for one in items)
    return Item(
        f"Faults {rows[0][0]} to {rows[-1][0]}, in short",
        (Table("Faults in short", ("No.", "Fault", "Rule"), rows, ("number", "text", "text"), headed=True),),
    )


def faults_heading(view: View) -> str:
    """What the sheet is called: of a car of which most was not looked at, what keeps it is no fault yet."""
    unread = text_parts(view.outcome_line)[0] == NOT_LOOKED_AT
    return "What is to be shown or cleared" if unread else "Faults"


def no_faults(view: View, file: str) -> Iterator[Section]:
    """What restricts the car and what is asked for, as sections of sheet 1, where there is no fault."""
    for item in _more(view, file):
        yield Section(item.heading, item.blocks, folded=True, half=item.half)


def _fault(fault: NumberedFault, file: str, picture: Drawing | None) -> Item:
    blocker = fault.blocker
    rows = [("Found", "; ".join((*_found(fault, file), *blocker.why)))]
    rows.append(("Must be", blocker.required))
    if blocker.source:
        rows.append(("Rule", blocker.source))
    rows.append(("Clears it", _clears(blocker)))
    rows.extend(("Repair move", leave) for leave in blocker.leave)
    heading = Emphasized(f"{fault.part}:", f" {blocker.fault.words}")
    stops = Paragraph(f"Stops {blocker.stops}.")
    aside = (stops,) if picture is None else (picture, stops)
    return Item(heading, (Rows(tuple(rows), facts=True),), fault.number, blocker.binds, aside)


def _clears(blocker: Blocker) -> str:
    """What clears it; of work on one part, each alone does."""
    alone = blocker.verdict == "breached" and len(blocker.measured) == 1
    between = "; or " if alone else "; "
    work = between.join(one for one in blocker.clears if not one.startswith("or: "))
    return "; ".join((work, *(one for one in blocker.clears if one.startswith("or: "))))


def _found(fault: NumberedFault, file: str) -> Iterator[str]:
    """What was found; of a place in the record its line alone."""
    measured = fault.blocker.measured
    one_part = len({one.parts for one in measured}) == 1
    for one in measured:
        told = one.measured if one_part else f"{one.parts}: {one.measured}"
        words = "; ".join(word for word in (f"{told}, {one.margin}" if one.margin else told, one.evidence) if word)
        yield words.replace(f"{file}:", "record line ")


def _missing(missing: Missing, number: int) -> Item:
    """What nobody measured, counted by the access that it takes; the list is in the appendix."""
    rows = [
        ("Missing", missing.counted),
        (
            "Where",
            "; ".join(f"{group.heading[:1].lower()}{group.heading[1:]}: {group.count:,}" for group in missing.groups),
        ),
    ]
    aside = [
        f"{row.parts}, {', '.join(row.attributes)}: {row.reason}"
        for group in missing.groups for row in group.rows if row.reason and group.access != "move"
    ]  # fmt: skip
    more = len(aside) - _MOST_REASONS
    if aside:
        rows.append(("Not counted", "; ".join((*aside[:_MOST_REASONS], *((f"and {more} more",) if more > 0 else ())))))
    again = "; read again what does not count" if aside else ""
    rows.append(("Clears it", f"measure and write down what the worksheet asks for; the appendix lists it{again}"))
    said = (
        " what nobody read or put on record, or what was read and does not count,"
        if aside
        else (" what nobody read or put on record")
    )
    heading = Emphasized("Not measured:", f"{said} counts against the car")
    stops = Paragraph(f"Stops {missing.stops}.")
    return Item(heading, (Rows(tuple(row for row in rows if row[1]), facts=True),), number, "", (stops,))


def _more(view: View, file: str) -> Iterator[Item]:
    restriction, asked = tuple(_restrictions(view)), tuple(_asked(view, file))
    longest = max(sum(len(one.text) for one in restriction), sum(map(len, asked)))
    half = bool(restriction and asked) and longest <= _LONGEST_HALF
    if restriction:
        yield Item("Restriction", restriction, half=half)
    if asked:
        yield Item("Asked for, not a fault", (Bullets(asked),), half=half)
    for heading, entries in (
        ("Relieved: still so, but not counted against the car", view.relieved),
        ("Spares not fit for use", view.spares),
    ):
        if entries:
            yield Item(heading, (Bullets(tuple("; ".join((one.title, *one.lines)) for one in entries)),))


def _restrictions(view: View) -> Iterator[Paragraph]:
    for group in view.restrictions:
        quoted = [text for one in group.restrictions for label, text in one.lines if label == "says"]
        rules = list(dict.fromkeys(quoted if len(quoted) <= _QUOTED else [one.rule for one in group.restrictions]))
        yield Paragraph(f"{group.headline}. {'; '.join(rules)}")


def _asked(view: View, file: str) -> Iterator[str]:
    """What is asked for without being a fault; of a place in the record its line alone. Where it is much, its figures
    stand in the appendix alone."""
    lines = [f"Measure again with a finer gauge: {one.title}" for one in view.borderline]
    advice = ["; ".join((one.title, *one.lines)).replace(f"{file}:", "record line ") for one in view.advice]
    much = sum(map(len, advice)) > _MUCH_ADVICE
    lines.extend((f"{one.title}: see the appendix" for one in view.advice) if much else advice)
    if view.advice_missing is not None:
        lines.append(f"Advised and {view.advice_missing.counts}: the appendix lists them")
    yield from lines
