"""Which novelty explains a change: by the evidence that a finding rests on, by what voided it, by the part."""

from collections.abc import Hashable, Iterable, Iterator

from carknocker.judgement.model import Duty, Fact, Finding, Judgement, RestrictionInForce
from carknocker.questions.diff_model import Novelty
from carknocker.questions.diff_novelties import evidence_key, novelties
from carknocker.questions.why_asked import Asked
from carknocker.questions.why_findings import looked_at
from carknocker.record.model import Evidence, Leave, Spare, Work
from carknocker.rulebook.model import Edition

_NEAREST = (
    "reading", "test", "paper", "description", "work", "event", "fitting", "spare", "leave", "edition", "person",
    "gauge", "move", "moves made", "day",
)  # fmt: skip


class Links:
    """What is new and what is gone between two judgements, and what of it explains a change."""

    def __init__(self, before: Judgement, after: Judgement) -> None:
        self.before, self.after = Asked(before), Asked(after)
        self.added = novelties(before, after)
        self.removed = novelties(after, before)
        self._of_evidence: dict[Hashable, Novelty] = {}
        for novelty in (*self.removed, *self.added):
            if isinstance(novelty.about, Evidence):
                self._of_evidence[evidence_key(novelty.about)] = novelty

    def of_finding(self, before: Finding | None, after: Finding | None) -> tuple[Novelty, ...]:
        """What explains that a finding changed, nearest first."""
        return _once((
            *self._evidence(before, after), *self._voiding(before, after), *self._reliefs(before, after),
            *self._rules(before, after), *self._parts(before, after), *self._times(before, after),
        ))  # fmt: skip

    def _evidence(self, before: Finding | None, after: Finding | None) -> Iterator[Novelty]:
        for finding, asked in ((after, self.after), (before, self.before)):
            for evidence in () if finding is None else (one for own in looked_at(finding, asked) for one in own):
                novelty = self._of_evidence.get(evidence_key(evidence))
                if novelty is not None:
                    yield novelty
                yield from self._about_evidence(evidence)

    def _about_evidence(self, evidence: Evidence) -> Iterator[Novelty]:
        """A person or a gauge whose standing changed, for evidence that rests on them."""
        for novelty in (*self.added, *self.removed):
            name = getattr(novelty.about, "name", "")
            if (novelty.sort == "person" and evidence.by is not None and evidence.by.name == name) or (
                novelty.sort == "gauge" and evidence.gauge is not None and evidence.gauge.name == name
            ):
                yield novelty

    def _voiding(self, before: Finding | None, after: Finding | None) -> Iterator[Novelty]:
        for finding, asked, side in ((after, self.after, self.added), (before, self.before, self.removed)):
            if finding is None:
                continue
            for evidence in looked_at(finding, asked)[1]:
                voided = asked.voided.get(evidence.id)
                if voided is not None:
                    yield from _entries(side, {voided.work.id})

    def _reliefs(self, before: Finding | None, after: Finding | None) -> Iterator[Novelty]:
        for finding, asked, side in ((after, self.after, self.added), (before, self.before, self.removed)):
            if finding is None or not finding.relieved:
                continue
            for relief in asked.reliefs.get((finding.criterion.id, finding.part.key), ()):
                yield from self._cause(relief.cause, asked, side)
                yield from _editions(side, relief.consequence.ruleset)

    def _rules(self, before: Finding | None, after: Finding | None) -> Iterator[Novelty]:
        """The edition, where the criterion itself is another, or came, or went."""
        if before is not None and after is not None:
            if before.criterion != after.criterion:
                yield from _editions(self.added, after.criterion.ruleset)
            return
        there = after or before
        if there is not None:
            other = self.before if after is not None else self.after
            if there.criterion.id not in other.criteria:
                side = self.added if after is not None else self.removed
                yield from _editions(side, there.criterion.ruleset) or ()
                yield from _editions(self.added, "")

    def _parts(self, before: Finding | None, after: Finding | None) -> Iterator[Novelty]:
        """Work on the part, on what it is part of, or that put another one there."""
        for finding, asked, side in ((after, self.after, self.added), (before, self.before, self.removed)):
            if finding is None:
                continue
            key = finding.part.key
            places = {key, *asked.situation.standing.containers(key)} - {"car", "move", "train"}
            for novelty in side:
                work = novelty.about
                if (isinstance(work, Work) and (places & set(work.at) or key in work.at)) or (
                    novelty.sort == "fitting" and novelty.part in places
                ):
                    yield novelty

    def _times(self, before: Finding | None, after: Finding | None) -> Iterator[Novelty]:
        """The day and the move, where the criterion looks at them: at dates, ages, miles, or the move itself."""
        finding = after or before
        if finding is None:
            return
        asked = self.after if after is not None else self.before
        one = asked.compiled(finding.criterion)
        of_move = finding.part.kind in ("move", "train", "leg")
        dated = one.dated or one.when is not None or one.unless is not None or of_move
        for novelty in self.added:
            if novelty.sort in ("day", "move", "moves made") and dated:
                yield novelty

    def of_duty(self, before: Duty | None, after: Duty | None) -> tuple[Novelty, ...]:
        """What called for a duty, answered it, or ended it."""
        found: list[Novelty] = []
        for duty, asked, side in ((after, self.after, self.added), (before, self.before, self.removed)):
            if duty is None:
                continue
            answer = duty.answered_by
            if isinstance(answer, Evidence):
                found.extend(self._novel(answer))
            elif isinstance(answer, Spare):
                found.extend(one for one in side if one.about == answer)
            found.extend(self._cause(duty.cause, asked, side))
            if duty.requirement.spare:
                found.extend(
                    one for one in side if isinstance(one.about, Spare) and one.about.name == duty.requirement.spare
                )
            other = self.before if duty is after else self.after
            if duty.consequence.id not in other.consequences:
                found.extend(_editions(self.added, duty.consequence.ruleset))
        if before is not None and after is None:
            found.extend(self._ended(before.cause))
        elif after is not None and before is None:
            found.extend(self._began(after.cause))
        return _once(found)

    def _ended(self, cause: Fact) -> Iterator[Novelty]:
        """Why a cause holds no longer: a finding that changed, a state of a part that is another now."""
        if cause.sort == "finding":
            key = (cause.name[1], cause.name[2])
            yield from self.of_finding(self.before.findings.get(key), self.after.findings.get(key))
        yield from (one for one in self.added if one.part and one.part == cause.part)

    def _began(self, cause: Fact) -> Iterator[Novelty]:
        yield from (one for one in self.added if one.part and one.part == cause.part)

    def of_restriction(
        self, before: RestrictionInForce | None, after: RestrictionInForce | None
    ) -> tuple[Novelty, ...]:
        """What began or ended a restriction, by way of its reasons."""
        found: list[Novelty] = []
        for one, asked, side in ((after, self.after, self.added), (before, self.before, self.removed)):
            for name in () if one is None else one.reasons:
                if name[0] == "finding":
                    found.extend(self.of_finding(
                        self.before.findings.get((name[1], name[2])), self.after.findings.get((name[1], name[2]))
                    ))  # fmt: skip
                else:
                    found.extend(self._cause(Fact(name, name[-1]), asked, side))
                    found.extend(self._ended(Fact(name, name[-1])))
            if one is not None:
                found.extend(_editions(side, one.said_by.partition("/")[0]))
        return _once(found)

    def _cause(self, cause: Fact, asked: Asked, side: Iterable[Novelty]) -> Iterator[Novelty]:
        match cause.name:
            case ("work" | "event", entry, *_):
                yield from _entries(side, {entry})
            case ("leave", entry, *_):
                yield from (one for one in side if isinstance(one.about, Leave) and one.about.id == entry)
            case ("test", entry) | ("seen", _, entry, _) if entry in asked.evidence:
                yield from self._novel(asked.evidence[entry])
            case ("finding", criterion, key):
                found = asked.findings.get((criterion, key))
                if found is not None and found.evidence is not None:
                    yield from self._novel(found.evidence)
            case ("state", *_):
                yield from (one for one in side if one.part and one.part == cause.part)

    def _novel(self, evidence: Evidence) -> Iterator[Novelty]:
        novelty = self._of_evidence.get(evidence_key(evidence))
        if novelty is not None:
            yield novelty


def _entries(side: Iterable[Novelty], ids: set[str]) -> Iterator[Novelty]:
    return (one for one in side if isinstance(one.about, Work) and one.about.id in ids)


def _editions(side: Iterable[Novelty], ruleset: str) -> Iterator[Novelty]:
    return (one for one in side if isinstance(one.about, Edition) and ruleset in ("", one.about.ruleset))


def _once(found: Iterable[Novelty]) -> tuple[Novelty, ...]:
    """Each once, what is nearest to the part first."""
    distinct: list[Novelty] = []
    for novelty in found:
        if not any(novelty is other for other in distinct):
            distinct.append(novelty)
    return tuple(sorted(distinct, key=lambda novelty: _NEAREST.index(novelty.sort)))
