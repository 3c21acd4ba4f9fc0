"""Where what is wanted stands on a form: the sheet of a part, its grid there, its column and its row."""

import re
from typing import NamedTuple

from carknocker.forms.conditions import OnlyIf, case_words, together
from carknocker.forms.model import GROUPS, Column, Group, Writes
from carknocker.forms.names import name_on_a_form
from carknocker.forms.wants import NEVER, Want
from carknocker.judgement.index import JudgementIndex
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import AXLE, AXLE_POSITION, MOVE_KINDS, TRUCK, WHEELSET
from carknocker.wording.parts import part_words

ENDS, BRAKES, BODY, SPARES = "ends", "brakes", "body and papers", "spares"
TITLES = {ENDS: "Ends", BRAKES: "Brakes", BODY: "Body and papers", SPARES: "Spares carried"}
LISTED = "listed "
"""How the grid of parts begins that a record numbers."""
_NUMBER = re.compile(r"\d+")


FAMILIES = {
    "wheels": "Wheel by wheel", "axles": "Axle by axle", "ends": "End and truck", "sides": "Sides of the truck",
    "one": "The car as a whole", "legs": "The move, leg by leg", "spares": "Spares carried",
}  # fmt: skip
"""The grids of a sheet, in order, and their headings."""


class Cell(NamedTuple):
    """A box with the names of its sheet, grid (`family`) and column, before its row has a number."""

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
    only_if: tuple[OnlyIf, ...] = ()

    @property
    def condition(self) -> str:
        """What has to be so, in words."""
        return "; ".join(one.text for one in self.only_if)

    @property
    def short_condition(self) -> str:
        """The same, as it stands before a limit."""
        return case_words(self.only_if)


def cell_of(wants: list[Want], index: JudgementIndex) -> Cell:
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
        sheet_of(part, index), family, column, order, _row_order(part.kind, attribute, index), part, attribute, group,
        writes, name_on_a_form(part, index.standing), why, any(want.shop for want in wants),
        together((want.only_if for want in wants), index),
    )  # fmt: skip


def _row_order(kind: str, attribute: Attribute, index: JudgementIndex) -> tuple[int, str, str]:
    kinds = list(index.vocabulary.kinds)
    place = list(index.vocabulary.kinds[kind].attributes).index(attribute.name)
    return (kinds.index(kind) * 1000 + place, kind, attribute.name)


def sheet_of(part: Part, index: JudgementIndex) -> str:
    kinds = index.vocabulary.kinds
    if not part.fitted:
        return SPARES
    containers = [index.standing.parts[key] for key in index.standing.containers(part.key)]
    around = (part, *containers)
    if any(one.kind == "end" for one in around):
        return ENDS
    if kinds[part.kind].tag_group == "brake":
        return BRAKES
    truck = next((one for one in around if one.kind == TRUCK), None)
    return f"truck {truck.position}" if truck is not None else BODY


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
        place, called = _called(part, index)
        above = ", ".join(filter(None, (called, part_words(around) if around.position else "")))
        order = (place, index.order.get(around.key, 0), index.order.get(part.key, 0))
        return f"{LISTED}{part.kind}", Column(part.position, above), order
    if kind.positions == "sides of truck":
        return "sides", Column(part.position), (index.order.get(part.key, 0),)
    if kind.positions in ("ends", "trucks"):
        return "ends", Column(part.position), (" BA".find(part.position),)
    if kind.positions == "legs":
        return "legs", Column(part.position), (int(part.position) if part.position.isdigit() else 0,)
    return "one", Column("car"), (0,)


def _called(part: Part, index: JudgementIndex) -> tuple[int, str]:
    """How parts of a kind such as this one are called together, `sill steps`, and the place of the name among others;
    empty where nothing tells them apart, or the record does not say."""
    held = index.judgement.situation.values_of(part.key)
    for place, row in enumerate(index.vocabulary.kinds[part.kind].stands):
        said = [(held.get(name), words) for name, words in row.which]
        if said and all(one is not None and value_words(one.value) in words for one, words in said):
            return place, row.called
    return -1, ""


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


def heading_of(family: str, index: JudgementIndex) -> str:
    """What stands over a grid."""
    if family.startswith(LISTED):
        name = family.removeprefix(LISTED)
        return index.vocabulary.kinds[name].section.replace("_", " ").capitalize()
    return FAMILIES[family]
