"""Days, files and disks that can't be used: said in plain words, with status 2, and nothing besides."""

import errno
import os
import resource
import subprocess
import sys

import pytest
from command_line import CASES, ROOT, carknocker, invoke
from typer.testing import CliRunner

from carknocker.cli.main import app
from carknocker.cli.statuses import REFUSED, say_why

BEFORE = CASES / "wren-hollow" / "before"
FULL = "/dev/full"
COMMAND = [sys.executable, "-c", "from carknocker.cli.start import command; command()"]


@pytest.mark.parametrize(
    "day", ["20261020", "2026-W43-2", "2026-10", "2026-02-30", "1799-12-31", "2201-01-01", "0001-01-01", "9999-12-31"]
)
def test_a_day_is_written_with_year_month_and_day_in_a_year_that_can_be(day):
    answer = invoke("check", BEFORE, "--as-of", day)
    assert (answer.exit_code, answer.stdout) == (2, "")
    assert day in answer.stderr
    assert "expected" in answer.stderr


@pytest.mark.parametrize("day", ["1800-01-01", "2200-12-31"])
def test_the_first_and_the_last_year_can_be_used(day):
    assert invoke("check", BEFORE, "--as-of", day).exit_code == 1


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
    assert said.endswith("can't be written: no space is left on the disk\n")
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
        answer = invoke("check", name)
        assert answer.exit_code == 2
        assert answer.stderr.startswith(f"{name}:1:1: this is no ordinary file\n")
        assert "1 problem found" in answer.stderr


