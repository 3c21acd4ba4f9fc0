"""The grids and ticks of one sheet, made of its boxes, with their rows numbered."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from msgspec.structs import replace

from carknocker.forms.limits import Asked, limits_of
from carknocker.forms.model import GROUPS, NONE, Block, Box, Column, Condition, Grid, Limit, NewParts, Row, Said, Tick
from carknocker.forms.names import name_on_a_form
from carknocker.forms.new_parts import New, new_name
from carknocker.forms.places import FAMILIES, LISTED, Cell, heading_of
from carknocker.forms.rows import row_for, sound_value
from carknocker.judgement.index import JudgementIndex
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import TRUCK

FEWEST_IN_A_TICK = 2
"""A tick for one answer saves nobody anything."""


class SheetBlocks:
    """Makes the blocks of one sheet. coming: the new parts that they bring, once those are made."""

    def __init__(self, index: JudgementIndex, asked: Mapping[tuple[str, str], tuple[Asked, ...]]) -> None:
        self.index = index
        self.asked = asked
        self.count = 0
        self.coming: list[NewParts] = []

    def next(self) -> int:
        self.count += 1
        return self.count

    def blocks(self, cells: list[Cell], sheet: str) -> Iterator[Block]:
        families = sorted(
            {cell.family for cell in cells},
            key=lambda one: (list(FAMILIES).index(one) if one in FAMILIES else len(FAMILIES), one),
        )
        for family in families:
            own = [cell for cell in cells if cell.family == family]
            ticked = list(_tickable(own))
            inside = {id(cell) for _, group in ticked for cell in group}
            rest = [cell for cell in own if id(cell) not in inside]
            if rest:
                yield self.grid(rest, family)
            for key, group in ticked:
                yield self.tick(group, key, sheet)

    def grid(self, cells: list[Cell], family: str) -> Grid:
        columns = {cell.column.head: (cell.order, cell.column) for cell in cells}
        rows: dict[tuple[int, str, str], list[Cell]] = {}
        for cell in sorted(cells, key=lambda one: one.row):
            rows.setdefault(cell.row, []).append(cell)
        made: list[Row] = []
        boxes: list[Box] = []
        several = len({cell.part.kind for cell in cells}) > 1
        for own in rows.values():
            row = self.row(own)
            made.append(
                replace(row, label=f"{row.kind}: {row.label}") if several and row.kind not in row.label else row
            )
            boxes.extend(self.box(one, row.number) for one in sorted(own, key=lambda one: one.order))
        heading = heading_of(family, self.index)
        ordered = tuple(column for _, column in sorted(columns.values(), key=lambda one: one[0]))
        return Grid(heading, ordered, tuple(made), tuple(boxes))

    def box(self, cell: Cell, row: int) -> Box:
        parts = self.index.judgement.parts
        conditions = tuple(
            Condition(name_on_a_form(parts[one.part], self.index.standing), one.attribute, one.words)
            for one in cell.only_if
            if one.part
        )
        which = cell.column.above if cell.family.startswith(LISTED) else ""
        return Box(row, cell.column.head, cell.name, cell.attribute.name, cell.group, cell.why, conditions, which)

    def row(self, cells: list[Cell], number: int | None = None) -> Row:
        first = cells[0]
        limits: dict[tuple[str, str], list[str]] = {}
        found: dict[tuple[str, str], Limit] = {}
        for cell in cells:
            for limit in limits_of(
                self.asked.get((cell.part.key, cell.attribute.name), ()), self.index.judgement.move.host
            ):
                key = (limit.told, limit.asked_by)
                found.setdefault(key, limit)
                limits.setdefault(key, []).append(cell.column.head)
        told = tuple(
            replace(one, of=() if len(limits[key]) == len(cells) else tuple(limits[key])) for key, one in found.items()
        )
        group = next(one for one in GROUPS if any(cell.group == one for cell in cells))
        conditions = {cell.condition for cell in cells}
        condition = conditions.pop() if len(conditions) == 1 else ""
        known = {cell.short_condition for cell in cells}
        told = tuple(replace(one, only_if="") if known == {one.only_if} else one for one in told)
        row = row_for(
            self.next() if number is None else number, first.part.kind, first.attribute, group, first.writes, told,
            accepted=any(cell.accepted and cell.writes == "reading" for cell in cells),
        )  # fmt: skip
        return replace(row, only_if=condition)

    def tick(self, cells: list[Cell], about: "TickAbout", sheet: str) -> Tick:
        number, kind = self.next(), about.kind
        rows: dict[tuple[int, str, str], list[Cell]] = {}
        for cell in sorted(cells, key=lambda one: one.row):
            rows.setdefault(cell.row, []).append(cell)
        said = []
        boxes: list[Box] = []
        for own in rows.values():
            row = self.row(own, number)
            said.append(Said(row, sound_value(own[0].attribute)))
            boxes.extend(self.box(one, number) for one in sorted(own, key=lambda one: one.order))
        parts = {cell.name for cell in cells}
        where = f" of {sheet}" if sheet.startswith(TRUCK) else ""
        which = f"any {kind}{where}" if about.none else f"every {kind}{where}"
        if len(parts) == 1:
            which = "the car" if kind == "car" else f"the {kind}" if parts == {kind} else next(iter(parts))
        heading = f"{NONE} {which}" if about.none else f"So on {which}"
        heading += f" ({about.condition})" if about.condition else ""
        return Tick(number, heading, kind, tuple(said), tuple(boxes))

    def new_parts(self, coming: list[New]) -> Iterator[Block]:
        """A grid with how many there are of each, and under it what is said of all of them."""
        if not coming:
            return
        by_row: dict[tuple[str, str], list[New]] = {}
        for one in coming:
            by_row.setdefault((one.part.kind, one.called), []).append(one)
        rows: list[Row] = []
        boxes: list[Box] = []
        ticks: list[Tick] = []
        for (kind, called), own in by_row.items():
            number = next((one.number for one in own if one.number is not None), None)
            if number is not None:
                rows.append(row_for(self.next(), own[0].container.kind, number, own[0].group, "reading"))
            for one in own:
                name, head = self.container(one)
                box = Box(rows[-1].number, head, name, one.number.name, one.group) if one.number is not None else None
                boxes += [box] if box is not None else []
                self.coming.append(NewParts(name, head, kind, called, one.missing, box, one.which))
            told = {asked[0].name: asked for one in own for asked in one.attributes}
            for attribute, limits in told.values():
                later = number is not None and not attribute.description  # asked once it is known how many there are
                if later or sound_value(attribute) or attribute.follows:
                    continue
                row = row_for(self.next(), kind, attribute, own[0].group, "new parts", limits, called=called)
                rows.append(row)
                boxes += self.boxes_of_new(row, own)
            ticked = [(one, limits) for one, limits in told.values() if sound_value(one)]
            if ticked:
                ticks.append(self.tick_of_new(kind, called, own, ticked))
        heads = dict.fromkeys(self.container(one)[1] for one in coming)
        if rows:
            heading = "Parts not on record: number, and what holds for all"
            yield Grid(heading, tuple(Column(head) for head in heads), tuple(rows), tuple(boxes))
        yield from ticks

    def boxes_of_new(self, row: Row, own: list[New]) -> list[Box]:
        """A box in each container of whose new parts the attribute is asked."""
        asking = [one for one in own if any(told[0].name == row.attribute for told in one.attributes)]
        return [
            Box(row.number, head, new_name(one.part.kind, one.called, name), row.attribute, one.group)
            for one in asking
            for name, head in (self.container(one),)
        ]

    def tick_of_new(
        self, kind: str, called: str, own: list[New], told: list[tuple[Attribute, tuple[Limit, ...]]]
    ) -> Tick:
        """One box that says the same of all new parts that are called alike."""
        number = self.next()
        rows = [row_for(number, kind, one, own[0].group, "new parts", limits, called=called) for one, limits in told]
        said = tuple(Said(row, sound_value(one)) for row, (one, _) in zip(rows, told, strict=True))
        boxes = tuple(box for row in rows for box in self.boxes_of_new(row, own))
        return Tick(number, f"So on all {called}, if there are any", kind, said, boxes, "new parts", called)

    def container(self, one: New) -> tuple[str, str]:
        """How a form names what the parts are in, and the head of its column."""
        name = name_on_a_form(one.container, self.index.standing)
        return name, one.container.position or one.container.kind


class TickAbout(NamedTuple):
    """What one tick is about: a kind of part, whether it says that there is none, and what has to be so."""

    kind: str
    none: bool
    condition: str


def _tickable(cells: Iterable[Cell]) -> Iterator[tuple[TickAbout, list[Cell]]]:
    """The cells that one tick may answer."""
    found: dict[TickAbout, list[Cell]] = {}
    followed: list[Cell] = []
    for cell in cells:
        attribute = cell.attribute
        value = sound_value(attribute)
        if cell.writes != "reading" or cell.accepted:
            continue
        if value:
            about = TickAbout(cell.part.kind, value in ("no", attribute.none), cell.condition)
            found.setdefault(about, []).append(cell)
        elif attribute.follows:
            followed.append(cell)
    for cell in followed:
        for key, own in found.items():
            if any(one.part.key == cell.part.key and one.attribute.name == cell.attribute.follows for one in own):
                found[key] = [*own, cell]
                break
    for key, own in sorted(found.items()):
        if len(own) >= FEWEST_IN_A_TICK:
            yield key, own
