"""What has to be so for a value to be wanted at all, where the record does not say it: `if kind of spring: coil`."""

from collections.abc import Iterable, Iterator

import msgspec

from carknocker.documents import listed
from carknocker.judgement.clause_tests import clause_test, comparisons_in
from carknocker.judgement.findings import view_for_must, view_for_when
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import UNKNOWN
from carknocker.record.value_words import value_words
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, Fixed, all_of
from carknocker.vocabulary.model import Attribute
from carknocker.wording.limits import clause_words

_IS = ("is", "one_of")
_IS_NOT = ("is_not", "none_of")


class OnlyIf(msgspec.Struct, frozen=True):
    """One thing that has to be so. text: it in words, `if kind of spring: coil`. short: as it stands before a limit,
    `coil`. part: key of the part that it is about, empty where no list of words tells it. words: those of the attribute
    with which it is so. others: those with which it is not."""

    text: str
    short: str
    part: str = ""
    attribute: str = ""
    words: tuple[str, ...] = ()
    others: tuple[str, ...] = ()


def only_if(finding: Finding, index: JudgementIndex) -> tuple[OnlyIf, ...]:
    """All that has to be so for a finding to apply, as far as nobody knows it; empty where it is known to apply."""
    sight = view_for_when(finding.part, index.judgement.situation, index.judgement.move.out)
    criterion = finding.criterion
    found: list[OnlyIf] = []
    for clause, holds in ((criterion.when, True), (criterion.unless, False)):
        if clause is not None:
            found.extend(_unknown(clause, sight, index, holds=holds))
    return tuple(dict.fromkeys(found))


def if_not_otherwise(finding: Finding, attribute: Attribute, index: JudgementIndex) -> tuple[OnlyIf, ...]:
    """What has to be so for a test or a paper to be wanted that only another way of meeting a criterion asks for: that
    the first way, which looking at the part tells, is not the one. Empty where the first way asks for it, or is
    settled, or can't be told by looking."""
    compiled = index.compiled(finding.criterion)
    sight = view_for_must(compiled, finding.part, index.judgement.situation, index.judgement.move.out)
    for clause in all_of(finding.criterion.must):
        if not isinstance(clause, AnyOf):
            continue
        first, *others = clause.clauses
        told = list(comparisons_in(first))
        elsewhere = any(one.path.attribute is attribute for other in others for one in comparisons_in(other))
        by_looking = all(not one.path.owner and _choice(one.path.attribute) for one in told)
        if elsewhere and by_looking and clause_test(first)(sight) == UNKNOWN:
            return tuple(_unknown(first, sight, index, holds=False))
    return ()


def _unknown(clause: Clause, sight: PartView, index: JudgementIndex, *, holds: bool) -> Iterator[OnlyIf]:
    """holds: whether the clause has to hold, or must not."""
    if clause_test(clause)(sight) != UNKNOWN:
        return
    if isinstance(clause, AllOf if holds else AnyOf):
        for member in clause.clauses:
            yield from _unknown(member, sight, index, holds=holds)
        return
    if isinstance(clause, AllOf | AnyOf):
        members = [one for one in clause.clauses if clause_test(one)(sight) == UNKNOWN]
        if len(members) == 1:
            yield from _unknown(members[0], sight, index, holds=holds)
            return
    words = _words(clause, holds=holds) if isinstance(clause, Comparison) else ()
    key = _owner(clause, sight, index) if isinstance(clause, Comparison) and words else ""
    if isinstance(clause, Comparison) and key:
        yield _of_words(key, clause.path.attribute, words)
    else:
        text = f"{'if' if holds else 'unless'} {clause_words(clause)}"
        yield OnlyIf(text, text)


def _of_words(part: str, attribute: Attribute, words: tuple[str, ...]) -> OnlyIf:
    others = tuple(word for word in _choice(attribute) if word not in words)
    short = f"not {listed(others, 'or')}" if len(others) < len(words) else listed(words, "or")
    return OnlyIf(f"if {attribute.label}: {short}", short, part, attribute.name, words, others)


