"""A fault does not say again the part that stands before it."""

import pytest

from carknocker.documents import Location
from carknocker.record.model import Part
from carknocker.wording.faults import _without_part

_WHEEL = Part("wheel W-1 left", "wheel", "L1", "wheel L1", "axle 1", True, Location("car.yaml", 1, 1))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("wheel loose on its axle", "loose on its axle"),
        ("wheel overheated", "overheated"),
        ("sign that the wheel is loose", "sign that the wheel is loose"),
        ("wheel {found} in diameter", "wheel {found} in diameter"),  # the figure needs its name
        ("wheel or axle cracked", "wheel or axle cracked"),  # two parts
        ("wheelset failed", "wheelset failed"),  # another part
        ("wheel that rubs the box", "rubs the box"),
    ],
)
def test_the_part_is_said_once(words: str, said: str) -> None:
    assert _without_part(words, _WHEEL) == said
