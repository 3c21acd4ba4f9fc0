"""Reads `fault`: what is wrong where a rule is not met, in words with places for figures.

`{found}` is what was found, `{limit}` what it is compared with; `{found or thinner}` says how a gauge that tells only a
side of its figure is read; `{found of NAME}` and `{limit of NAME}` name one of several attributes. In a consequence,
`{asked}` is the test, the spare or the duty that is asked for.
"""

import re
from collections.abc import Iterable, Iterator

from carknocker.documents import Node, nearest, some
from carknocker.rulebook.clauses import Clause, Comparison, required
from carknocker.rulebook.model import FaultWords, Requires, Restricts, Yield
from carknocker.rulebook.reading_context import Context

PLACE = re.compile(r"\{(found|limit|asked)(?: of ([a-z0-9_.]+))?(?: or ([^{}]+))?\}")
"""A place for a figure: what stands there, of which attribute, and the words after `or`."""
BELOW, ABOVE = "below", "above"
SIDE_OF = {"over": BELOW, "at_least": BELOW, "under": ABOVE, "at_most": ABOVE}
"""The side of its limit on which a figure fails a comparison."""


def read_fault_of_criterion(node: Node | None, must: Clause | None, context: Context) -> tuple[FaultWords, ...]:
    """The words of a criterion's fault, or one set for each attribute or side that may fail. Problems are reported."""
    if node is None or must is None:
        return ()
    compared = {str(one.path): one for kind, one in required(must) if not kind}
    sides = {SIDE_OF[one.word] for one in compared_all(must) if one.word in SIDE_OF}
    found: list[FaultWords] = []
    for of, words in _entries(node, (*compared, *(sorted(sides) if len(sides) > 1 else ())), context):
        found.append(FaultWords(of, words))
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
    for of, words in _entries(node, keys, context):
        found.append(FaultWords(of or (keys[0] if len(keys) == 1 else ""), words))
    return tuple(found)


def compared_all(must: Clause) -> Iterator[Comparison]:
    """Every comparison that a `must` makes on the part itself."""
    return (one for kind, one in required(must) if not kind)


def _entries(node: Node, keys: tuple[str, ...], context: Context) -> Iterator[tuple[str, str]]:
    if node.kind != "mapping":
        words = context.text(node, "the fault in a few words")
        if words:
            yield "", words
        return
    for key, where, value in node.items():
        if key not in keys:
            context.note(where, f"`{key[:60]}`", f"one of {some(keys)}", nearest(key, keys))
            continue
        words = context.text(value, "the fault in a few words")
        if words:
            yield key, words
