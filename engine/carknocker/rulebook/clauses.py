"""Clauses: the content of `when`, `unless` and `must`, as a tree of immutable nodes checked against the vocabulary."""

from collections.abc import Iterator, Mapping
from typing import Literal

import msgspec

from carknocker.documents.node import Location
from carknocker.quantities import Period, Quantity
from carknocker.record.values import Value, Word
from carknocker.vocabulary.model import NOTHING, Attribute

# figure words: over, at least, under, at most; date words: before, after, within; papers: in force; tests: failed
WordName = Literal[
    "over", "at_least", "under", "at_most", "is", "is_not", "one_of", "none_of", "holds_all", "shown",
    "within", "in_force", "before", "after", "failed",
]  # fmt: skip


FACT = "fact"
"""The owner in a path to a fact of the work, event, test or paper itself."""


class AttributePath(msgspec.Struct, frozen=True):
    """The path of an attribute: of the part itself (`owner` empty), of a container, or of car, move, train.

    fact: a further fact of the test or paper that the attribute names (`single_car_test.device`).
    beside: what the same clause requires of the facts of this paper or test (`same_paper`). Of several that count, the
    newest one that meets it is taken.
    """

    owner: str  # "" or a kind name: "truck", "car", "move", "train"
    attribute: Attribute
    fact: Attribute | None = None
    beside: "tuple[Comparison, ...]" = ()

    @property
    def value_attribute(self) -> Attribute:
        return self.attribute if self.fact is None else self.fact

    def __str__(self) -> str:
        parts = [self.owner.replace(" ", "_")] if self.owner else []
        parts.append(self.attribute.name)
        if self.fact is not None:
            parts.append(self.fact.name)
        return ".".join(parts)


def of_test(path: AttributePath) -> bool:
    """Whether the path is to a test itself, which may name its own last day, and not to a fact of it."""
    return path.attribute.type == "test" and path.fact is None


class Fixed(msgspec.Struct, frozen=True, tag=True):
    """A limit written in the edition. For `within`: periods and distances; all of them bind."""

    values: tuple[Value, ...]


class ByTable(msgspec.Struct, frozen=True, tag=True):
    """A limit chosen by the value of another attribute. `otherwise` None: a value not listed leaves the finding not
    shown."""

    path: AttributePath
    rows: Mapping[str, Value]
    otherwise: Value | None


class FromPart(msgspec.Struct, frozen=True, tag=True):
    """A limit given by another attribute."""

    path: AttributePath


Limit = Fixed | ByTable | FromPart


class Comparison(msgspec.Struct, frozen=True, tag=True):
    path: AttributePath
    word: WordName
    limit: Limit
    where: Location

    @property
    def left_open(self) -> tuple[str, ...]:
        """The words with which it can't be decided. `other device` may be any device, but it is no `none`."""
        words = self.limit.values if isinstance(self.limit, Fixed) else ()
        asks_for_any = bool(words) and all(isinstance(word, Word) and word.text in NOTHING for word in words)
        return () if self.word == "shown" or asks_for_any else self.path.value_attribute.left_open


class AllOf(msgspec.Struct, frozen=True, tag=True):
    clauses: "tuple[Clause, ...]"


class AnyOf(msgspec.Struct, frozen=True, tag=True):
    clauses: "tuple[Clause, ...]"


class CountOf(msgspec.Struct, frozen=True, tag=True):
    """How many parts of a kind inside this part (or carried, for a spare) meet `when`."""

    kind: str
    when: "Clause | None"
    word: Literal["over", "at_least", "under", "at_most", "is"]
    number: int
    where: Location


class EachOf(msgspec.Struct, frozen=True, tag=True):
    kind: str
    when: "Clause | None"
    must: "Clause"
    where: Location


class Unanswered(msgspec.Struct, frozen=True, tag=True):
    """A whole `must` that nobody can meet or breach: no rule at hand says what is asked of such a part.

    what: the end of the sentence "no rule at hand says …".
    """

    what: str
    where: Location


Clause = Comparison | AllOf | AnyOf | CountOf | EachOf | Unanswered

__all__ = [
    "AllOf", "AnyOf", "AttributePath", "ByTable", "Clause", "Comparison", "CountOf", "EachOf", "Fixed", "FromPart",
    "Limit", "Period", "Quantity", "Unanswered", "WordName", "of_test",
]  # fmt: skip


def comparisons(clause: Clause | None, kind: str = "") -> Iterator[tuple[str, Comparison]]:
    """Every comparison in a clause, with the kind of the part inside that it is about ("": the part itself)."""
    match clause:
        case None:
            return
        case Comparison():
            yield kind, clause
        case AllOf(clauses) | AnyOf(clauses):
            for each in clauses:
                yield from comparisons(each, kind)
        case CountOf():
            yield from comparisons(clause.when, clause.kind)
        case EachOf():
            yield from comparisons(clause.when, clause.kind)
            yield from comparisons(clause.must, clause.kind)
        case Unanswered():
            return


def all_of(clause: Clause) -> Iterator[Clause]:
    """The clauses that have to hold whatever else does, themselves no `all`."""
    if isinstance(clause, AllOf):
        for member in clause.clauses:
            yield from all_of(member)
    else:
        yield clause


def required(clause: Clause, kind: str = "") -> Iterator[tuple[str, Comparison]]:
    """The comparisons that a `must` requires, without those that only choose which parts inside are looked at."""
    match clause:
        case Comparison():
            yield kind, clause
        case AllOf(clauses) | AnyOf(clauses):
            for each in clauses:
                yield from required(each, kind)
        case EachOf():
            yield from required(clause.must, clause.kind)
        case CountOf() | Unanswered():
            return


def paths(comparison: Comparison) -> tuple[AttributePath, ...]:
    """The attributes that a comparison looks at: its own, and that of its limit."""
    limit = comparison.limit
    return (comparison.path, limit.path) if isinstance(limit, ByTable | FromPart) else (comparison.path,)
