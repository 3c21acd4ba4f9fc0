"""Criteria that stand against each other on one part: no figure meets both, or one has its limit on the other side."""

from collections.abc import Iterator, Mapping

import msgspec

from carknocker.documents import Problem
from carknocker.rulebook.check.allowed import Allowed, Choice, Span, allowed, both
from carknocker.rulebook.clauses import required
from carknocker.rulebook.compose import LAYERS
from carknocker.rulebook.model import Criterion, Rulebook

_LOWER = frozenset({"over", "at_least"})
_UPPER = frozenset({"under", "at_most"})


class _Asked(msgspec.Struct, frozen=True):
    """A criterion with what its `when` and its `must` leave open, and on which sides it limits each attribute."""

    criterion: Criterion
    when: Allowed
    must: Allowed
    sides: Mapping[str, frozenset[str]]


def check_together(rulebook: Rulebook) -> Iterator[Problem]:
    """Every two criteria of a rulebook that can't be met by one part to which both apply."""
    by_path: dict[tuple[str, str], list[_Asked]] = {}
    for criterion in rulebook.criteria:
        asked = _asked(criterion)
        for path in {**asked.must, **asked.sides}:
            by_path.setdefault((criterion.of, path), []).append(asked)
    for (_, path), group in by_path.items():
        for number, later in enumerate(group):
            for earlier in group[:number]:
                if _apply_together(earlier, later):
                    yield from _pair(path, earlier, later)


def _asked(criterion: Criterion) -> _Asked:
    sides: dict[str, set[str]] = {}
    for kind, comparison in required(criterion.must):
        if not kind and comparison.word in _LOWER | _UPPER:
            side = "lower" if comparison.word in _LOWER else "upper"
            sides.setdefault(str(comparison.path), set()).add(side)
    return _Asked(
        criterion, allowed([criterion.when]), allowed([criterion.must]),
        {path: frozenset(own) for path, own in sides.items()},
    )  # fmt: skip


def _apply_together(one: _Asked, two: _Asked) -> bool:
    """Whether some part may have both apply to it, as far as can be told: an `unless` may keep them apart."""
    if one.criterion.unless is not None or two.criterion.unless is not None:
        return False
    return not any(both(left, two.when[path]).empty for path, left in one.when.items() if path in two.when)


def _pair(path: str, one: _Asked, two: _Asked) -> Iterator[Problem]:
    first, second = one.criterion, two.criterion
    if first.effect == second.effect == "refuse" and path in one.must and path in two.must:
        left: Span | Choice = both(one.must[path], two.must[path])
        for asked in (one, two):
            if path in asked.when:
                left = both(left, asked.when[path])
        if left.empty:
            yield Problem(second.where, f"{second.id} and {first.id} contradict each other: nothing that `{path}` can "
                          f"be meets both", "two criteria that one part can meet",
                          remedy="correct the limit, or say in `when` to which parts each applies")  # fmt: skip
            return
    mine, theirs = two.sides.get(path), one.sides.get(path)
    higher = LAYERS.index(second.layer) > LAYERS.index(first.layer)
    if higher and mine is not None and theirs is not None and len(mine) == len(theirs) == 1 and mine != theirs:
        side, other = next(iter(mine)), next(iter(theirs))
        words = {"lower": "`over` or `at_least`", "upper": "`under` or `at_most`"}
        yield Problem(second.where, f"{second.id} limits `{path}` on the {side} side, {first.id} on the {other} side",
                      f"a limit on the same side: {words[other]}",
                      remedy="if both sides are meant, write both in its `must`")  # fmt: skip
