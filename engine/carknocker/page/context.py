"""One judgement with what the pages look up again and again: criteria by id, order of the parts, explanations."""

from datetime import date

from carknocker.judgement.assemble import paths_up
from carknocker.judgement.model import Judgement
from carknocker.questions.looks import Looks
from carknocker.rulebook.model import Consequence, Criterion


class Context(Looks):
    """Look-ups over one judgement. `day` is the day that the page is made for."""

    def __init__(self, judgement: Judgement, day: date) -> None:
        super().__init__(judgement)
        self.day = day
        self.criteria: dict[str, Criterion] = {one.id: one for one in judgement.rulebook.criteria}
        self.consequences: dict[str, Consequence] = {one.id: one for one in judgement.rulebook.consequences}
        self.work = {entry.id: entry for entry in judgement.situation.standing.work}
        self.verdicts = {(one.criterion.id, one.part.key): one.verdict for one in judgement.findings}
        self.paths = paths_up(judgement.firings)
