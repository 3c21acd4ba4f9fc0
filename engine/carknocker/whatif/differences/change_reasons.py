"""Which change of the record explains a change of the answer: by the evidence of a finding, by what made that evidence
void, or by the part."""

from collections.abc import Hashable, Iterable, Iterator

from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.evidence_of_findings import looked_at
from carknocker.judgement.facts import EntryFact, Fact, FindingFact, LeaveFact, PassedTestFact, SeenFact, StateFact
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Duty, Finding, Judgement, RestrictionInForce
from carknocker.record.model import Evidence, Gauge, Leave, Person, Spare, Work
from carknocker.record.part_keys import serial_of
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.whatif.differences.model import RecordChange
from carknocker.whatif.differences.record_changes import editions, entries, evidence_key, nearest_first, record_changes


class ChangeReasons:
    """What is new and what is gone between two judgements, and what of it explains a change."""

    def __init__(self, before: Judgement, after: Judgement) -> None:
        self.before, self.after = JudgementIndex(before), JudgementIndex(after)
        self.added = record_changes(before, after)
        self.removed = record_changes(after, before)
        self.gone = tuple(replace(one, words=f"{one.words} (no longer so)") for one in self.removed)
        self._of_evidence: dict[Hashable, RecordChange] = {}
        for record_change in (*self.gone, *self.added):
            if isinstance(record_change.about, Evidence):
                self._of_evidence[evidence_key(record_change.about)] = record_change

    def of_finding(self, before: Finding | None, after: Finding | None) -> tuple[RecordChange, ...]:
        """What explains that a finding changed, nearest first: its evidence, what made it void, its relief, its rule,
        work on the part. Only if none of these does: work on the parts around it, then the day and the move."""
        found = nearest_first((
            *self._evidence(before, after), *self._voiding(before, after), *self._reliefs(before, after),
            *self._rules(before, after), *self._parts(before, after, round_about=False),
        ))  # fmt: skip
        found = found or nearest_first(self._parts(before, after, round_about=True))
        return found or nearest_first(self._times(before, after))

    def _evidence(self, before: Finding | None, after: Finding | None) -> Iterator[RecordChange]:
        for finding, index in ((after, self.after), (before, self.before)):
            for evidence in () if finding is None else (one for own in looked_at(finding, index) for one in own):
                record_change = self._of_evidence.get(evidence_key(evidence))
                if record_change is not None:
                    yield record_change
                yield from self._about_evidence(evidence)

    def _about_evidence(self, evidence: Evidence) -> Iterator[RecordChange]:
        """A person or a gauge whose standing changed, for evidence that rests on them."""
        for record_change in (*self.added, *self.gone):
            about = record_change.about
            if isinstance(about, Person) and evidence.by is not None and evidence.by.name == about.name:
                yield record_change
            if isinstance(about, Gauge) and evidence.gauge is not None and evidence.gauge.name == about.name:
                yield record_change

    def _voiding(self, before: Finding | None, after: Finding | None) -> Iterator[RecordChange]:
        for finding, index, side in ((after, self.after, self.added), (before, self.before, self.gone)):
            if finding is None:
                continue
            for evidence in looked_at(finding, index)[1]:
                voided = index.voided.get(evidence.id)
                if voided is not None:
                    yield from entries(side, {voided.work.id})

    def _reliefs(self, before: Finding | None, after: Finding | None) -> Iterator[RecordChange]:
        for finding, index, side in ((after, self.after, self.added), (before, self.before, self.gone)):
            if finding is None or not finding.relieved:
                continue
            for relief in index.reliefs.get((finding.criterion.id, finding.part.key), ()):
                yield from self.cause(relief.cause, index, side)
                yield from editions(side, relief.consequence.ruleset)

    def _rules(self, before: Finding | None, after: Finding | None) -> Iterator[RecordChange]:
        """The edition, if the criterion itself changed, came or went."""
        if before is not None and after is not None:
            if before.criterion != after.criterion:
                yield from editions(self.added, after.criterion.ruleset)
        elif after is not None and after.criterion.id not in self.before.criteria:
            yield from editions(self.added, after.criterion.ruleset)
        elif before is not None and before.criterion.id not in self.after.criteria:
            yield from editions(self.gone, before.criterion.ruleset)
            yield from editions(self.added, before.criterion.ruleset)

    def _parts(self, before: Finding | None, after: Finding | None, *, round_about: bool) -> Iterator[RecordChange]:
        """Work on the part, or work that put another part in its place. round_about: any work on what it is part of."""
        for finding, index, side in ((after, self.after, self.added), (before, self.before, self.gone)):
            if finding is None:
                continue
            key = finding.part.key
            serial = serial_of(key)
            places = {key, *index.situation.standing.containers(key)} - {"car", "move"}
            for record_change in side:
                work = record_change.about
                if isinstance(work, Work):
                    moved = serial is not None and serial in (work.fitted, work.off)
                    if key in work.at or moved or (round_about and places & set(work.at)):
                        yield record_change
                elif record_change.sort == "fitting" and record_change.part in places:
                    yield record_change

    def _times(self, before: Finding | None, after: Finding | None) -> Iterator[RecordChange]:
        """The day and the move, if the criterion looks at dates, ages, miles, or the move itself."""
        finding = after or before
        if finding is None:
            return
        index = self.after if after is not None else self.before
        one = index.compiled(finding.criterion)
        of_move = finding.part.kind in MOVE_KINDS
        dated = one.dated or one.when is not None or one.unless is not None or of_move
        for record_change in self.added:
            if record_change.sort in ("day", "move", "moves made", "log") and dated:
                yield record_change

    def cause(self, cause: Fact, index: JudgementIndex, side: Iterable[RecordChange]) -> Iterator[RecordChange]:
        """The changes that a cause on one side rests on."""
        match cause:
            case EntryFact(entry):
                yield from entries(side, {entry})
            case LeaveFact(entry):
                yield from (one for one in side if isinstance(one.about, Leave) and one.about.id == entry)
            case PassedTestFact(evidence=entry) | SeenFact(evidence=entry) if entry in index.evidence:
                yield from self.change_of_evidence(index.evidence[entry])
            case FindingFact(criterion, key):
                found = index.findings.get((criterion, key))
                if found is not None and found.evidence is not None:
                    yield from self.change_of_evidence(found.evidence)
            case StateFact(consequence, number, key) if consequence in index.consequences:
                clause = index.consequences[consequence].causes[number].when
                names = {comparison.path.attribute.name for comparison in comparisons_in(clause)}
                near = {key, *index.situation.standing.containers(key), *index.inside(key)}
                for record_change in side:
                    about = record_change.about
                    if isinstance(about, Evidence) and about.attribute in names and about.part in near:
                        yield record_change

    def change_of_evidence(self, evidence: Evidence) -> Iterator[RecordChange]:
        """The record change that a piece of evidence is; None if it is in both."""
        record_change = self._of_evidence.get(evidence_key(evidence))
        if record_change is not None:
            yield record_change


