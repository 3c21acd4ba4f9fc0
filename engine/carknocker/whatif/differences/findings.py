"""The findings of two judgements, paired by place: cleared, new, still open, or changed."""

from collections.abc import Mapping

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement
from carknocker.vocabulary.program_names import AXLE, WHEELSET
from carknocker.whatif.differences.change_reasons import ChangeReasons
from carknocker.whatif.differences.model import FindingChange
from carknocker.whatif.differences.unlisted_parts import Pair, Place, label_of_unlisted, match_unlisted, put_words
from carknocker.wording.parts import part_words
from carknocker.wording.verdicts import FindingWords, finding_words

_QUIET = ("met", "for the day", "not applicable")
"""Verdicts that need no report when their criterion or part came or went."""


class FindingChanges(msgspec.Struct, frozen=True):
    """See `CompareAnswer`, which has the same lists."""

    cleared: tuple[FindingChange, ...]
    new: tuple[FindingChange, ...]
    still_open: tuple[FindingChange, ...]
    changed_verdict: tuple[FindingChange, ...]
    changed_margin: tuple[FindingChange, ...]
    spares: tuple[FindingChange, ...]


def finding_changes(before: Judgement, after: Judgement, links: ChangeReasons) -> FindingChanges:
    """All changes between the findings, in the order of the second judgement; findings it does not have come last."""
    lists: dict[str, list[FindingChange]] = {}
    for pair in _pairs(before, after).values():
        where = _list_of(pair, links)
        if where:
            lists.setdefault(where, []).append(_change(pair, links))
    return FindingChanges(
        *(tuple(lists.get(name, ())) for name in
          ("cleared", "new", "still_open", "changed_verdict", "changed_margin", "spares"))
    )  # fmt: skip


def _pairs(before: Judgement, after: Judgement) -> dict[Place, Pair]:
    """Findings paired by criterion and place. On the car a place is a position (`wheel L3`), so that an exchanged
    wheelset is compared with the one before it. Parts that are not fitted are paired by their own key, parts that are
    not on record with those that are put on record in their stead."""
    then, now = _axles(before), _axles(after)
    first = {_place(finding, then): finding for finding in before.findings}
    second = {_place(finding, now): finding for finding in after.findings}
    pairs: dict[Place, Pair] = {place: (first.get(place), finding) for place, finding in second.items()}
    for place, finding in first.items():
        if place not in pairs:
            pairs[place] = (finding, None)
    match_unlisted(pairs, before, after)
    return pairs


def _place(finding: Finding, axles: Mapping[str, str]) -> Place:
    part = finding.part
    if not part.fitted:
        where = f"spare {part.key}"
    elif part.unlisted is not None and part.unlisted.number:
        where = part.key
    elif part.kind == WHEELSET:
        where = part.container or part.key
    elif part.kind == AXLE:
        where = axles.get(part.container or "", part.key)
    else:
        where = part.position
    return finding.criterion.id, part.kind, where


def _axles(judgement: Judgement) -> dict[str, str]:
    """The axle of each fitted wheelset. A steel axle goes by its wheelset, not by its position."""
    parts = judgement.parts.values()
    return {part.key: part.container for part in parts if part.kind == WHEELSET and part.container is not None}


def _is_standing(finding: Finding | None) -> bool:
    return finding is not None and finding.unmet and not finding.relieved and finding.part.fitted


def _list_of(pair: Pair, links: ChangeReasons) -> str:
    before, after = pair
    some = after or before
    if some is None:
        return ""
    if not some.part.fitted:
        return "spares" if _differ(pair) else ""
    if _is_standing(before) or _is_standing(after):
        return (
            "still_open"
            if _is_standing(before) and _is_standing(after)
            else "cleared"
            if _is_standing(before)
            else "new"
        )
    if (before is None or after is None) and some.verdict in _QUIET:
        return ""
    if _differ(pair):
        return "changed_verdict"
    if before is None or after is None or before.verdict == "not applicable":
        return ""
    return "" if _measured_alike(_words(before, links.before), _words(after, links.after)) else "changed_margin"


def _differ(pair: Pair) -> bool:
    """Whether the verdict differs. A finding that came or went counts unless it asks nothing of the part."""
    before, after = pair
    one = "not applicable" if before is None else before.verdict
    two = "not applicable" if after is None else after.verdict
    return one != two or (before is not None and after is not None and before.relieved != after.relieved)


def _change(pair: Pair, links: ChangeReasons) -> FindingChange:
    before, after = pair
    some = after or before
    if some is None:
        raise AssertionError("a change of nothing")
    said_before = None if before is None else _words(before, links.before)
    said_after = None if after is None else _words(after, links.after)
    same = (
        before is not None and after is not None and said_before is not None and said_after is not None
        and (before.verdict, before.relieved) == (after.verdict, after.relieved)
        and _measured_alike(said_before, said_after)
    )  # fmt: skip
    return FindingChange(
        _label(pair, links), some.criterion.title, some.criterion.id, before, after, said_before, said_after,
        () if same else links.of_finding(before, after), _exchange(pair), _also(pair, links),
    )  # fmt: skip


def _label(pair: Pair, links: ChangeReasons) -> str:
    """The place in words: of parts put on record, or no longer there, all of them, unless one still refuses."""
    before, after = pair
    some = after or before
    if some is None:
        raise AssertionError("a change of nothing")
    if before is None or after is None or not put_words(before, after, links.before, links.after):
        return part_words(some.part)
    if before.part.unlisted is not None:
        standing = after.unmet and not after.relieved
        return part_words(after.part) if standing else label_of_unlisted(before.part, links.before.judgement.parts)
    return label_of_unlisted(after.part, links.after.judgement.parts)


def _words(finding: Finding, index: JudgementIndex) -> FindingWords:
    return finding_words(index.explain(finding))


def _measured_alike(before: FindingWords, after: FindingWords) -> bool:
    """Whether the same was measured, with the same margin, wherever it is recorded."""
    return (before.measured, before.margin) == (after.measured, after.margin)


def _exchange(pair: Pair) -> str:
    before, after = pair
    if before is None or after is None or before.part.key == after.part.key:
        return ""
    if before.part.unlisted is not None or after.part.unlisted is not None:
        return ""
    return f"{_thing(before)} → {_thing(after)}"


def _also(pair: Pair, links: ChangeReasons) -> str:
    before, after = pair
    words: list[str] = []
    if before is not None and after is not None:
        words.append(put_words(before, after, links.before, links.after))
    if after is None and before is not None:
        words.append(_absent(before, links.after, "second"))
    if before is None and after is not None:
        words.append(_absent(after, links.before, "first"))
    if after is not None and after.relieved and not (before is not None and before.relieved):
        words.append("relieved")
    if before is not None and before.relieved and not (after is not None and after.relieved):
        words.append("no longer relieved")
    return "; ".join(word for word in words if word)


def _absent(finding: Finding, other: JudgementIndex, which: str) -> str:
    if finding.criterion.id not in other.criteria:
        return f"the requirement is not in the {which} rulebook"
    return f"the {which} car has no such part"


def _thing(finding: Finding) -> str:
    return finding.part.key if finding.part.kind != AXLE else f"steel {finding.part.key}"
