"""At what clauses look, and the evidence on which a look from a part falls."""

from collections.abc import Iterable, Iterator

from carknocker.judgement.comparisons import getter
from carknocker.judgement.part_view import PartView
from carknocker.record.model import Evidence
from carknocker.rulebook.clauses import AttributePath, Clause, comparisons, paths
from carknocker.workings import Worked

Look = tuple[str, AttributePath]
"""The kind of the parts inside (empty: the part itself) and a path from them."""


def looks_of(*clauses: Clause | None) -> tuple[Look, ...]:
    """At what some clauses look, each once."""
    found = ((kind, path) for clause in clauses for kind, one in comparisons(clause) for path in paths(one))
    return tuple({(kind, str(path)): (kind, path) for kind, path in found}.values())


def seen_by(looks: Iterable[Look], view: PartView) -> Iterator[Evidence]:
    """The evidence at which a look from a part falls."""
    situation = view.situation
    for kind, path in looks:
        inside = situation.standing.inside_of(view.key, kind) if kind else ()
        for place in [view.at(key) for key in inside] if kind else [view]:
            yield from evidence_at(path, place)


def evidence_at(path: AttributePath, view: PartView) -> tuple[Evidence, ...]:
    """The evidence that a path leads to: of a derived figure, all that it was worked out from."""
    value = getter(path)(view)
    if value is None:
        return ()
    if value.evidence is not None:
        return (value.evidence,)
    owner = view.situation.owner(view.key, path.owner) if path.owner else view.key
    if owner is None or not path.attribute.derived:
        return ()
    worked = view.situation.work_out(owner, path.attribute, shop=view.shop)
    return worked.used if isinstance(worked, Worked) else ()
