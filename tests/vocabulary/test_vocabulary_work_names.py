"""One word for one kind of work: a part is renewed, whatever the record of another shop calls it."""

import pytest

from carknocker.cli.inputs import cases_folder
from carknocker.documents import InputRefused
from carknocker.record import read_car_text
from carknocker.vocabulary import load_vocabulary

CAR = (cases_folder() / "wren-hollow" / "after" / "car.yaml").read_text(encoding="utf-8")
RENEWED = (
    "lubricant", "springs", "equalizers", "center-plate liner", "center pin", "coupler", "knuckle", "coupler carrier",
    "draft gear", "yoke",
)  # fmt: skip


@pytest.mark.parametrize(
    ("was", "now"), [*((f"{part} changed", f"{part} renewed") for part in RENEWED), ("shims changed", "shims adjusted")]
)
def test_changed_is_refused_and_the_word_of_the_trade_is_named(was: str, now: str):
    written = CAR.replace("did: brake shoes renewed", f"did: {was}", 1)
    assert written != CAR
    with pytest.raises(InputRefused) as refused:
        read_car_text(written, "car.yaml")
    (problem,) = [one for one in refused.value.problems if was in one.found]
    assert problem.nearest == now


def test_no_part_is_changed():
    """What is changed is a mark, a name or an owner; a valve of another type is exchanged."""
    assert [name for name in load_vocabulary().work if name.endswith(" changed")] == []
