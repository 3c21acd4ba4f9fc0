"""What the steps of a plan cost, and what is not priced."""

from collections.abc import Iterable
from fractions import Fraction

from carknocker.questions.plan.prices import Price, Prices
from carknocker.record.model import Spare

_UNKNOWN = Price()


class Costs:
    """Looks prices up. unpriced: the names that were looked up and have none. spares: what is on record."""

    def __init__(self, prices: Prices, spares: Iterable[Spare]) -> None:
        self._prices = prices
        self._spares = tuple(spares)
        self.unpriced: dict[str, None] = {}

    def days_of(self, price: Price) -> int:
        """The days that something takes."""
        return self._prices.days_of(price)

    def work(self, name: str) -> Price:
        """Of a work."""
        return self._known(self._prices.work, name)

    def test(self, name: str, times: int) -> Price:
        """Of a test on that many parts."""
        one = self._known(self._prices.tests, name)
        return Price(_times(one.cost, times), _times(one.hours, times), one.days, one.lead)

    def paper(self, name: str) -> Price:
        """Of a paper."""
        return self._known(self._prices.papers, name)

    def part(self, name: str, *, bought: bool) -> tuple[Price, str]:
        """Of a part, and what is to be said of it; free where one is on record and need not be bought."""
        have = 0 if bought else sum(one.carried + one.shelf for one in self._spares if one.name == name)
        if have:
            return _UNKNOWN, f"{name}, on record ({have})"
        price = self._prices.spares.get(name)
        if price is None:
            self.unpriced[f"{name} (to be bought)"] = None
            return _UNKNOWN, f"{name}, to be bought; lead time not given, counted as none"
        return price, f"{name}, to be bought; lead time {price.lead:,} days"

    def _known(self, prices: dict[str, Price], name: str) -> Price:
        found = prices.get(name)
        if found is None:
            self.unpriced[name] = None
            return _UNKNOWN
        return found


def _times(one: Fraction | None, number: int) -> Fraction | None:
    return None if one is None else one * number
