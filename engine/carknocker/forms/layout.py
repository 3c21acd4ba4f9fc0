"""Which sheet, grid, row and column a wanted value has: sheets for each truck, the ends, brakes, body and papers."""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from msgspec.structs import replace

from carknocker.dossier.missing import may_be_shown, missing_of
from carknocker.forms.limits import Asked, asked_of, limits_of
from carknocker.forms.model import (
    GROUPS,
    Block,
    Box,
    BoxKind,
    Column,
    Form,
    GaugeFor,
    Grid,
    Group,
    Limit,
    NewParts,
    Row,
    Said,
    Sheet,
    Tick,
    Wanted,
    Writes,
)
from carknocker.forms.names import name_on_a_form
from carknocker.forms.wants import NEVER, Want, refused_anyway, wants_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.quantities import DIMENSIONS
from carknocker.record.model import Part, Unlisted
from carknocker.rulebook.clauses import Clause, Comparison
from carknocker.vocabulary.model import Attribute, GaugeKind, Kind
from carknocker.vocabulary.program_names import AXLE, AXLE_POSITION, MOVE_KINDS, TRUCK, WHEELSET
from carknocker.wording.parts import car_title, part_words

_ENDS, _BRAKES, _BODY, _SPARES = "ends", "brakes", "body and papers", "spares"
_TITLES = {_ENDS: "Ends", _BRAKES: "Brakes", _BODY: "Body and papers", _SPARES: "Spares carried"}
_NUMBER = re.compile(r"\d+")
_SOUND = "sound"  # among the words of a choice, the one that says that nothing is wrong
FEWEST_IN_A_TICK = 2
"""A tick for one answer saves nobody anything."""


def form_of(answer: CheckAnswer, groups: tuple[Group, ...] = ("decides now",)) -> Form:
    """The form of a checked car. groups: which boxes it has."""
    judgement = answer.judgement
    index = JudgementIndex(judgement)
    refused = refused_anyway(index)
    boxes: dict[tuple[str, str], list[Want]] = {}
    apart: dict[tuple[str, str, str], Want] = {}
    left_out: set[tuple[str, str]] = set()
    whether = False
    for want in wants_of(index, on_the_day=True):
        if want.part.key in refused and want.part.kind not in MOVE_KINDS:
            left_out.add((want.part.key, want.attribute.name))
            continue
        whether = whether or want.whether
        if want.attribute.kind != want.part.kind:
            continue  # asked of a place that the part has not got: of the axle at which a carried wheelset would stand
        if _has_a_box(want):
            boxes.setdefault((want.part.key, want.attribute.name), []).append(want)
        elif want.part.unlisted is None:
            apart.setdefault((want.part.key, want.attribute.name, want.label), want)
    cells = [_cell(wants, index) for wants in boxes.values()]
    others = {group: sum(cell.group == group for cell in cells) for group in GROUPS if group not in groups}
    new = [one for one in _new_parts(index) if one.group in groups]
    numbers = {(one.container.key, one.number.name) for one in new if one.number is not None}
    cells = [
        cell for cell in cells if cell.group in groups and (cell.part.key, cell.attribute.name) not in numbers
    ]  # fmt: skip
    car = judgement.car
    not_shown = [one.finding for one in judgement.refusals if one.finding is not None and may_be_shown(one, index)]
    missing = missing_of(not_shown, index)
    return Form(
        mark=car.mark,
        car=car_title(car),
        as_of=answer.day,
        out=judgement.move.out,
        back=judgement.move.back,
        host=judgement.move.host,
        digest=car.digest,
        groups=groups,
        sheets=tuple(_sheets(cells, new, [one for one in apart.values() if one.group in groups], index)),
        people=tuple(f"{person.name} ({person.role})" for person in car.people.values()),
        gauges=tuple(f"{gauge.name} ({gauge.kind})" for gauge in car.gauges.values()),
        missing="" if missing is None else missing.counts,
        left_out=len(left_out),
        other_groups=tuple((group, count) for group, count in others.items() if count),
        more_may_follow=whether,
    )


