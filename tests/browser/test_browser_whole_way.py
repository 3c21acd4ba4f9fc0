"""The whole way of a car that nobody has looked at: answers, a form filled in by a browser offline, the record,
and why it is not ready. Nobody writes YAML but the answers."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from form_samples import copy_of
from interview_samples import COACH
from PIL import Image

pytestmark = pytest.mark.browser
DAY = "2026-10-01"
MOST_LINES = 45
"""Of the answers, all that a person has to type as text."""


def carknocker(*arguments: str | Path) -> tuple[int, str]:
    command = [sys.executable, "-c", "from carknocker.cli.start import command; command()", *map(str, arguments)]
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8"}
    done = subprocess.run(command, env=environment, capture_output=True, text=True, encoding="utf-8", check=False)
    return done.returncode, done.stdout + done.stderr


def boxes_of(file: Path) -> dict[tuple[str, str], str]:
    """Part and attribute → the field of the form."""
    text = file.read_text(encoding="utf-8")
    mark = '<script type="application/json" id="form">'
    start = text.index(mark) + len(mark)
    told = json.loads(text[start : text.index("</script>", start)])
    return {(box["part"], box["attribute"]): f"#{box['id']}" for sheet in told["sheets"] for box in sheet["boxes"]}


def test_from_answers_to_a_judged_car_nobody_types_a_key(browser: Any, tmp_path: Path) -> None:
    answers, car, form = tmp_path / "answers.yaml", tmp_path / "car", tmp_path / "form.html"
    answers.write_text(COACH.lstrip(), encoding="utf-8")
    typed = [line for line in COACH.splitlines() if line.strip()]
    assert len(typed) <= MOST_LINES

    assert carknocker("new", car, "--answers", answers)[0] == 0
    status, said = carknocker("check", car, "--as-of", DAY)
    assert status == 1
    assert "NOT YET LOOKED AT" in said
    assert carknocker("worksheet", car, "--as-of", DAY, "--form", form)[0] == 1
    record, move = car / "car.yaml", car / "move.yaml"
    before = record.read_text(encoding="utf-8")

    context = browser.new_context(offline=True, accept_downloads=True)
    page = context.new_page()
    reports: list[str] = []
    page.on("pageerror", lambda error: reports.append(str(error)))
    page.goto(form.as_uri())
    field = boxes_of(form)
    page.fill("#on-1", DAY)
    page.fill("#by-1", "JD (owner)")
    page.locator("#by-1").blur()
    page.locator("#on-1").dispatch_event("change")
    for wheel, thickness in (("L1", "1-1/8"), ("R1", "1-1/8"), ("L2", "3/4"), ("R2", "-")):
        page.fill(field[f"wheel {wheel}", "flange_thickness"], thickness)
    assert "Past the limit" in page.locator(f"#past-{field['wheel L2', 'flange_thickness'][1:]}").inner_text()
    page.select_option(field["wheelset W-1", "axle_class"], "D")
    page.locator("#sheet-1 [data-tick]").first.check()
    picture = tmp_path / "flange.jpg"
    Image.new("RGB", (2400, 1800), "gray").save(picture)
    page.locator("#part-1").select_option("wheel L2")
    page.locator("#photograph-1").set_input_files(picture)
    page.wait_for_selector("#sheet-1 [data-photographs] img")
    copy = copy_of(page, tmp_path / "copy.html")
    context.close()
    assert reports == []

    status, said = carknocker("enter", car, copy, "--as-of", DAY, "--yes")
    assert status == 0, said
    assert "Not taken" not in said
    after = record.read_text(encoding="utf-8")
    assert "L2: {flange_thickness: 3/4 in" in after
    assert "not accessible (marked so on the form)" in after
    assert "axle_class: D" in after
    assert [line for line in before.splitlines() if line.startswith("#") and line not in after.splitlines()] == []
    assert len(list((car / "photographs").glob("*.jpg"))) == 1
    assert move.is_file()

    status, said = carknocker("check", car, "--as-of", DAY)
    assert status == 1
    assert "NOT READY" in said
    refused = said[said.index("WHAT KEEPS THIS CAR FROM MOVING") :]
    assert "flange" in refused
    assert "3/4 in" in refused
    status, said = carknocker("enter", car, copy, "--as-of", DAY, "--yes")
    assert status == 2
    assert "on record already" in said
    assert record.read_text(encoding="utf-8") == after
