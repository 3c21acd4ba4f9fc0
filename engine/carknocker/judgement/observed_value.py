"""Values as criteria hold them: the exact figure ready to be compared, beside the evidence it comes from."""

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Bound, Count, Day, Figure, Opinion, PressureDrop, Value, Word


class ObservedValue:
    """One value, with what the comparison needs laid out. A plain slotted class, since it is hot.

    n/d is the figure in the base unit; d is 0 where the value is no exact figure. reso_n/reso_d is how far it may be
    off: what the gauge resolves, and its uncertainty where it is stated; reso_d is 0 where that is not known. text: the
    word that is compared, None where the value is no word. on: the day of the reading, None for what is not a reading;
    of a derived figure, the day of the oldest reading it was made from.
    uncertainty: of a derived figure, how far its readings leave it open; asked only where the figure passes, since that
    costs more than to work it out.
    """

    __slots__ = ("d", "uncertainty", "evidence", "n", "on", "reso_d", "reso_n", "text", "value")

    def __init__(
        self, value: Value, evidence: Evidence | None, uncertainty: Callable[[], Fraction] | None = None
    ) -> None:
        self.value = value
        self.evidence = evidence
        self.uncertainty = uncertainty
        kind = value.__class__
        self.text: str | None = None
        self.n = self.d = 0
        if kind is Word:
            self.text = value.text.casefold()  # type: ignore[union-attr]
        else:
            quantity = exact(value)
            if quantity is not None:
                self.n, self.d = quantity.n, quantity.d
            if kind is not Figure:
                text = text_of(value)
                self.text = None if text is None else text.casefold()
        self.reso_n = self.reso_d = 0
        self.on: date | None = None
        if evidence is not None:
            if evidence.sort == "reading":
                self.on = evidence.on
            step = evidence.resolution if evidence.gauge_uncertainty is None else evidence.uncertainty
            if step is not None:
                self.reso_n, self.reso_d = step.n, step.d

    def settle_resolution(self) -> None:
        """Puts the uncertainty of a derived figure in the place of a resolution. Asks for it once."""
        if self.uncertainty is not None:
            found = self.uncertainty()
            self.uncertainty = None
            if found:
                self.reso_n, self.reso_d = found.numerator, found.denominator


def exact(value: Value) -> Quantity | None:
    """The exact figure of a value: a figure, a count, a rate of leakage; None for anything else."""
    kind = value.__class__
    if kind is Figure:
        return value.quantity  # type: ignore[union-attr]
    if isinstance(value, PressureDrop):
        return value.per_minute
    if isinstance(value, Count):
        return Quantity("count", value.number, 1)
    if isinstance(value, Bound) and value.low is not None and value.low == value.high:
        return value.low
    return None


def text_of(value: Value) -> str | None:
    """The word of a value that is compared as a word."""
    if isinstance(value, Word):
        return value.text
    if isinstance(value, Opinion):
        return value.word
    if isinstance(value, Count):
        return str(value.number)
    if isinstance(value, Day):
        return value.written
    return None


def has_run_out(test: ObservedValue, day: date) -> bool:
    """Whether a test says itself that it is good until a day before this one."""
    return test.evidence is not None and test.evidence.until is not None and test.evidence.until < day


def standing_tests(tests: list[Evidence]) -> list[Evidence]:
    """Of tests, oldest first, the passed ones that stand: a test that failed answers for all that were made before."""
    failed = [number for number, one in enumerate(tests) if text_of(one.value) != "passed"]
    return tests[failed[-1] + 1 :] if failed else tests