def _has_a_box(want: Want) -> bool:
    attribute = want.attribute
    return want.part.unlisted is None and not attribute.derived and attribute.type not in ("test", "paper")


class Cell(NamedTuple):
    """A box before it has its place."""

    sheet: str
    family: str
    column: Column
    order: tuple[int, ...]
    row: tuple[int, str, str]
    part: Part
    attribute: Attribute
    group: Group
    writes: Writes
    name: str
    why: tuple[str, ...]
    accepted: bool
    called: str = ""


def _cell(wants: list[Want], index: JudgementIndex) -> Cell:
    part, attribute = wants[0].part, wants[0].attribute
    group = next(one for one in GROUPS if any(want.group == one for want in wants))
    family, column, order = _family(part, index)
    why = tuple(dict.fromkeys(want.why for want in wants if want.why != NEVER))
    writes: Writes = "reading"
    if part.kind in MOVE_KINDS:
        writes = "statement"
    elif attribute.description:
        writes = "description"
    return Cell(
        _sheet_of(part, index), family, column, order, _row_order(part.kind, attribute, index), part, attribute, group,
        writes, name_on_a_form(part, index.standing), why, any(want.shop for want in wants),
    )  # fmt: skip


def _row_order(kind: str, attribute: Attribute, index: JudgementIndex) -> tuple[int, str, str]:
    kinds = list(index.vocabulary.kinds)
    place = list(index.vocabulary.kinds[kind].attributes).index(attribute.name)
    return (kinds.index(kind) * 1000 + place, kind, attribute.name)


def _sheet_of(part: Part, index: JudgementIndex) -> str:
    kinds = index.vocabulary.kinds
    if not part.fitted:
        return _SPARES
    containers = [index.standing.parts[key] for key in index.standing.containers(part.key)]
    around = (part, *containers)
    if any(one.kind == "end" for one in around):
        return _ENDS
    if kinds[part.kind].tag_group == "brake":
        return _BRAKES
    truck = next((one for one in around if one.kind == TRUCK), None)
    return f"truck {truck.position}" if truck is not None else _BODY


def _family(part: Part, index: JudgementIndex) -> tuple[str, Column, tuple[int, ...]]:
    """Which grid of its sheet a part is in, under which column, and how the columns are ordered."""
    kind = index.vocabulary.kinds[part.kind]
    if not part.fitted:
        name = name_on_a_form(part, index.standing)
        return "spares", Column(name), (index.order.get(part.key, 0),)
    axle = _axle_of(part, index)
    if kind.positions == "sides of axle":
        side = part.position[:1]
        return "wheels", Column(f"{side}{axle}", _axle_words(axle, index)), (axle, "LR".find(side))
    if part.kind in (AXLE, AXLE_POSITION, WHEELSET):
        return "axles", Column(str(axle), _axle_words(axle, index)), (axle,)
    if kind.positions == "listed":
        around = index.standing.parts[part.container] if part.container is not None else part
        above = part_words(around) if around.position else ""
        return f"listed {part.kind}", Column(part.position, above), (index.order.get(part.key, 0),)
    if kind.positions == "sides of truck":
        return "sides", Column(part.position), (index.order.get(part.key, 0),)
    if kind.positions in ("ends", "trucks"):
        return "ends", Column(part.position), (" BA".find(part.position),)
    if kind.positions == "legs":
        return "legs", Column(part.position), (int(part.position) if part.position.isdigit() else 0,)
    return "one", Column("car"), (0,)


def _axle_of(part: Part, index: JudgementIndex) -> int:
    for key in (part.key, *index.standing.containers(part.key)):
        own = index.standing.parts[key]
        if own.kind in (AXLE_POSITION,) or (index.vocabulary.kinds[own.kind].positions == "sides of axle"):
            found = _NUMBER.search(own.position)
            if found is not None:
                return int(found[0])
    return 0


def _axle_words(axle: int, index: JudgementIndex) -> str:
    position = index.standing.parts.get(f"{AXLE_POSITION} {axle}")
    wheelset = None if position is None else index.wheelset_at(position)
    return f"axle {axle}" if wheelset is None else f"axle {axle}, {wheelset.position}"


