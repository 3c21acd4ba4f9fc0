"""Ages, times and curves as people write them come in alike by each form: CSV, YAML, HTML and spreadsheet."""

import pytest
import repair_samples as samples
from msgspec.structs import replace
from test_questions_enter_corrections import MEDIA, as_yaml

from carknocker.documents import InputRefused
from carknocker.forms import form_of
from carknocker.forms.model import GROUPS, Box, Column, Grid
from carknocker.forms.rows import row_for
from carknocker.questions.enter.ask import enter
from carknocker.record import read_car_text, read_move_text
from carknocker.record.value_words import value_words
from carknocker.vocabulary import load_vocabulary

CURVE = ("leg 1", "sharpest_curve")
OFF_AIR = {("event 1", "happened"): "off air", ("event 1", "on"): "2030-04-20", ("event 1", "by"): "RE"}
LAID_UP = {**OFF_AIR, ("event 1", "happened"): "laid up"}


@pytest.fixture(scope="module")
def form(tmp_path_factory):
    """The form of the sample car, with a box for the curve of its leg."""
    made = form_of(samples.answer(samples.yard_in(tmp_path_factory.mktemp("yard"))))
    attribute = load_vocabulary().attribute(*("leg", CURVE[1]))
    row = row_for(99, "leg", attribute, GROUPS[0], "statement")
    grid = Grid("Legs", (Column("1"),), (row,), (Box(99, "1", *CURVE, GROUPS[0]),))
    return replace(made, move=replace(made.move, blocks=(*made.move.blocks, grid)))


def entered(form, medium, values):
    return enter(samples.car_text(), "car.yaml", *medium(form, values), None, (samples.MOVE, "move.yaml"))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("4 h 1 min", "4 h 1 min"), ("241 minutes", "4 h 1 min"), ("4 hours", "4 h"), ("90 min", "1 h 30 min"),
        ("4", "4 h"), ("2 days", "48 h"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("medium", MEDIA)
def test_a_time_off_air(form, medium, typed, said):
    typed = f"{typed} h" if typed == "4" and medium is as_yaml else typed  # YAML has units beside its values
    text = entered(form, medium, {**OFF_AIR, ("event 1", "hours"): typed}).text
    [event] = [one for one in read_car_text(text, "car.yaml").work if one.name == "off air"]
    assert value_words(event.facts["hours"]) == said


@pytest.mark.parametrize(
    ("typed", "said"),
    [("12 years", "12 years"), ("2 years 3 months", "27 months"), ("40 days", "40 days"), ("40", "40 days")],
)
@pytest.mark.parametrize("medium", MEDIA)
def test_an_age_in_years_months_and_days(form, medium, typed, said):
    typed = f"{typed} days" if typed == "40" and medium is as_yaml else typed
    text = entered(form, medium, {**LAID_UP, ("event 1", "days"): typed}).text
    [event] = [one for one in read_car_text(text, "car.yaml").work if one.name == "laid up"]
    assert value_words(event.facts["days"]) == said


@pytest.mark.parametrize(("typed", "said"), [("8°", "8°"), ("10° 30'", "10° 30'"), ("717 ft", "7° 59.9'")])
@pytest.mark.parametrize("medium", MEDIA)
def test_a_curve_by_its_degree_or_its_radius(form, medium, typed, said):
    """A radius of 717 ft is 2 arcsin(50/717) by the chord of 100 ft: 7.9978 degrees."""
    move = read_move_text(entered(form, medium, {CURVE: typed}).move, "move.yaml")
    assert value_words(move.legs[0].facts["sharpest_curve"]) == said


@pytest.mark.parametrize(
    ("values", "found"),
    [
        ({**OFF_AIR, ("event 1", "hours"): "4:01"}, "`4:01`"),
        ({**OFF_AIR, ("event 1", "hours"): "4 h 60 min"}, "4 h 60 min"),
        ({**LAID_UP, ("event 1", "days"): "a while"}, "`a while`"),
        ({CURVE: "8 psi"}, "a unit of pressure"),
        ({CURVE: "sharp"}, "`sharp`"),
    ],
)
@pytest.mark.parametrize("medium", MEDIA)
def test_what_is_no_such_value_is_refused_with_its_field(form, medium, values, found):
    with pytest.raises(InputRefused) as refused:
        entered(form, medium, values)
    [problem] = refused.value.problems
    assert found in problem.found
    assert any(name in problem.found for name in ("event 1", "leg 1", "cell ", "time off air", "days laid up", "curve"))
