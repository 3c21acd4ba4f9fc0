"""One judgement with what an answer looks up again and again, and the deciding functions, ready to be asked again."""

from collections.abc import Iterator

from carknocker.judgement.facts import DutyFact, Fact
from carknocker.judgement.model import Duty, Finding, Firing, Judgement, Relief, Voided
from carknocker.questions.counterfactual.what_if import WhatIf
from carknocker.questions.looks import Looks
from carknocker.record.model import Evidence, Leave, Work
from carknocker.rulebook.model import Consequence, Criterion
from carknocker.wording.parts import part_words


class Asked(Looks):
    """Look-ups over one judgement: those of `Looks`, and how things followed from one another."""

    def __init__(self, judgement: Judgement) -> None:
        super().__init__(judgement)
        self.situation = judgement.situation
        standing = judgement.situation.standing
        self.criteria: dict[str, Criterion] = {one.id: one for one in judgement.rulebook.criteria}
        self.consequences: dict[str, Consequence] = {one.id: one for one in judgement.rulebook.consequences}
        self.findings: dict[tuple[str, str], Finding] = {(f.criterion.id, f.part.key): f for f in judgement.findings}
        self.work: dict[str, Work] = {entry.id: entry for entry in standing.work}
        self.leaves: dict[str, Leave] = {leave.id: leave for leave in standing.car.leaves}
        self.voided: dict[str, Voided] = {one.evidence.id: one for one in judgement.voided}
        self.evidence: dict[str, Evidence] = {
            entry.id: entry
            for attributes in standing.evidence.values()
            for entries in attributes.values()
            for entry in entries
        }
        self.reliefs: dict[tuple[str, str], list[Relief]] = {}
        for relief in judgement.reliefs:
            self.reliefs.setdefault((relief.criterion or relief.stopped, relief.part), []).append(relief)
        self.stops: dict[tuple[str, str], tuple[str, ...]] = {
            (refusal.finding.criterion.id, refusal.finding.part.key): refusal.stops
            for refusal in judgement.refusals
            if refusal.finding is not None
        }
        self.producing: dict[Fact, list[Firing]] = {}
        for firing in judgement.firings:
            for fact in firing.followed:
                self.producing.setdefault(fact, []).append(firing)
        self.distance = _distances(judgement)
        self._duties = {duty.fact: duty for duty in judgement.duties}
        self.what_if = WhatIf(judgement)

    def part(self, key: str) -> str:
        """A part by its key, in words."""
        found = self.judgement.parts.get(key)
        return key if found is None else part_words(found)

    def title(self, rule: str) -> str:
        """The title of a criterion or a consequence; its id where the rulebook lacks it."""
        found = self.criteria.get(rule) or self.consequences.get(rule)
        return rule if found is None else found.title

    def duty(self, fact: DutyFact) -> Duty | None:
        """The duty that a fact of the chain is."""
        return self._duties.get(fact)

    def reasons(self, fact: Fact) -> list[Firing]:
        """The firings from which a fact follows: shortest path first, then by name."""
        found = self.producing.get(fact, [])
        return sorted(found, key=lambda f: (self.distance.get(f.cause, 0), f.consequence.id, f.cause.name))


def parts_inside(key: str, asked: Asked) -> Iterator[str]:
    """The keys of everything inside a part, at any depth."""
    inside = asked.situation.standing.inside
    for inner in inside.get(key, ()):
        yield inner
        yield from parts_inside(inner, asked)


def _distances(judgement: Judgement) -> dict[Fact, int]:
    """How many firings lie between a fact and the facts of the record, at least. Those of the record are not listed."""
    distance: dict[Fact, int] = {}
    derived = {fact for firing in judgement.firings for fact in firing.followed}
    changed = True
    while changed:
        changed = False
        for firing in judgement.firings:
            start = 0 if firing.cause not in derived else distance.get(firing.cause)
            if start is None:
                continue
            for fact in firing.followed:
                if distance.get(fact, start + 2) > start + 1:
                    distance[fact] = start + 1
                    changed = True
    return distance