class New(NamedTuple):
    """Parts of one kind in one container that are not on record, with the attributes that rules ask of them."""

    part: Part
    container: Part
    called: str
    attributes: tuple[tuple[Attribute, tuple[Limit, ...]], ...]
    which: tuple[tuple[str, str], ...]
    number: Attribute | None
    missing: int | None
    group: Group


def _new_parts(index: JudgementIndex) -> Iterator[New]:
    """What the rules ask of parts that are not on record. Where a description decides whether a rule applies, that is
    asked first."""
    for part in index.judgement.parts.values():
        if part.unlisted is None or part.container is None:
            continue
        findings = [
            one for one in index.findings_on(part.key)
            if one.verdict in ("not shown", "for the day") and not one.relieved
        ]  # fmt: skip
        binding = [one for one in findings if one.effect != "advise"]
        if findings:
            yield _new_part(part, part.unlisted, binding or findings, index)


def _new_part(part: Part, unlisted: Unlisted, findings: list[Finding], index: JudgementIndex) -> New:
    kind = index.vocabulary.kinds[part.kind]
    container = index.judgement.parts[part.container or ""]
    row = next((one for one in kind.stands if one.called == unlisted.called), None)
    which = () if row is None else tuple((name, words[0]) for name, words in row.which if len(words) == 1)
    known = {name for name, _ in which}
    asked: dict[str, list[Asked]] = {}
    attributes: dict[str, Attribute] = {}
    for finding in findings:
        criterion = finding.criterion
        conditions = [clause for clause in (criterion.when, criterion.unless) if clause is not None]
        first = [own for clause in conditions for own, _ in _own_comparisons(clause, kind) if own.name not in known]
        attributes.update((own.name, own) for own in first)
        if first:
            continue
        for own, comparison in _own_comparisons(criterion.must, kind):
            if own.name not in known:
                attributes.setdefault(own.name, own)
                if comparison.word != "shown":
                    asked.setdefault(own.name, []).append((comparison, criterion))
    number = None
    if unlisted.number and unlisted.stated is None:
        number = index.vocabulary.attribute(container.kind, unlisted.number)
    order = list(kind.attributes)
    listed = sorted(attributes.values(), key=lambda own: order.index(own.name))
    group: Group = "decides now"
    if all(one.effect == "advise" for one in findings):
        group = "only advised"
    elif all(one.verdict == "for the day" for one in findings):
        group = "wanted before departure"
    told = tuple((own, limits_of(asked.get(own.name, ()))) for own in listed)
    return New(part, container, unlisted.called, told, which, number, unlisted.missing, group)


def _own_comparisons(clause: Clause, kind: Kind) -> Iterator[tuple[Attribute, Comparison]]:
    """The comparisons of a clause with what is written or read of the kind itself."""
    for comparison in comparisons_in(clause):
        path = comparison.path
        own = path.attribute
        written = not own.derived and own.type not in ("test", "paper")
        if not path.owner and path.fact is None and own.kind == kind.name and written:
            yield own, comparison


def _sheets(cells: list[Cell], new: list[New], apart: list[Want], index: JudgementIndex) -> Iterator[Sheet]:
    asked = asked_of(index)
    names = [f"truck {truck.position}" for truck in index.trucks()] + [_ENDS, _BRAKES, _BODY, _SPARES]
    for name in names:
        own = [cell for cell in cells if cell.sheet == name]
        coming = [one for one in new if _sheet_of(one.part, index) == name]
        beside = [one for one in apart if _sheet_of(one.part, index) == name] if name != _SPARES else []
        if not (own or coming or beside):
            continue
        maker = _Maker(index, asked)
        blocks = tuple(maker.blocks(own, name)) + tuple(maker.new_parts(coming))
        title = _TITLES.get(name, f"Wheels and {name}")
        sheet = Sheet(name, title, blocks, tuple(maker.coming), tuple(_wanted(one) for one in beside))
        yield replace(sheet, gauges=tuple(_gauges_for(sheet, index)))


