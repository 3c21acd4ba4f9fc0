"""Answers to draw: the demo cases, a demo car of which more was measured, and one with hostile names."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from datetime import date
from functools import cache
from pathlib import Path

import yaml

from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import Drawing
from carknocker.page.pdf.typeface import widths
from carknocker.questions.lift.ask import End, LiftAnswer, lift
from carknocker.questions.lift.plan import read_plan_text
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.model import Plan
from carknocker.record.car_reader import read_car_text
from carknocker.record.move_reader import read_move_text
from carknocker.rulebook.library import Library, load_library, rulesets_folders

CASES = Path(__file__).resolve().parents[2] / "cases"
SVG = "{http://www.w3.org/2000/svg}"
NAMES = sorted(file.parent.relative_to(CASES).as_posix() for file in CASES.rglob("expected.yaml"))

DIAMETERS = {
    "L1": "33-1/2 in", "R1": "33-1/2 in", "L2": "33-3/8 in", "R2": "33-3/8 in", "L3": "33-1/2 in", "R3": "33-17/32 in",
    "L4": "33-1/8 in", "R4": "33-1/8 in", "L5": "33 in", "R5": "33 in", "L6": "33-1/8 in",
}  # fmt: skip
"""R6 is left unmeasured."""

_TAPES = {"L1": 140, "R1": 140, "L2": 137, "R2": 137, "L3": 140, "R3": 140}


@cache
def library() -> Library:
    return load_library(rulesets_folders())


def texts(name: str) -> tuple[str, str, date]:
    folder = CASES / name
    day = yaml.safe_load((folder / "expected.yaml").read_text(encoding="utf-8"))["as_of"]
    return (folder / "car.yaml").read_text(encoding="utf-8"), (folder / "move.yaml").read_text(encoding="utf-8"), day


def asked(car: str, move: str, day: date) -> CheckAnswer:
    return check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), library(), day)


@cache
def demo(name: str) -> CheckAnswer:
    return asked(*texts(name))


_TAPED_SHEET = re.compile(
    r"\n  - on: 2026-08-03\n    by: HM\n    gauge: T-4\n    access: wheel free\n    paper: wheelset sheet 209\n"
    r"(    .*\n)+"
)


def untaped_text() -> str:
    """The record of Wren Hollow without tape sizes and axle spacing."""
    car, _, _ = texts("wren-hollow/before")
    car, sheets = _TAPED_SHEET.subn("\n", car)
    assert sheets == 1
    spaced = "    axle_spacing: 63 in\n"
    assert car.count(spaced) == 2
    return car.replace(spaced, "")


@cache
def untaped() -> CheckAnswer:
    """Wren Hollow without tape sizes and axle spacing."""
    _, move, day = texts("wren-hollow/before")
    return asked(untaped_text(), move, day)


@cache
def measured() -> CheckAnswer:
    """Wren Hollow with axle spacing, wheel diameters, tape sizes of truck B and what narrows a clearance plate."""
    _, move, day = texts("wren-hollow/before")
    car = untaped_text()
    car = car.replace("    truck_kind: three-axle\n", "    truck_kind: three-axle\n    axle_spacing: 5 ft 6 in\n")
    wheels = "".join(
        f"        {wheel}: {{measured_diameter: {{reads: {size}, gauge: G-11}}{_taped(wheel)}}}\n"
        for wheel, size in DIAMETERS.items()
    )
    sheet = (
        f"  - on: 2026-09-20\n    by: HM\n    access: wheelset out\n    readings:\n      wheels:\n{wheels}"
        "      couplers:\n        B: {coupler_swing_each_side: 9 in}\n"
    )
    car = car.replace("\nlog:", f"\n{sheet}\nlog:")
    gauge = "  G-11: {kind: diameter gauge, reads_to: 1/32 in, checked: 2026-03-01, due: 2027-03-01}\n"
    car = car.replace("gauges:\n", f"gauges:\n{gauge}", 1)
    move = move.replace("    clearance: plate B\n", "    clearance: plate B\n    clearance_truck_centers: 46 ft 3 in\n")
    return asked(car, move, day)


def _taped(wheel: str) -> str:
    return f", tape_size: {{reads: {_TAPES[wheel]} tapes, gauge: T-4}}" if wheel in _TAPES else ""


HOSTILE = "<script>alert('x')</script> & \"quoted\" ]]> {{7*7}} &lt; `*_"


@cache
def hostile() -> CheckAnswer:
    """Wren Hollow with markup in every name that a drawing shows."""
    car, move, day = texts("wren-hollow/before")
    written = HOSTILE.replace("'", "''")
    car = car.replace("drip rail over the side windows", f"'{written}'").replace("roof ventilator 4", f"'{written}'")
    car = car.replace('"brake rod, truck B"', f"'{written}'")
    car = re.sub(r"\bW-3(\d)\b", r"W<3\1>&", car).replace("mark: QWHX 27", f"mark: '{written}'")
    for place in ("Port Averill", "Saltmarsh Quay"):
        move = move.replace(f"from: {place}", f"from: '{written}'").replace(f"to: {place}", f"to: '{written}'")
    return asked(car, move, day)


def indexed(answer: CheckAnswer) -> JudgementIndex:
    return JudgementIndex(answer.judgement)


def tree(drawing: Drawing) -> ET.Element:
    """The drawing, read as XML."""
    return ET.fromstring(drawing.svg)


def words(drawing: Drawing) -> list[str]:
    """Every text that is drawn, in drawing order."""
    return [one.text or "" for one in tree(drawing).iter(f"{SVG}text")]


def text_boxes(drawing: Drawing) -> list[tuple[str, float, float, float, float]]:
    """Each text with the box that it takes, as the font says: left, top, right, bottom."""
    found = []
    for one in tree(drawing).iter(f"{SVG}text"):
        size = float(one.get("font-size", "nan"))
        bold = one.get("font-weight") == "bold"
        wide = widths().of(one.text or "", size, bold=bold)
        x, y = float(one.get("x", 0)), float(one.get("y", 0))
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[one.get("text-anchor", "start")]
        found.append((one.text or "", left, y - size * 0.74, left + wide, y + size * 0.22))
    return found


LIFTED_LENGTHS = """\
  lifting_points: [bolster]
  lifting_points_rated_by: Q. Marrow
  lifting_point_from_truck_center: 0 in
  lifting_point_rating: 90,000 lb
  lowest_part_outboard_height: 30 in
  truck_height_over_rail: 42 in
  overhang_at_far_end: 12 ft 7 in
  far_end_lowest_part: 20 in
"""
LIFT_PLAN = """\
format: carknocker-lift/1
lift:
  crane: {rating: "80,000 lb"}
  sling: {legs: 2, angle: 60, rating: "40,000 lb"}
  rigging: 1,800 lb
  crib: {timbers: 6x6, pattern: 2x2, base: 36 in, height: 40 in}
  clearance: 3 in
"""


@cache
def lifted(end: End) -> LiftAnswer:
    """Wren Hollow with what a lift wants on record, one end lifted so that a truck 42 in high clears 30 in by 3 in."""
    car, _, day = texts("wren-hollow/before")
    line = "  in_service_before_2007: yes\n"
    car = car.replace(line, line + LIFTED_LENGTHS, 1)
    for letter, weight in (("B", "26,400 lb"), ("A", "26,200 lb")):
        head = f"  {letter}:\n    truck_kind: three-axle\n"
        car = car.replace(head, f"{head}    truck_weight: {weight}\n", 1)
    record = read_car_text(car, "car.yaml")
    return lift(record, end, read_plan_text(LIFT_PLAN, "lift.yaml"), "lift.yaml", day)


@cache
def planned() -> Plan:
    """The plan for Wren Hollow."""
    return plan(demo("wren-hollow/before"))
