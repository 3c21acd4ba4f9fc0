"""Clauses: what a `when`, an `unless`, a `must` says. A tree of frozen nodes, checked against the vocabulary."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from carknocker.documents.location import Location
from carknocker.quantities import Period, Quantity
from carknocker.record.values import Value
from carknocker.vocabulary.model import Attribute

# figure words: over, at least, under, at most; date words: before, after, within; papers: in force
WordName = Literal[
    "over", "at_least", "under", "at_most", "is", "is_not", "one_of", "none_of", "holds_all", "shown",
    "within", "in_force", "before", "after",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class AttributePath:
    """An attribute: of the part itself (`owner` empty), of a container, or of car, move, train.

    fact: a further fact of the test or paper that the attribute names (`single_car_test.device`).
    """

    owner: str  # "" or a kind name: "truck", "car", "move", "train"
    attribute: Attribute
    fact: Attribute | None = None

    @property
    def value_attribute(self) -> Attribute:
        return self.attribute if self.fact is None else self.fact

    def __str__(self) -> str:
        parts = [self.owner.replace(" ", "_")] if self.owner else []
        parts.append(self.attribute.name)
        if self.fact is not None:
            parts.append(self.fact.name)
        return ".".join(parts)


@dataclass(frozen=True, slots=True)
class Fixed:
    """A limit written in the edition. For `within`: periods and distances, all of which bind."""

    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class ByTable:
    """A limit chosen by the value of another attribute; `otherwise` None: an unlisted value leaves it not shown."""

    path: AttributePath
    rows: Mapping[str, Value]
    otherwise: Value | None


@dataclass(frozen=True, slots=True)
class FromPart:
    """A limit that another attribute gives."""

    path: AttributePath


Limit = Fixed | ByTable | FromPart


@dataclass(frozen=True, slots=True)
class Comparison:
    path: AttributePath
    word: WordName
    limit: Limit
    where: Location


@dataclass(frozen=True, slots=True)
class AllOf:
    clauses: "tuple[Clause, ...]"


@dataclass(frozen=True, slots=True)
class AnyOf:
    clauses: "tuple[Clause, ...]"


@dataclass(frozen=True, slots=True)
class CountOf:
    """How many parts of a kind inside this part (or riding along, for a spare) meet `when`."""

    kind: str
    when: "Clause | None"
    word: Literal["over", "at_least", "under", "at_most", "is"]
    number: int
    where: Location


@dataclass(frozen=True, slots=True)
class EachOf:
    kind: str
    when: "Clause | None"
    must: "Clause"
    where: Location


Clause = Comparison | AllOf | AnyOf | CountOf | EachOf

__all__ = [
    "AllOf", "AnyOf", "AttributePath", "ByTable", "Clause", "Comparison", "CountOf", "EachOf", "Fixed", "FromPart",
    "Limit", "Period", "Quantity", "WordName",
]  # fmt: skip
