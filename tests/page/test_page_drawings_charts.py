"""Timeline, margins, profile and schedule: order, words, and lengths of bars against typed dates and figures."""

import re
import xml.etree.ElementTree as ET
from datetime import date, timedelta

import pytest
from drawing_samples import SVG, asked, demo, indexed, planned, texts, tree, words

from carknocker.judgement.answer import CheckAnswer
from carknocker.page.drawings.margins import STEP, ZERO, margin_rows, margins
from carknocker.page.drawings.timeline import dated_rows, timeline
from carknocker.page.drawings.wheel_profile import profile, worst_wheels
from carknocker.page.model import Drawing
from carknocker.questions.plan.drawing import schedule_drawing

BEFORE = "wren-hollow/before"
TO_A_TENTH = 0.1
ACROSS = 360


def drawn(make: object, answer: CheckAnswer) -> Drawing:
    drawing = make(indexed(answer))  # type: ignore[operator]
    assert isinstance(drawing, Drawing)
    return drawing


def number(element: ET.Element, name: str) -> float:
    return float(element.get(name, "nan"))


def rects(drawing: Drawing) -> list[ET.Element]:
    return tree(drawing).findall(f"{SVG}rect")


def base_line(drawing: Drawing, text: str) -> float:
    return next(number(one, "y") for one in tree(drawing).findall(f"{SVG}text") if one.text == text)


def under(drawing: Drawing, text: str) -> list[ET.Element]:
    """The boxes in the lane under a row that has this text in its first line and no second one."""
    y = base_line(drawing, text)
    return [one for one in rects(drawing) if y < number(one, "y") + number(one, "height") / 2 < y + 18]


def place(day: date) -> float:
    """Where a day stands: the line runs 200 days before the day of the page to 200 days after the return."""
    first, last = date(2026, 10, 8) - timedelta(200), date(2026, 11, 22) + timedelta(200)
    return 6 + (ACROSS - 12) * (day - first).days / (last - first).days


def test_what_stands_against_the_move_comes_first_and_what_is_not_shown_last() -> None:
    rows = dated_rows(indexed(demo(BEFORE)))
    lines = [row.mark.line for row in rows]
    assert lines == sorted(lines, key=["against", "aside", "near", "none", "open"].index)
    assert [row.mark.word for row in rows[:2]] == ["lapses", "void"]
    ends = [row.end for row in rows if row.mark.line == "none" and row.end is not None]
    assert ends == sorted(ends)


def test_the_days_of_the_annual_inspection_and_of_the_papers() -> None:
    rows = {row.label: row for row in dated_rows(indexed(demo(BEFORE)))}
    annual = rows["Annual mechanical inspection"]
    assert (annual.start, annual.end) == (date(2025, 11, 14), date(2026, 11, 14))
    assert rows["Liability insurance"].end == date(2026, 12, 31)
    assert rows["Agreement with the host"].end == date(2027, 2, 28)
    assert rows["Date marked on the hose: air hoses 1, 2, 5, 6"].written == "2023-05"


def test_a_bar_goes_from_the_test_to_its_last_good_day() -> None:
    drawing = drawn(timeline, demo(BEFORE))
    bar, move = under(drawing, "Periodic mechanical inspection")
    assert number(bar, "x") == pytest.approx(place(date(2026, 8, 4)), abs=TO_A_TENTH)
    assert number(bar, "x") + number(bar, "width") == pytest.approx(place(date(2027, 2, 4)), abs=2 * TO_A_TENTH)
    assert number(move, "x") == pytest.approx(place(date(2026, 11, 6)), abs=TO_A_TENTH)
    assert number(move, "width") == pytest.approx(place(date(2026, 11, 22)) - place(date(2026, 11, 6)), abs=TO_A_TENTH)
    assert "hatching" in move.get("fill", "")


def test_a_lapse_ends_inside_the_hatching() -> None:
    drawing = drawn(timeline, demo(BEFORE))
    ends = [number(one, "x1") for one in tree(drawing).findall(f"{SVG}line") if one.get("stroke-width") == "2.4"]
    assert ends[0] == pytest.approx(place(date(2026, 11, 14)), abs=TO_A_TENTH)
    assert place(date(2026, 11, 6)) < ends[0] < place(date(2026, 11, 22))
    assert {"until 2026-11-14", "lapses"} <= set(words(drawing))


def test_a_void_test_is_dashed() -> None:
    drawing = drawn(timeline, demo(BEFORE))
    dashed = [one for one in rects(drawing) if one.get("stroke-dasharray") and not one.get("class")]
    assert [number(one, "x") for one in dashed] == [pytest.approx(place(date(2026, 8, 4)), abs=TO_A_TENTH)]
    assert words(drawing).count("void") == 1


def test_what_is_not_shown_is_dashed_and_says_so() -> None:
    drawing = drawn(timeline, demo("nothing-measured"))
    dashed = [one for one in rects(drawing) if one.get("class") == "open"]
    assert len(dashed) == words(drawing).count("not shown") == 6
    assert re.search(r"and \d+ more, listed in the tables", " ".join(words(drawing)))
    assert drawing.described.count("not shown") > 6


def test_margins_are_sorted_with_what_is_refused_first() -> None:
    known, unknown = margin_rows(indexed(demo("two-nations/south")))
    against = [row for row in known if row.mark.line == "against"]
    assert [row.part.label for row in against] == ["wheel R2", "wheel L2"]
    assert known[: len(against)] == against
    rest = [row.steps for row in known[len(against) :]]
    assert None not in rest
    assert rest == sorted(rest, key=lambda steps: steps or 0)
    assert unknown
    assert all(row.read == "" and row.mark.word == "not shown" for row in unknown)


