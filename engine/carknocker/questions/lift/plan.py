"""The plan of a lift (`carknocker-lift/1`): the crane, gear and points that a car record does not hold."""

from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any, Literal

from carknocker.documents import InputRefused, Location, Problem, ProblemList, load_text, nearest, read_document
from carknocker.documents.structure import Accepts, Structure, problem_at, read_as, schema_of
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.entries import Free, Text, Whole, YesOrNo, quantity
from carknocker.workings.lift_sheet import Crib, LiftPlan

FORMAT = "carknocker-lift/1"
USUAL_NAME = "lift.yaml"

EXAMPLE = """\
format: carknocker-lift/1
lift:
  crane: {rating: "… lb"}               # at the radius of this lift, from its load chart
  sling: {legs: 2, angle: 60°, rating: "… lb"}   # legs that share the load; angle from the level; one leg upright
  rigging: "… lb"                       # hook block, slings and spreader together
  crib: {timbers: 6×6, pattern: 2×2, base: 36 in, height: 40 in, cribs: 2}
  clearance: 3 in                       # wanted between the truck and what it passes under
  # halves_equal: yes                   # only where the trucks were not weighed one by one
  # coupler: {rating: "… lb", by: who}  # only if a competent person says so for this lift
"""


def _angle(text: Any) -> Quantity:
    if not isinstance(text, str):
        raise QuantityError("a list or a mapping", "an angle such as 60°")
    plain = text.strip()
    try:
        return read_quantity(f"{plain}°" if plain.replace(".", "", 1).isdigit() else plain, "degree of curve")
    except QuantityError:
        raise QuantityError(f"`{plain[:60]}`", "an angle such as 60°") from None


def _with_cross(value: Any) -> Any:
    """The size with a multiplication sign: `6x6` as `6×6`."""
    return value.replace(" ", "").replace("x", "×").replace("X", "×") if isinstance(value, str) else value


_Timbers = Literal["4×4", "6×6"]
_Pattern = Literal["2×2", "3×3"]
Weight = Annotated[Quantity, quantity("weight")]
Length = Annotated[Quantity, quantity("length")]
Angle = Annotated[Quantity, Accepts.made_by(_angle)]
Timbers = Annotated[_Timbers, Accepts.before(_with_cross, schema_of(_Timbers))]
Pattern = Annotated[_Pattern, Accepts.before(_with_cross, schema_of(_Pattern))]


class CraneEntry(Structure, frozen=True, kw_only=True):
    rating: Weight
    radius: Length | None = None
    name: Free = ""


class SlingEntry(Structure, frozen=True, kw_only=True):
    legs: Whole
    angle: Angle
    rating: Weight | None = None


class CribEntry(Structure, frozen=True, kw_only=True):
    timbers: Timbers
    pattern: Pattern
    base: Length
    height: Length
    cribs: Whole = 2


class CouplerEntry(Structure, frozen=True, kw_only=True):
    rating: Weight
    by: Text


class LiftEntry(Structure, frozen=True, kw_only=True):
    rigging: Weight
    crane: CraneEntry | None = None
    sling: SlingEntry
    crib: CribEntry
    clearance: Length = Quantity("length", 0, 1)
    halves_equal: YesOrNo = "no"
    coupler: CouplerEntry | None = None


def read_plan(path: Path, shown: str) -> LiftPlan:
    """The plan in a file. Raises InputRefused with every problem found."""
    problems = ProblemList()
    text = load_text(path, problems)
    problems.refuse_if_any()
    return read_plan_text(text or "", shown)


def read_plan_text(text: str, file: str) -> LiftPlan:
    """The plan that `text` says; `file` names it. Raises InputRefused with every problem found."""
    problems = ProblemList()
    root = read_document(text, file, problems)
    problems.refuse_if_any()
    if root is None or root.kind != "mapping":
        where = Location(file, 1, 1)
        problems.add(Problem(where, "no mapping", f"a mapping that begins with `format: {FORMAT}`"))
        raise InputRefused(problems.problems)
    keys = ("format", "lift", "notes")
    for key in root.keys():
        if key not in keys:
            problems.add(problem_at(root.key_where(key), f"the key `{key[:60]}`", "`lift`", nearest(key, keys)))
    given = root.get("format")
    if given is None or given.kind != "scalar" or given.text != FORMAT:
        problems.add(problem_at(given or root, "no `format`" if given is None else given.describe(), f"`{FORMAT}`"))
    node = root.get("lift")
    if node is None:
        problems.add(problem_at(root, "a plan without `lift`", "`lift:` with crane, sling, rigging and crib"))
    entry = None if node is None else read_as(node, LiftEntry, problems)
    problems.refuse_if_any()
    if entry is None:
        raise AssertionError("a plan is refused without a problem")
    return _plan(entry)


def _plan(entry: LiftEntry) -> LiftPlan:
    crib, coupler = entry.crib, entry.coupler
    return LiftPlan(
        rigging=entry.rigging.amount,
        sling_legs=entry.sling.legs,
        sling_angle=entry.sling.angle.amount,
        crib=Crib(crib.timbers, crib.pattern, crib.base.amount, crib.height.amount, crib.cribs),
        margin=entry.clearance.amount,
        halves_equal=entry.halves_equal == "yes",
        coupler_rating=None if coupler is None else coupler.rating.amount,
        coupler_rated_by="" if coupler is None else coupler.by,
        crane_rating=None if entry.crane is None else entry.crane.rating.amount,
        sling_rating=_amount(entry.sling.rating),
    )


def _amount(quantity: Quantity | None) -> Fraction | None:
    return None if quantity is None else quantity.amount
