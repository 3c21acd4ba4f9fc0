"""The row of an attribute on a form: what is written in its boxes, in which words and unit, and what says that all is
well."""

import re

from carknocker.forms.model import BoxKind, Group, Limit, Row, Writes
from carknocker.quantities import DIMENSIONS
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.ranges import Range

BOUND = "takes at|does not take at|over|under|at least|at most"
"""The words before a figure that is only a bound, as a pattern."""
BARE = rf"(?:(?:{BOUND}) )?[-+−]?[0-9½¼¾⅛⅜⅝⅞⅓⅔][0-9½¼¾⅛⅜⅝⅞⅓⅔⁄ .,/-]*"
"""A figure without a unit, as a pattern."""
_BARE = re.compile(BARE)
_SOUND = "sound"  # among the words of a choice, the one that says that nothing is wrong


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
        number, kind, attribute.name, label, box_kind(attribute), group, writes, attribute.words, unit_of(attribute),
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


def unit_of(attribute: Attribute) -> str:
    """The unit that a box says beside it: that of what its usual tool reads to, else the first of the example of its
    kind: a time is in hours, and 4 is never four minutes."""
    if attribute.type not in DIMENSIONS:
        return "days" if attribute.type == "period" else ""
    if attribute.type == "length":
        return "in"
    if attribute.reads_to is not None:
        return attribute.reads_to.unit
    dimension = DIMENSIONS[attribute.type]
    units = (word for word in dimension.example.split() if word in dimension.units)
    return next(units, dimension.base)  # of a curve `10° 30'`, degrees


def gauge_tool(attribute: Attribute) -> str:
    """The tool whose gauge goes with a figure of an attribute; empty where none does."""
    figure = box_kind(attribute) in ("length", "figure") and not attribute.description
    return attribute.tool if figure else ""


def possible_of(row: Row) -> Range | None:
    """The range outside of which a figure or count of a row is refused unless one says how it was made sure; None where
    there is none to compare with."""
    attribute = load_vocabulary().attribute(row.kind, row.attribute)
    if row.writes not in ("reading", "description") or attribute is None or attribute.ranges is None:
        return None
    possible = attribute.ranges.possible if attribute.type in (*DIMENSIONS, "count") else None
    return None if possible is None or possible.anchors else possible


def sound_value(attribute: Attribute) -> str:
    """The value that says that all is well, where just one does: `no` of a crack, `0 in` of a flat, `sound`; else
    empty."""
    if attribute.none:
        return attribute.none
    words = [word for word in attribute.words if word not in attribute.bad]
    if not attribute.bad or (len(words) != 1 and _SOUND not in words):
        return ""
    return _SOUND if _SOUND in words else words[0]


def with_unit(text: str, unit: str) -> str:
    """A bare figure with the unit that its row says."""
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text