def _owner(comparison: Comparison, sight: PartView, index: JudgementIndex) -> str:
    path = comparison.path
    key = index.judgement.situation.owner(sight.key, path.owner) if path.owner else sight.key
    return key or ""


def _choice(attribute: Attribute) -> tuple[str, ...]:
    """The words of an attribute of which just one is said; empty where there is no such list."""
    return attribute.words if attribute.type in ("yes or no", "one of") and not attribute.derived else ()


def _words(comparison: Comparison, *, holds: bool) -> tuple[str, ...]:
    """The allowed words with which a comparison holds, or does not; empty where no list of words tells it."""
    every = _choice(comparison.path.attribute)
    limit = comparison.limit
    if not every or comparison.path.fact is not None or not isinstance(limit, Fixed):
        return ()
    if comparison.word not in (*_IS, *_IS_NOT):
        return ()
    named = {value_words(value) for value in limit.values}
    wanted = holds == (comparison.word in _IS)
    return tuple(word for word in every if (word in named) is wanted)


def together(each: Iterable[tuple[OnlyIf, ...]], index: JudgementIndex) -> tuple[OnlyIf, ...]:
    """What has to be so for any of several reasons to ask: of each attribute the words of all of them. Empty where one
    asks in any case, where they leave no case out, or where they have nothing in common."""
    reasons = list(each)
    if not reasons or not all(reasons):
        return ()
    if len(set(reasons)) == 1:
        return reasons[0]
    found: list[OnlyIf] = []
    first = {(one.part, one.attribute): one for one in reasons[0] if one.part}
    for place, sample in first.items():
        alike = [[one for one in reason if (one.part, one.attribute) == place] for reason in reasons]
        if not all(alike):
            continue
        attribute = index.vocabulary.attribute(index.judgement.parts[place[0]].kind, sample.attribute)
        said = {word for own in alike for one in own for word in one.words}
        if attribute is None:
            continue
        words = tuple(word for word in _choice(attribute) if word in said)
        if len(words) < len(_choice(attribute)):
            found.append(_of_words(place[0], attribute, words))
    return tuple(found)


Case = tuple[OnlyIf, ...]
"""What all has to be so for one reason to ask."""


def case_words(case: Case) -> str:
    """A case as it stands before a limit."""
    return "; ".join(one.short for one in case)


def any_case_words(cases: Iterable[Case]) -> str:
    """Several cases as they stand before a limit that is asked in each of them, without what makes no difference:
    `coil` or `not coil; braked` is `coil or braked`, and `coil` or `not coil` is any case: empty."""
    left = list(dict.fromkeys(cases))
    changed = True
    while changed:
        changed = False
        for number, case in enumerate(left):
            others = (other for place, other in enumerate(left) if place != number)
            wider = next((found for other in others if (found := _widened(case, other)) is not None), None)
            if wider is not None:
                left[number], changed = wider, True
        if not all(left):
            return ""
    kept = [
        one for number, one in enumerate(left)
        if not any(_within(one, other) and (number > place or not _within(other, one))
                   for place, other in enumerate(left) if place != number)
    ]  # fmt: skip
    return " or ".join(map(case_words, kept))


def _widened(case: Case, other: Case) -> Case | None:
    """A case without a condition that makes no difference beside another case: where it is not so, the other asks."""
    for one in case:
        rest = tuple(each for each in case if each is not one)
        against = next((each for each in other if _alike(each, one)), None)
        if against is None or not one.part or not set(one.others) <= set(against.words):
            continue
        if _within(rest, tuple(each for each in other if each is not against)):
            return rest
    return None


def _within(case: Case, wider: Case) -> bool:
    """Whether all that a wider case asks is so in this one."""
    return all(any(one == each or (_alike(one, each) and set(one.words) <= set(each.words)) for one in case)
               for each in wider)  # fmt: skip


def _alike(one: OnlyIf, other: OnlyIf) -> bool:
    return bool(one.part) and (one.part, one.attribute) == (other.part, other.attribute)
