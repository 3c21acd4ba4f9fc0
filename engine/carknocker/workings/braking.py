"""Brake force and braking ratio. Nominal and net are never mixed, nor ratios at different pressures or weights."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.workings.enclosure import PI, Enclosure, Number
from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, inches, number, result, written


def cylinder_force(diameter: Fraction, pressure: Fraction, cylinders: int = 1) -> Result:
    """F = n·(π/4)·d²·p: force of the pistons, lb. d: inches, over 0; p: cylinder pressure, psi, 0 or more;
    n: 1 or more.

    Without efficiency, which is part of a net figure only. Source: practice. Raises OutOfRange.
    """
    if diameter <= 0 or pressure < 0 or cylinders < 1:
        raise OutOfRange("a cylinder is wider than 0 in, its pressure is 0 psi or more, and there is at least one")
    force = PI / 4 * (diameter * diameter * pressure * cylinders)
    numbers = f"{cylinders} × π/4 × ({inches(diameter)})² × {written('pressure', pressure)}"
    return result("weight", force, f"F = n × π/4 × d² × p = {numbers}")


class Lever(msgspec.Struct, frozen=True):
    """A lever of the rigging: arms from its fulcrum to where it is pulled and to where it pulls, inches, over 0."""

    effort_arm: Fraction
    load_arm: Fraction

    @property
    def ratio(self) -> Fraction:
        """By how much the lever multiplies a force. Raises OutOfRange for an arm that is not over 0."""
        if self.effort_arm <= 0 or self.load_arm <= 0:
            raise OutOfRange("a lever's arms are longer than 0 in")
        return self.effort_arm / self.load_arm


def compound_ratio(levers: Sequence[Lever], branches: int = 1) -> Result:
    """r = b·Π(e/l): ratio of a rigging whose levers follow each other. e, l: arms of each lever; b: how many equal
    branches the last force acts on (beams). Source: practice. Raises OutOfRange."""
    if not levers or branches < 1:
        raise OutOfRange("a rigging has at least one lever and one branch")
    ratio = Fraction(branches)
    for lever in levers:
        ratio *= lever.ratio
    chain = " × ".join(f"{inches(lever.effort_arm)}/{inches(lever.load_arm)}" for lever in levers)
    return Result("ratio", Enclosure.of(ratio), f"r = b × Π(e/l) = {branches} × {chain} = {number(ratio)}")


def shoe_force(piston_force: Number, lever_ratio: Fraction, efficiency: Fraction = Fraction(1)) -> Result:
    """F = F₀·r·η: force of all shoes, lb. F₀: of the pistons, lb; r: lever ratio, over 0; η: over 0, at most 1 (1 for a
    nominal figure). Raises OutOfRange."""
    if lever_ratio <= 0 or not 0 < efficiency <= 1 or Enclosure.of(piston_force).low < 0:
        raise OutOfRange("a lever ratio is over 0, an efficiency over 0 and at most 1, a force 0 lb or more")
    force = Enclosure.of(piston_force) * lever_ratio * efficiency
    numbers = f"{written('weight', piston_force)} × {number(lever_ratio)} × {number(efficiency)}"
    return result("weight", force, f"F = F₀ × r × η = {numbers}")


class RatioBasis(msgspec.Struct, frozen=True):
    """What a braking ratio is of. kind: nominal (computed, without losses) or net (measured at the shoes); pressure:
    of the cylinder, psi; weight: which weight it is taken of."""

    kind: Literal["nominal", "net"]
    pressure: Fraction
    weight: Literal["light", "gross"]

    def __str__(self) -> str:
        return f"{self.kind}, {written('pressure', self.pressure)} in the cylinder, {self.weight} weight"


def braking_ratio(force: Number, weight: Fraction, basis: RatioBasis) -> Result:
    """k = F/W. F: force of all shoes, lb (with efficiency 1 for a nominal ratio, measured for a net one); W: weight
    named by the basis, lb, over 0. Raises OutOfRange."""
    if weight <= 0 or Enclosure.of(force).low < 0:
        raise OutOfRange("a weight is over 0 lb, a force 0 lb or more")
    numbers = f"{written('weight', force)}/{written('weight', weight)}"
    found = result("ratio", Enclosure.of(force) / weight, f"k = F/W = {numbers}")
    return Result(found.dimension, found.amount, f"{found.line} ({basis})")


def share_operative(operative: int, whole: int, what: str) -> Result:
    """s = n/N: share of the brakes that work, counted by axles or by control valves, as `what` says.
    0 ≤ n ≤ N, N over 0.

    The two counts differ for a train of unlike cars, so that one is never taken for the other. Raises OutOfRange.
    """
    if whole < 1 or not 0 <= operative <= whole:
        raise OutOfRange("operative brakes are from none up to all of them")
    return result("ratio", Fraction(operative, whole), f"s = operative {what}/all {what} = {operative}/{whole}")
