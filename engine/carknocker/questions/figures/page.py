"""Every derived figure of a car as a page: worked lines by kind of part, what is missing, and what follows."""

from collections.abc import Iterable, Mapping

from carknocker.page.model import Block, Bullets, Item, Page, Paragraph, Rows, Section, Table
from carknocker.quantities import write_quantity
from carknocker.questions.figures.ask import DerivedFigure, Figures, Step, missing_words
from carknocker.questions.figures.turning_plans import RimOutlook, Turning
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.record.values import Word
from carknocker.wording.parts import attribute_words, car_title, compact_labels, part_words
from carknocker.wording.phrases import counted
from carknocker.workings import Missing, Worked


def figures_page(figures: Figures) -> Page:
    """The page of `figures`. A section that has nothing to say is left out."""
    worked = [one for one in figures.figures if one.worked is not None]
    missing = [one for one in figures.figures if one.missing is not None]
    car = figures.car
    name = car_title(car)
    shown = len([one for one in worked if not isinstance(one.worked and one.worked.value, Word)])
    verdict = f"{counted(shown, 'figure')} worked out; {len(missing):,} lack something."
    sections = [
        Section("What it was made from", (Rows(_made_from(figures)),)),
        *_worked_sections(worked),
        _turning(figures.turning, figures.parts),
        _outlooks(figures.outlooks),
        _steps(figures.steps, figures.parts),
        _labels(figures.turned_labels),
        _missing(missing, figures.parts),
    ]
    return Page(f"{name}: figures", verdict, "plain", tuple(one for one in sections if one is not None))


def _made_from(figures: Figures) -> tuple[tuple[str, str], ...]:
    move = figures.move
    if move is None:
        words = "none: figures of a route or a train can't be worked out, and void readings are not told apart"
    else:
        words = f"{move.out.isoformat()} to {move.back.isoformat()} on {move.host} ({move.file})"
    return (("record", figures.car.file), ("day", figures.day.isoformat()), ("move", words))


def _worked_sections(worked: list[DerivedFigure]) -> Iterable[Section]:
    by_kind: dict[str, dict[str, list[DerivedFigure]]] = {}
    for one in worked:
        by_kind.setdefault(one.part.kind, {}).setdefault(one.attribute.name, []).append(one)
    for kind, attributes in by_kind.items():
        items = tuple(
            Item(_sentence(found[0].attribute.label), (Bullets(tuple(_lines(found))), Paragraph(found[0].source)))
            for found in attributes.values()
        )
        yield Section(_sentence(kind), items)


def _lines(found: list[DerivedFigure]) -> Iterable[str]:
    """Parts with the same line together."""
    alike: dict[tuple[str, str], list[Part]] = {}
    for one in found:
        if one.worked is None:
            continue
        uncertainty = "" if one.uncertainty is None else f", ± {write_quantity(one.uncertainty)}"
        alike.setdefault((_with_result(one.worked), uncertainty), []).append(one.part)
    for (line, uncertainty), parts in alike.items():
        yield f"{_together(parts)}: {line}{uncertainty}"


def _with_result(worked: Worked) -> str:
    result = value_words(worked.value)
    return worked.line if result in worked.line else f"{worked.line}: {result}"


def _together(parts: Iterable[Part]) -> str:
    return compact_labels(part_words(part) for part in parts)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _turning(turnings: tuple[Turning, ...], parts: Mapping[str, Part]) -> Section | None:
    if not turnings:
        return None
    limits = "; ".join(f"{one.words} ({one.place})" for one in turnings[0].limits)
    custom = "Mates that are turned are turned to one size. Sizes that no rule limits are left as they are."
    blocks: list[Block | Item] = [Paragraph(f"Within: {limits}. {custom}")]
    for one in turnings:
        if one.plan is None:
            text = "" if one.missing is None else missing_words(one.missing, parts)
            blocks.append(Item(f"{_sentence(one.label)}: no plan", (Bullets((text,)),)))
            continue
        can = "it can work" if one.plan.works else "IT CAN'T WORK: a rim would be too thin"
        lines = tuple(wheel.line + ("" if wheel.works else ": TOO THIN") for wheel in one.plan.wheels)
        taken = (Paragraph(one.taken),) if one.taken else ()
        blocks.append(Item(f"{_sentence(one.label)}: {can}", (Bullets(lines), *taken)))
    return Section("Turning: the least cuts that restore every contour and match the sizes", tuple(blocks))


def _outlooks(outlooks: tuple[RimOutlook, ...]) -> Section | None:
    if not outlooks:
        return None
    by_wheel: dict[str, list[RimOutlook]] = {}
    for one in outlooks:
        by_wheel.setdefault(one.wheel.key, []).append(one)
    items = tuple(
        Item(_sentence(part_words(found[0].wheel)), (Bullets((found[0].outlook.lines[0], *map(_until, found))),))
        for found in by_wheel.values()
    )
    lead = Paragraph("If the car goes on as it did. No rate is taken from elsewhere.")
    return Section("How long the rims last, by their own wear", (lead, *items))


def _until(one: RimOutlook) -> str:
    if one.outlook.earliest is None:
        left = "; ".join(one.outlook.lines[1:])
        return f"to {one.limit.words} ({one.limit.place}): {left}; by when is not said"
    latest = "no last day: the wear may be nothing" if one.outlook.latest is None else one.outlook.latest.isoformat()
    left = "; ".join(one.outlook.lines[1:])
    reached = f"reached between {one.outlook.earliest.isoformat()} and {latest}"
    return f"to {one.limit.words} ({one.limit.place}): {left}; {reached}"


def _steps(steps: tuple[Step, ...], parts: Mapping[str, Part]) -> Section | None:
    items = []
    for step in steps:
        if isinstance(step.effect, Missing):
            lines: tuple[str, ...] = (missing_words(step.effect, parts),)
            items.append(Item(f"{_sentence(step.truck.label)}: no answer", (Bullets(lines),)))
        else:
            blocks: tuple[Block, ...] = (Bullets(step.effect.lines), Paragraph(step.effect.taken))
            items.append(Item(_sentence(step.truck.label), blocks))
    return Section("What the step of the middle axle does", tuple(items)) if items else None


def _labels(labels: tuple[tuple[Part, tuple[str, ...]], ...]) -> Section | None:
    items = tuple(Item(f"{_sentence(axle.label)}", (Bullets(lines),)) for axle, lines in labels)
    return Section("Turned heat labels", items) if items else None


def _missing(missing: list[DerivedFigure], parts: Mapping[str, Part]) -> Section | None:
    """By what is missing, so that one trip round the car brings many figures."""
    needed: dict[tuple[str, str], dict[str, None]] = {}
    wanted: dict[tuple[str, str], dict[str, None]] = {}
    for one in missing:
        lack = one.missing
        if lack is None:
            continue
        part = parts.get(lack.part)
        kind = lack.part if part is None else part.kind
        key = (attribute_words(kind, lack.attribute), lack.reason)
        needed.setdefault(key, {})[lack.part if part is None else part_words(part).partition(" (")[0]] = None
        wanted.setdefault(key, {})[one.attribute.label] = None
    rows = tuple(
        (f"{_sentence(attribute)}: {reason}", compact_labels(needed[attribute, reason]), "; ".join(labels))
        for (attribute, reason), labels in wanted.items()
    )
    heading = "What is missing, first of each figure"
    return Section(heading, (Table(heading, ("Missing", "Of", "Wanted for"), rows, headed=True),)) if rows else None
