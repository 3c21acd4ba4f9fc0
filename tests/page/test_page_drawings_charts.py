"""Timeline, margins and schedule: order, words, and lengths of bars against typed dates and figures."""

import re
import xml.etree.ElementTree as ET
from datetime import date, timedelta

import pytest
from drawing_samples import SVG, asked, demo, indexed, planned, text_boxes, texts, tree, words

from carknocker.judgement.answer import CheckAnswer
from carknocker.page.drawings.canvas import PHONE, SHEET
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.margins import margin_rows, margins
from carknocker.page.drawings.timeline import dated_rows, timeline
from carknocker.page.model import Drawing
from carknocker.questions.plan.drawing import schedule_drawing
from carknocker.wording.last_good_days import last_good_days

BEFORE = "wren-hollow/before"
TO_A_TENTH = 0.1
HUNDREDTHS = 0.02
ACCENT = "#a3180f"


def numbered(answer: CheckAnswer) -> FaultNumbers:
    return FaultNumbers.as_they_come(answer.judgement.refusals)


def lapses(answer: CheckAnswer, wide: float = SHEET) -> Drawing:
    drawing = timeline(indexed(answer), numbered(answer), wide)
    assert drawing is not None
    return drawing


def spare(answer: CheckAnswer, wide: float = SHEET) -> Drawing:
    drawing = margins(indexed(answer), numbered(answer), wide)
    assert drawing is not None
    return drawing


def number(element: ET.Element, name: str) -> float:
    return float(element.get(name, "nan"))


def rects(drawing: Drawing) -> list[ET.Element]:
    return tree(drawing).findall(f"{SVG}rect")


def base_line(drawing: Drawing, text: str) -> float:
    return next(number(one, "y") for one in tree(drawing).findall(f"{SVG}text") if one.text == text)


def beside(drawing: Drawing, text: str) -> list[ET.Element]:
    """The boxes in the row of a text, from left to right."""
    y = base_line(drawing, text)
    found = [
        one for one in rects(drawing) if y - 3.7 < number(one, "y") and number(one, "y") + number(one, "height") < y + 2
    ]
    return sorted(found, key=lambda one: number(one, "x"))


def beside_it(drawing: Drawing, text: str) -> list[str]:
    y = base_line(drawing, text)
    return [one.text or "" for one in tree(drawing).findall(f"{SVG}text") if abs(number(one, "y") - y) < 1]


def place(day: date) -> float:
    """Where a day stands on a sheet: from 60 to 150 mm, from 100 days before 2026-10-08, the day of the page, to 20
    days past 2027-09-12, the last of the rows shown."""
    first, last = date(2026, 10, 8) - timedelta(100), date(2027, 9, 12) + timedelta(20)
    return 60 + 90 * (day - first).days / (last - first).days


def test_what_is_void_or_short_comes_first_and_what_is_not_on_file_last() -> None:
    answer = demo(BEFORE)
    rows = dated_rows(indexed(answer), numbered(answer))
    assert [(row.label, row.void_since, row.end) for row in rows if row.fault is not None] == [
        ("Single-car brake test: the brake system", date(2026, 9, 24), None),
        ("Annual mechanical inspection", None, date(2026, 11, 14)),
    ]
    assert [row.fault is not None for row in rows[:3]] == [True, True, False]
    good = [row.end for row in rows if row.fault is None and row.end is not None]
    assert good == sorted(good)
    assert (rows[2].label, rows[2].end) == ("Readings of brake shoes L1–L6, R1–R6", date(2026, 12, 11))


def test_the_rows_are_the_last_good_days_of_the_dossier() -> None:
    index = indexed(demo(BEFORE))
    told = [(row.void_since or row.end, row.start) for row in dated_rows(index, numbered(demo(BEFORE)))]
    assert sorted(told, key=str) == sorted(((one.last, one.since) for one in last_good_days(index)), key=str)


def test_a_test_that_was_too_old_on_departure_stands_with_its_fault() -> None:
    car, move, day = texts(BEFORE)
    assert "on: 2025-11-14" in car
    late = asked(car.replace("on: 2025-11-14", "on: 2025-06-01"), move, day)
    row = next(one for one in dated_rows(indexed(late), numbered(late)) if one.label == "Annual mechanical inspection")
    assert row.fault is not None
    assert (row.start, row.end) == (date(2025, 6, 1), None)
    assert row.lack == "made 2025-06-01, over 1 year before departure"
    drawing = lapses(late)
    (lack,) = beside(drawing, "Annual mechanical inspection")
    assert lack.get("stroke") == ACCENT
    assert row.lack in beside_it(drawing, "Annual mechanical inspection")


