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
    def of(cls, faults: Iterable[tuple[RefusalIdentity, ...]]) -> "FaultNumbers":
        """The faults of a list, numbered from 1."""
        return cls({one: number for number, fault in enumerate(faults, start=1) for one in fault})

    @classmethod
    def as_they_come(cls, refusals: Iterable[Refusal]) -> "FaultNumbers":
        """The refusals for something found, numbered by criterion or consequence: for a drawing without a list of
        faults beside it."""
        groups: dict[str, list[RefusalIdentity]] = {}
        for one in refusals:
            if one.finding is not None and one.finding.verdict != "not shown":
                groups.setdefault(one.finding.criterion.id, []).append(one.identity)
            elif one.duty is not None:
                groups.setdefault(one.duty.consequence.id, []).append(one.identity)
        return cls.of(tuple(group) for group in groups.values())

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
