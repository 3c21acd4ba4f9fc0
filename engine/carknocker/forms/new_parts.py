"""What rules ask of parts that must be there and are not on record."""

from collections.abc import Iterator
from typing import NamedTuple

from carknocker.forms.limits import Asked, limits_of
from carknocker.forms.model import Group, Limit
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.record.model import Part, Unlisted
from carknocker.rulebook.clauses import Clause, Comparison
from carknocker.vocabulary.model import Attribute, Kind


class New(NamedTuple):
    """Parts of one kind in one container that are not on record, with the attributes that rules ask of them."""

    part: Part
    container: Part
    called: str
    attributes: tuple[tuple[Attribute, tuple[Limit, ...]], ...]
    which: tuple[tuple[str, str], ...]
    number: Attribute | None
    missing: int | None
    group: Group


def new_parts(index: JudgementIndex) -> Iterator[New]:
    """What the rules ask of parts that are not on record. Where a description decides whether a rule applies, that is
    asked first."""
    for part in index.judgement.parts.values():
        if part.unlisted is None or part.container is None:
            continue
        findings = [
            one for one in index.findings_on(part.key)
            if one.verdict in ("not shown", "for the day") and not one.relieved
        ]  # fmt: skip
        binding = [one for one in findings if one.effect != "advise"]
        if findings:
            yield _new_part(part, part.unlisted, binding or findings, index)


def _new_part(part: Part, unlisted: Unlisted, findings: list[Finding], index: JudgementIndex) -> New:
    kind = index.vocabulary.kinds[part.kind]
    container = index.judgement.parts[part.container or ""]
    row = next((one for one in kind.stands if one.called == unlisted.called), None)
    which = () if row is None else tuple((name, words[0]) for name, words in row.which if len(words) == 1)
    known = {name for name, _ in which}
    asked: dict[str, list[Asked]] = {}
    attributes: dict[str, Attribute] = {}
    for finding in findings:
        criterion = finding.criterion
        conditions = [clause for clause in (criterion.when, criterion.unless) if clause is not None]
        first = [own for clause in conditions for own, _ in _own_comparisons(clause, kind) if own.name not in known]
        attributes.update((own.name, own) for own in first)
        if first:
            continue
        for own, comparison in _own_comparisons(criterion.must, kind):
            if own.name not in known:
                attributes.setdefault(own.name, own)
                if comparison.word != "shown":
                    asked.setdefault(own.name, []).append(Asked(comparison, criterion))
    number = None
    if unlisted.number and unlisted.stated is None:
        number = index.vocabulary.attribute(container.kind, unlisted.number)
    order = list(kind.attributes)
    listed = sorted(attributes.values(), key=lambda own: order.index(own.name))
    group: Group = "decides now"
    if all(one.effect == "advise" for one in findings):
        group = "only advised"
    elif all(one.verdict == "for the day" for one in findings):
        group = "wanted before departure"
    told = tuple((own, limits_of(asked.get(own.name, ()), index.judgement.move.host)) for own in listed)
    return New(part, container, unlisted.called, told, which, number, unlisted.missing, group)


def _own_comparisons(clause: Clause, kind: Kind) -> Iterator[tuple[Attribute, Comparison]]:
    """The comparisons of a clause with what is written or read of the kind itself."""
    for comparison in comparisons_in(clause):
        path = comparison.path
        own = path.attribute
        written = not own.derived and own.type not in ("test", "paper")
        if not path.owner and path.fact is None and own.kind == kind.name and written:
            yield own, comparison


def new_name(kind: str, called: str, container: str) -> str:
    """How a form names parts that are not on record: `new spring (bolster springs) of truck B`."""
    return f"new {kind} ({called}) of {container}"
