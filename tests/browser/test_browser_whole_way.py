"""The whole way of a car that nobody has looked at: answers, a form filled in by a browser offline, why it is not
ready, work, a second form of what the work calls for, ready, a pack, and a stranger who verifies it elsewhere. Nobody
writes a line of YAML."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from form_samples import copy_of, told_of
from PIL import Image
from walk_samples import ANSWERS, fill_in

pytestmark = pytest.mark.browser
FIRST, WORKED, SECOND = "2026-10-01", "2026-10-02", "2026-10-03"
BAD = "safety appliance 1"
TOO_FAR = "2"
MOST_ANSWERS = 36


def carknocker(*arguments: str | Path, home: Path | None = None) -> tuple[int, str]:
    command = [sys.executable, "-c", "from carknocker.cli.start import command; command()", *map(str, arguments)]
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8", **({"HOME": str(home)} if home is not None else {})}
    done = subprocess.run(
        command, env=environment, capture_output=True, text=True, encoding="utf-8", check=False, cwd=home
    )  # fmt: skip
    return done.returncode, done.stdout + done.stderr


class Way:
    """A car on its way, and a browser without a network."""

    def __init__(self, browser: Any, folder: Path) -> None:
        self.browser, self.folder, self.car = browser, folder, folder / "car"
        self.reports: list[str] = []
        self.asked: list[Any] = []

    def form(self, name: str, day: str) -> Path:
        file = self.folder / f"{name}.html"
        assert carknocker("worksheet", self.car, "--as-of", day, "--form", file)[0] == 1
        return file

    def filled(self, file: Path, day: str, *, bad: bool = False) -> Path:
        """A copy of a form with everything that it asks for."""
        context = self.browser.new_context(offline=True, accept_downloads=True)
        page = context.new_page()
        page.on("pageerror", lambda error: self.reports.append(str(error)))
        page.goto(file.as_uri())
        told = told_of(page.locator("script#form").text_content())
        self.asked = [box for sheet in told["sheets"] if sheet["signed"] for box in sheet["boxes"]]
        fill_in(page, told, day)
        if bad:
            self._bad(page, told)
        copy = copy_of(page, self.folder / f"{file.stem}-filled.html")
        context.close()
        return copy

    def _bad(self, page: Any, told: Any) -> None:
        """One handhold stands out too far, one wheel can't be reached; the handhold is photographed."""
        number, sheet = next((n, one) for n, one in enumerate(told["sheets"], start=1) if one["name"] == "ends")
        boxes = {(box["part"], box["attribute"]): box["id"] for one in told["sheets"] for box in one["boxes"]}
        handhold = boxes[BAD, "projection"]
        page.fill(f"#{handhold}", TOO_FAR)
        assert "Past the limit" in page.locator(f"#past-{handhold}").inner_text()
        page.fill(f"#{boxes['wheel R2', 'flange_thickness']}", "-")
        picture = self.folder / "handhold.jpg"
        Image.new("RGB", (2400, 1800), "gray").save(picture)
        page.locator(f"#part-{number}").select_option(BAD)
        page.locator(f"#photograph-{number}").set_input_files(picture)
        page.wait_for_selector(f"#sheet-{number} [data-photographs] img")
        assert sheet["title"] == "Ends"

    def with_job(self, copy: Path, day: str) -> Path:
        """The same copy, opened again, with the repair written down in it."""
        context = self.browser.new_context(offline=True, accept_downloads=True)
        page = context.new_page()
        page.on("pageerror", lambda error: self.reports.append(str(error)))
        page.goto(copy.as_uri())
        told = told_of(page.locator("script#form").text_content())
        job = {
            box["attribute"]: f"#{box['id']}"
            for one in told["sheets"]
            for box in one["boxes"]
            if box["part"] == "job 1"
        }
        page.locator("summary", has_text="Job 1").click()
        page.select_option(job["did"], "safety appliance repaired")
        assert page.locator(job["at"]).is_visible()
        assert not page.locator(job["cut"]).is_visible()  # only where wheels were turned
        page.fill(job["at"], "1")
        page.fill(job["on"], day)
        page.fill(job["by"], "HM (shop inspector)")
        again = copy_of(page, self.folder / "worked.html")
        context.close()
        return again

    def entered(self, copy: Path, day: str) -> str:
        status, said = carknocker("enter", self.car, copy, "--as-of", day, "--yes")
        assert status == 0, said
        assert "Not taken" not in said
        return said


def test_from_answers_to_a_pack_that_a_stranger_verifies(browser: Any, tmp_path: Path) -> None:
    way = Way(browser, tmp_path)
    car, record = way.car, way.car / "car.yaml"
    assert len(ANSWERS) <= MOST_ANSWERS
    assert carknocker("new", car, *(piece for answer in ANSWERS for piece in ("--answer", answer)))[0] == 0
    status, said = carknocker("check", car, "--as-of", FIRST)
    assert status == 1
    assert "NOT YET LOOKED AT" in said
    before = record.read_text(encoding="utf-8")

    copy = way.filled(way.form("first", FIRST), FIRST, bad=True)
    way.entered(copy, FIRST)
    after = record.read_text(encoding="utf-8")
    assert "not accessible (marked so on the form)" in after
    assert [line for line in before.splitlines() if line.startswith("#") and line not in after.splitlines()] == []
    assert len(list((car / "photographs").glob("*.jpg"))) == 1
    status, said = carknocker("check", car, "--as-of", FIRST)
    assert status == 1
    assert "NOT READY" in said
    wrong = said[said.index("WHAT KEEPS THIS CAR") :].partition("\n2. ")[0]
    assert "afety appliance 1" in wrong
    assert "2 in" in wrong
    assert "at most 1 in" in wrong
    status, said = carknocker("enter", car, copy, "--as-of", FIRST, "--yes")
    assert status == 2
    assert "on record already" in said
    assert record.read_text(encoding="utf-8") == after

    said = way.entered(way.with_job(copy, WORKED), WORKED)
    assert "on record already" in said  # of the sheets that were entered before
    assert "did: safety appliance repaired" in record.read_text(encoding="utf-8")

    way.entered(way.filled(way.form("second", SECOND), SECOND), SECOND)
    assert {box["part"] for box in way.asked} == {BAD, "wheel R2"}  # repaired; could not be reached
    assert [box["attribute"] for box in way.asked if box["part"] == "wheel R2"] == ["flange_thickness"]
    assert way.reports == []
    status, said = carknocker("check", car, "--as-of", SECOND)
    assert said.partition("\n")[2].startswith("READY, as far as the "), said
    assert status == 1  # some law is not at hand, as the first line says
    assert "WHAT KEEPS THIS CAR" not in said

    pack, elsewhere = tmp_path / "pack.zip", tmp_path / "elsewhere"
    elsewhere.mkdir()
    assert carknocker("pack", car, "--as-of", SECOND, "--output", pack)[0] == 1  # as `check` ends
    mailed = elsewhere / "mailed.zip"
    pack.rename(mailed)
    status, said = carknocker("verify", mailed, home=elsewhere)
    assert status == 0, said
    yaml = [one.name for one in tmp_path.rglob("*.yaml")]
    assert sorted(yaml) == ["car.yaml", "move.yaml"]  # the program wrote both; nothing was held, nothing typed
