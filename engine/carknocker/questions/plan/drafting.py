"""Steps as they are gathered, and then numbered in workable order with their days."""

from datetime import date, timedelta
from typing import Literal

import msgspec

from carknocker.questions.plan.costs import Costs
from carknocker.questions.plan.model import Step
from carknocker.questions.plan.order import Draft, dated, in_stages
from carknocker.questions.plan.prices import Price
from carknocker.questions.plan.rows import Detail
from carknocker.vocabulary import Hazard, Stage

_LONG = 100
Sort = Literal["job", "roll out", "roll back", "reading", "test", "paper", "spare"]


class Said(msgspec.Struct, frozen=True):
    """What a step says, beside its days."""

    sort: Sort
    what: str
    where: str
    why: tuple[str, ...]
    details: tuple[Detail, ...] = ()
    price: Price = Price()
    lead: int = 0
    not_before: date | None = None
    hazards: tuple[Hazard, ...] = ()


class Drafts:
    """The steps of one plan. first_day: of work."""

    def __init__(self, first_day: date, costs: Costs) -> None:
        self._day, self._costs = first_day, costs
        self._drafts: dict[str, Draft] = {}
        self._told: dict[str, Said] = {}

    def numbered(self) -> tuple[Step, ...]:
        """All steps in workable order, numbered from 1."""
        drafts = in_stages(self._drafts)
        steps: list[Step] = []
        said: dict[Detail, int] = {}
        for number, (draft, days) in enumerate(zip(drafts, dated(drafts, self._day), strict=True), start=1):
            told = self._told[draft.name]
            details = tuple(_once(line, said.setdefault(line, number), number) for line in told.details)
            steps.append(
                Step(
                    number,
                    draft.stage,
                    told.sort,
                    told.what,
                    told.where,
                    told.why,
                    details,
                    tuple(one + 1 for one in days.after),
                    days.first,
                    days.last,
                    draft.days,
                    told.lead,
                    told.not_before,
                    days.critical,
                    told.price.cost,
                    told.price.hours,
                    told.hazards,
                )  # fmt: skip
            )
        return tuple(steps)

    def add(self, name: str, stage: Stage, truck: str, told: Said) -> None:
        """A step by its name, which is told once. truck: as of a draft."""
        begin = self._day + timedelta(days=told.lead)
        if told.not_before is not None:
            begin = max(begin, told.not_before)
        self._drafts[name] = Draft(name, stage, truck, self._costs.days_of(told.price), begin)
        self._told[name] = told


def _once(detail: Detail, first: int, number: int) -> str:
    """A detail in words; a long one that an earlier step tells already, by that step."""
    words = str(detail)
    return words if first == number or len(words) < _LONG else f"{detail.about}: as in step {first}"
