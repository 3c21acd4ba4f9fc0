"""Days, files and disks that can't be used: said in plain words, with status 2, and nothing besides."""

import os
import subprocess
import sys

import pytest
from command_line import CASES, ROOT, carknocker

BEFORE = CASES / "wren-hollow" / "before"
FULL = "/dev/full"
COMMAND = [sys.executable, "-c", "from carknocker.cli.start import command; command()"]


@pytest.mark.parametrize(
    "day", ["20261020", "2026-W43-2", "2026-10", "2026-02-30", "1799-12-31", "2201-01-01", "0001-01-01", "9999-12-31"]
)
def test_a_day_is_written_with_year_month_and_day_in_a_year_that_can_be(day):
    answer = carknocker("check", BEFORE, "--as-of", day)
    assert (answer.returncode, answer.stdout) == (2, "")
    assert day in answer.stderr
    assert "expected" in answer.stderr


@pytest.mark.parametrize("day", ["1800-01-01", "2200-12-31"])
def test_the_first_and_the_last_year_can_be_used(day):
    assert carknocker("check", BEFORE, "--as-of", day).returncode == 1


@pytest.mark.parametrize(
    "arguments",
    [
        ("check", BEFORE), ("check", BEFORE, "--format", "json"), ("rules", "list"), ("--version",), ("--help",),
        ("check", "--help"), ("check", BEFORE, "--output", FULL),
    ],
)  # fmt: skip
def test_a_full_disk_is_told_as_it_is(arguments):
    with open(FULL, "wb") as full:
        answer = subprocess.run(
            [*COMMAND, *map(str, arguments)], cwd=ROOT, stdout=full, stderr=subprocess.PIPE, timeout=120, check=False
        )
    assert answer.returncode == 2
    said = answer.stderr.decode()
    assert said.endswith("can't be written: No space left on device\n")
    assert said.count("\n") == 1


def test_where_the_refusal_can_not_be_written_either_the_status_still_tells():
    with open(FULL, "wb") as full:
        answer = subprocess.run([*COMMAND, "check", "nosuch"], stdout=full, stderr=full, timeout=120, check=False)
    assert answer.returncode == 2


def test_a_car_that_is_not_there_is_one_problem(tmp_path):
    answer = carknocker("check", "nosuch", cwd=tmp_path)
    assert answer.returncode == 2
    assert answer.stderr.startswith("nosuch:1:1: there is no such file\n")
    assert "1 problem found" in answer.stderr


def test_a_special_file_is_no_ordinary_file(tmp_path):
    os.mkfifo(tmp_path / "pipe.yaml")
    for name in ("/dev/zero", tmp_path / "pipe.yaml"):
        answer = carknocker("check", name)
        assert answer.returncode == 2
        assert answer.stderr.startswith(f"{name}:1:1: this is no ordinary file\n")
        assert "1 problem found" in answer.stderr


@pytest.mark.parametrize("text", ["car: {}\n", "# nothing yet\ncar: {}\n", "fromat: carknocker-car/1\ncar: {}\n"])
def test_a_car_without_its_format_line_is_named_itself(tmp_path, text):
    (tmp_path / "car.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "move.yaml").write_text((BEFORE / "move.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    answer = carknocker("check", tmp_path)
    assert answer.returncode == 2
    assert f"{tmp_path}/car.yaml:" in answer.stderr
    assert "found no `format` line" in answer.stderr
    assert "expected: `format: carknocker-car/1`" in answer.stderr
    assert "no car file" not in answer.stderr
