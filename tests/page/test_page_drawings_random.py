"""Any judgement can be drawn: well-formed, no text over another, the same way twice."""

from datetime import date

from drawing_samples import asked, text_boxes, texts, tree
from example_counts import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from random_worlds import OUT, worlds

from carknocker.documents import InputRefused
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.judge import judge
from carknocker.page.drawings.gallery import drawings
from carknocker.page.model import Drawing
from carknocker.rulebook import RulebookChoice

CAR, MOVE, DAY = texts("wren-hollow/before")
LINES = CAR.splitlines(keepends=True)


def is_in_order(drawing: Drawing) -> bool:
    x, y, wide, high = map(float, tree(drawing).get("viewBox", "").split())
    boxes = text_boxes(drawing)
    on_sheet = all(
        left >= x and top >= y and right <= x + wide and bottom <= y + high for _, left, top, right, bottom in boxes
    )
    return on_sheet and all(
        right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top
        for number, (_, left, top, right, bottom) in enumerate(boxes)
        for _, left2, top2, right2, bottom2 in boxes[number + 1 :]
    )


@given(worlds())
def test_any_judgement_is_drawn(world):
    car, move, rulebook = world
    judgement = judge(car, move, rulebook, OUT)
    answer = CheckAnswer(judgement, None, RulebookChoice(rulebook, None, ()), OUT, judgement.notes)
    found = drawings(answer)
    assert all(is_in_order(one) for drawing in found for one in (drawing, drawing.narrow) if one is not None)
    assert found == drawings(answer)


@settings(max_examples=examples(10))
@given(st.sets(st.integers(0, len(LINES) - 1), min_size=1, max_size=8))
def test_a_record_with_gaps_is_drawn_as_far_as_it_goes(gaps):
    car = "".join(line for number, line in enumerate(LINES) if number not in gaps)
    try:
        answer = asked(car, MOVE, DAY)
    except InputRefused:
        return
    assert all(is_in_order(one) for drawing in drawings(answer) for one in (drawing, drawing.narrow) if one is not None)


def test_an_edition_that_changes_before_the_return_is_drawn():
    """Edition 8 of the host's circular is in force from 2026-07-01 on."""
    car, move, _ = texts("larkspur/passenger")
    move = move.replace("out: 2026-09-18", "out: 2026-06-25").replace("back: 2026-09-27", "back: 2026-07-08")
    answer = asked(car, move.replace("requested_on: 2026-08-10", "requested_on: 2026-05-25"), date(2026, 6, 20))
    assert answer.other is not None
    assert all(is_in_order(drawing) for drawing in drawings(answer))
