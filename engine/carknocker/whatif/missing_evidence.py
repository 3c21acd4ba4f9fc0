"""Which readings, tests and papers a finding lacks: what to measure before anyone can say anything."""

from collections.abc import Iterable, Iterator

import msgspec

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.criteria import compile_comparison
from carknocker.judgement.explanation import MilesOnlyAtLeast, NothingOnRecord, NotRead, WhyUnknown, why_unknown
from carknocker.judgement.findings import view_for_when
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.truth import FAILS, NEAR, UNKNOWN
from carknocker.record.model import Part, Unlisted
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
    Unanswered,
)  # fmt: skip
from carknocker.vocabulary.model import Attribute
from carknocker.wording.set_aside import set_aside_words
from carknocker.wording.verdicts import why_unknown_words
from carknocker.workings import Missing

_LOG = Attribute(
    "log", "car", "date", "day since which the log of events, work and moves made is complete (`log:`)",
    description=True,
)  # fmt: skip


class Lack(msgspec.Struct, frozen=True):
    """One value that is not shown. reason: empty where it was simply never read.

    fact: a further fact of the test or paper that `attribute` is. decides_whether: it only tells whether the
    criterion applies, so that more may be asked for once it is known.
    """

    part: Part
    attribute: Attribute
    fact: Attribute | None
    reason: str
    decides_whether: bool

    @property
    def label(self) -> str:
        return self.attribute.label if self.fact is None else f"{self.fact.label} of the {self.attribute.label}"

    @property
    def key(self) -> tuple[str, str, str]:
        """What makes two lacks the same one."""
        return self.part.key, self.attribute.name, "" if self.fact is None else self.fact.name


def lacks_of(finding: Finding, index: JudgementIndex) -> tuple[Lack, ...]:
    """What a finding that is not shown lacks; where nothing shows whether it applies, only what would tell that."""
    judgement, criterion = index.judgement, finding.criterion
    if finding.part.unlisted is not None:
        return tuple({lack.key: lack for lack in _of_unlisted(finding.part, finding.part.unlisted, index)}.values())
    asked = view_for_when(finding.part, judgement.situation, judgement.move.out)
    found: list[Lack] = []
    for clause in (criterion.when, criterion.unless):
        if clause is not None:
            found.extend(_of_clause(clause, asked, index, decides_whether=True))
    if not found:
        found.extend(_of_clause(criterion.must, index.view(finding), index, decides_whether=False))
    return _asked_first(found)


def _asked_first(lacks: Iterable[Lack]) -> tuple[Lack, ...]:
    """Each once, without those for which another one has to be known first: where a frame is cracked is asked of one
    that is cracked (`only_where`)."""
    found = {lack.key: lack for lack in lacks}
    return tuple(
        lack for lack in found.values()
        if not any((lack.part.key, other, "") in found for other, _ in lack.attribute.only_where)
    )  # fmt: skip


def lacks_once_it_applies(finding: Finding, index: JudgementIndex) -> tuple[Lack, ...]:
    """What a finding would lack if it applied, of which nobody knows yet whether it does: what its `must` looks at."""
    if finding.part.unlisted is not None:
        return ()
    return _asked_first(_of_clause(finding.criterion.must, index.view(finding), index, decides_whether=False))


def _of_unlisted(part: Part, unlisted: Unlisted, index: JudgementIndex) -> Iterator[Lack]:
    """What would tell whether there are such parts, and how many; of those that are not listed nothing can be read."""
    parts = index.judgement.parts
    for key, name in unlisted.undecided:
        there = parts.get(key)
        attribute = None if there is None else index.vocabulary.attribute(there.kind, name)
        if there is not None and attribute is not None:
            yield Lack(there, attribute, None, "", True)
    if not unlisted.number or unlisted.stated is not None:  # how many there are is known: they are to be described
        described = (one for one in index.vocabulary.kinds[part.kind].attributes.values() if one.description)
        if not unlisted.undecided:
            yield from (Lack(part, one, None, "", True) for one in list(described)[:1])
        return
    container = parts[part.container or ""]
    number = index.vocabulary.attribute(container.kind, unlisted.number)
    if number is not None:
        yield Lack(container, number, None, "", False)


