"""A figure with one comma before three digits, `1,125 in`: thousands where the comma can part nothing else, else in
doubt."""

import re
from collections.abc import Iterator
from typing import Any

from carknocker.documents import Location, Problem
from carknocker.forms.entries import EntryName
from carknocker.quantities import DIMENSIONS, Quantity, QuantityError, read_quantity
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.ranges import Range

_ONE_COMMA = re.compile(r"([+-]?[1-9][0-9]{0,2}),([0-9]{3})(?![0-9,.])")
_NO_THOUSANDTHS = frozenset(("weight", "distance", "duration"))
"""Dimensions in which nobody writes thousandths: a comma parts thousands wherever the figure can be."""
_BESIDE = ("gauge", "sure")
POINT_OR_THOUSANDS = "where a comma may mean a point or thousands"
_EXPECTED = "a point for decimals, and no comma: `{point}`, or `{plain}` if that is meant"


def comma_in_doubt(value: Any, attribute: Attribute | None, where: Location, words: str = "") -> Problem | None:
    """What is wrong with an answer whose comma may be meant as a point, also where somebody is sure of it; None where
    it parts thousands, or is for the record to refuse. attribute: None where nobody knows what is said."""
    if attribute is None or attribute.type not in DIMENSIONS:
        return None
    for text in _texts(value):
        plain, point = _ONE_COMMA.sub(r"\1\2", text), _ONE_COMMA.sub(r"\1.\2", text)
        if plain != text and _may_be_a_point(attribute, _read(plain, attribute), _read(point, attribute)):
            found = f"{words}`{text[:40]}`, {POINT_OR_THOUSANDS}"
            return Problem(where, found, _EXPECTED.format(point=point, plain=plain))
    return None


def fact_of_entry(entry: EntryName, key: str) -> Attribute | None:
    """The fact that an entry tells under a key; of all entries of a sort it is of one type."""
    kinds = entry.sort.kinds(load_vocabulary())
    own = [kinds[entry.kind]] if entry.kind in kinds else list(kinds.values())
    return next((facts[key] for facts in own if key in facts), None)


def told_to_a_script() -> dict[str, str]:
    """What a form's own script looks for, and says as this module does, `{…}` being filled in by it."""
    return {"figure": _ONE_COMMA.pattern, "says": f"Found `{{text}}`, {POINT_OR_THOUSANDS}. Expected {_EXPECTED}."}


def ranges_to_doubt_by(attribute: Attribute | None) -> tuple[Range, Range | None, bool] | None:
    """By what a comma in a figure is doubted: where the figure can be, where it usually is, and whether thousands count
    wherever they can be; None where no comma of it ever is."""
    if attribute is None or attribute.type not in DIMENSIONS or attribute.ranges is None:
        return None
    possible, usual = attribute.ranges.possible, attribute.ranges.usual
    return None if possible is None else (possible, usual, attribute.type in _NO_THOUSANDTHS)


def _texts(value: Any) -> Iterator[str]:
    """The figures of an answer: as it stands, or under the keys of what it is written out as."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        yield from (one for key, one in value.items() if key not in _BESIDE and isinstance(one, str))


def _read(text: str, attribute: Attribute) -> Quantity | None:
    try:
        return read_quantity(text, attribute.type, signed=attribute.signed)
    except QuantityError:
        return None


def _may_be_a_point(attribute: Attribute, whole: Quantity | None, point: Quantity | None) -> bool:
    """Whether a figure in thousands, and the one with a point instead, leave open which was meant: the latter can be,
    and the former can't, or is not the only one that is usual."""
    ranges = ranges_to_doubt_by(attribute)
    if whole is None or point is None or ranges is None:
        return False
    possible, usual, thousands_count = ranges
    if not possible.holds(point):
        return False
    if not possible.holds(whole):
        return True
    return not thousands_count and (usual is None or not usual.holds(whole) or usual.holds(point))
