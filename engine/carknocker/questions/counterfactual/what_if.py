"""A finding asked again with some of the record otherwise: the same functions that judged it, on a changed standing."""

from collections.abc import Mapping
from datetime import date

from msgspec.structs import replace

from carknocker.judgement.criteria import prepare
from carknocker.judgement.findings import judge_part
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.situation import Situation
from carknocker.record.model import Evidence, Move
from carknocker.record.standing import Standing, move_parts, stand
from carknocker.rulebook.model import Verdict


class WhatIf:
    """Asks findings of one judgement again. What was void stays void."""

    def __init__(self, judgement: Judgement) -> None:
        self.judgement = judgement
        self.situation = judgement.situation
        self._prepared = prepare(judgement.rulebook)

    def changed(self, otherwise: Mapping[str, Evidence]) -> Situation:
        """The situation with evidence, by id, in the place of what is on record."""
        standing = _with(self.situation.standing, otherwise)
        anew = {one.part for one in otherwise.values()}
        return Situation(standing, self.judgement.move, self.situation.excluded, self.situation, anew=anew)

    def verdict(self, finding: Finding, otherwise: Mapping[str, Evidence]) -> Verdict:
        """What the finding would be with that evidence."""
        return self.verdict_in(finding, self.changed(otherwise))

    def verdict_in(self, finding: Finding, situation: Situation) -> Verdict:
        """What the finding would be in another situation of the same car."""
        part = situation.standing.parts[finding.part.key]
        return judge_part(self._prepared.criterion(finding.criterion), part, situation, lambda: None).verdict

    def verdict_on(self, finding: Finding, move: Move) -> Verdict:
        """What the finding would be on another move, or on the same one on other days."""
        standing = stand(self.judgement.car, move, self.judgement.as_of)
        anew = [part.key for part, _ in move_parts(move)]
        return self.verdict_in(finding, Situation(standing, move, self.situation.excluded, self.situation, anew=anew))


def _with(standing: Standing, otherwise: Mapping[str, Evidence]) -> Standing:
    evidence = dict(standing.evidence)
    latest = standing.as_of
    for name, new in otherwise.items():
        own = dict(evidence[new.part])
        entries = [new if one.id == name else one for one in own[new.attribute]]
        own[new.attribute] = tuple(sorted(entries, key=lambda one: one.on or date.min))
        evidence[new.part] = own
        latest = max(latest, new.on or latest)
    return replace(standing, evidence=evidence, as_of=latest, _by_id={}, _containers={}, _reached={}, _inside={})
