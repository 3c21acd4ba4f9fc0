"""A value in the text of a record put right in its place, and nothing else."""

import pytest

from carknocker.record.insertion import CannotInsert, with_value

TEXT = """\
# an invented car
car: {mark: QWHX 3, built_on: 1927}   # kept as it is
body:
  glazing_class: "exempt by age"  # so too
  systems: [air, water]
  what:
    - one
couplers:
  B: &coupler {coupler_type: type H}
  A: *coupler
"""


@pytest.mark.parametrize(
    ("path", "value", "before", "after"),
    [
        (("car", "built_on"), "1928", "built_on: 1927}", "built_on: 1928}"),
        (("body", "glazing_class"), "safety glass", '"exempt by age"', "safety glass"),
        (("body", "systems"), "[air]", "[air, water]", "[air]"),
        (("body", "systems", 1), "steam", "[air, water]", "[air, steam]"),
    ],
)
def test_the_value_alone_changes(path, value, before, after):
    assert with_value(TEXT, path, value) == TEXT.replace(before, after)


@pytest.mark.parametrize(
    "path",
    [("car", "name"), ("body", "what"), ("couplers", "A", "coupler_type"), ("couplers", "B"), ("body", "systems", 2)],
)
def test_what_is_not_there_is_written_over_several_lines_or_used_twice_is_left(path):
    with pytest.raises(CannotInsert):
        with_value(TEXT, path, "x")
