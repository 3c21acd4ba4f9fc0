"""The figures of a finding, each with its limit and what is to spare."""

from collections.abc import Iterator
from fractions import Fraction

import msgspec

from carknocker.judgement.explanation import figure_of
from carknocker.judgement.figures import SIDES, ends, margin_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import limit_getter
from carknocker.page.drawings.figures import short_figure
from carknocker.page.drawings.marks import Mark, mark_of
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.rulebook.clauses import AllOf, Comparison
from carknocker.vocabulary.model import Attribute


class LimitedFigure(msgspec.Struct, frozen=True):
    """One figure of a part against one limit, in the base unit of its dimension.

    word: `over`, `at_least`, `under`, `at_most`. low, high: the least and the greatest that the value may be; equal for
    an exact figure; one is None where a go/no-go gauge gives no bound on that side, both are None where nothing is
    shown. margin: to spare, below 0 past the limit; None if not known. resolution: of the gauge; None if not known.
    """

    finding: Finding
    attribute: Attribute
    word: str
    limit: Fraction
    low: Fraction | None
    high: Fraction | None
    margin: Fraction | None
    resolution: Fraction | None
    mark: Mark
    read: str

    @property
    def part(self) -> Part:
        return self.finding.part

    @property
    def good_upwards(self) -> bool:
        """Whether a larger figure is better."""
        return SIDES[self.word][0] > 0

    @property
    def steps(self) -> Fraction | None:
        """The margin in steps of what the gauge resolves; None if either is not known."""
        return None if self.margin is None or not self.resolution else self.margin / self.resolution

    @property
    def limit_words(self) -> str:
        """`over 7/8 in`."""
        return f"{self.word.replace('_', ' ')} {self.written(self.limit)}"

    def written(self, amount: Fraction) -> str:
        """An amount in this figure's unit, in words."""
        return _written(self.attribute, amount)

    @property
    def margin_words(self) -> str:
        """`1/16 in to spare`; empty where the margin is not known."""
        if self.margin is None:
            return ""
        if self.margin == 0:
            return "exactly at the limit" if self.low == self.high else "at the limit or past it"
        difference = "temperature difference" if self.attribute.type == "temperature" else ""
        size = _written(self.attribute, abs(self.margin), difference)
        return f"{size} {'to spare' if self.margin > 0 else 'past the limit'}"


def limited_figures(index: JudgementIndex, finding: Finding) -> Iterator[LimitedFigure]:
    """The figures of a finding, each with its limit; none if it asks for no figure or offers a choice."""
    if not finding.part.fitted or finding.verdict in ("not applicable", "for the day") or finding.relieved:
        return
    must = finding.criterion.must
    asked = must.clauses if isinstance(must, AllOf) else (must,)
    if not all(isinstance(one, Comparison) for one in asked):
        return
    sight = index.view(finding)
    mark = mark_of(finding)
    for leaf in index.compiled(finding.criterion).leaves:
        comparison = leaf.comparison
        attribute = comparison.path.value_attribute
        if comparison.word not in SIDES or attribute.type in ("period", "date"):
            continue
        bound = limit_getter(comparison)(sight)
        limit = None if bound is None else figure_of(bound)
        if bound is None or limit is None:
            continue
        held = leaf.get(sight)
        low, high = (None, None) if held is None else _range(held)
        known = low is not None or high is not None
        yield LimitedFigure(
            finding,
            attribute,
            comparison.word,
            limit,
            low,
            high,
            None if held is None else _margin(held, bound, comparison.word),
            None if held is None else _resolution(held),
            mark,
            "" if held is None or not known else short_figure(held.value) or value_words(held.value),
        )


def _range(held: ObservedValue) -> tuple[Fraction | None, Fraction | None]:
    exact = figure_of(held)
    if exact is not None:
        return exact, exact
    least, greatest = ends(held)
    return (
        None if least is None else Fraction(least[0], least[1]),
        None if greatest is None else Fraction(greatest[0], greatest[1]),
    )


def _margin(held: ObservedValue, limit: ObservedValue, word: str) -> Fraction | None:
    """The least that is to spare. If the range is open on that side: the least by which it is past the limit."""
    sure = margin_of(held, limit, word)
    if sure is not None:
        return sure
    sign, _ = SIDES[word]
    best, amount = ends(held)[1 if sign > 0 else 0], figure_of(limit)
    if best is None or amount is None:
        return None
    short = (Fraction(best[0], best[1]) - amount) * sign
    return short if short <= 0 else None


def _resolution(held: ObservedValue) -> Fraction | None:
    held.work_out_uncertainty()
    return Fraction(held.uncertainty_n, held.uncertainty_d) if held.uncertainty_d else None


def _written(attribute: Attribute, amount: Fraction, dimension: str = "") -> str:
    if attribute.type == "count":
        return f"{float(amount):g}"
    unit = {"length": "in", "ratio": "%"}.get(attribute.type, "")
    return write_quantity(Quantity.of(dimension or attribute.type, amount, unit))
