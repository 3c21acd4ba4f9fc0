"""What a move may say and no rule asks has a sheet of its own on each form, and goes into the move that is there."""

import pytest
import repair_samples as samples
from test_questions_enter_corrections import MEDIA

from carknocker.documents import InputRefused
from carknocker.forms import form_of
from carknocker.forms.move_sheet import MOVE_SHEET
from carknocker.forms.one_sheet import with_one_sheet
from carknocker.questions.enter.ask import enter
from carknocker.record import read_car_text, read_move_text
from carknocker.record.value_words import value_words

WISHES = {
    ("move", "requested_on"): "2030-04-20", ("move", "power_wanted"): "yes", ("move", "switching_wanted"): "no",
    ("move", "reply_by"): "2030-05-15", ("car", "truck_centers"): "59 ft 6 in",
}  # fmt: skip


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="module")
def form(yard):
    return form_of(samples.answer(yard))


@pytest.mark.parametrize("medium", MEDIA)
def test_the_wishes_of_a_request_come_by_a_form_without_a_day_and_a_reader(form, medium):
    entered = enter(samples.car_text(), "car.yaml", *medium(form, WISHES), None, (samples.MOVE, "move.yaml"))
    assert entered.held == ()
    move = read_move_text(entered.move, "move.yaml")
    said = {("move", name): value for name, value in move.facts.items()}
    car = read_car_text(entered.text, "car.yaml").by_part["car"]
    assert {key: value_words(said[key]) for key in WISHES if key in said} == {
        key: typed for key, typed in WISHES.items() if key[0] != "car"
    }
    assert value_words(car["truck_centers"][-1].value) == "59 ft 6 in"


def test_what_is_said_already_has_no_box_and_a_sheet_without_boxes_is_not_there(yard, form):
    boxes = {(box.part, box.attribute) for box in form.move.boxes()}
    assert set(WISHES) <= boxes
    assert not boxes & {("move", "host"), ("move", "out"), ("move", "back"), ("move", "rides")}
    elsewhere = [(box.part, box.attribute) for sheet in form.sheets for box in sheet.boxes()]
    assert not boxes & set(elsewhere)
    entered = enter(samples.car_text(), "car.yaml", *MEDIA[0](form, WISHES), None, (samples.MOVE, "move.yaml"))
    again = form_of(samples.answer(yard, entered.text, move=entered.move))
    left = set() if again.move is None else {(box.part, box.attribute) for box in again.move.boxes()}
    assert left == boxes - set(WISHES)


@pytest.mark.parametrize(("key", "typed", "found"), [
    (("move", "power_wanted"), "maybe", "`maybe` for `power_wanted`"),
    (("move", "requested_on"), "20.04.2030", "`20.04.2030`"),
    (("car", "truck_centers"), "60 psi", "a unit of pressure"),
])  # fmt: skip
@pytest.mark.parametrize("medium", MEDIA)
def test_a_wrong_wish_is_refused_at_its_box(form, medium, key, typed, found):
    with pytest.raises(InputRefused) as refused:
        enter(samples.car_text(), "car.yaml", *medium(form, {key: typed}), None, (samples.MOVE, "move.yaml"))
    [problem] = refused.value.problems
    assert found in problem.found
    assert any(word in problem.found for word in (key[1], key[1].replace("_", " "), "cell "))


def test_where_no_move_is_beside_the_record_that_is_said(form):
    with pytest.raises(InputRefused) as refused:
        enter(samples.car_text(), "car.yaml", *MEDIA[0](form, {("move", "power_wanted"): "yes"}))
    [problem] = refused.value.problems
    assert "a statement of the move, and no move beside the record" in problem.found
    assert "--move FILE" in problem.remedy


def test_a_form_that_goes_to_a_shop_is_not_asked_for_the_move(form):
    assert form.move is not None
    assert MOVE_SHEET in [sheet.name for sheet in form.every_sheet]
    assert MOVE_SHEET not in [sheet.name for sheet in with_one_sheet(form, "truck B").every_sheet]
