"""A value as criteria compare it: the exact figure or the word, beside the evidence that it comes from."""

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Bound, Count, Day, Figure, Opinion, PressureDrop, Value, Word


class ObservedValue:
    """One value with what a comparison needs, laid out once. A plain slotted class, since it is hot.

    n/d: the figure in the base unit; d is 0 where the value is no exact figure. uncertainty_n/uncertainty_d: how far
    it may be off, what the gauge resolves and its stated uncertainty; uncertainty_d is 0 where that is not known. text:
    the word that is compared, None where the value is no word. on: the day of the reading, None for what is no reading;
    of a derived figure, the day of the oldest reading that it was made from.
    uncertainty: of a derived figure, works out how far its readings leave it open. It is asked only where the figure
    passes, since it costs more than the figure itself.
    """

    __slots__ = ("d", "evidence", "n", "on", "text", "uncertainty", "uncertainty_d", "uncertainty_n", "value")

    def __init__(
        self, value: Value, evidence: Evidence | None, uncertainty: Callable[[], Fraction] | None = None
    ) -> None:
        self.value = value
        self.evidence = evidence
        self.uncertainty = uncertainty
        self.text: str | None = None
        self.on: date | None = None
        self.n = self.d = self.uncertainty_n = self.uncertainty_d = 0
        kind = value.__class__
        if kind is Word:
            self.text = value.text.casefold()  # type: ignore[union-attr]
        elif kind is Figure:
            quantity = value.quantity  # type: ignore[union-attr]
            self.n, self.d = quantity.n, quantity.d
        else:
            figure, text = exact(value), text_of(value)
            if figure is not None:
                self.n, self.d = figure.n, figure.d
            if text is not None:
                self.text = text.casefold()
        if evidence is not None:
            if evidence.sort == "reading":
                self.on = evidence.on
            step = evidence.resolution if evidence.gauge_uncertainty is None else evidence.uncertainty
            if step is not None:
                self.uncertainty_n, self.uncertainty_d = step.n, step.d

    def work_out_uncertainty(self) -> None:
        """Lays out the uncertainty of a derived figure. Works it out once."""
        if self.uncertainty is not None:
            found = self.uncertainty()
            self.uncertainty = None
            if found:
                self.uncertainty_n, self.uncertainty_d = found.numerator, found.denominator


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
