"""One judgement asked again: criteria by id, the part as its criterion saw it on any day, explanations."""

from collections.abc import Iterable
from datetime import date

from carknocker.judgement.criteria import CompiledCriterion, prepare
from carknocker.judgement.explanation import Explanation, explain
from carknocker.judgement.findings import view_for_must
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.part_view import PartView
from carknocker.record.model import Part
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary import load_vocabulary


class Looks:
    """Look-ups over one judgement, for questions that ask its criteria again. Explains each finding once."""

    def __init__(self, judgement: Judgement) -> None:
        self.judgement = judgement
        self.vocabulary = load_vocabulary()
        self.order = {key: number for number, key in enumerate(judgement.parts)}
        self._explained: dict[tuple[str, str], Explanation] = {}
        self._compiled = {one.criterion.id: one for one in prepare(judgement.rulebook).criteria}

    def explain(self, finding: Finding) -> Explanation:
        """The explanation of a finding of this judgement."""
        key = (finding.criterion.id, finding.part.key)
        if key not in self._explained:
            self._explained[key] = explain(self.judgement, finding)
        return self._explained[key]

    def compiled(self, criterion: Criterion) -> CompiledCriterion:
        """The criterion ready to be asked again."""
        return self._compiled[criterion.id]

    def sight(self, finding: Finding, day: date | None = None) -> PartView:
        """The finding's part as its criterion saw it, on the day of departure or another."""
        judgement = self.judgement
        one = self.compiled(finding.criterion)
        return view_for_must(one, finding.part, judgement.situation, day or judgement.move.out)

    def in_order(self, parts: Iterable[Part]) -> list[Part]:
        """The parts in walking order, each once."""
        return sorted({part.key: part for part in parts}.values(), key=self._place)

    def _place(self, part: Part) -> tuple[int, str]:
        return self.order.get(part.key, len(self.order)), part.key
