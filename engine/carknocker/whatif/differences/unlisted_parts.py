"""Parts that were not on record before and are now, or the other way about: matched by container and kind."""

from collections.abc import Mapping, MutableMapping

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement
from carknocker.record.model import Part
from carknocker.wording.parts import part_words

Place = tuple[str, str, str]
"""Criterion, kind of part, and where it is."""
Pair = tuple[Finding | None, Finding | None]


def match_unlisted(pairs: MutableMapping[Place, Pair], before: Judgement, after: Judgement) -> None:
    """Pairs what was asked of parts that were not on record with what is asked of those put on record in their stead:
    each that still refuses, or, where none does, one for all. Likewise for parts that are no longer on record."""
    came: dict[Place, list[Place]] = {}
    went: dict[Place, list[Place]] = {}
    for place, (was, now) in pairs.items():
        some = now or was
        if some is not None and (was is None or now is None) and some.part.fitted and some.part.unlisted is None:
            container = (some.criterion.id, some.part.kind, some.part.container or "")
            (came if was is None else went).setdefault(container, []).append(place)
    for place, (was, now) in list(pairs.items()):
        some = was or now
        if some is None or some.part.unlisted is None or (was is not None and now is not None):
            continue
        container = (some.criterion.id, some.part.kind, some.part.container or "")
        where, other = (before, after) if now is None else (after, before)
        alike = [
            key
            for key in (came if now is None else went).get(container, ())
            if key in pairs and _alone(pairs[key]) and _may_be(some.part, where, _one(pairs[key]).part, other)
        ]
        if not alike:
            continue
        found = {key: _one(pairs.pop(key)) for key in alike}
        del pairs[place]
        standing = [key for key, one in found.items() if one.unmet and not one.relieved]
        for key in (standing or alike[:1]) if now is None else alike[:1]:
            pairs[key] = (some, found[key]) if now is None else (found[key], some)


def _alone(pair: Pair) -> bool:
    """Whether it is not paired yet; parts of one kind in one container may be unlisted in two numbers."""
    return pair[0] is None or pair[1] is None


def _one(pair: Pair) -> Finding:
    one = pair[0] or pair[1]
    if one is None:
        raise AssertionError("a pair of nothing")
    return one


def _may_be(unlisted: Part, where: Judgement, listed: Part, other: Judgement) -> bool:
    """Whether a listed part may be one of the unlisted: what tells the unlisted from others of their kind is not
    otherwise on it."""
    told, own = (
        one.situation.values_of(part.key) if part.key in one.situation.values else {}
        for one, part in ((where, unlisted), (other, listed))
    )
    return all(name not in own or own[name].value == value.value for name, value in told.items())


def label_of_unlisted(part: Part, parts: Mapping[str, Part]) -> str:
    """`equalizer springs of truck B`."""
    if part.unlisted is None or not part.unlisted.number or part.container is None or part.container not in parts:
        return part_words(part)
    holder = parts[part.container]
    return part.unlisted.called if holder.kind == "car" else f"{part.unlisted.called} of {part_words(holder)}"


def put_words(before: Finding, after: Finding, first: JudgementIndex, second: JudgementIndex) -> str:
    """`put on record (4)`; empty where nothing of the kind happened."""
    if (before.part.unlisted is None) == (after.part.unlisted is None):
        return ""
    if after.part.unlisted is None:
        return f"put on record ({_number(before.part, first.judgement, second.judgement)})"
    return f"no longer on record ({_number(after.part, second.judgement, first.judgement)})"


def _number(unlisted: Part, where: Judgement, other: Judgement) -> int:
    """How many parts are listed in the stead of an unlisted one in the other of two answers."""
    return sum(
        part.kind == unlisted.kind and part.container == unlisted.container and part.fitted and part.unlisted is None
        and part.key not in where.parts and _may_be(unlisted, where, part, other)
        for part in other.parts.values()
    )  # fmt: skip