def test_the_words_over_the_line_of_the_day_and_the_column_never_meet() -> None:
    """The day of the page stands right over the column of the move."""
    car, move, _ = texts("two-nations/north")
    for day in (date(2026, 9, 1), date(2026, 9, 20), date(2026, 10, 8), date(2026, 12, 8)):
        for wide in (SHEET, PHONE):
            drawing = timeline(indexed(asked(car, move, day)), numbered(asked(car, move, day)), wide)
            assert drawing is not None
            boxes = [box for box in text_boxes(drawing) if box[0].startswith(("as of 0", "as of 1", "move 0"))]
            (_, left, top, right, bottom), (_, left2, top2, right2, bottom2) = boxes
            assert right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top, (day, wide)


def test_the_days_of_the_annual_inspection_and_of_the_papers() -> None:
    answer = demo(BEFORE)
    rows = {row.label: row for row in dated_rows(indexed(answer), numbered(answer))}
    annual = rows["Annual mechanical inspection"]
    assert (annual.start, annual.end) == (date(2025, 11, 14), date(2026, 11, 14))
    assert rows["Liability insurance"].end == date(2026, 12, 31)
    assert rows["Agreement with the host"].end == date(2027, 2, 28)


def test_a_bar_goes_from_the_test_to_its_last_good_day() -> None:
    drawing = lapses(demo(BEFORE))
    (bar,) = beside(drawing, "Periodic mechanical inspection")
    assert number(bar, "x") == pytest.approx(place(date(2026, 8, 4)), abs=HUNDREDTHS)
    assert number(bar, "x") + number(bar, "width") == pytest.approx(place(date(2027, 2, 4)), abs=2 * HUNDREDTHS)
    assert "2027-02-04" in beside_it(drawing, "Periodic mechanical inspection")


def test_the_move_is_a_column_and_the_day_of_the_page_a_dashed_line() -> None:
    drawing = lapses(demo(BEFORE))
    (column,) = (one for one in rects(drawing) if one.get("fill-opacity") == "0.13")
    assert number(column, "x") == pytest.approx(place(date(2026, 11, 6)), abs=HUNDREDTHS)
    assert number(column, "width") == pytest.approx(
        place(date(2026, 11, 22)) - place(date(2026, 11, 6)), abs=HUNDREDTHS
    )
    (dashed,) = (one for one in tree(drawing).findall(f"{SVG}line") if one.get("stroke-dasharray"))
    assert number(dashed, "x1") == pytest.approx(place(date(2026, 10, 8)), abs=HUNDREDTHS)
    assert {"move 11-06 to 11-22", "as of 10-08"} <= set(words(drawing))


def test_what_the_move_lacks_is_hatched_from_the_last_good_day_to_the_return() -> None:
    drawing = lapses(demo(BEFORE))
    for label, day, told in (("Annual mechanical inspection", date(2026, 11, 14), "8 days short of the return"),
                             ("Single-car brake test: the brake system", date(2026, 9, 24),
                              "void: service portion replaced")):  # fmt: skip
        bar, lack = beside(drawing, label)
        assert number(bar, "x") + number(bar, "width") == pytest.approx(place(day), abs=2 * HUNDREDTHS)
        assert number(lack, "x") == pytest.approx(place(day), abs=HUNDREDTHS)
        assert number(lack, "x") + number(lack, "width") == pytest.approx(place(date(2026, 11, 22)), abs=2 * HUNDREDTHS)
        assert lack.get("stroke") == ACCENT
        assert told in beside_it(drawing, label)
    assert {"void 2026-09-24", "2026-11-14"} <= set(words(drawing))


def test_a_car_of_which_nothing_lapses_has_no_accent() -> None:
    assert ACCENT not in lapses(demo("wren-hollow/after")).svg


def test_of_a_car_of_which_nothing_is_on_file_no_bar_is_drawn() -> None:
    answer = demo("nothing-measured")
    assert timeline(indexed(answer), numbered(answer)) is None


def test_margins_begin_with_the_faults_and_go_on_with_the_least() -> None:
    """Rims of L2 (15/16 in) and R2 where the host asks for more."""
    answer = demo("two-nations/south")
    rows, _ = margin_rows(indexed(answer), numbered(answer))
    assert [row.label for row in rows if row.fault is not None] == [
        "Flange height, wheel R2", "Rim thickness, wheel L2", "Flange height, wheel R2",
    ]  # fmt: skip
    assert [row.fault is not None for row in rows] == sorted((row.fault is not None for row in rows), reverse=True)
    rest = [row.figure.steps for row in rows if row.fault is None]
    assert None not in rest
    assert rest == sorted(rest, key=lambda steps: steps or 0)


def test_readings_with_a_limit_that_nobody_took_are_counted() -> None:
    answer = demo("nothing-measured")
    rows, unread = margin_rows(indexed(answer), numbered(answer))
    assert rows == []
    assert unread > 100


