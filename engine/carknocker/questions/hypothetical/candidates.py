"""The limits that a rulebook sets to an attribute, and values worth trying against them."""

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction
from itertools import pairwise

from carknocker.quantities import Quantity
from carknocker.record.values import Count, Day, Figure, Interval, Value, Word, Words
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf, FromPart
from carknocker.rulebook.model import Rulebook
from carknocker.vocabulary.model import Attribute

_STEP = Fraction(1, 16)
_AHEAD = 400  # days; a paper or a device is taken to be good for about a year


class Limits:
    """Every comparison of a rulebook by the attribute that it looks at: a value is to suit all of them at once."""

    def __init__(self, rulebook: Rulebook) -> None:
        self._found: dict[tuple[str, str], list[tuple[Comparison, str]]] = {}
        self._against: dict[tuple[str, str], list[tuple[Comparison, str, str]]] = {}
        for criterion in rulebook.criteria:
            for clause, kind in _leaves(criterion.must, criterion.of):
                attribute = clause.path.attribute
                self._found.setdefault((clause.path.owner or kind, attribute.name), []).append((clause, criterion.id))
                if isinstance(clause.limit, FromPart) and not clause.path.owner:
                    limit = clause.limit.path
                    told = (clause, criterion.id, kind)
                    self._against.setdefault((limit.owner or kind, limit.attribute.name), []).append(told)

    def of(self, kind: str, attribute: Attribute) -> tuple[tuple[Comparison, str], ...]:
        """The comparisons with an attribute of a kind of part, each with the criterion that makes it."""
        return tuple(self._found.get((kind, attribute.name), ()))

    def against(self, kind: str, attribute: Attribute) -> tuple[tuple[Comparison, str, str], ...]:
        """The comparisons of other figures with this attribute, with the criterion and the kind that they are of."""
        return tuple(self._against.get((kind, attribute.name), ()))


def _leaves(clause: Clause, kind: str) -> Iterator[tuple[Comparison, str]]:
    match clause:
        case Comparison():
            yield clause, kind
        case AllOf(clauses) | AnyOf(clauses):
            for member in clauses:
                yield from _leaves(member, kind)
        case EachOf():
            yield from _leaves(clause.must, clause.kind)
        case CountOf():
            return


def candidates(attribute: Attribute, held: Value | None, limits: Sequence[Value], day: date) -> Iterator[Value]:
    """Values of an attribute that are worth trying against limits, the plainest first. held: what is on record."""
    if held is not None:
        yield held
    if attribute.type == "date":
        yield Day(day, day, day.isoformat())
        later = date.fromordinal(min(day.toordinal() + _AHEAD, date.max.toordinal()))
        yield Day(later, later, later.isoformat())
    figures = sorted({limit.quantity for limit in limits if isinstance(limit, Figure)}, key=lambda one: one.amount)
    yield from _figures(figures, attribute)
    for limit in limits:
        if isinstance(limit, Count):
            yield from (Count(limit.number), Count(limit.number + 1), Count(max(limit.number - 1, 0)))
        elif isinstance(limit, (Word, Day, Interval)):
            yield limit
        elif isinstance(limit, Words):
            yield limit
            yield from (Word(text) for text in limit.texts)
    yield from _by_type(attribute, bool(figures))


def _by_type(attribute: Attribute, figures: bool) -> Iterator[Value]:
    """What any attribute of the type may be."""
    if attribute.type == "list of":
        yield Words(attribute.one_of)
    yield from (Word(text) for text in attribute.one_of)
    if attribute.type == "yes or no":
        yield from (Word("yes"), Word("no"))
    elif attribute.type == "count":
        yield Count(0)
    elif attribute.type in ("text", "identity"):
        yield Word("to be entered")
    elif not figures and attribute.type not in ("date", "one of", "list of", "period"):
        yield Figure(Quantity.of(attribute.type, 1))


def _figures(limits: list[Quantity], attribute: Attribute) -> Iterator[Value]:
    """Figures between the limits, then a step beyond them, then the limits themselves."""
    if not limits:
        return
    step = attribute.reads_to.amount if attribute.reads_to is not None else _STEP
    amounts = [limit.amount for limit in limits]
    between = [(low + high) / 2 for low, high in pairwise(amounts)]
    beyond = [amounts[-1] + step, *([amounts[0] - step] if attribute.signed or amounts[0] >= step else [])]
    floor = [] if attribute.signed else [Fraction(0)]
    for amount in (*between, *beyond, *amounts, *floor):
        yield Figure(Quantity.of(limits[0].dimension, amount, limits[0].unit))
