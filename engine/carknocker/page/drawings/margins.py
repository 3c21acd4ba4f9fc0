"""Margins as bars: for each attribute, the part with the least margin. What keeps the car from moving comes first; what
is not shown has rows of its own.

A margin is counted in steps of its gauge, not as a share of the limit: so an inch at a coupler and 1/32 in between two
wheels compare by how near each is to refusal.
"""

from collections.abc import Iterator
from fractions import Fraction

import msgspec

from carknocker.judgement.explanation import figure_of
from carknocker.judgement.figures import SIDES, ends, margin_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import limit_getter
from carknocker.page.drawings.canvas_in_units import WIDTH, Canvas
from carknocker.page.drawings.figures import short_figure
from carknocker.page.drawings.marks import RANK, Mark, mark_of, not_shown_row, tag
from carknocker.page.drawings.width_in_units import SMALL, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.rulebook.clauses import AllOf, Comparison
from carknocker.vocabulary.model import Attribute
from carknocker.wording.parts import label_of


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


STEP = 13.0
"""Drawing units per step."""

ZERO = 66.0
_MOST_STEPS = 21
_MOST_PAST = 4
_SHORT = 8  # steps; words fit beside a bar up to this long
_MOST, _MOST_OPEN = 12, 6
_LINE = 14.0
_NOTE = (
    f"One step is what the gauge resolves; treat less than one as at the limit. A bar with an arrow has more than "
    f"{_MOST_STEPS}. Hatched to the left of the line: past the limit. Diamond: at it."
)


def margins(index: JudgementIndex) -> Drawing | None:
    """The drawing; None if no rule that applies asks for a figure read with a gauge."""
    known, unknown = margin_rows(index)
    if not known and not unknown:
        return None
    canvas = Canvas("margins")
    y = 0.0
    for line in wrapped_lines(_NOTE, WIDTH - 2, SMALL, most=4):
        canvas.text(0, y + 10, line, size=SMALL)
        y += _LINE
    y += 8
    for one in known[:_MOST]:
        y = _row(canvas, one, y)
    if len(known) > _MOST:
        least = known[_MOST].steps
        more = "" if least is None else f", each with {_number(least)} or more to spare"
        canvas.text(0, y + 12, f"and {len(known) - _MOST} more{more}", size=SMALL)
        y += 20
    y = _open_rows(canvas, unknown, y)
    return canvas.finish(y + 2, "Margins in steps of the gauge, the least first", _described(known, unknown))


def margin_rows(index: JudgementIndex) -> tuple[list[LimitedFigure], list[LimitedFigure]]:
    """For each attribute of each kind of part, the figure with the least margin, sorted; then those that are not
    shown."""
    worst: dict[tuple[str, str], LimitedFigure] = {}
    unknown: dict[tuple[str, str], LimitedFigure] = {}
    for finding in index.judgement.findings:
        for one in limited_figures(index, finding):
            key = (one.part.kind, one.attribute.name)
            if _counts(one) and (key not in worst or _order(one) < _order(worst[key])):
                worst[key] = one
            elif not one.read and one.mark.word:
                unknown.setdefault(key, one)
    known = sorted(worst.values(), key=_order)
    return known, [one for key, one in unknown.items() if key not in worst]


def _counts(one: LimitedFigure) -> bool:
    """Whether it has a bar: its margin is known in steps, or it keeps the car from moving (even if a go/no-go gauge has
    no steps)."""
    return one.steps is not None or (one.mark.line == "against" and bool(one.read))


def _order(one: LimitedFigure) -> tuple[bool, Fraction, int, str]:
    steps = one.steps if one.steps is not None else Fraction(0)
    return one.mark.line != "against", steps, RANK[one.mark.line], one.finding.criterion.id


def _row(canvas: Canvas, one: LimitedFigure, top: float) -> float:
    right = float(WIDTH)
    if one.mark.word:
        right -= tag(canvas, WIDTH - 1, top + 12, one.mark, anchor="end") + 6
    words = one.margin_words or one.read
    below = bool(one.mark.word) and (one.steps or 0) <= _SHORT
    room = right - 8 if below else right - text_width(words, SMALL) - 8
    y = top
    for line in wrapped_lines(_label(one), room, SMALL, most=2):
        canvas.text(0, y + 12, line, size=SMALL)
        y += _LINE
    canvas.text(WIDTH if below else right, y + 12.5 if below else top + 12, words, anchor="end", size=SMALL)
    _bar(canvas, one, y + 3)
    return y + (20 if below else 18)


def _bar(canvas: Canvas, one: LimitedFigure, lane: float) -> None:
    canvas.line(ZERO, lane - 2, ZERO, lane + 10, width=1.6)
    steps = float(one.steps or 0)
    if steps == 0:
        canvas.shape([(ZERO - 6, lane + 4), (ZERO, lane - 2), (ZERO + 6, lane + 4), (ZERO, lane + 10)], fill="ink")
    elif steps > 0:
        wide = min(steps, _MOST_STEPS) * STEP
        canvas.box(ZERO, lane, wide, 8, fill="tint", width=1.2)
        if steps > _MOST_STEPS:
            _point(canvas, ZERO + wide, lane, 8)
    else:
        wide = min(-steps, _MOST_PAST) * STEP
        canvas.box(ZERO - wide, lane, wide, 8, fill="hatching", width=1.6, kind="against")
        if -steps > _MOST_PAST:
            _point(canvas, ZERO - wide, lane, -8)


def _point(canvas: Canvas, x: float, lane: float, away: float) -> None:
    canvas.shape([(x + away, lane + 4), (x, lane - 2), (x, lane + 10)], fill="ink", width=0)


def _open_rows(canvas: Canvas, unknown: list[LimitedFigure], top: float) -> float:
    if not unknown:
        return top
    canvas.text(0, top + 14, "No figure:", bold=True, size=SMALL)
    y = top + 20
    for one in unknown[:_MOST_OPEN]:
        not_shown_row(canvas, _label(one), y, one.mark.word)
        y += 20
    if len(unknown) > _MOST_OPEN:
        canvas.text(0, y + 13, f"and {len(unknown) - _MOST_OPEN} more that are not shown", size=SMALL)
        y += 18
    return y


def _label(one: LimitedFigure) -> str:
    label = one.attribute.label
    return f"{label[:1].upper()}{label[1:]}, {label_of(one.part)}"


def _number(steps: Fraction) -> str:
    size = abs(steps)
    text = str(size) if size.denominator == 1 else f"{float(size):.1f}"
    return f"{text} step{'' if size == 1 else 's'}"


def _described(known: list[LimitedFigure], unknown: list[LimitedFigure]) -> str:
    told = [_NOTE]
    for one in known:
        steps = "" if one.steps is None else f" ({_number(one.steps)})"
        words = [f"{one.read}, limit {one.limit_words}", f"{one.margin_words}{steps}", one.mark.word]
        told.append(f"{_label(one)}: {', '.join(word for word in words if word)}.")
    if unknown:
        told.append(f"No figure: {', '.join(f'{_label(one)} ({one.mark.word})' for one in unknown)}.")
    return " ".join(told)