def duty_reasons(before: Duty | None, after: Duty | None, links: ChangeReasons) -> tuple[RecordChange, ...]:
    """What called for a duty, answered it, or ended it."""
    found: list[RecordChange] = []
    if before is not None and after is not None and before.state == after.state:
        return ()
    for duty, index, side in ((after, links.after, links.added), (before, links.before, links.gone)):
        if duty is None:
            continue
        if isinstance(duty.answered_by, Evidence):
            found.extend(links.change_of_evidence(duty.answered_by))
        if duty.requirement.spare and not any(one.sort == "spare" for one in found):
            wanted = duty.requirement.spare
            found.extend(one for one in side if isinstance(one.about, Spare) and one.about.name == wanted)
        found.extend(links.cause(duty.cause, index, side))
    some, other = (after, links.before) if before is None else (before, links.after)
    if some is not None and (before is None or after is None):
        found.extend(_began_or_ended(some.cause, links))
        if some.consequence.id not in other.consequences:
            found.extend(editions(links.added, some.consequence.ruleset))
    return nearest_first(found)


def restriction_reasons(one: RestrictionInForce, links: ChangeReasons, *, new: bool) -> tuple[RecordChange, ...]:
    """What began or ended a restriction, found through its reasons."""
    index, side = (links.after, links.added) if new else (links.before, links.gone)
    other = links.before if new else links.after
    found: list[RecordChange] = []
    for fact in one.reasons:
        found.extend(links.cause(fact, index, side))
        found.extend(_began_or_ended(fact, links))
    rule = index.criteria.get(one.said_by) or index.consequences.get(one.said_by)
    if rule is not None and one.said_by not in other.criteria and one.said_by not in other.consequences:
        found.extend(editions(links.added, rule.ruleset))
    return nearest_first(found)


def _began_or_ended(cause: Fact, links: ChangeReasons) -> Iterator[RecordChange]:
    """Why a cause holds on only one side: a finding that changed, or a part whose state changed."""
    if isinstance(cause, FindingFact):
        key = (cause.criterion, cause.part)
        yield from links.of_finding(links.before.findings.get(key), links.after.findings.get(key))
    elif isinstance(cause, StateFact):
        yield from links.cause(cause, links.after, links.added)
        yield from links.cause(cause, links.before, links.gone)