def test_a_bar_has_the_length_of_its_steps() -> None:
    """The treads are 1/8 in hollow, under 1/4 in, read to 1/16 in by a finger gauge, whose usual uncertainty is 1/64
    in: 1.6 steps of 10 mm."""
    drawing = spare(demo(BEFORE))
    (bar,) = beside(drawing, "Tread hollow, 12 wheels")
    assert (number(bar, "x"), number(bar, "width")) == (101, pytest.approx(16, abs=HUNDREDTHS))
    assert beside_it(drawing, "Tread hollow, 12 wheels")[1:] == ["1/8", "< 1/4", "1/8 in"]


def test_a_rate_is_whole_without_the_readings_that_it_comes_from() -> None:
    drawing = spare(demo("larkspur/freight"))
    assert beside_it(drawing, "Brake pipe leakage, the brake system")[1:] == ["1 psi/min", "≤ 5 psi/min", "4 psi/min"]


def test_only_a_part_that_is_worst_alone_is_named() -> None:
    answer = demo(BEFORE)
    labels = [row.label for row in margin_rows(indexed(answer), numbered(answer))[0]]
    assert "Tread hollow, 12 wheels" in labels
    assert "Flange thickness, wheel R5" in labels
    assert "Gouge depth, axle of W-35" in labels


def test_a_fault_stands_on_the_other_side_of_the_line_with_its_number() -> None:
    """Rim of L2: 15/16 in where at least 1 in is asked, read to 1/16 in: one step past."""
    drawing = spare(demo("larkspur/passenger"))
    (field,) = (one for one in rects(drawing) if one.get("fill") == ACCENT)
    assert number(field, "x") + number(field, "width") == pytest.approx(101, abs=HUNDREDTHS)
    assert beside_it(drawing, "Rim thickness, wheel L2")[1:] == [
        "15/16", "≥ 1", "none", beside_it(drawing, "Rim thickness, wheel L2")[4], "1/16 in past the limit",
    ]  # fmt: skip
    assert beside_it(drawing, "Rim thickness, wheel L2")[4].isdigit()


def test_a_go_no_go_reading_at_the_limit_says_so() -> None:
    drawing = spare(demo(BEFORE))
    assert "at the limit or past it" in beside_it(drawing, "Flange thickness, wheel R5")
    assert "7/8 or less" in beside_it(drawing, "Flange thickness, wheel R5")


def test_a_phone_is_told_the_same_margins() -> None:
    sheet, phone = spare(demo(BEFORE)), " ".join(words(spare(demo(BEFORE), PHONE)))
    table = [one for one in tree(sheet).findall(f"{SVG}text") if number(one, "x") == 0 and "," in (one.text or "")]
    labels = [one.text for one in table if "more" not in (one.text or "")]
    assert len(labels) == 9
    for label in labels:
        assert (label or "").split(",")[0] in phone


def test_the_schedule_has_every_step_in_its_order() -> None:
    drawing = schedule_drawing(planned())
    assert drawing is not None
    numbers = [int(found[1]) for text in words(drawing) if (found := re.match(r"(\d+)\. ", text))]
    assert numbers == [step.number for step in planned().steps]
    bars = [one for one in rects(drawing) if number(one, "height") == 2.2]
    assert [one.get("fill-opacity") is None for one in bars] == [step.critical for step in planned().steps]
    left = {step.first: number(bar, "x") for step, bar in zip(planned().steps, bars, strict=True)}
    assert [left[day] for day in sorted(left)] == sorted(left.values())


def test_a_day_more_in_the_schedule_is_as_wide_as_any_other() -> None:
    """From 8 October to the departure on 6 November both included are 30 days on 89.6 mm of a sheet and 29.6 mm of a
    phone, right of the steps."""
    sheet = schedule_drawing(planned())
    assert sheet is not None
    assert sheet.narrow is not None
    assert (sheet.width, sheet.narrow.width) == (178, 80)
    for drawing, room in ((sheet, 89.6), (sheet.narrow, 29.6)):
        bars = [one for one in rects(drawing) if number(one, "height") == 2.2]
        for step, bar in zip(planned().steps, bars, strict=True):
            days = (step.last - step.first).days + 1
            assert number(bar, "width") == pytest.approx(room / 30 * days, abs=HUNDREDTHS)


def test_a_lapsed_paper_is_told_with_its_last_day() -> None:
    car, move, day = texts(BEFORE)
    drawing = lapses(asked(car.replace("until: 2026-12-31", "until: 2026-11-15"), move, day))
    assert "Liability insurance to 2026-11-15, 7 days short of the return" in drawing.described


def test_what_is_past_advice_says_so_and_has_no_number() -> None:
    """A flat spot of 2-1/4 in on R3, past what practice advises; no rule refuses it there."""
    found = beside_it(spare(demo("two-nations/south")), "Longest flat spot, wheel R3")
    assert next(one for one in found if "past the limit" in one).startswith(("advice: ", "restricts: "))
    assert not [one for one in found if one.isdigit()]
