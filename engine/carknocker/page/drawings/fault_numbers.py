"""The numbers of faults: the same on every sheet and in every drawing."""

from collections.abc import Iterable, Mapping

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Refusal, RefusalIdentity
from carknocker.page.drawings.figures import deciding_attribute
from carknocker.record.model import Part


class FaultNumbers(msgspec.Struct, frozen=True):
    """The number of each fault by what keeps the car from moving: a finding, a duty, or what the move asks for. Several
    may have one number. What nobody measured is no fault."""

    by_refusal: Mapping[RefusalIdentity, int]

    @classmethod
    def by_rule(cls, refusals: Iterable[Refusal], numbers: Mapping[str, int]) -> "FaultNumbers":
        """The refusals for something found, each with the number that its criterion or consequence has."""
        return cls(
            {
                one.identity: numbers[rule]
                for one in refusals
                if one.finding is None or one.finding.verdict != "not shown"
                if (rule := _rule_of(one)) in numbers
            }
        )

    @classmethod
    def as_they_come(cls, refusals: Iterable[Refusal]) -> "FaultNumbers":
        """The refusals for something found, numbered by criterion or consequence: for a drawing without a list of
        faults beside it."""
        refusals = [one for one in refusals if one.finding is None or one.finding.verdict != "not shown"]
        rules = dict.fromkeys(filter(None, map(_rule_of, refusals)))
        return cls.by_rule(refusals, {rule: number for number, rule in enumerate(rules, start=1)})

    def of_finding(self, finding: Finding) -> int | None:
        """The number of the fault that a finding is; None if it is none."""
        return self.by_refusal.get(finding.fact)

    def on(self, index: JudgementIndex, part: Part | None, attribute: str = "") -> tuple[int, ...]:
        """The numbers of the faults found on a part; of those that an attribute decides, if one is given."""
        if part is None:
            return ()
        found = {
            number
            for finding in index.findings_on(part.key)
            if (number := self.of_finding(finding)) is not None
            and (not attribute or deciding_attribute(index, finding) == attribute)
        }
        return tuple(sorted(found))


def _rule_of(refusal: Refusal) -> str:
    """The id of the criterion or the consequence; empty for what the move itself asks for."""
    if refusal.finding is not None:
        return refusal.finding.criterion.id
    return "" if refusal.duty is None else refusal.duty.consequence.id