def _gauges_for(sheet: Sheet, index: JudgementIndex) -> Iterator[GaugeFor]:
    """Each tool that figures of a sheet are read with, and the gauges on record that can read any of them. A kind of
    gauge that the vocabulary does not know may read anything, as it may on a sheet of the record."""
    by_tool: dict[str, list[Row]] = {}
    for row in sheet.rows():
        if row.gauge:
            by_tool.setdefault(row.gauge, []).append(row)
    for tool, rows in by_tool.items():
        can = [
            gauge for gauge in index.judgement.car.gauges.values()
            if any(_can_read(index.vocabulary.gauge_kinds.get(gauge.kind), row, index) for row in rows)
        ]  # fmt: skip
        yield GaugeFor(tool, tuple(f"{gauge.name} ({gauge.kind})" if gauge.kind else gauge.name for gauge in can))


def _can_read(kind: GaugeKind | None, row: Row, index: JudgementIndex) -> bool:
    one = (row.kind, row.attribute)
    if kind is None or one in kind.reads:
        return True
    return kind.any_length and row.box == "length" and one not in index.vocabulary.read_with_gauge


def _wanted(want: Want) -> Wanted:
    attribute, part = want.attribute, want.part
    why = "not on record" if want.why == NEVER else want.why
    sort, where = "figure", "worked out from readings, once they are on record"
    if attribute.type in ("test", "paper"):
        sort, where = attribute.type, f"`{attribute.type}s:` of the record"
    return Wanted(sort, part_words(part), want.label, why, where, want.group)


_FAMILIES = {
    "wheels": "Wheel by wheel", "axles": "Axle by axle", "ends": "End and truck", "sides": "Sides of the truck",
    "one": "The car as a whole", "legs": "The move, leg by leg", "spares": "Spares carried",
}  # fmt: skip
"""The grids of a sheet, in order, and their headings."""


class _Maker:
    """Makes the blocks of one sheet and numbers their rows."""

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
            key=lambda one: (list(_FAMILIES).index(one) if one in _FAMILIES else len(_FAMILIES), one),
        )
        for family in families:
            own = [cell for cell in cells if cell.family == family]
            ticked = list(_tickable(own))
            inside = {id(cell) for _, group in ticked for cell in group}
            rest = [cell for cell in own if id(cell) not in inside]
            if rest:
                yield self.grid(rest, family)
            for key, group in ticked:
                yield self.tick(group, key[0], none=key[1], sheet=sheet)

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
            boxes.extend(
                Box(row.number, one.column.head, one.name, one.attribute.name, one.group, one.why)
                for one in sorted(own, key=lambda one: one.order)
            )
        heading = _heading(family, self.index)
        ordered = tuple(column for _, column in sorted(columns.values(), key=lambda one: one[0]))
        return Grid(heading, ordered, tuple(made), tuple(boxes))

    def row(self, cells: list[Cell], number: int | None = None) -> Row:
        first = cells[0]
        limits: dict[tuple[str, str], list[str]] = {}
        found: dict[tuple[str, str], Limit] = {}
        for cell in cells:
            for limit in limits_of(self.asked.get((cell.part.key, cell.attribute.name), ())):
                key = (limit.words, limit.asked_by)
                found.setdefault(key, limit)
                limits.setdefault(key, []).append(cell.column.head)
        told = tuple(
            replace(one, of=() if len(limits[key]) == len(cells) else tuple(limits[key])) for key, one in found.items()
        )
        group = next(one for one in GROUPS if any(cell.group == one for cell in cells))
        return row_for(
            self.next() if number is None else number, first.part.kind, first.attribute, group, first.writes, told,
            accepted=any(cell.accepted for cell in cells),
        )  # fmt: skip

    def tick(self, cells: list[Cell], kind: str, *, none: bool, sheet: str) -> Tick:
        number = self.next()
        rows: dict[tuple[int, str, str], list[Cell]] = {}
        for cell in sorted(cells, key=lambda one: one.row):
            rows.setdefault(cell.row, []).append(cell)
        said = []
        boxes: list[Box] = []
        for own in rows.values():
            row = self.row(own, number)
            said.append(Said(row, sound_value(own[0].attribute)))
            boxes.extend(
                Box(number, one.column.head, one.name, one.attribute.name, one.group, one.why)
                for one in sorted(own, key=lambda one: one.order)
            )
        parts = {cell.name for cell in cells}
        where = f" of {sheet}" if sheet.startswith(TRUCK) else ""
        which = f"any {kind}{where}" if none else f"every {kind}{where}"
        if len(parts) == 1:
            which = "the car" if kind == "car" else f"the {kind}" if parts == {kind} else next(iter(parts))
        heading = f"None on {which}" if none else f"So on {which}"
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
            heading = "Parts not on record: how many, and what holds for all of them"
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
        return Tick(number, f"So on all {called}, if there are any", kind, said, boxes, "new parts")

    def container(self, one: New) -> tuple[str, str]:
        """How a form names what the parts are in, and the head of its column."""
        name = name_on_a_form(one.container, self.index.standing)
        return name, one.container.position or one.container.kind


