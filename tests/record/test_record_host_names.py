"""Names of railroads written in more than one way."""

import pytest

from carknocker.record.host_names import like_names, same_railroad

HOST = "Kestrel & Northern"


@pytest.mark.parametrize(("name", "same"), [
    ("Kestrel & Northern", True),
    ("kestrel & northern", True),
    ("Kestrel and Northern", True),
    ("Kestrel  &  Northern ", True),
    ("Kestrel & Northern RR", True),
    ("The Kestrel & Northern Railroad Company", True),
    ("Kestrel-Northern", True),
    ("Kestrel & Southern", False),
    ("Kestral & Northern", False),
    ("Kestrel", False),
])  # fmt: skip
def test_capitals_signs_and_words_that_tell_nothing_do_not_count(name: str, same: bool) -> None:
    assert same_railroad(name, HOST) is same


@pytest.mark.parametrize(("name", "like"), [
    ("Kestral & Northern", True),
    ("Kestrel & Nothern RR", True),
    ("K&N", True),
    ("KNRR", True),
    ("Kestrel", True),
    ("Kestrel & Northern Lines", True),
    ("Kestrel & Northern", False),
    ("Kestrel and Northern Railway", False),
    ("Wren Valley", False),
    ("An Inland Railroad", False),
    ("K&S", False),
    ("Railroad", False),
])  # fmt: skip
def test_a_name_that_may_be_meant_for_another(name: str, like: bool) -> None:
    assert bool(like_names(name, (HOST,))) is like


def test_names_of_nothing_but_common_words_are_not_one() -> None:
    assert not same_railroad("The Railway", "Railroad")
    assert same_railroad("the railroad", "The Railroad")
