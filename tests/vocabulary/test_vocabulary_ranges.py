"""The ranges in the vocabulary: every figure has one, ends belong to it, and slips in the file are told."""

from datetime import date
from fractions import Fraction

import pytest
from test_vocabulary_loading import problems_of

from carknocker.quantities import Period, read_quantity
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.range_reader import RANGED
from carknocker.vocabulary.ranges import Range, RangeEnd

VOCABULARY = load_vocabulary()


def all_attributes() -> list[Attribute]:
    return [one for kind in VOCABULARY.kinds.values() for one in kind.attributes.values()]


def all_facts() -> list[Attribute]:
    kinds = [*VOCABULARY.tests.values(), *VOCABULARY.papers.values(), *VOCABULARY.work.values(),
             *VOCABULARY.events.values(), *VOCABULARY.spares.values()]  # fmt: skip
    return [fact for kind in kinds for fact in kind.facts.values()]


def test_every_figure_count_and_day_that_a_record_may_have_has_its_range_and_source() -> None:
    written = [*(one for one in all_attributes() if not one.derived), *all_facts()]
    without = [f"{one.kind}.{one.name}" for one in written if one.type in RANGED and one.ranges is None]
    assert without == []
    ranged = [one for one in [*all_attributes(), *all_facts()] if one.ranges is not None]
    assert len(ranged) >= 278
    for one in ranged:
        assert one.type in RANGED
        assert one.ranges is not None
        assert one.ranges.source
        assert one.ranges.usual is not None
        assert (one.ranges.possible is None) == bool(one.derived), one.name


def test_what_is_usual_is_possible() -> None:
    for one in [*all_attributes(), *all_facts()]:
        ranges = one.ranges
        if one.type == "date" or ranges is None or ranges.possible is None or ranges.usual is None:
            continue
        for end in (ranges.usual.least, ranges.usual.most):
            assert end is not None
            assert ranges.possible.holds(Fraction(end.n, end.d)), f"{one.kind}.{one.name}"


def test_no_range_is_empty() -> None:
    for name, ranges in VOCABULARY.entry_ranges.items():
        assert None not in (ranges.possible, ranges.usual), name


def end(text: str) -> RangeEnd:
    quantity = read_quantity(text, "length", signed=True)
    return RangeEnd(text, quantity.n, quantity.d)


FLANGE = Range(end("1/8 in"), end("1-3/4 in"))


@pytest.mark.parametrize(
    ("text", "inside"),
    [("1/8 in", True), ("0.1249 in", False), ("1-3/4 in", True), ("1.7501 in", False), ("44.45 mm", True)],
)
def test_both_ends_belong_to_a_range_exactly(text: str, inside: bool) -> None:
    assert FLANGE.holds(read_quantity(text, "length")) is inside


@pytest.mark.parametrize(
    ("low", "low_open", "high", "high_open", "inside"),
    [
        ("1-3/4 in", False, None, False, True),
        ("1-3/4 in", True, None, False, False),
        (None, False, "1/8 in", False, True),
        (None, False, "1/8 in", True, False),
        ("7/8 in", True, None, False, True),
        (None, False, "7/8 in", True, True),
        ("2 in", False, "3 in", False, False),
        ("1/16 in", False, "3 in", False, True),
    ],
)
def test_a_bound_is_outside_if_no_figure_that_it_leaves_is_inside(
    low: str | None, low_open: bool, high: str | None, high_open: bool, inside: bool
) -> None:
    least, most = (None if text is None else read_quantity(text, "length") for text in (low, high))
    assert FLANGE.meets(least, low_open, most, high_open) is inside


def test_days_count_from_what_they_name() -> None:
    ranges = VOCABULARY.kinds["wheelset"].attributes["mounted_on"].ranges
    assert ranges is not None
    assert ranges.possible is not None
    assert ranges.usual is not None
    day = date(1951, 9, 12)
    assert ranges.possible.meets_day(date(2026, 9, 12), date(2026, 9, 12), {"as-of": (date(2026, 9, 12),) * 2})
    assert not ranges.possible.meets_day(date(2026, 9, 13), date(2026, 9, 13), {"as-of": (date(2026, 9, 12),) * 2})
    assert ranges.usual.meets_day(day, day, {"as-of": (date(2026, 9, 12),) * 2})
    assert not ranges.usual.meets_day(date(1951, 9, 11), date(1951, 9, 11), {"as-of": (date(2026, 9, 12),) * 2})
    # a year may be any of its days
    assert ranges.usual.meets_day(date(1951, 1, 1), date(1951, 12, 31), {"as-of": (date(2026, 9, 12),) * 2})
    # 1880 and not before; an end that counts from nothing known is open
    assert ranges.possible.meets_day(date(1880, 1, 1), date(1880, 12, 31), {})
    assert not ranges.possible.meets_day(date(1879, 12, 31), date(1879, 12, 31), {})


