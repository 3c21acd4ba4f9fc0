"""`carknocker why CAR`: what would make the car ready is worked out where the car is asked about, and only there."""

import json

from command_line import CASES
from typer.testing import CliRunner

from carknocker.cli.main import app

NORTH = CASES / "two-nations" / "north"
READY = CASES / "larkspur" / "freight"


def why(*arguments):
    answer = CliRunner().invoke(app, ["why", *map(str, arguments), "--as-of", "2026-09-01"])
    return answer.exit_code, answer.stdout


def test_of_the_car_it_is_said_and_of_a_part_it_is_not_even_worked_out(monkeypatch):
    status, text = why(NORTH)
    assert status == 1
    assert "WHAT WOULD MAKE IT READY" in text
    assert json.loads(why(NORTH, "--format", "json")[1])["otherwise"]["work"]["sets"]

    from carknocker.questions.why import command

    def never(*_):
        raise AssertionError("asked about a part, not about the car")

    monkeypatch.setattr(command, "otherwise", never)
    status, text = why(NORTH, "R3")
    assert status == 1
    assert "would pass" in text


def test_a_ready_car_needs_nothing_otherwise():
    status, text = why(READY)
    assert status == 1  # ready, by law that is not all at hand
    assert "as far as the" in text
    assert "WHAT WOULD MAKE IT READY" not in text
