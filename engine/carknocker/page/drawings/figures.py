"""What a drawing looks up: the newest value that counts, the findings of a part, and the figures behind them."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from carknocker.judgement.explanation import figure_of
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.page.context import Context
from carknocker.page.drawings.marks import NO_MARK, Mark, mark_of, worst
from carknocker.quantities import Quantity, write_quantity
from carknocker.quantities.writing import write_inches
from carknocker.record.model import Part
from carknocker.record.values import Bound, Value, Word
from carknocker.vocabulary.program_names import AXLE_POSITION, NUMBERING_SCHEME, TRUCK, WHEELSET
from carknocker.workings import Worked


class Seen:
    """Look-ups over one judgement, made once for all its drawings."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.judgement = context.judgement
        self.situation = context.judgement.situation
        self.standing = context.judgement.situation.standing
        self._findings: dict[str, list[Finding]] = {}
        for finding in context.judgement.findings:
            self._findings.setdefault(finding.part.key, []).append(finding)

    def value(self, key: str, attribute: str) -> Value | None:
        """The newest value that counts, worked out where the attribute is derived; None where nothing shows it."""
        part = self.standing.parts.get(key)
        if part is None:
            return None
        held = self.situation.values_of(key).get(attribute)
        if held is not None:
            return held.value
        known = self.context.vocabulary.attribute(part.kind, attribute)
        if known is None or not known.derived:
            return None
        worked = self.situation.work_out(key, known)
        return worked.value if isinstance(worked, Worked) else None

    def amount(self, key: str, attribute: str) -> Fraction | None:
        """The figure of a value in its base unit (inches, pounds, tapes); None where it is no figure."""
        value = self.value(key, attribute)
        return None if value is None else figure_of(ObservedValue(value, None))

    def findings(self, key: str) -> Sequence[Finding]:
        """The findings of a part."""
        return self._findings.get(key, ())

    def deciding(self, finding: Finding) -> str:
        """The attribute of the part itself on which a finding hangs; empty for none of its own."""
        paths = self.context.explain(finding).attributes
        return paths[0].attribute.name if paths and not paths[0].owner else ""

    def mark(self, key: str, attribute: str) -> Mark:
        """The worst mark of the findings that hang on an attribute of a part."""
        return worst([mark for finding, mark in self.marked(key) if self.deciding(finding) == attribute] or [NO_MARK])

    def marked(self, key: str) -> Iterator[tuple[Finding, Mark]]:
        """The findings of a part that have a mark."""
        for finding in self.findings(key):
            mark = mark_of(finding)
            if mark.line != "none":
                yield finding, mark

    def of_kind(self, container: str, kind: str) -> list[Part]:
        """The parts of a kind in a container, in walking order."""
        parts = self.standing.parts
        return self.context.in_order(parts[key] for key in self.standing.inside_of(container, kind))

    def trucks(self) -> list[Part]:
        """The trucks, that of the B end first."""
        found = (one for one in self.standing.by_kind.get(TRUCK, ()) if one.fitted)
        return sorted(found, key=lambda one: (one.position != "B", one.position))

    def axles(self, truck: Part) -> list[Part]:
        """The axle positions of a truck, the one nearest to the B end first."""
        axles = self.of_kind(truck.key, AXLE_POSITION)
        scheme = self.value("car", NUMBERING_SCHEME)
        from_a = isinstance(scheme, Word) and scheme.text == "from the A end"
        return sorted(axles, key=lambda one: int(one.position) if one.position.isdigit() else 0, reverse=from_a)

    def wheelset(self, axle: Part) -> Part | None:
        """The wheelset at an axle position."""
        return next(iter(self.of_kind(axle.key, WHEELSET)), None)

    def side(self, wheelset: Part, kind: str, letter: str) -> Part | None:
        """The wheel or bearing of a wheelset on the side L or R, as it stands under the car."""
        return next((one for one in self.of_kind(wheelset.key, kind) if one.position.startswith(letter)), None)


def short_figure(value: Value) -> str:
    """A value as it is written beside a wheel, inches without their unit: `1-1/8`, `7/8 or less`."""
    if isinstance(value, Bound):
        words = []
        if value.low is not None and value.high is not None and write_quantity(value.low) == write_quantity(value.high):
            return inches(value.low)
        if value.low is not None:
            words.append(f"over {inches(value.low)}" if value.low_open else f"{inches(value.low)} or more")
        if value.high is not None:
            words.append(f"under {inches(value.high)}" if value.high_open else f"{inches(value.high)} or less")
        return ", ".join(words)
    quantity = getattr(value, "quantity", None)
    return inches(quantity) if isinstance(quantity, Quantity) else ""


def inches(quantity: Quantity) -> str:
    """A length in inches without its unit; anything else with it."""
    return write_inches(quantity.amount) if quantity.dimension == "length" else write_quantity(quantity)


def length_words(amount: Fraction) -> str:
    """A length of the car: feet and inches from 6 ft up."""
    return write_quantity(Quantity.of("length", amount, "ft"))


def inch_words(amount: Fraction) -> str:
    """A small length in inches, with its unit."""
    return write_quantity(Quantity.of("length", amount, "in"))