def test_a_later_end_counts_forward() -> None:
    ranges = VOCABULARY.entry_ranges["gauges.due"]
    assert ranges.possible is not None
    most = ranges.possible.most
    assert most is not None
    assert most.later == Period(months=360)
    assert most.days({"checked": (date(2020, 2, 29), date(2020, 2, 29))}) == (date(2050, 2, 28), date(2050, 2, 28))


@pytest.mark.parametrize(
    ("text", "found", "expected"),
    [
        ("ranges: {wheel: {rim_thicknes: {possible: [0 in, 1 in], source: D}}}", "`rim_thicknes`", "attributes"),
        ("ranges: {whel: {rim_thickness: {possible: [0 in, 1 in], source: D}}}", "the kind `whel`", "a kind"),
        ("ranges: {wheel: {rim_thickness: {possible: [0 in, 1 in]}}}", "without its source", "`source: …`"),
        ("ranges: {wheel: {rim_thickness: {possible: [2 in, 1 in], source: D}}}", "2 in to 1 in", "the least before"),
        ("ranges: {wheel: {rim_thickness: {possible: [1 in], source: D}}}", "a list of 1", "`[least, most]`"),
        ("ranges: {wheel: {rim_thickness: {possible: [1, 2 in], source: D}}}", "a number without a unit", "a length"),
        ("ranges: {wheel: {rim_thickness: {possble: [0 in, 1 in], source: D}}}", "the key `possble`", "possible"),
        ("ranges: {truck: {takes_axle_class: {possible: [0 in, 1 in], source: D}}}", "a range for one of", "figure"),
        ("fact_ranges: {work: {wheel turned: {cut: {source: D}}}}", "`wheel turned`", "one of the work"),
        ("entry_ranges: {gauges: {du: {source: D}}}", "`gauges.du`", "gauges.due"),
        ("entry_ranges: {gauges: {due: {possible: [cheked, none], source: D}}}", "`cheked`", "checked"),
        ("entry_ranges: {gauges: {due: {possible: [yesterday noon, none], source: D}}}", "`yesterday noon`", "a year"),
        ("entry_ranges: {spares: {shelf: {possible: [some, 4], source: D}}}", "`some`", "a whole number"),
    ],
)  # fmt: skip
def test_a_slip_in_a_range_is_told(text: str, found: str, expected: str) -> None:
    [problem] = problems_of(text)
    assert found in problem.found
    assert expected in problem.expected


TOGETHER = "together: [{id: x, of: wheel, do: look again, source: D, "


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (f"{TOGETHER}one: rim_thicknes, at_most: 1 in}}]", "`rim_thicknes`, which `wheel` lacks"),
        (f"{TOGETHER}one: rim_thickness, at_most: 1 psi}}]", "the unit `psi`"),
        (f"{TOGETHER}one: whel.rim_thickness, at_most: 1 in}}]", "the kind `whel`, which there is not"),
        (f"{TOGETHER}one: rim_thickness}}]", "the row `x`, which asks nothing"),
        (f"{TOGETHER}unique: serial}}]", "`serial`, which `wheel` lacks"),
        (f"{TOGETHER}one: rim_thickness, at_most: 1 in, unless_job: wheels turnd}}]", "the job `wheels turnd`"),
        (f"{TOGETHER}one: rim_thickness, at_moost: 1 in}}]", "the key `at_moost`"),
        ("outside: [{of: wheel, attribute: rim, words: [x], says: y}]", "`wheel` has no attribute `rim`"),
        ("outside: [{of: whel, says: y}]", "the kind `whel`"),
        ("gauge_kinds: {rule: {reads: [wheel.rim]}}", "`wheel` has no attribute `rim`"),
        ("gauge_kinds: {rule: {finest: 1 mile}}", "`1 mile`"),
    ],
)
def test_a_slip_in_what_holds_together_is_told(text: str, found: str) -> None:
    assert found in problems_of(text)[0].found