def test_a_bar_has_the_length_of_its_steps() -> None:
    """Flange of L5: 1-1/4 in high, at most 1-7/16 in, read to 1/16 in: three steps."""
    drawing = drawn(margins, demo(BEFORE))
    (bar,) = under(drawing, "Flange height, wheel L5")
    assert number(bar, "x") == ZERO
    assert number(bar, "width") == pytest.approx(3 * STEP, abs=TO_A_TENTH)
    assert "Flange height, wheel L5: 1-1/4, limit at most 1-7/16 in, 3/16 in to spare (3 steps)." in drawing.described


def test_past_the_limit_goes_the_other_way_and_is_hatched() -> None:
    """Rim of L2: 15/16 in where at least 1 in is asked, read to 1/16 in: one step past."""
    drawing = drawn(margins, demo("larkspur/passenger"))
    (bar,) = [one for one in rects(drawing) if one.get("class") == "against" and number(one, "height") == 8]
    assert number(bar, "x") + number(bar, "width") == pytest.approx(ZERO, abs=TO_A_TENTH)
    assert number(bar, "width") == pytest.approx(STEP, abs=TO_A_TENTH)
    assert "hatching" in bar.get("fill", "")
    assert "1/16 in past the limit" in words(drawing)


def test_a_go_no_go_reading_at_the_limit_is_a_diamond_and_no_bar() -> None:
    drawing = drawn(margins, demo(BEFORE))
    assert words(drawing)[4] == "breached"
    assert "at the limit or past it" in words(drawing)
    assert not [one for one in rects(drawing) if one.get("class") == "against" and number(one, "height") == 8]


def test_the_worst_wheel_of_each_gauge_point() -> None:
    found = {one.attribute.name: one.part.label for one in worst_wheels(indexed(demo(BEFORE)))}
    assert found["flange_thickness"] == "wheel R5"
    assert found["flange_height"] == "wheel L5"
    assert found["rim_thickness"] == "wheel L2"


def test_reading_limit_and_guard_band_stand_where_the_figures_put_them() -> None:
    """Rim of L2: 1-5/16 in, at least 1 in, read to 1/16 in. The line reaches 130 units for the 5/16 in between."""
    drawing = drawn(profile, demo(BEFORE))
    y = base_line(drawing, "Rim thickness, wheel L2")
    strip = [one for one in rects(drawing) if y < number(one, "y") < y + 50]
    (guard,) = [one for one in strip if "hatching" in one.get("fill", "")]
    assert number(guard, "x") == 180
    assert number(guard, "width") == pytest.approx(130 / 5, abs=TO_A_TENTH)
    read = next(one for one in tree(drawing).findall(f"{SVG}text") if one.text == "1-5/16")
    assert number(read, "x") == pytest.approx(180 + 130, abs=TO_A_TENTH)


def test_for_what_must_stay_small_the_guard_band_lies_below_the_limit() -> None:
    drawing = drawn(profile, demo(BEFORE))
    y = base_line(drawing, "Flange height, wheel L5")
    (guard,) = [one for one in rects(drawing) if y < number(one, "y") < y + 50 and "hatching" in one.get("fill", "")]
    assert number(guard, "x") + number(guard, "width") == pytest.approx(180, abs=TO_A_TENTH)
    read = next(one for one in tree(drawing).findall(f"{SVG}text") if one.text == "1-1/4")
    assert number(read, "x") < number(guard, "x")


def test_a_gauge_that_tells_only_less_gets_an_arrow_and_no_guard_band() -> None:
    drawing = drawn(profile, demo(BEFORE))
    y = base_line(drawing, "Flange thickness, wheel R5")
    assert not [one for one in rects(drawing) if y < number(one, "y") < y + 50 and "hatching" in one.get("fill", "")]
    assert "7/8 or less" in words(drawing)
    assert "limit over 7/8 in" in words(drawing)


def test_no_wheel_read_is_dashed_at_every_gauge_point() -> None:
    drawing = drawn(profile, demo("nothing-measured"))
    dashed = [one for one in rects(drawing) if one.get("stroke-dasharray") == "4 3"]
    assert len(dashed) == words(drawing).count("not shown") == 6


def test_the_schedule_has_every_step_in_its_order() -> None:
    drawing = schedule_drawing(planned())
    assert drawing is not None
    numbers = [int(found[1]) for text in words(drawing) if (found := re.match(r"(\d+)\. ", text))]
    assert numbers == [step.number for step in planned().steps]
    bars = [one for one in rects(drawing) if number(one, "height") == 9]
    assert [one.get("fill-opacity") is None for one in bars] == [step.critical for step in planned().steps]
    left = {step.first: number(bar, "x") for step, bar in zip(planned().steps, bars, strict=True)}
    assert [left[day] for day in sorted(left)] == sorted(left.values())


def test_a_day_more_in_the_schedule_is_as_wide_as_any_other() -> None:
    """From 8 October to the departure on 6 November both included are 30 days on 358 units."""
    drawing = schedule_drawing(planned())
    assert drawing is not None
    bars = [one for one in rects(drawing) if number(one, "height") == 9]
    for step, bar in zip(planned().steps, bars, strict=True):
        days = (step.last - step.first).days + 1
        assert number(bar, "width") == pytest.approx(358 / 30 * days, abs=2 * TO_A_TENTH)


def test_a_lapsed_paper_is_told_with_its_last_day() -> None:
    car, move, day = texts(BEFORE)
    drawing = drawn(timeline, asked(car.replace("until: 2026-12-31", "until: 2026-11-15"), move, day))
    assert "Liability insurance, good until 2026-11-15, lapses." in drawing.described
