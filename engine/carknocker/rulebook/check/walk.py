"""Walks through clauses."""

from collections.abc import Iterator

from carknocker.rulebook.clauses import (
    AllOf,
    AnyOf,
    AttributePath,
    ByTable,
    Clause,
    Comparison,
    CountOf,
    EachOf,
    FromPart,
)


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


def required(clause: Clause, kind: str = "") -> Iterator[tuple[str, Comparison]]:
    """The comparisons that a `must` asks for: not those that only choose which parts inside are looked at."""
    match clause:
        case Comparison():
            yield kind, clause
        case AllOf(clauses) | AnyOf(clauses):
            for each in clauses:
                yield from required(each, kind)
        case EachOf():
            yield from required(clause.must, clause.kind)
        case CountOf():
            return


def paths(comparison: Comparison) -> tuple[AttributePath, ...]:
    """The attributes that a comparison looks at: its own, and that of its limit."""
    limit = comparison.limit
    return (comparison.path, limit.path) if isinstance(limit, ByTable | FromPart) else (comparison.path,)
