"""Whether each rule that refuses or restricts has the words of its fault, and whether they can be filled."""

import re
from collections.abc import Iterator, Mapping

from carknocker.documents import Problem, nearest, some
from carknocker.record.value_words import value_words
from carknocker.record.values import Figure, Interval
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf, Fixed, Unanswered
from carknocker.rulebook.fault_reader import ABOVE, BELOW, PLACE, SIDE_OF, compared_all
from carknocker.rulebook.model import Consequence, Criterion, Edition, FaultWords, Requires, Restricts

_BRACES = re.compile(r"\{[^{}]*\}?|\}")
_NO_LIMIT = frozenset({"shown", "in_force", "failed"})


def check_fault_of_criterion(criterion: Criterion) -> Iterator[Problem]:
    """Every problem of a criterion's `fault`, where it has one."""
    must = criterion.must
    if isinstance(must, Unanswered):
        return
    compared = {str(one.path): one for one in compared_all(must)}
    for said in criterion.fault:
        for found, expected, near in _places(said, must, compared):
            yield Problem(criterion.where, f"{criterion.id}: {found} in `fault`", expected, near)
        for limit in _limits_of(must):
            if re.search(rf"(?<![\w/-]){re.escape(limit)}(?![\w/-])", said.words):
                yield Problem(criterion.where, f"{criterion.id}: its limit `{limit}` typed again in `fault`",
                              "`{limit}`, or `{limit of NAME}`")  # fmt: skip
    if criterion.fault:
        yield from _without_words(criterion)


def faults_without_words(edition: Edition) -> Iterator[Problem]:
    """The rules that an edition itself states, that refuse or restrict, and that have no words for their fault."""
    for criterion in edition.criteria:
        if criterion.edition == edition.name and criterion.effect != "advise" and not criterion.fault:
            yield from _without_words(criterion)
    for consequence in edition.consequences:
        if consequence.edition == edition.name:
            yield from _of_consequence(consequence)


def _without_words(criterion: Criterion) -> Iterator[Problem]:
    for what in _lacking(criterion.fault, criterion.must):
        yield Problem(criterion.where, f"{criterion.id}: no words for its fault{what}",
                      "`fault: flange {found or thinner}`: what is wrong, in a few words")  # fmt: skip


def _of_consequence(consequence: Consequence) -> Iterator[Problem]:
    needed: dict[str, None] = {}
    for one in consequence.yields:
        if isinstance(one, Restricts):
            needed["restricts"] = None
        elif isinstance(one, Requires) and one.when == "before departure" and one.effect == "refuse":
            needed["requires"] = None
    said = {one.of for one in consequence.fault}
    for sort in needed:
        if sort not in said and "" not in said:
            yield Problem(consequence.where, f"{consequence.id}: no words for the fault behind what it {sort}",
                          "`fault: wheels turned`: what is wrong or was done, in a few words")  # fmt: skip


def check_fault_of_consequence(consequence: Consequence) -> Iterator[Problem]:
    """Every problem of a consequence's `fault`, where it has one."""
    for words in consequence.fault:
        for text in _BRACES.findall(words.words):
            if text != "{asked}" or words.of == "restricts":
                yield Problem(consequence.where, f"{consequence.id}: `{text[:60]}` in `fault`",
                              "words; of what it requires also `{asked}`")  # fmt: skip


def _limits_of(must: Clause) -> tuple[str, ...]:
    """The figures and periods that a `must` compares with, as they are written."""
    values = (value for one in compared_all(must) if isinstance(one.limit, Fixed) for value in one.limit.values)
    return tuple(dict.fromkeys(value_words(value) for value in values if isinstance(value, Figure | Interval)))


def _places(
    said: FaultWords, must: Clause, compared: Mapping[str, Comparison]
) -> Iterator[tuple[str, str, str]]:  # fmt: skip
    """What is wrong with the places of some words, what was expected, and the nearest right word."""
    for text in _BRACES.findall(said.words):
        place = PLACE.fullmatch(text)
        if place is None or place[1] == "asked" or (place[1] == "limit" and place[3]):
            expected = "`{found}`, `{limit}`, `{found or thinner}`, `{found of NAME}` or `{limit of NAME}`"
            yield f"`{text[:60]}`", expected, ""
            continue
        name = place[2] or (said.of if said.of in compared else "")
        if place[2] and place[2] not in compared:
            yield (
                f"`{place[2][:60]}`",
                f"one of {some(compared)}, which `must` names",
                nearest(place[2], compared) or "",
            )
        elif not name and isinstance(must, CountOf | EachOf):
            if place[1] == "limit" and isinstance(must, EachOf):
                yield "`{limit}` of what each part must be", "words without it", ""
        elif not name and len(compared) != 1:
            which = some(compared) if compared else "the parts inside"
            yield f"`{text}` of several", f"`{{{place[1]} of NAME}}`, or words for each of {which}", ""
        elif place[1] == "limit" and all(
            one.word in _NO_LIMIT for one in compared_all(must) if str(one.path) == (name or next(iter(compared)))
        ):
            yield f"`{text}` of what has no limit", "words without it", ""


def _lacking(fault: tuple[FaultWords, ...], must: Clause) -> tuple[str, ...]:
    """What of a `must` may fail without words for it: `: flange_thickness`; empty text where there are none at all."""
    if any(not one.of for one in fault):
        return ()
    if not fault:
        return ("",) if _may_fail(must) else ()
    said = {one.of for one in fault}
    missing: dict[str, None] = {}
    for one in compared_all(must):
        side = SIDE_OF.get(one.word, "")
        if _one_may_fail(one) and str(one.path) not in said and side not in said:
            missing[f": {side if said & {BELOW, ABOVE} and side else one.path}"] = None
    return tuple(missing)


def _one_may_fail(one: Comparison) -> bool:
    return one.word != "shown" or one.path.attribute.type == "test"


def _may_fail(must: Clause) -> bool:
    match must:
        case Comparison():
            return _one_may_fail(must)
        case AllOf(clauses) | AnyOf(clauses):
            return any(map(_may_fail, clauses))
        case _:
            return not isinstance(must, Unanswered)
