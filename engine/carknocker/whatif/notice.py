"""How long before departure a host wants to be asked, and the last day on which a request may be sent."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

import msgspec

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.quantities import Period
from carknocker.record.values import Interval
from carknocker.rulebook.clauses import Fixed
from carknocker.rulebook.model import Criterion, Rulebook
from carknocker.vocabulary.program_names import NOTICE_DAYS


class Notice(msgspec.Struct, frozen=True):
    """What one criterion asks between request and departure. longer: more than the period, not just as long."""

    criterion: Criterion
    period: Period
    longer: bool

    def last_day(self, out: date) -> date:
        """The last day on which a request may be made for a departure."""
        day = self.period.before(out)
        while self.period.after(day) > out:
            day -= timedelta(days=1)
        return day - timedelta(days=1) if self.longer else day

    def days_from(self, day: date) -> int:
        """How many days it is, counted from a day."""
        return (self.period.after(day) - day).days + self.longer


def notices_of(rulebook: Rulebook) -> Iterator[Notice]:
    """Every notice that a rulebook asks for."""
    for criterion in rulebook.criteria:
        for comparison in comparisons_in(criterion.must):
            limit = comparison.limit
            if comparison.path.attribute.name != NOTICE_DAYS or not isinstance(limit, Fixed):
                continue
            for value in limit.values:
                if isinstance(value, Interval) and comparison.word in ("at_least", "over"):
                    yield Notice(criterion, value.period, comparison.word == "over")


def strictest_notice(rulebooks: Iterable[Rulebook], out: date) -> Notice | None:
    """The notice that has to be given first; None where no rule at hand asks for one."""
    found = [notice for rulebook in rulebooks for notice in notices_of(rulebook)]
    return min(found, key=lambda notice: notice.last_day(out), default=None)
