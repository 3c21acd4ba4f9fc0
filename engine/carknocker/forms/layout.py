"""The form of a checked car: what is wanted, on sheets for each truck, the ends, brakes, body and papers."""

from collections.abc import Iterator

from msgspec.structs import replace

from carknocker.dossier.missing import missing_now
from carknocker.forms.blocks import SheetBlocks
from carknocker.forms.entries import entry_sheet
from carknocker.forms.limits import asked_of
from carknocker.forms.model import GROUPS, Form, GaugeFor, Group, Row, Sheet, Wanted
from carknocker.forms.move_sheet import move_sheet
from carknocker.forms.new_parts import New, new_parts
from carknocker.forms.places import BODY, BRAKES, ENDS, SPARES, TITLES, Cell, cell_of, sheet_of
from carknocker.forms.wants import NEVER, Want, refused_anyway, wants_of
from carknocker.forms.who_read import who_sheet
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.vocabulary.model import GaugeKind
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.wording.parts import car_title, part_words


def form_of(answer: CheckAnswer, groups: tuple[Group, ...] = ("decides now",)) -> Form:
    """The form of a checked car. groups: which boxes it has."""
    judgement = answer.judgement
    index = JudgementIndex(judgement)
    refused = refused_anyway(index)
    boxes: dict[tuple[str, str], list[Want]] = {}
    apart: dict[tuple[str, str, str], Want] = {}
    left_out: set[tuple[str, str]] = set()
    for want in wants_of(index):
        if want.part.key in refused and want.part.kind not in MOVE_KINDS and not want.anew:
            left_out.add((want.part.key, want.attribute.name))
            continue
        if want.attribute.kind != want.part.kind:
            continue  # asked of a place that the part has not got: of the axle at which a carried wheelset would stand
        if want.attribute.name not in index.vocabulary.kinds[want.part.kind].attributes:
            continue  # said of the log as a whole, which has a part of its own on each form
        if _has_a_box(want):
            boxes.setdefault((want.part.key, want.attribute.name), []).append(want)
        elif want.part.unlisted is None and not (want.only_if and want.attribute.derived):
            apart.setdefault((want.part.key, want.attribute.name, want.label), want)
    cells = [cell_of(wants, index) for wants in boxes.values()]
    others = {group: sum(cell.group == group for cell in cells) for group in GROUPS if group not in groups}
    new = [one for one in new_parts(index) if one.group in groups]
    numbers = {(one.container.key, one.number.name) for one in new if one.number is not None}
    cells = [
        cell for cell in cells if cell.group in groups and (cell.part.key, cell.attribute.name) not in numbers
    ]  # fmt: skip
    beside = [one for one in apart.values() if one.group in groups]
    signed = [one for one in beside if one.attribute.type in ("test", "paper")]
    worked_out = [one for one in beside if one.attribute.type not in ("test", "paper")]
    car = judgement.car
    missing = missing_now(index)
    sheets = tuple(_sheets(cells, new, worked_out, index))
    return Form(
        mark=car.mark,
        car=car_title(car),
        as_of=answer.day,
        out=judgement.move.out,
        back=judgement.move.back,
        host=judgement.move.host,
        digest=car.digest,
        groups=groups,
        sheets=sheets,
        people=tuple(f"{person.name} ({person.role})" for person in car.people.values()),
        gauges=tuple(f"{gauge.name} ({gauge.kind})" for gauge in car.gauges.values()),
        missing="" if missing is None else missing.counts,
        left_out=len(left_out),
        other_groups=tuple((group, count) for group, count in others.items() if count),
        more_may_follow=bool(new),
        entries=entry_sheet(signed, index),
        who=who_sheet(sheets, index),
        move=move_sheet(index, {(box.part, box.attribute) for sheet in sheets for box in sheet.boxes()}),
    )


def _has_a_box(want: Want) -> bool:
    attribute = want.attribute
    return want.part.unlisted is None and not attribute.derived and attribute.type not in ("test", "paper")


def _sheets(cells: list[Cell], new: list[New], apart: list[Want], index: JudgementIndex) -> Iterator[Sheet]:
    asked = asked_of(index)
    names = [f"truck {truck.position}" for truck in index.trucks()] + [ENDS, BRAKES, BODY, SPARES]
    for name in names:
        own = [cell for cell in cells if cell.sheet == name]
        coming = [one for one in new if sheet_of(one.part, index) == name]
        beside = [one for one in apart if sheet_of(one.part, index) == name] if name != SPARES else []
        if not (own or coming or beside):
            continue
        maker = SheetBlocks(index, asked)
        blocks = tuple(maker.blocks(own, name)) + tuple(maker.new_parts(coming))
        title = TITLES.get(name, f"Wheels and {name}")
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
        needed = any((row.kind, row.attribute) in index.vocabulary.read_with_gauge for row in rows)
        if not (can or needed):
            continue  # a rule or a tape: its figures count without a gauge on record
        yield GaugeFor(tool, tuple(f"{gauge.name} ({gauge.kind})" if gauge.kind else gauge.name for gauge in can))


def _can_read(kind: GaugeKind | None, row: Row, index: JudgementIndex) -> bool:
    one = (row.kind, row.attribute)
    if kind is None or one in kind.reads:
        return True
    return kind.any_length and row.box == "length" and one not in index.vocabulary.read_with_gauge


def _wanted(want: Want) -> Wanted:
    return Wanted(part_words(want.part), want.label, "not on record" if want.why == NEVER else want.why, want.group)
