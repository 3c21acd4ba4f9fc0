"""What is wanted only where something is so is asked for at once, with what has to be so; a browser folds it."""

from datetime import date
from pathlib import Path

import pytest
from random_worlds import OUT, REACH, car_record, compare, criterion, inches, move, rulebook

from carknocker.cli.inputs import check_car
from carknocker.forms import form_of
from carknocker.forms.conditions import OnlyIf, any_case_words, only_if, together
from carknocker.forms.model import Condition, Grid, Tick
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.record.values import Figure, Word
from carknocker.rulebook.clauses import AllOf, AnyOf

CASES = Path(__file__).parents[2] / "cases"
MUST = compare("wheel", "flange_thickness", "over", Figure(inches(14)))
TIRED = compare("wheel", "wear_kind", "is", Word("tired"))
NOT_TIRED = compare("wheel", "wear_kind", "is_not", Word("tired"))
REPLACED = compare("wheel", "fitted_as_replacement", "is", Word("yes"))
ON_L = "wheel W-1 left"


@pytest.fixture(scope="module")
def unmeasured():
    return form_of(check_car(CASES / "nothing-measured", None, None, date(2027, 3, 20)))


def conditions(when=None, unless=None):
    rule = criterion("flange", "wheel", MUST, when=when, unless=unless)
    index = JudgementIndex(judge(car_record([]), move(), rulebook([rule], REACH), OUT))
    finding = next(one for one in index.judgement.findings if one.part.key == ON_L)
    return only_if(finding, index), index


@pytest.mark.parametrize(("when", "unless", "words"), [
    (None, None, []),
    (TIRED, None, [("tired",)]),
    (NOT_TIRED, None, [("one-wear", "two-wear", "multiple-wear")]),
    (None, TIRED, [("one-wear", "two-wear", "multiple-wear")]),
    (None, NOT_TIRED, [("tired",)]),
    (AllOf((TIRED, REPLACED)), None, [("tired",), ("yes",)]),
    (None, AnyOf((TIRED, REPLACED)), [("one-wear", "two-wear", "multiple-wear"), ("no",)]),
    (AnyOf((TIRED, REPLACED)), None, [()]),
    (None, AllOf((TIRED, REPLACED)), [()]),
])  # fmt: skip
def test_what_has_to_be_so_is_told_by_the_words_with_which_it_is(when, unless, words):
    found, _ = conditions(when, unless)
    assert [one.words for one in found] == words
    assert [bool(one.part) for one in found] == [bool(one) for one in words]


@pytest.mark.parametrize(("when", "unless", "text"), [
    (TIRED, None, "if wear kind: tired"),
    (NOT_TIRED, None, "if wear kind: not tired"),
    (None, TIRED, "if wear kind: not tired"),
    (AnyOf((TIRED, REPLACED)), None, "if wear kind: tired, or wheel fitted as a replacement: yes"),
    (None, AllOf((TIRED, REPLACED)), "unless wear kind: tired; wheel fitted as a replacement: yes"),
])  # fmt: skip
def test_it_is_told_in_words(when, unless, text):
    found, _ = conditions(when, unless)
    assert [one.text for one in found] == [text]


def test_of_several_reasons_the_words_of_all_are_taken_and_none_where_they_leave_no_case_out():
    tired, index = conditions(TIRED)
    other, _ = conditions(NOT_TIRED)
    both, _ = conditions(AllOf((TIRED, REPLACED)))
    replaced, _ = conditions(REPLACED)
    assert together([tired, tired], index) == tired
    assert together([tired, other], index) == ()
    assert together([tired, ()], index) == ()
    assert [one.words for one in together([both, tired], index)] == [("tired",)]
    assert together([tired, replaced], index) == ()


def test_a_reason_that_no_list_of_words_tells_stands_alone_and_is_folded_by_nothing():
    found, index = conditions(AnyOf((TIRED, REPLACED)))
    assert together([found], index) == found
    assert isinstance(found[0], OnlyIf)
    assert found[0].part == ""


def test_what_hangs_on_a_description_is_on_the_first_form_with_its_condition(unmeasured):
    (sheet,) = [one for one in unmeasured.sheets if one.name == "truck B"]
    boxes = {(box.part, box.attribute): box for box in sheet.boxes()}
    assert boxes["side bearing BL", "clearance"].only_if == (Condition("side bearing BL", "made_to_touch", ("no",)),)
    assert boxes["side bearing BL", "makers_clearance"].only_if == (
        Condition("side bearing BL", "made_to_touch", ("no",)),
    )
    assert boxes["box L1", "lid"].only_if == (Condition("box L1", "box_kind", ("box",)),)
    assert boxes["box L1", "cracked"].only_if == ()  # asked of a box and of an adapter alike
    assert boxes["wheelset T-1", "back_to_back"].only_if == ()
    rows = {row.attribute: row for block in sheet.blocks if isinstance(block, Grid) for row in block.rows}
    assert rows["clearance"].only_if == "if made to run in contact: no"
    limits = [(limit.only_if, limit.words) for limit in rows["back_to_back_largest"].limits]
    assert ("narrow", "at most 53-1/2 in") in limits
    assert ("wide", "at most 53-1/4 in") in limits


def test_a_tick_says_what_has_to_be_so(unmeasured):
    (sheet,) = [one for one in unmeasured.sheets if one.name == "truck B"]
    ticks = {tick.heading: tick for tick in sheet.blocks if isinstance(tick, Tick)}
    oil = ticks["So on every bearing of truck B (if class of bearing: oil-lubricated roller)"]
    assert {box.only_if for box in oil.boxes} == {
        (Condition(f"bearing {place}", "class", ("oil-lubricated roller",)),) for place in ("L1", "R1", "L2", "R2")
    }


def so(attribute: str, words: str, others: str, part: str = "car") -> OnlyIf:
    return OnlyIf(f"if {attribute}: {words}", words, part, attribute, tuple(words.split("/")), tuple(others.split("/")))


COIL, NO_COIL = so("kind", "coil", "leaf/rubber"), so("kind", "leaf/rubber", "coil")
LEAF = so("kind", "leaf", "coil/rubber")
BRAKED, UNBRAKED = so("braked", "yes", "no"), so("braked", "no", "yes")
OLD = OnlyIf("if built before 1950", "if built before 1950")


@pytest.mark.parametrize(
    ("cases", "words"),
    [
        ([(COIL,)], "coil"),
        ([(COIL,), ()], ""),
        ([(COIL,), (NO_COIL,)], ""),
        ([(COIL,), (LEAF,)], "coil or leaf"),
        ([(COIL,), (NO_COIL, BRAKED)], "coil or yes"),
        ([(NO_COIL, BRAKED), (COIL,)], "yes or coil"),
        ([(LEAF, BRAKED), (COIL,)], "leaf; yes or coil"),  # of rubber nothing is asked: both conditions stay
        ([(COIL, BRAKED), (COIL, UNBRAKED)], "coil"),
        ([(COIL, BRAKED), (NO_COIL, UNBRAKED)], "coil; yes or leaf/rubber; no"),
        ([(COIL,), (COIL, BRAKED)], "coil"),
        ([(COIL, OLD), (NO_COIL,)], "if built before 1950 or leaf/rubber"),
        ([(OLD,), (OLD, BRAKED)], "if built before 1950"),
        ([(so("kind", "coil", "leaf/rubber", "spring 1"),), (NO_COIL,)], "coil or leaf/rubber"),  # of two springs
    ],
)
def test_what_makes_no_difference_is_left_out_of_several_cases(cases, words):
    assert any_case_words(cases) == words
