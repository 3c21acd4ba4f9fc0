"""What one clause asks of one paper, or of whom a test was made for, belongs together: a car may hold two agreements
and two inspections, each for its own host."""

from collections.abc import Iterable

from msgspec.structs import replace

from carknocker.rulebook.clauses import AttributePath, Clause, Comparison


def with_papers_joined(clauses: Iterable[Clause]) -> tuple[Clause, ...]:
    """The members of an *all of*; each comparison of a paper is told what the others ask of the facts of that paper.
    Of a test only names count for this (`identity`): a newer test answers for an older one in all that it measured."""
    members = tuple(clauses)
    facts: dict[tuple[str, str], list[Comparison]] = {}
    for member in members:
        if isinstance(member, Comparison) and _tells_which(member.path):
            facts.setdefault(_paper(member), []).append(member)
    return tuple(
        replace(member, path=replace(member.path, beside=tuple(facts[_paper(member)])))
        if isinstance(member, Comparison) and _paper(member) in facts
        else member
        for member in members
    )


def _tells_which(path: AttributePath) -> bool:
    if path.fact is None:
        return False
    return path.attribute.type == "paper" or (path.attribute.type == "test" and path.fact.type == "identity")


def _paper(comparison: Comparison) -> tuple[str, str]:
    return comparison.path.owner, comparison.path.attribute.name