@pytest.mark.parametrize("text", ["car: {}\n", "# nothing yet\ncar: {}\n", "fromat: carknocker-car/1\ncar: {}\n"])
def test_a_car_without_its_format_line_is_named_itself(tmp_path, text):
    (tmp_path / "car.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "move.yaml").write_text((BEFORE / "move.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    answer = invoke("check", tmp_path)
    assert answer.exit_code == 2
    assert f"{tmp_path}/car.yaml:" in answer.stderr
    assert "found no `format` line" in answer.stderr
    assert "expected: `format: carknocker-car/1`" in answer.stderr
    assert "no car file" not in answer.stderr


def _in_little_memory():
    resource.setrlimit(resource.RLIMIT_AS, (600_000_000, 600_000_000))


@pytest.mark.parametrize("name", ["big.yaml", "."])
def test_a_file_over_the_cap_is_not_read_to_show_a_line_of_it(tmp_path, name):
    (tmp_path / "move.yaml").write_bytes((BEFORE / "move.yaml").read_bytes())
    file = tmp_path / (name if name != "." else "car.yaml")
    file.touch()
    os.truncate(file, 1 << 30)
    answer = carknocker("check", name, cwd=tmp_path, preexec_fn=_in_little_memory)
    assert answer.returncode == 2
    assert answer.stderr.splitlines() == [
        f"{file.name}:1:1: found a file of 1,073,741,824 bytes", "  expected: at most 4,000,000 bytes", "",
        "1 problem found; nothing was changed.",
    ]  # fmt: skip


def _locked(monkeypatch, locked):
    """Makes a folder one that may not be opened or searched, whoever asks."""

    def asking(ask):
        def answer(path, *more, **others):
            if locked == path or locked in path.parents:
                if locked == path and ask.__name__ == "stat":
                    return ask(path, *more, **others)
                raise PermissionError(errno.EACCES, "Permission denied", str(path))
            return ask(path, *more, **others)

        return answer

    for name in ("stat", "iterdir", "open"):
        monkeypatch.setattr(type(locked), name, asking(getattr(type(locked), name)))


@pytest.mark.parametrize("command", ["check", "why", "plan", "due"])
def test_a_folder_that_may_not_be_read_is_refused_in_plain_words(tmp_path, monkeypatch, command):
    folder = tmp_path / "locked"
    folder.mkdir()
    _locked(monkeypatch, folder)
    answer = CliRunner().invoke(app, [command, str(folder), *(["wheel-flange"] if command == "why" else [])])
    assert answer.exit_code == 2, answer.stderr
    assert f"{folder}" in answer.stderr
    assert "permission denied" in answer.stderr
    assert "inside the program" not in answer.stderr


def test_a_folder_that_may_not_be_read_is_not_passed_over_among_others(tmp_path, monkeypatch):
    for name in ("car", "locked"):
        (tmp_path / name).mkdir()
    for name in ("car.yaml", "move.yaml"):
        (tmp_path / "car" / name).write_bytes((BEFORE / name).read_bytes())
    _locked(monkeypatch, tmp_path / "locked")
    answer = CliRunner().invoke(app, ["check", str(tmp_path), "--as-of", "2026-10-08"])
    assert answer.exit_code == 2
    assert f"{tmp_path / 'locked'}:1:1: the folder can't be read: permission denied" in answer.stderr
    assert "Wren Hollow" in answer.stdout


def test_what_the_system_will_not_open_is_the_fault_of_the_input(capsys):
    assert say_why(PermissionError(errno.EACCES, "Permission denied", "a/car.yaml")) == REFUSED
    assert capsys.readouterr().err.splitlines()[0] == "a/car.yaml:1:1: this can't be opened: permission denied"
    assert say_why(PermissionError(errno.EACCES, "Permission denied")) != REFUSED
    assert say_why(FileNotFoundError(errno.ENOENT, "No such file", "data.yaml")) != REFUSED


def test_a_name_that_is_too_long_for_a_file_is_refused():
    answer = invoke("check", "a" * 300)
    assert answer.exit_code == 2
    assert "the name is too long" in answer.stderr


@pytest.mark.parametrize(
    ("given", "near"),
    [
        ("wren-holow/before", "wren-hollow/before"), ("wren-hollow/befor", "wren-hollow/before"),
        ("wrenhollow", "wren-hollow"), ("Larkspur/nothing", "larkspur"), ("cases/larkspr", "cases/larkspur"),
        ("nosuch", ""), ("cases/nosuch", ""), ("./car.yaml", ""), ("../wren-holow", ""), ("/wren-holow", ""),
    ],
)  # fmt: skip
def test_a_demo_case_that_is_nearly_named_is_offered(tmp_path, monkeypatch, given, near):
    monkeypatch.chdir(tmp_path)
    answer = invoke("check", given)
    assert answer.exit_code == 2
    lines = answer.stderr.splitlines()
    assert lines[0].endswith(":1:1: there is no such file")
    assert [line for line in lines if "nearest" in line] == ([f"  nearest right word: {near}"] if near else [])


def test_no_demo_case_is_offered_for_a_folder_that_is_here(tmp_path, monkeypatch):
    (tmp_path / "wren-holow").mkdir()
    monkeypatch.chdir(tmp_path)
    answer = invoke("check", "wren-holow/before")
    assert answer.exit_code == 2
    assert "nearest" not in answer.stderr


def test_in_the_checkout_a_demo_case_is_offered_too():
    answer = carknocker("check", "cases/wren-holow/before", cwd=ROOT)
    assert "nearest right word: cases/wren-hollow/before" in answer.stderr


def test_the_word_cases_stands_for_the_demo_cases_wherever_one_is(tmp_path, monkeypatch):
    day = ("--as-of", "2026-10-08")
    monkeypatch.chdir(ROOT)
    here = invoke("check", "cases", *day)
    one_here = invoke("check", "cases/wren-hollow/before", *day)
    assert here.exit_code == 1
    monkeypatch.chdir(tmp_path)
    elsewhere = invoke("check", "cases", *day)
    assert (elsewhere.stdout, elsewhere.exit_code) == (here.stdout, 1)
    assert invoke("check", "cases/wren-hollow/before", *day).stdout == one_here.stdout
    (tmp_path / "cases").mkdir()
    own = invoke("check", "cases", *day)
    assert own.exit_code == 2
    assert own.stderr.startswith("cases:1:1: found no car file")


def test_a_part_that_the_car_has_not_is_answered_with_those_of_its_kind():
    said = invoke("why", BEFORE, "wheel Z9").stderr
    assert said.startswith("there is no part `wheel Z9` on this car or in this move; there is wheel L1, wheel R1, ")
    assert "coupler" not in said
