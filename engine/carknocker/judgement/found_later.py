"""What was found after a host had signed his written permission: he did not know of it, so it covers none of it."""

from collections.abc import Iterable, Mapping
from datetime import date

from carknocker.judgement.criteria import CompiledComparison, CompiledCriterion
from carknocker.judgement.facts import FindingFact
from carknocker.judgement.findings import view_for_must
from carknocker.judgement.looks import looks_of, seen_by
from carknocker.judgement.mending import Mending
from carknocker.judgement.model import Finding, FoundLater, Relief, Voided
from carknocker.judgement.observed_value import exact
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS
from carknocker.judgement.work_between import WorkBetween
from carknocker.record.model import Evidence, Leave, Part
from carknocker.record.part_keys import serial_of
from carknocker.record.standing import Standing
from carknocker.record.values import Day
from carknocker.vocabulary import load_vocabulary

_LOW_FAILS = frozenset({"at_least", "over"})
_HIGH_FAILS = frozenset({"at_most", "under"})


class PermissionsSigned:
    """The permissions of a record, each asked whether its host knew of a fault when he signed.

    He knew what was on record by that day, and a later reading that is no worse than the last one by then. What was
    never shown, and a paper that runs out, he could see: so these he knew as well. Of a part that came later, or that
    later work put right, he knew nothing."""

    def __init__(self, compiled: Iterable[CompiledCriterion], voided: Mapping[str, Voided], mending: Mending) -> None:
        self._compiled = {one.criterion.id: one for one in compiled}
        self._voided = voided
        self._mending = mending

    def found_later(
        self, reliefs: Iterable[Relief], findings: Iterable[Finding], counts: Situation, as_said: Situation | None
    ) -> tuple[FoundLater, ...]:
        """Of some reliefs those of permissions that came too early for the finding that they would cancel. as_said: the
        situation of findings that count as said; None where there is none."""
        unmet = {one.fact: one for one in findings if one.unmet}
        found: dict[FoundLater, None] = {}
        for relief in reliefs:
            finding = unmet.get(FindingFact(relief.criterion, relief.part))
            if relief.leave is None or finding is None:
                continue
            situation = as_said if finding.as_said and as_said is not None else counts
            on = self._found_after(relief.leave, finding, situation)
            if on is not None:
                found[FoundLater(relief.leave, relief.criterion, relief.part, on)] = None
        return tuple(found)

    def _found_after(self, leave: Leave, finding: Finding, situation: Situation) -> date | None:
        """The day after the signature on which it was found; None where it was known by then."""
        signed = leave.signed_on
        if signed is None:
            return None
        days = [_came_here(finding.part.key, signed, situation.standing), _made(finding.part, situation)]
        days.append(self._put_right(finding, signed, situation))
        if finding.verdict == "void":
            void = None if finding.evidence is None else self._voided.get(finding.evidence.id)
            days.append(None if void is None else void.work.on)
        elif finding.verdict == "breached":
            days.extend(
                entry.on
                for leaf, entry in _failed(self._compiled[finding.criterion.id], finding, situation)
                if entry.on is not None and entry.on > signed and not self._was_known(leaf, entry, signed, situation)
            )
        return max((day for day in days if day is not None and day > signed), default=None)

    def _put_right(self, finding: Finding, signed: date, situation: Situation) -> date | None:
        """The last day after the signature of a job that put right, or renewed, what the finding is about."""
        part = finding.part
        paths = (path for kind, path in looks_of(finding.criterion.must) if not kind and path.owner in ("", part.kind))
        attributes = {path.attribute.name: path.attribute for path in paths}.values()
        jobs = WorkBetween(situation, self._mending).jobs_since(signed, part)
        done = (job.on for job in jobs if any(self._mending.mends(job.name, one) for one in attributes))
        return max(done, default=None)

    def _was_known(self, leaf: CompiledComparison | None, entry: Evidence, signed: date, situation: Situation) -> bool:
        """Whether what was on record of it by the signature, and is not void since, was as bad."""
        entries = situation.standing.evidence.get(entry.part, {}).get(entry.attribute, ())
        by_then = [one for one in entries if one.on is not None and one.on <= signed]
        return bool(by_then) and by_then[-1].id not in self._voided and _as_bad(by_then[-1], entry, leaf)


def _failed(
    one: CompiledCriterion, finding: Finding, situation: Situation
) -> list[tuple[CompiledComparison | None, Evidence]]:
    """What a breach rests on, each with the comparison that asks it of the part itself: None where it asks a figure
    that was worked out, or where it stands on the host's or the owner's word alone."""
    view = view_for_must(one, finding.part, situation, situation.move.out)
    found: dict[str, tuple[CompiledComparison | None, Evidence]] = {}
    for leaf in one.leaves:
        if leaf.test(view) != FAILS:
            continue
        value = leaf.get(view)
        direct = None if value is None else value.evidence
        for entry in seen_by(looks_of(leaf.comparison), view):
            found[entry.id] = (leaf if direct is not None and direct.id == entry.id else None, entry)
    if finding.evidence is not None:
        found.setdefault(finding.evidence.id, (None, finding.evidence))
    if not found:
        found = {entry.id: (None, entry) for entry in seen_by(looks_of(one.criterion.must), view)}
    return list(found.values())


def _as_bad(earlier: Evidence, later: Evidence, leaf: CompiledComparison | None) -> bool:
    """Whether an earlier reading is the same as a later one, or further on the side on which the comparison fails."""
    if earlier.value == later.value:
        return True
    was, now = exact(earlier.value), exact(later.value)
    if leaf is None or was is None or now is None:
        return False
    more = was.n * now.d - now.n * was.d
    if leaf.comparison.word in _LOW_FAILS:
        return more <= 0
    return leaf.comparison.word in _HIGH_FAILS and more >= 0


def _made(part: Part, situation: Situation) -> date | None:
    """The day before which the part was not there, by its own mark; None where nothing tells it."""
    for mark in load_vocabulary().marked.get(part.kind, ()):
        told = situation.newest(part.key, mark.attribute) if mark.made else None
        if told is not None and isinstance(told.value, Day):
            return told.value.first
    return None


def _came_here(part: str, signed: date, standing: Standing) -> date | None:
    """The day after the signature on which a wheelset came to the axle where it is; None where it was there by then."""
    serial = serial_of(part)
    if serial is None:
        return None
    own = [one for one in standing.car.fittings if one.wheelset == serial]
    here = next((one for one in own if one.last is None), None)
    if here is None or here.first is None or here.first <= signed:
        return None
    there = (one for one in own if one.axle == here.axle and (one.first is None or one.first <= signed))
    return None if any(one.last is None or one.last >= signed for one in there) else here.first
