"""What a dossier says against what the same question gives now."""

from collections.abc import Iterator
from typing import Any

import msgspec

from carknocker.questions.verify.dossier_reader import Given, GivenCorrection, GivenFinding
from carknocker.wording.outcomes import READY

_OF_A_FINDING = ("verdict", "measured", "limit", "margin", "reason", "effect", "unmet", "relieved")
_TOLD_APART = frozenset({"made_by", "digests", "outcome", "outcome_line", "findings", "summary"})


class DigestChange(msgspec.Struct, frozen=True):
    """What was read differs: its name, and the digests; empty where it was not read then, or is not now.

    corrections: of an edition, the slips in it that were corrected since the dossier was made.
    """

    name: str
    then: str
    now: str
    corrections: tuple[GivenCorrection, ...] = ()


class FindingChange(msgspec.Struct, frozen=True):
    """A finding that differs: what it said then and now, in words; empty where there was none, or is none. fault: what
    is wrong now, else what was; where nothing is or was, the title of the requirement."""

    label: str
    title: str
    fault: str
    criterion: str
    then: str
    now: str


class Verified(msgspec.Struct, frozen=True):
    """identical: the dossier says what comes out now, word by word. digests, findings: what differs.

    outcome: then and now. not_at_hand: what limits a ready then and now. also: keys of the
    dossier that differ besides. program: then and now; another program that gives the same answer is no difference.
    """

    identical: bool
    outcome: tuple[str, str]
    not_at_hand: tuple[tuple[str, ...], tuple[str, ...]]
    digests: tuple[DigestChange, ...]
    findings: tuple[FindingChange, ...]
    also: tuple[str, ...]
    program: tuple[str, str]


def verify(then: Given, now: Given) -> Verified:
    """Compares a dossier with the one that comes out now."""
    digests = tuple(_digest_changes(then, now))
    loose = then.made_by.version != now.made_by.version
    before, after = then.form(), now.form()
    # the keys that only another version of the program writes are let be
    keys = list(before) if loose else list(dict.fromkeys((*before, *after)))
    differing = [key for key in keys if not _same(before.get(key), after.get(key), loose)]
    findings = tuple(_finding_changes(then, now))
    outcome = (then.outcome, now.outcome)
    said = now if then.complete is None else then  # an older program did not say what was missing
    also = [key for key in differing if key not in _TOLD_APART]
    if "findings" in differing and not findings:
        also.append("findings")
    if outcome[0] == outcome[1] and not findings:
        also.extend(key for key in ("outcome_line", "summary") if key in differing)
    identical = not digests and all(key == "made_by" for key in differing)
    return Verified(
        identical=identical,
        outcome=outcome,
        not_at_hand=(_not_at_hand(then, said), _not_at_hand(now, now)),
        digests=digests,
        findings=findings,
        also=tuple(also),
        program=(_program(then), _program(now)),
    )


def _same(then: Any, now: Any, loose: bool) -> bool:
    """Whether two pieces of JSON are the same; loose: the newer may have keys more."""
    if isinstance(then, dict) and isinstance(now, dict):
        if not loose and then.keys() != now.keys():
            return False
        return all(key in now and _same(value, now[key], loose) for key, value in then.items())
    if isinstance(then, list) and isinstance(now, list):
        return len(then) == len(now) and all(_same(one, other, loose) for one, other in zip(then, now, strict=True))
    return type(then) is type(now) and bool(then == now)


def _digest_changes(then: Given, now: Given) -> Iterator[DigestChange]:
    for name in ("car", "move"):
        before, after = getattr(then.digests, name), getattr(now.digests, name)
        if before != after:
            yield DigestChange("the car record" if name == "car" else "the move", before, after)
    editions = dict.fromkeys((*then.digests.editions, *now.digests.editions))
    for name in editions:
        before, after = then.digests.editions.get(name, ""), now.digests.editions.get(name, "")
        if before != after:
            corrected = _corrections(now, name) if before and after else ()
            known = _corrections(then, name)
            since = tuple(one for one in corrected if one not in known)
            yield DigestChange(f"edition {name}", before, after, since)
    if then.digests.editions == now.digests.editions and then.digests.rulebook != now.digests.rulebook:
        yield DigestChange("all rules together", then.digests.rulebook, now.digests.rulebook)


def _corrections(given: Given, name: str) -> tuple[GivenCorrection, ...]:
    """The corrections that a dossier knows of an edition, `ruleset name`."""
    found = (one.corrections for one in given.rulebook.editions if f"{one.ruleset} {one.edition}" == name)
    return next(found, ())


def _finding_changes(then: Given, now: Given) -> Iterator[FindingChange]:
    before = {(one.criterion, part): one for one in then.findings for part in one.parts}
    after = {(one.criterion, part): one for one in now.findings for part in one.parts}
    for key in dict.fromkeys((*before, *after)):
        old, new = before.get(key), after.get(key)
        if old is None or new is None:
            changed = ["measured", "reason"]
        else:
            changed = [name for name in _OF_A_FINDING if getattr(old, name) != getattr(new, name)]
        if changed:
            criterion, part = key
            said = then if new is None else now
            yield FindingChange(
                _label(part, said),
                _title(criterion, said),
                _fault(new) or _fault(old) or _title(criterion, said),
                criterion,
                _words(old, changed),
                _words(new, changed),
            )


def _label(part: str, given: Given) -> str:
    """A part as its dossier calls it; one that its dossier does not describe, by its key."""
    found = given.parts.get(part)
    return part if found is None else found.label


def _title(criterion: str, given: Given) -> str:
    found = given.rules.get(criterion)
    return criterion if found is None else found.title


def _fault(finding: GivenFinding | None) -> str:
    return "" if finding is None else finding.fault or ""


def _words(finding: GivenFinding | None, changed: list[str]) -> str:
    """The verdict, and what else differs of the finding."""
    if finding is None:
        return ""
    more = (
        f"{'required' if name == 'limit' else name} {value}"
        for name in changed
        if name in ("measured", "limit", "margin", "reason", "effect") and (value := getattr(finding, name))
    )
    marks = [word for word, said in (("counts", finding.unmet), ("relieved", finding.relieved)) if said]
    shown = marks if {"unmet", "relieved"} & set(changed) else []
    return "; ".join((finding.verdict, *more, *shown))


def _not_at_hand(given: Given, said: Given) -> tuple[str, ...]:
    """What of the law was not at hand, where that limits the outcome."""
    return said.not_at_hand if given.outcome in READY and said.complete is False else ()


def _program(given: Given) -> str:
    maker = given.made_by
    return f"{maker.program} {maker.version} ({maker.evaluator})"
