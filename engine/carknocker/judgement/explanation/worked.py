"""The workings that gave a comparison its figures."""

from carknocker.judgement.criteria import CompiledComparison
from carknocker.judgement.part_view import PartView
from carknocker.rulebook.clauses import AttributePath, ByTable, Comparison, FromPart
from carknocker.workings import Worked


def worked_of(path: AttributePath, sight: PartView) -> tuple[str, Worked] | None:
    """The part and the working that gave a derived attribute its value; None for any other attribute, or where it
    can't be worked out."""
    if not path.attribute.derived:
        return None
    situation = sight.situation
    owner = situation.owner(sight.key, path.owner) if path.owner else sight.key
    if owner is None:
        return None
    worked = situation.work_out(owner, path.attribute, shop=sight.shop)
    return (owner, worked) if isinstance(worked, Worked) else None


def paths_of(comparison: Comparison) -> tuple[AttributePath, ...]:
    """What a comparison looks at: its own attribute, and the one that its limit is taken from."""
    limit = comparison.limit
    return (comparison.path, limit.path) if isinstance(limit, (FromPart, ByTable)) else (comparison.path,)


def worked_lines(leaves: list[CompiledComparison], sight: PartView) -> tuple[str, ...]:
    """The worked lines of all workings that some comparisons looked at, each once."""
    found = (worked_of(path, sight) for leaf in leaves for path in paths_of(leaf.comparison))
    return tuple(dict.fromkeys(worked.line for _, worked in filter(None, found)))