def new_name(kind: str, called: str, container: str) -> str:
    """How a form names parts that are not on record: `new spring (bolster springs) of truck B`."""
    return f"new {kind} ({called}) of {container}"


def row_for(
    number: int,
    kind: str,
    attribute: Attribute,
    group: Group,
    writes: Writes,
    limits: tuple[Limit, ...] = (),
    *,
    accepted: bool = False,
    called: str = "",
) -> Row:
    """The row of an attribute. called: how new parts are called together, before its label."""
    label = f"{called}: {attribute.label}" if called else attribute.label
    return Row(
        number, kind, attribute.name, label, box_kind(attribute), group, writes, _words(attribute), _unit(attribute),
        attribute.measured, attribute.tool, attribute.access, limits, accepted, attribute.follows,
        attribute.none,
    )  # fmt: skip


def box_kind(attribute: Attribute) -> BoxKind:
    """What is written in a box of an attribute."""
    kind = attribute.type
    if kind == "length":
        return "length"
    if kind in DIMENSIONS or kind == "period":
        return "figure"
    if kind == "count":
        return "number"
    if kind in ("yes or no", "one of"):
        return "word"
    if kind == "list of":
        return "words"
    return "day" if kind == "date" else "text"


def _words(attribute: Attribute) -> tuple[str, ...]:
    return ("yes", "no") if attribute.type == "yes or no" else attribute.one_of


def _unit(attribute: Attribute) -> str:
    """The unit that a box says beside it: that of what its usual tool reads to, else of the example of its kind."""
    if attribute.type not in DIMENSIONS:
        return "months" if attribute.type == "period" else ""
    if attribute.type == "length":
        return "in"
    if attribute.reads_to is not None:
        return attribute.reads_to.unit
    return DIMENSIONS[attribute.type].example.split()[-1]


def sound_value(attribute: Attribute) -> str:
    """The value that says that all is well, where just one does: `no` of a crack, `0 in` of a flat, `sound`; else
    empty."""
    if attribute.none:
        return attribute.none
    words = [word for word in _words(attribute) if word not in attribute.bad]
    if not attribute.bad or (len(words) != 1 and _SOUND not in words):
        return ""
    return _SOUND if _SOUND in words else words[0]


def _tickable(cells: Iterable[Cell]) -> Iterator[tuple[tuple[str, bool], list[Cell]]]:
    """The cells that one tick may answer: by kind of part, and whether it says that there is none."""
    found: dict[tuple[str, bool], list[Cell]] = {}
    followed: list[Cell] = []
    for cell in cells:
        attribute = cell.attribute
        value = sound_value(attribute)
        if cell.writes != "reading" or cell.accepted:
            continue
        if value:
            found.setdefault((cell.part.kind, value in ("no", attribute.none)), []).append(cell)
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


def _heading(family: str, index: JudgementIndex) -> str:
    if family.startswith("listed "):
        name = family.removeprefix("listed ")
        return index.vocabulary.kinds[name].section.replace("_", " ").capitalize()
    return _FAMILIES[family]
