"""Draws the pictures of the README and the docs from a demo case: `python docs/pictures/draw.py`.

They are the drawings of the dossier, on white paper, since a page that shows a picture has no ink of its
own to give.
"""

import re
from datetime import date
from pathlib import Path

import yaml

from carknocker.dossier.view import view_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.gallery import drawings
from carknocker.page.model import Drawing
from carknocker.questions.check.sheets.fault_numbers import numbered_faults, numbers_for_drawings
from carknocker.questions.lift.ask import lift
from carknocker.questions.lift.drawing import lift_drawing
from carknocker.questions.lift.plan import read_plan
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.drawing import schedule_drawing
from carknocker.record import read_car, read_move
from carknocker.rulebook import load_library, rulesets_folders

HERE = Path(__file__).resolve().parent
CASE = HERE.parents[1] / "cases" / "wren-hollow" / "before"
LIFTED = CASE.parent / "after"
WIDE, SMALL, BESIDE = 840, 480, 87.0
"""Width of a picture, in pixels; of a small one; and how many millimeters wide a small one is at most."""


def day_of(case: Path) -> date:
    """The day on which a demo case is judged."""
    day = yaml.safe_load((case / "expected.yaml").read_text(encoding="utf-8"))["as_of"]
    assert isinstance(day, date)
    return day


def answer() -> CheckAnswer:
    """The demo case, judged on its day."""
    library = load_library(rulesets_folders())
    return check(read_car(CASE / "car.yaml"), read_move(CASE / "move.yaml"), library, day_of(CASE))


def on_paper(drawing: Drawing) -> str:
    """The drawing as a file by itself."""
    found = re.search(r'viewBox="(\S+) (\S+) (\S+) (\S+)"', drawing.svg)
    assert found is not None
    left, top, wide, high = map(float, found.groups())
    paper = f'<rect x="{left:g}" y="{top:g}" width="{wide:g}" height="{high:g}" fill="#fff"/>'
    across = WIDE if drawing.width > BESIDE else SMALL
    size = f'width="{across}" height="{across * high / wide:.0f}" style="color:#1a1a1a"'
    svg = re.sub(r' style="[^"]*"', "", drawing.svg, count=1).replace('width="100%"', size, 1)
    return re.sub(r"(<svg [^>]*>)", rf"\1{paper}", svg, count=1) + "\n"


def pictures() -> dict[str, str]:
    """Every picture: its file name and its text."""
    checked = answer()
    schedule = schedule_drawing(plan(checked))
    planned = read_plan(LIFTED / "lift.yaml", "lift.yaml")
    lifted = lift_drawing(lift(read_car(LIFTED / "car.yaml"), "A", planned, "lift.yaml", day_of(LIFTED)))
    index = JudgementIndex(checked.judgement)
    numbers = numbers_for_drawings(numbered_faults(view_of(checked, index), index), index)  # those of the dossier
    found = [*drawings(checked, index, numbers), *(one for one in (schedule, lifted) if one is not None)]
    return {f"{drawing.name}.svg": on_paper(drawing) for drawing in found}


if __name__ == "__main__":
    for name, text in pictures().items():
        (HERE / name).write_text(text, encoding="utf-8", newline="\n")