def _of_clause(clause: Clause, sight: PartView, index: JudgementIndex, *, decides_whether: bool) -> Iterator[Lack]:
    match clause:
        case Comparison():
            if comparison_test(clause)(sight) == UNKNOWN:
                yield from _of_comparison(clause, sight, index, decides_whether)
        case AllOf(clauses) | AnyOf(clauses):
            if clause_test(clause)(sight) == UNKNOWN:
                for member in clauses:
                    yield from _of_clause(member, sight, index, decides_whether=decides_whether)
        case CountOf(kind, when, _, _):
            if when is not None and clause_test(clause)(sight) == UNKNOWN:
                for inner in _inside(sight, kind):
                    yield from _of_inner(when, inner, index, decides_whether=decides_whether)
        case EachOf(kind, when, must):
            for inner in _inside(sight, kind):
                applies = NEAR if when is None else clause_test(when)(inner)
                if applies == UNKNOWN and when is not None:
                    yield from _of_inner(when, inner, index, decides_whether=True)
                elif applies != FAILS:
                    yield from _of_inner(must, inner, index, decides_whether=decides_whether)
        case Unanswered():
            return


def _of_inner(clause: Clause, inner: PartView, index: JudgementIndex, *, decides_whether: bool) -> Iterator[Lack]:
    """Of a part inside the one that is judged: a clause about it, or the part itself where it is not on record."""
    part = index.judgement.parts[inner.key]
    if part.unlisted is not None:
        yield from _of_unlisted(part, part.unlisted, index)
    else:
        yield from _of_clause(clause, inner, index, decides_whether=decides_whether)


def _inside(sight: PartView, kind: str) -> list[PartView]:
    return [sight.at(key) for key in sight.situation.standing.reach(sight.key, kind)]


def _of_comparison(
    comparison: Comparison, sight: PartView, index: JudgementIndex, decides_whether: bool
) -> Iterator[Lack]:
    leaf = compile_comparison(comparison)
    limit = comparison.limit
    if (
        leaf.get(sight) is not None
        and isinstance(limit, (ByTable, FromPart))
        and limit_getter(comparison)(sight) is None
    ):
        yield from _of_path(limit.path, None, sight, index, decides_whether)
        return
    why = why_unknown(leaf, sight).why
    if isinstance(why, MilesOnlyAtLeast):
        yield Lack(index.judgement.parts["car"], _LOG, None, "", decides_whether)
        return
    yield from _of_path(comparison.path, why, sight, index, decides_whether)


def _of_path(
    path: AttributePath, why: WhyUnknown | None, sight: PartView, index: JudgementIndex, decides_whether: bool
) -> Iterator[Lack]:
    situation = index.judgement.situation
    owner = situation.owner(sight.key, path.owner) if path.owner else sight.key
    part = index.judgement.parts.get(owner or sight.key)
    if part is None:
        return
    attribute = path.attribute
    unsaid = why is None or isinstance(why, NothingOnRecord | NotRead)
    reason = "" if unsaid or why is None else why_unknown_words(why, path.owner)
    reason = reason or set_aside_words(situation.why_set_aside(part.key, attribute.name))
    if attribute.derived:
        worked = situation.work_out(part.key, attribute, shop=sight.shop)
        if isinstance(worked, Missing):
            needed_part = index.judgement.parts.get(worked.part, part)
            needed = index.vocabulary.attribute(needed_part.kind, worked.attribute)
            if needed is not None:
                aside = situation.why_set_aside(worked.part, worked.attribute) if worked.never_read else None
                said = set_aside_words(aside) if worked.never_read else worked.reason
                yield Lack(needed_part, needed, None, said, decides_whether)
                return
    yield Lack(part, attribute, path.fact, reason, decides_whether)
