"""Reads the ranges of attributes, of facts and of entries."""

import re
from collections.abc import Mapping
from datetime import date
from typing import TypeVar

from msgspec.structs import replace

from carknocker.documents import Node, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.quantities import DIMENSIONS, QuantityError, read_period, read_quantity
from carknocker.vocabulary.attribute_reader import entries_of, named, text_of
from carknocker.vocabulary.kind_reader import KindDraft
from carknocker.vocabulary.model import Attribute, PaperKind, SpareKind, TestKind, ValueType, WorkKind
from carknocker.vocabulary.ranges import Range, RangeEnd, Ranges, days_of

ANCHORS = ("as-of", "built", "read", "mounted", "on", "checked", "from", "out", "back")
RANGED: frozenset[str] = frozenset((*DIMENSIONS, "count", "period", "date"))
"""The types of value that have a range."""
_KEYS = frozenset(("possible", "usual", "source"))
_DAY = re.compile(r"(?:(?P<year>\d{4})|(?P<anchor>[a-z-]*[a-z]))(?:\s+(?P<sign>[+-])\s+(?P<period>.+))?")


def read_ranges(entries: Mapping[str, Node], type_of: ValueType, where: Node, problems: ProblemList) -> Ranges:
    """What can be and what is usual, each `[least, most]`, and `source`, for one type of value."""
    found = {key: _range(entries[key], type_of, problems) if key in entries else None for key in ("possible", "usual")}
    source = text_of(entries.get("source"), "source", problems)
    if not source:
        problems.add(problem_at(where, "a range without its source", "`source: …`, or `source: common practice`"))
    if type_of not in RANGED:
        problems.add(problem_at(where, f"a range for {type_of}", "only for a figure, a count, a period or a day"))
    return Ranges(found["possible"], found["usual"], source)


def _range(node: Node, type_of: ValueType, problems: ProblemList) -> Range | None:
    ends = node.as_sequence()
    if len(ends) != 2 or type_of not in RANGED:
        if type_of in RANGED:
            problems.add(problem_at(node, node.describe(), "`[least, most]`"))
        return None
    least, most = (_end(end, type_of, problems) for end in ends)
    if type_of != "date" and least is not None and most is not None and least.n * most.d > most.n * least.d:
        problems.add(problem_at(node, f"{least.written} to {most.written}", "the least before the most"))
    return Range(least, most)


def _end(node: Node, type_of: ValueType, problems: ProblemList) -> RangeEnd | None:
    text = text_of(node, "end of a range", problems).strip()
    if text == "none":
        return None
    try:
        if type_of == "date":
            return _day_end(text)
        return RangeEnd(text, *figure_of(text, type_of))
    except QuantityError as error:
        problems.add(problem_at(node, error.found, error.expected, error.nearest, error.remedy))
        return None


def figure_of(text: str, type_of: ValueType) -> tuple[int, int]:
    """The figure, the count or (in days) the period that a text says, as a fraction of the base unit. Raises
    QuantityError."""
    if type_of == "count":
        if not text.isdigit():
            raise QuantityError(f"`{text}`", "a whole number")
        return int(text), 1
    if type_of == "period":
        days = days_of(read_period(text))
        return days.numerator, days.denominator
    quantity = read_quantity(text, type_of, signed=True)
    return quantity.n, quantity.d


def _day_end(text: str) -> RangeEnd:
    match = _DAY.fullmatch(text)
    if match is None:
        raise QuantityError(f"`{text}`", "a year, or what it counts from, as in `as-of - 20 years`")
    if match["anchor"] and match["anchor"] not in ANCHORS:
        expected = "one of " + ", ".join(ANCHORS)
        raise QuantityError(f"`{match['anchor']}`", expected, nearest(match["anchor"], ANCHORS))
    period = read_period(match["period"]) if match["period"] else None
    year = int(match["year"]) if match["year"] else 0
    return RangeEnd(
        text,
        fixed=(date(year, 1, 1), date(year, 12, 31)) if year else None,
        anchor=match["anchor"] or "",
        earlier=period if match["sign"] == "-" else None,
        later=period if match["sign"] == "+" else None,
    )


def give_ranges(section: Node | None, drafts: Mapping[str, KindDraft], problems: ProblemList) -> None:
    """Gives the attributes of kinds of part the ranges that a file states for them."""
    for kind, node in named(section, "kinds of part", problems):
        if kind not in drafts:
            problems.add(problem_at(node, f"the kind `{kind}`, which there is not", "a kind", nearest(kind, drafts)))
        else:
            _give(node, drafts[kind].attributes, f"the kind `{kind}`", problems)


def _give(node: Node, attributes: dict[str, Attribute], what: str, problems: ProblemList) -> None:
    for name, value in named(node, "attributes", problems):
        attribute = attributes.get(name)
        if attribute is None:
            found = f"`{name}`, which {what} lacks"
            problems.add(problem_at(value, found, "one of its attributes", nearest(name, attributes)))
        elif attribute.ranges is not None:
            problems.add(problem_at(value, f"the range of `{name}` a second time", "each range once"))
        else:
            entries = entries_of(value, _KEYS, f"the range of `{name}`", problems)
            attributes[name] = replace(attribute, ranges=read_ranges(entries, attribute.type, value, problems))


_WithFacts = TypeVar("_WithFacts", TestKind, PaperKind, WorkKind, SpareKind)


def give_fact_ranges(section: Node | None, of: str, kinds: dict[str, _WithFacts], problems: ProblemList) -> None:
    """Gives the facts of tests, papers, work, events or spares (`of`) the ranges that a file states for them."""
    given = None if section is None or section.kind != "mapping" else section.get(of)
    for name, node in named(given, of, problems):
        kind = kinds.get(name)
        if kind is None:
            problems.add(problem_at(node, f"`{name}`, which {of} lack", f"one of the {of}", nearest(name, kinds)))
        else:
            facts = dict(kind.facts)
            _give(node, facts, f"`{name}`", problems)
            kinds[name] = replace(kind, facts=facts)


def read_entry_ranges(section: Node | None, types: Mapping[str, ValueType], problems: ProblemList) -> dict[str, Ranges]:
    """The ranges of what entries say beside parts, under `gauges.due`. types: what there is, with its type."""
    found: dict[str, Ranges] = {}
    for entry, node in named(section, "entries", problems):
        for key, value in named(node, "keys of the entry", problems):
            name = f"{entry}.{key}"
            if name not in types:
                problems.add(problem_at(value, f"`{name}`", "one of " + ", ".join(types), nearest(name, types)))
            else:
                entries = entries_of(value, _KEYS, f"the range of `{name}`", problems)
                found[name] = read_ranges(entries, types[name], value, problems)
    return found
