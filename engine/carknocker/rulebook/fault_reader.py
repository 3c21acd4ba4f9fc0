"""Reads `fault`: what is wrong where a rule is not met, in words with places for figures.

`{found}` is what was found, `{limit}` what it is compared with; `{found or thinner}` says how a gauge that tells only a
side of its figure is read; `{found of NAME}` and `{limit of NAME}` name one of several attributes. In a consequence,
`{asked}` is the test, the spare or the duty that is asked for.
"""

import re
from collections.abc import Iterable, Iterator

from carknocker.documents import Node, nearest, some
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf, required
from carknocker.rulebook.model import FaultWords, Requires, Restricts, Yield
from carknocker.rulebook.reading_context import Context

PLACE = re.compile(r"\{(found|limit|asked)(?: of ([a-z_.]+))?(?: or ([^{}]+))?\}")
"""A place for a figure: what stands there, of which attribute, and the words after `or`."""
_BRACES = re.compile(r"\{[^{}]*\}?|\}")
BELOW, ABOVE = "below", "above"
SIDE_OF = {"over": BELOW, "at_least": BELOW, "under": ABOVE, "at_most": ABOVE}
"""The side of its limit on which a figure fails a comparison."""
_NO_LIMIT = frozenset({"shown", "in_force"})


def read_fault_of_criterion(node: Node | None, must: Clause | None, context: Context) -> tuple[FaultWords, ...]:
    """The words of a criterion's fault, or one set for each attribute or side that may fail. Problems are reported."""
    if node is None or must is None:
        return ()
    compared = {str(one.path): one for kind, one in required(must) if not kind}
    sides = {SIDE_OF[one.word] for one in compared_all(must) if one.word in SIDE_OF}
    found: list[FaultWords] = []
    for of, words, at in _entries(node, (*compared, *(sorted(sides) if len(sides) > 1 else ())), context):
        found.append(FaultWords(of, words))
        _check_places(words, at, of, must, compared, context)
    return tuple(found)


def read_fault_of_consequence(
    node: Node | None, yields: Iterable[Yield], context: Context
) -> tuple[FaultWords, ...]:  # fmt: skip
    """The words of what is wrong while what a consequence requires is not done, and of why it restricts."""
    if node is None:
        return ()
    sorts = {Requires: "requires", Restricts: "restricts"}
    keys = tuple(dict.fromkeys(sorts[type(one)] for one in yields if type(one) in sorts))
    if not keys:
        context.note(node, "`fault` of a consequence that neither requires nor restricts", "no such key")
        return ()
    found: list[FaultWords] = []
    for of, words, at in _entries(node, keys, context):
        found.append(FaultWords(of or (keys[0] if len(keys) == 1 else ""), words))
        asks = (of or keys[0]) == "requires"
        for text in _BRACES.findall(words):
            if text != "{asked}" or not asks:
                context.note(at, f"`{text}`", "`{asked}`" if asks else "words without a place in braces")
    return tuple(found)


def compared_all(must: Clause) -> Iterator[Comparison]:
    """Every comparison that a `must` makes on the part itself."""
    return (one for kind, one in required(must) if not kind)


def _entries(node: Node, keys: tuple[str, ...], context: Context) -> Iterator[tuple[str, str, Node]]:
    if node.kind != "mapping":
        words = context.text(node, "the fault in a few words")
        if words:
            yield "", words, node
        return
    for key, where, value in node.items():
        if key not in keys:
            context.note(where, f"`{key[:60]}`", f"one of {some(keys)}", nearest(key, keys))
            continue
        words = context.text(value, "the fault in a few words")
        if words:
            yield key, words, value


def _check_places(
    words: str, at: Node, of: str, must: Clause, compared: dict[str, Comparison], context: Context
) -> None:
    for text in _BRACES.findall(words):
        place = PLACE.fullmatch(text)
        if place is None or place[1] == "asked" or (place[1] == "limit" and place[3]):
            context.note(at, f"`{text[:60]}`", "`{found}`, `{limit}`, `{found or thinner}`, `{found of NAME}` or "
                         "`{limit of NAME}`")  # fmt: skip
            continue
        name = place[2] or (of if of in compared else "")
        if place[2] and place[2] not in compared:
            context.note(at, f"`{place[2][:60]}`, which `must` does not name", f"one of {some(compared)}",
                         nearest(place[2], compared))  # fmt: skip
        elif not name and isinstance(must, CountOf | EachOf):
            if place[1] == "limit" and isinstance(must, EachOf):
                context.note(at, "`{limit}` of what each part must be", "words without it")
        elif not name and len(compared) != 1:
            context.note(at, f"`{text}`, where `must` names {len(compared) or 'no'} attributes",
                         f"`{{{place[1]} of NAME}}`, or words for each of {some(compared)}")  # fmt: skip
        elif place[1] == "limit" and all(
            one.word in _NO_LIMIT for one in compared_all(must) if str(one.path) == (name or next(iter(compared)))
        ):
            context.note(at, f"`{text}`, of what has no limit", "words without it")


def lacking(fault: tuple[FaultWords, ...], must: Clause) -> tuple[str, ...]:
    """The paths and sides of a `must` that may fail and for which its fault has no words."""
    if any(not one.of for one in fault):
        return ()
    said = {one.of for one in fault}
    missing: dict[str, None] = {}
    for one in compared_all(must):
        side = SIDE_OF.get(one.word, "")
        may_fail = one.word != "shown" or one.path.attribute.type == "test"
        if may_fail and str(one.path) not in said and side not in said:
            missing[side if said & {BELOW, ABOVE} and side else str(one.path)] = None
    if not missing and not said and _counts(must):
        missing["the parts inside"] = None
    return tuple(missing)


def _counts(must: Clause) -> bool:
    return isinstance(must, CountOf | EachOf) or (
        isinstance(must, AllOf | AnyOf) and any(_counts(one) for one in must.clauses)
    )
