"""`new` from options: what a terminal would ask once more is told."""

import pytest
from command_line import invoke

NEEDED = {
    "mark": "QZZX 1", "truck_kind": "two-axle", "host": "Acme", "train": "passenger", "rides": "nobody",
    "from": "Here", "to": "There", "miles": "9 mi",
}  # fmt: skip


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"hand_brake": "A"}, "look at `hand_brake` once more: a hand brake at A alone: the B end is the one with"),
        ({"hand_brake": "B"}, ""),
        ({"hand_brake": "both"}, ""),
        ({"highest_voltage": "1501 V"}, "look at `highest_voltage` once more: `1501` for `highest_voltage`, which is"),
        ({"highest_voltage": "1500 V"}, ""),
    ],
)
def test_what_a_terminal_asks_once_more_is_told(more, told, tmp_path):
    options = (f"--answer={key}={value}" for key, value in {**NEEDED, **more}.items())
    answer = invoke("new", tmp_path / "own", *options)
    assert answer.exit_code == 0
    assert (tmp_path / "own" / "car.yaml").exists()
    if told:
        assert told in answer.stdout
    else:
        assert "once more" not in answer.stdout
