"""One page of each kind: the command that writes it.

`{car}` is a car of which all that a lift wants is on record, `{dossier}` a dossier to be checked again.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from typer.testing import CliRunner

from carknocker.cli.main import app

CASES = Path(__file__).resolve().parents[2] / "cases"
BEFORE = ("--as-of", "2026-10-08")
AFTER = ("--as-of", "2026-10-28")
PAGES: dict[str, tuple[str, ...]] = {
    "check-not-ready": ("check", "wren-hollow/before", *BEFORE),
    "check-restricted": ("check", "wren-hollow/after", *AFTER),
    "check-short": ("check", "two-nations/north", *BEFORE),
    "check-two-cars": ("check", "two-nations/north", "two-nations/south", "--pages", *BEFORE),
    "check-many-cars": ("check", "wren-hollow/before", "wren-hollow/after", "--table", *AFTER),
    "check-nothing-measured": ("check", "nothing-measured", *BEFORE),
    "plan-nothing-measured": ("plan", "nothing-measured", *BEFORE),
    "why": ("why", "wren-hollow/before", *BEFORE),
    "why-a-part": ("why", "wren-hollow/before", "R5", *BEFORE),
    "compare": ("compare", "wren-hollow/before", "wren-hollow/after", *BEFORE, *AFTER),
    "plan": ("plan", "wren-hollow/before", *BEFORE),
    "place-wheels": ("place-wheels", "wren-hollow/after", *AFTER),
    "due": ("due", "wren-hollow/after", *AFTER),
    "worksheet": ("worksheet", "wren-hollow/before", *BEFORE),
    "spares": ("spares", "wren-hollow/after", *AFTER),
    "request": ("request", "wren-hollow/after", *AFTER),
    "setout": ("setout", "wren-hollow/after", *AFTER),
    "wheel-order": ("wheel-order", "wren-hollow/before", *BEFORE),
    "tag": ("tag", "wren-hollow/before", *BEFORE),
    "lift": ("lift", "{car}", "--end", "B", *BEFORE),
    "verify": ("verify", "{dossier}", str(CASES / "wren-hollow/before"), str(CASES / "wren-hollow/before/move.yaml")),
    "figures": ("figures", "wren-hollow/before", *BEFORE),
    "words": ("words", "bearing"),
    "rules-list": ("rules", "list"),
    "rules-show": ("rules", "show", "kestrel-and-northern"),
    "rules-check": ("rules", "check"),
    "rules-diff": ("rules", "diff", "us-federal/2015", "us-federal/2020"),
}
_OF_CAR = """\
  lifting_points: [bolster]
  lifting_points_rated_by: Q. Marrow
  lifting_point_from_truck_center: 0 in
  lifting_point_rating: 90,000 lb
  lowest_part_outboard_height: 30 in
  truck_height_over_rail: 42 in
  overhang_at_far_end: 12 ft 7 in
  far_end_lowest_part: 20 in
"""
_PLAN = """\
format: carknocker-lift/1
lift:
  crane: {rating: "80,000 lb"}
  sling: {legs: 2, angle: 60, rating: "40,000 lb"}
  rigging: 1,800 lb
  crib: {timbers: 6x6, pattern: 2x2, base: 36 in, height: 40 in}
  clearance: 3 in
"""


def write_page(name: str, form: str, folder: Path) -> Path:
    """The page in HTML or PDF, as its command writes it."""
    output = folder / f"{name}.{form}"
    given = {"{car}": _lifted_car, "{dossier}": _dossier}
    arguments = [str(given[part](folder)) if part in given else part for part in PAGES[name]]
    answer = CliRunner().invoke(app, [*arguments, "--format", form, "--output", str(output)])
    if not output.exists():
        raise AssertionError(answer.output)
    return output


def _dossier(folder: Path) -> Path:
    file = folder / "dossier.json"
    if not file.exists():
        CliRunner().invoke(app, ["check", "wren-hollow/before", *BEFORE, "--format", "json", "--output", str(file)])
    return file


def _lifted_car(folder: Path) -> Path:
    car = folder / "car"
    if car.is_dir():
        return car
    shutil.copytree(CASES / "wren-hollow" / "before", car)
    text = (car / "car.yaml").read_text(encoding="utf-8")
    text = text.replace("  in_service_before_2007: yes\n", "  in_service_before_2007: yes\n" + _OF_CAR, 1)
    for end in ("B", "A"):
        head = f"  {end}:\n    truck_kind: three-axle\n"
        text = text.replace(head, f"{head}    truck_weight: 26,400 lb\n", 1)
    (car / "car.yaml").write_text(text, encoding="utf-8")
    (car / "lift.yaml").write_text(_PLAN, encoding="utf-8")
    return car
