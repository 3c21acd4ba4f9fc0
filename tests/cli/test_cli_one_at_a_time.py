"""Several commands that write to one record at once: nothing that any of them brings is lost."""

import os
import shutil
import subprocess
import sys

import pytest
import yaml
from command_line import CASES, ROOT, invoke

from carknocker.cli import one_at_a_time
from carknocker.questions.enter import command as enter_command
from carknocker.record import read_car

DAY = "2026-10-08"
BEFORE = CASES / "wren-hollow" / "before"
FORM = """format: carknocker-form/1
car: {mark}
sheets:
  - on: {day}
    by: HM
    readings:
      wheel {wheel}: {{rim_thickness: {{reads: {reads}, gauge: G-2}}}}
last_line: yes
"""
WHEELS = {"L1": "1-1/2 in", "R1": "1-17/32 in", "L2": "1-15/32 in", "R2": "1-9/16 in"}


@pytest.fixture
def car(tmp_path):
    for name in ("car.yaml", "move.yaml"):
        shutil.copy(BEFORE / name, tmp_path / name)
    return tmp_path / "car.yaml"


def form_for(car, wheel):
    mark = yaml.safe_load(car.read_text(encoding="utf-8"))["car"]["mark"]
    form = car.with_name(f"form-{wheel}.yaml")
    form.write_text(FORM.format(mark=mark, day=DAY, wheel=wheel, reads=WHEELS[wheel]), encoding="utf-8")
    return form


def read_on_the_day(car):
    return sorted(
        one.where.line
        for one in read_car(car).evidence
        if one.attribute == "rim_thickness" and one.on is not None and one.on.isoformat() == DAY
    )


def test_forms_entered_by_several_processes_at_once_are_all_on_record(car):
    before = len(read_on_the_day(car))
    forms = [form_for(car, wheel) for wheel in WHEELS]
    running = [
        subprocess.Popen(
            [sys.executable, "-c", "from carknocker.cli.start import command; command()", "enter", str(car), str(form),
             "--as-of", DAY, "--yes"],
            cwd=ROOT, env={**os.environ, "PYTHONIOENCODING": "utf-8"}, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
            text=True, encoding="utf-8",
        )
        for form in forms
    ]  # fmt: skip
    told = [one.communicate(timeout=120) for one in running]
    assert [one.returncode for one in running] == [0] * len(forms), told
    assert len(read_on_the_day(car)) == before + len(forms)
    assert len(list(car.parent.glob("car.yaml.before-*.bak"))) == len(forms)  # each state that was there is kept


def test_what_another_command_wrote_while_one_was_asked_stays_and_that_is_told(car, monkeypatch):
    before = len(read_on_the_day(car))
    first, second = form_for(car, "L1"), form_for(car, "R1")
    asked = []

    def slow_to_agree(lines, *, yes):
        asked.append(lines)
        if len(asked) == 1:
            assert invoke("enter", car, second, "--as-of", DAY, "--yes").exit_code == 0
        return True

    monkeypatch.setattr(enter_command, "agreed", slow_to_agree)
    answer = invoke("enter", car, first, "--as-of", DAY, "--yes")
    assert answer.exit_code == 0, answer.output
    assert f"{car} was written by another command meanwhile" in answer.stderr
    assert len(asked) == 3  # the first, the one in between, and the first again
    assert len(read_on_the_day(car)) == before + 2


def test_a_record_that_nobody_wrote_to_is_asked_about_once(car, monkeypatch):
    asked = []
    monkeypatch.setattr(enter_command, "agreed", lambda lines, *, yes: asked.append(lines) or True)
    answer = invoke("enter", car, form_for(car, "L1"), "--as-of", DAY, "--yes")
    assert (answer.exit_code, len(asked), answer.stderr) == (0, 1, "")


def test_where_a_folder_can_not_be_locked_the_texts_are_still_compared(car, monkeypatch):
    monkeypatch.setattr(one_at_a_time, "fcntl", None)
    with one_at_a_time.alone_in(car.parent):
        assert one_at_a_time.are_as_read({car: car.read_text(encoding="utf-8")})
        assert not one_at_a_time.are_as_read({car: "another text"})
