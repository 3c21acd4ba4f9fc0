"""Forms made by hand, and filled in in a browser."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

from carknocker.forms.html_form import html_form
from carknocker.forms.model import Box, Column, Form, GaugeFor, Grid, Limit, Row, Said, Sheet, Tick

DAY = date(2031, 5, 1)
CALIPER = GaugeFor("caliper", ("G-1 (caliper)",))


def form(*blocks: Grid | Tick, mark: str = "TSTX 1") -> Form:
    return Form(
        mark=mark, car=f"{mark} Sample", as_of=DAY, out=DAY, back=DAY, host="Test Host", digest="0" * 64,
        groups=("decides now",), sheets=(Sheet("truck B", "Wheels and truck B", blocks, gauges=(CALIPER,)),),
        people=("HM (owner)",), gauges=("G-1 (caliper)",), missing="", left_out=0,
        other_groups=(), more_may_follow=False,
    )  # fmt: skip


def flange(*limits: Limit, columns: tuple[str, ...] = ("L1", "R1")) -> Grid:
    row = Row(1, "wheel", "flange_thickness", "flange thickness", "length", "decides now", "reading", unit="in",
              tool="caliper", limits=limits)  # fmt: skip
    boxes = tuple(Box(1, one, f"wheel {one}", "flange_thickness", "decides now") for one in columns)
    return Grid("Wheel by wheel", tuple(Column(one) for one in columns), (row,), boxes)


def none_on_any() -> Tick:
    said = Said(
        Row(2, "wheel", "thermal_crack", "thermal crack", "word", "decides now", "reading", ("yes", "no")), "no"
    )
    boxes = tuple(Box(2, one, f"wheel {one}", "thermal_crack", "decides now") for one in ("L1", "R1"))
    return Tick(2, "None on any wheel of truck B", "wheel", (said,), boxes)


def told_of(text: str) -> Any:
    """What the script of an HTML form is told, each field with what its row says. text: of the block of data."""
    told = json.loads(text)
    for sheet in told["sheets"]:
        sheet["boxes"] = [{**told["rows"][box["is"]], **box} for box in sheet["boxes"]]
    return told


def opened(context: Any, folder: Path, made: Form, name: str = "form.html") -> Any:
    file = folder / name
    file.write_text(html_form(made), encoding="utf-8")
    page = context.new_page()
    page.goto(file.as_uri())
    return page


def copy_of(page: Any, file: Path) -> Path:
    with page.expect_download() as download:
        page.locator("#save-copy").click()
    download.value.save_as(file)
    return file
