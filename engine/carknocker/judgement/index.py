"""One judgement as whoever reads it looks things up: findings by part and by criterion, rules by id, parts in walking
order, what followed from what. Each index is made when it is first asked for."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import cached_property

from carknocker.judgement.assemble import PathsUp, paths_up
from carknocker.judgement.condemned import Limits
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.explanation import Explanation, explain
from carknocker.judgement.facts import DutyFact, Fact
from carknocker.judgement.findings import last_good_day, view_for_must
from carknocker.judgement.mending import Mending
from carknocker.judgement.model import (
    Duty,
    Finding,
    Firing,
    FoundLater,
    Judgement,
    Refusal,
    RefusalIdentity,
    Relief,
    Voided,
)
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView
from carknocker.judgement.permissions import Permissions
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.truth import NEAR
from carknocker.record.model import Evidence, Leave, Part, Work
from carknocker.record.values import Value, Word
from carknocker.rulebook.model import Consequence, Criterion
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import AXLE_POSITION, NUMBERING_SCHEME, TRUCK, WHEELSET
from carknocker.workings import Worked

FindingKey = tuple[str, str]
"""The id of a criterion and the key of a part."""
LOOK_AHEAD = timedelta(days=366)
"""How far past the return what runs out is looked for."""


class JudgementIndex:
    """Look-ups over one judgement, and its criteria ready to be asked again. Explains each finding once."""

    def __init__(self, judgement: Judgement) -> None:
        self.judgement = judgement
        self.situation = judgement.situation
        self.standing = judgement.situation.standing
        self.day = judgement.as_of
        self.vocabulary = load_vocabulary()
        self._prepared = prepare(judgement.rulebook)
        self._explained: dict[FindingKey, Explanation] = {}
        self._last_days: dict[FindingKey, date | None] = {}
        self._guesses: dict[str, date] = {}

    # rules

    @cached_property
    def criteria(self) -> Mapping[str, Criterion]:
        """The criteria of the rulebook by id."""
        return {one.id: one for one in self.judgement.rulebook.criteria}

    @cached_property
    def consequences(self) -> Mapping[str, Consequence]:
        """The consequences of the rulebook by id."""
        return {one.id: one for one in self.judgement.rulebook.consequences}

    @cached_property
    def refusals(self) -> Mapping[RefusalIdentity, Refusal]:
        """The refusals by what tells each from any other."""
        return {one.identity: one for one in self.judgement.refusals}

    @cached_property
    def permissions(self) -> Permissions:
        """What the host could let pass by a permission in writing."""
        return Permissions(self.judgement)

    def title(self, rule: str) -> str:
        """The title of a criterion or a consequence; its id where the rulebook lacks it."""
        found = self.criteria.get(rule) or self.consequences.get(rule)
        return rule if found is None else found.title

    def compiled(self, criterion: Criterion) -> CompiledCriterion:
        """The criterion ready to be asked again."""
        return self._prepared.criterion(criterion)

    @property
    def mending(self) -> Mending:
        """Which work takes damage away."""
        return self._prepared.mending

    @property
    def limits(self) -> Limits:
        """The limits of the rulebook that refuse or restrict."""
        return self._prepared.limits

    # findings

    @cached_property
    def findings(self) -> Mapping[FindingKey, Finding]:
        """The findings by criterion and part."""
        return {(one.criterion.id, one.part.key): one for one in self.judgement.findings}

    @cached_property
    def _findings_on(self) -> Mapping[str, Sequence[Finding]]:
        found: dict[str, list[Finding]] = {}
        for finding in self.judgement.findings:
            found.setdefault(finding.part.key, []).append(finding)
        return found

    def findings_on(self, part: str) -> Sequence[Finding]:
        """The findings on a part."""
        return self._findings_on.get(part, ())

    @cached_property
    def _resting_on(self) -> Mapping[str, Sequence[Finding]]:
        found: dict[str, list[Finding]] = {}
        for finding in self.judgement.findings:
            if finding.evidence is not None:
                found.setdefault(finding.evidence.id, []).append(finding)
        return found

    def resting_on(self, evidence: str) -> Sequence[Finding]:
        """The findings that a piece of evidence decided, by its id."""
        return self._resting_on.get(evidence, ())

    def explain(self, finding: Finding) -> Explanation:
        """The explanation of a finding of this judgement."""
        key = (finding.criterion.id, finding.part.key)
        if key not in self._explained:
            self._explained[key] = explain(self.judgement, finding)
        return self._explained[key]

    def view(self, finding: Finding, day: date | None = None) -> PartView:
        """The finding's part as its criterion saw it, on the day of departure or another."""
        one = self.compiled(finding.criterion)
        return view_for_must(one, finding.part, self.judgement.situation_of(finding), day or self.judgement.move.out)

    def last_day(self, finding: Finding) -> date | None:
        """The last day on which a finding is met, if it is met on departure and that day is not too far off. It is
        worked out once; the day of another part by the same criterion is asked first."""
        if finding.verdict == "lapses":
            return finding.lapses_on
        key = (finding.criterion.id, finding.part.key)
        if key not in self._last_days:
            back = self.judgement.move.back
            found = self.last_good_day(finding, back, back + LOOK_AHEAD, self._guesses.get(finding.criterion.id))
            self._last_days[key] = found
            if found is not None:
                self._guesses[finding.criterion.id] = found
        return self._last_days[key]

    def last_good_day(self, finding: Finding, first: date, until: date, guess: date | None = None) -> date | None:
        """The last day from `first` on and before `until` up to which the criterion holds without a break for a part of
        the car. None where it does not hold on `first`, holds until then, does not depend on the day, or is renewed on
        the road. guess: a day that is asked first."""
        if finding.verdict not in ("met", "borderline", "lapses") or not finding.part.fitted:
            return None
        one = self.compiled(finding.criterion)
        if finding.criterion.renewal is not None or not one.may_lapse:
            return None

        def holds(day: date) -> bool:
            return one.must(self.view(finding, day)) >= NEAR

        ages = guess is not None and not one.may_begin and first <= guess < until
        if guess is not None and ages and holds(guess) and not holds(guess + timedelta(days=1)):
            return guess
        return last_good_day(one, finding.part, self.situation, first, until, arriving=False) if holds(first) else None

    @cached_property
    def stops(self) -> Mapping[FindingKey, tuple[str, ...]]:
        """The unfit parts that a refusing finding leads to, nearest first."""
        return {
            (refusal.finding.criterion.id, refusal.finding.part.key): refusal.stops
            for refusal in self.judgement.refusals
            if refusal.finding is not None
        }

    @cached_property
    def reliefs(self) -> Mapping[FindingKey, Sequence[Relief]]:
        """The reliefs by what they cancel (a criterion) or stop (a consequence), and the part."""
        found: dict[FindingKey, list[Relief]] = {}
        for relief in self.judgement.reliefs:
            found.setdefault((relief.criterion or relief.stopped, relief.part), []).append(relief)
        return found

    @cached_property
    def found_later(self) -> Mapping[FindingKey, Sequence[FoundLater]]:
        """The permissions that came too early for a finding, by its criterion and part."""
        found: dict[FindingKey, list[FoundLater]] = {}
        for one in self.judgement.found_later:
            found.setdefault((one.criterion, one.part), []).append(one)
        return found

    # entries of the record

    @cached_property
    def work(self) -> Mapping[str, Work]:
        """The work and events up to the day, by id."""
        return {entry.id: entry for entry in self.standing.work}

    @cached_property
    def leaves(self) -> Mapping[str, Leave]:
        """The host's written permissions on record, by id."""
        return {leave.id: leave for leave in self.standing.car.leaves}

    @cached_property
    def evidence(self) -> Mapping[str, Evidence]:
        """The evidence up to the day, by id."""
        return {
            entry.id: entry
            for attributes in self.standing.evidence.values()
            for entries in attributes.values()
            for entry in entries
        }

    @cached_property
    def voided(self) -> Mapping[str, Voided]:
        """What made evidence void, by the id of the evidence."""
        return {one.evidence.id: one for one in self.judgement.voided}

    # what followed

    @cached_property
    def producing(self) -> Mapping[Fact, Sequence[Firing]]:
        """The firings from which each fact of the chain follows."""
        found: dict[Fact, list[Firing]] = {}
        for firing in self.judgement.firings:
            for fact in firing.followed:
                found.setdefault(fact, []).append(firing)
        return found

    def reasons(self, fact: Fact) -> list[Firing]:
        """The firings from which a fact follows: shortest path first, then by name."""
        found = self.producing.get(fact, ())
        return sorted(found, key=lambda one: (self._distance.get(one.cause, 0), one.consequence.id, one.cause.name))

    @cached_property
    def _distance(self) -> Mapping[Fact, int]:
        """How many firings lie between a fact and the facts of the record, at least. Those of the record are not
        listed."""
        distance: dict[Fact, int] = {}
        changed = True
        while changed:
            changed = False
            for firing in self.judgement.firings:
                start = 0 if firing.cause not in self.producing else distance.get(firing.cause)
                if start is None:
                    continue
                for fact in firing.followed:
                    if distance.get(fact, start + 2) > start + 1:
                        distance[fact] = start + 1
                        changed = True
        return distance

    @cached_property
    def _duties(self) -> Mapping[DutyFact, Duty]:
        return {duty.fact: duty for duty in self.judgement.duties}

    def duty(self, fact: DutyFact) -> Duty | None:
        """The duty that a fact of the chain is."""
        return self._duties.get(fact)

    @cached_property
    def paths_up(self) -> PathsUp:
        """What each cause makes unfit."""
        return paths_up(self.judgement.firings)

    # parts

    @cached_property
    def order(self) -> Mapping[str, int]:
        """The place of each part in walking order."""
        return {key: number for number, key in enumerate(self.judgement.parts)}

    def in_order(self, parts: Iterable[Part]) -> list[Part]:
        """The parts in walking order, each once."""
        return sorted({part.key: part for part in parts}.values(), key=self._place)

    def _place(self, part: Part) -> tuple[int, str]:
        return self.order.get(part.key, len(self.order)), part.key

    def inside(self, part: str) -> Iterator[str]:
        """The keys of everything inside a part, at any depth."""
        for inner in self.standing.inside.get(part, ()):
            yield inner
            yield from self.inside(inner)

    def of_kind(self, container: str, kind: str) -> list[Part]:
        """The parts of a kind in a container, in walking order."""
        parts = self.standing.parts
        return self.in_order(parts[key] for key in self.standing.inside_of(container, kind))

    def trucks(self) -> list[Part]:
        """The trucks, that of the B end first."""
        found = (one for one in self.standing.by_kind.get(TRUCK, ()) if one.fitted)
        return sorted(found, key=lambda one: (one.position != "B", one.position))

    def axles(self, truck: Part) -> list[Part]:
        """The axle positions of a truck, the one nearest to the B end first."""
        axles = self.of_kind(truck.key, AXLE_POSITION)
        scheme = self.value("car", NUMBERING_SCHEME)
        from_a = isinstance(scheme, Word) and scheme.text == "from the A end"
        return sorted(axles, key=lambda one: int(one.position) if one.position.isdigit() else 0, reverse=from_a)

    def wheelset_at(self, axle: Part) -> Part | None:
        """The wheelset at an axle position."""
        return next(iter(self.of_kind(axle.key, WHEELSET)), None)

    def on_side(self, wheelset: Part, kind: str, letter: str) -> Part | None:
        """The wheel or bearing of a wheelset on the side L or R, as it stands under the car."""
        return next((one for one in self.of_kind(wheelset.key, kind) if one.position.startswith(letter)), None)

    # values

    def observed(self, part: str, attribute: str) -> ObservedValue | None:
        """The value that counts for a part; None where none does, or the car has no such part."""
        view = self.situation.values.get(part)
        return None if view is None else view.get(attribute)

    def value(self, part: str, attribute: str) -> Value | None:
        """The newest value that counts, worked out where the attribute is derived; None where nothing shows it."""
        found = self.standing.parts.get(part)
        if found is None:
            return None
        observed = self.situation.values_of(part).get(attribute)
        if observed is not None:
            return observed.value
        known = self.vocabulary.attribute(found.kind, attribute)
        if known is None or not known.derived:
            return None
        worked = self.situation.work_out(part, known)
        return worked.value if isinstance(worked, Worked) else None
