"""Brakes: forces, levers, braking ratio, operative share, and what a hand brake holds on a grade.

Nominal and net figures are never mixed, nor ratios at different pressures or of different weights.
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

import msgspec
from msgspec.structs import replace

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.enclosure import PI, Enclosure, Number
from carknocker.workings.formula import Result, inches, number, result, written
from carknocker.workings.inputs import Input, derived, figure, figures, inside, word
from carknocker.workings.loads import weighed_with_carried
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked, Working


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


def nominal_ratio_at(pressure: int) -> Working:
    """The working of the nominal braking ratio at a cylinder pressure, of the light weight."""

    def nominal_ratio(readings: Readings, part: Part) -> Worked | Missing:
        """Nominal: force of all cylinders at the pressure, times the lever ratio of the whole rigging, without losses,
        over the light weight."""
        cylinders = inside(readings, "car", "brake cylinder")
        if not cylinders:
            return Missing(part.key, "brake_cylinders", "not on record")
        diameters: list[Input] = []
        for key in cylinders:
            diameter = figure(readings, key, "diameter")
            if isinstance(diameter, Missing):
                return diameter
            diameters.append(diameter)
        rigging = rigging_ratio(readings, part)
        if isinstance(rigging, Missing):
            return rigging
        ratio, of_rigging, arms = rigging
        weight = figure(readings, "car", "light_weight")
        if isinstance(weight, Missing):
            return weight

        def work() -> Result:
            forces = [cylinder_force(one.amount, Fraction(pressure)) for one in diameters]
            total = Enclosure.of(0)
            for force in forces:
                total = total + force.amount
            shoes = shoe_force(total, ratio)
            basis = RatioBasis("nominal", Fraction(pressure), "light")
            found = braking_ratio(shoes.amount, weight.amount, basis)
            each = dict.fromkeys(force.line for force in forces)
            lines = (found.line, *each, arms or f"r = {number(ratio)}", shoes.line)
            return Result(found.dimension, found.amount, "; ".join(lines))

        return derived(part.key, "lever_ratio", (*diameters, *of_rigging, weight), work)

    return nominal_ratio


def cylinder_force_at(pressure: int) -> Working:
    """The working of the force of one cylinder's piston at a cylinder pressure."""

    def force(readings: Readings, part: Part) -> Worked | Missing:
        """Force of the piston: area times pressure, without losses."""
        diameter = figure(readings, part.key, "diameter")
        if isinstance(diameter, Missing):
            return diameter
        return derived(
            part.key, "diameter", (diameter,), lambda: cylinder_force(diameter.amount, Fraction(pressure))
        )  # fmt: skip

    return force


def compound_lever_ratio(readings: Readings, part: Part) -> Worked | Missing:
    """Ratio of the whole rigging by the arms of its levers, in the order in which the force goes through them, times
    the beams that the last one pulls."""
    levers = readings.standing.by_kind.get("brake lever", ())
    if not levers:
        return Missing(part.key, "brake_levers", "not on record")
    arms: list[Lever] = []
    used: list[Input] = []
    for lever in levers:
        found = figures(readings, (lever.key, "effort_arm"), (lever.key, "load_arm"))
        if isinstance(found, Missing):
            return found
        used.extend(found)
        arms.append(Lever(found[0].amount, found[1].amount))
    beams = figure(readings, part.key, "brake_beams")
    if isinstance(beams, Missing):
        return beams
    by_arms = derived(part.key, "brake_beams", (*used, beams), lambda: compound_ratio(arms, int(beams.amount)))
    if isinstance(by_arms, Missing) or not isinstance(by_arms.value, Figure):
        return by_arms
    return replace(by_arms, value=Figure(Quantity.of("ratio", by_arms.value.quantity.amount)))  # not in percent


def rigging_ratio(readings: Readings, part: Part) -> tuple[Fraction, tuple[Evidence, ...], str] | Missing:
    """The lever ratio of the whole rigging: as recorded, else by the arms of its levers, with that worked line."""
    told = figure(readings, part.key, "lever_ratio")
    if isinstance(told, Input):
        return told.amount, (told.evidence,), ""
    if not readings.standing.by_kind.get("brake lever"):
        return told
    by_arms = compound_lever_ratio(readings, part)
    if isinstance(by_arms, Missing) or not isinstance(by_arms.value, Figure):
        return by_arms if isinstance(by_arms, Missing) else told
    return by_arms.value.quantity.amount, by_arms.used, by_arms.line


def net_ratio_at_50_psi(readings: Readings, part: Part) -> Worked | Missing:
    """Net: force of all shoes as measured with 50 psi in the cylinder, over the light weight. It has losses in it, so
    that it is never compared with a nominal figure."""
    found = figures(readings, (part.key, "net_shoe_force_at_50_psi"), ("car", "light_weight"))
    if isinstance(found, Missing):
        return found
    force, weight = found
    basis = RatioBasis("net", Fraction(50), "light")
    return derived("car", "light_weight", found, lambda: braking_ratio(force.amount, weight.amount, basis))


def operative_by_control_valves(readings: Readings, part: Part) -> Worked | Missing:
    """Control valves that work over all control valves of the car; none while the brake is cut out. A car may have more
    axles than its share of the valves, so that this count and the one by axles are never taken for each other."""
    whole = figure(readings, part.key, "control_valves")
    if isinstance(whole, Missing):
        return whole
    cut_out = word(readings, part.key, "cut_out")
    if not isinstance(cut_out, Missing) and cut_out[0] == "yes":
        used: list[Input | Evidence] = [whole, cut_out[1]]
        return derived(
            part.key, "control_valves", used, lambda: share_operative(0, int(whole.amount), "control valves")
        )  # fmt: skip
    working = figure(readings, part.key, "control_valves_operative")
    if isinstance(working, Missing):
        return working
    return derived(
        part.key,
        "control_valves_operative",
        (working, whole),
        lambda: share_operative(int(working.amount), int(whole.amount), "control valves"),
    )


def operative_by_axles(readings: Readings, part: Part) -> Worked | Missing:
    """Braked axles on which the brake applies over all braked axles; none while the brake is cut out."""
    axles = inside(readings, "car", "axle position")
    used: list[Evidence] = []
    braked: list[str] = []
    for key in axles:
        is_braked = word(readings, key, "braked")
        if isinstance(is_braked, Missing):
            return is_braked
        used.append(is_braked[1])
        if is_braked[0] == "yes":
            braked.append(key)
    if not braked:
        return Missing(part.key, "axle_positions", "no braked axle on record")
    cut_out = word(readings, part.key, "cut_out")
    if not isinstance(cut_out, Missing) and cut_out[0] == "yes":
        found = [False] * len(braked)
        used.append(cut_out[1])
    else:
        found = []
        for key in braked:
            applies = word(readings, key, "brake_applies")
            if isinstance(applies, Missing):
                return applies
            used.append(applies[1])
            found.append(applies[0] == "yes")
    return derived(part.key, "brake_applies", used, lambda: share_operative(sum(found), len(found), "axles"))


cylinder_force_at_50_psi = cylinder_force_at(50)
cylinder_force_at_60_psi = cylinder_force_at(60)
nominal_ratio_at_50_psi = nominal_ratio_at(50)
nominal_ratio_at_60_psi = nominal_ratio_at(60)


class Holding(msgspec.Struct, frozen=True):
    """What a hand brake holds against what the grade asks, lb."""

    retarding: Result
    needed: Result


def hand_brake_holding(force: Fraction, friction: Fraction, weight: Fraction, grade: Fraction) -> Holding:
    """μF against W·g: holding on a grade. F: force of the shoes that the hand brake works, lb; μ: friction of shoe on
    wheel, over 0, under 1; W: gross weight with the carried wheelsets, lb; g: grade as a ratio, 0 to 0.2. W·g is a
    little more than W·sin, so on the safe side. Rolling resistance is not counted on. No friction is built in: it
    depends on shoe and weather."""
    if force < 0 or weight <= 0 or not 0 < friction < 1 or not 0 <= grade <= Fraction(1, 5):
        raise OutOfRange("a force from 0 lb, a weight over 0 lb, a friction between 0 and 1, a grade from 0 to 20 %")
    return Holding(
        result("weight", friction * force, f"R = μ × F = {number(friction)} × {written('weight', force)}"),
        result("weight", weight * grade, f"G = W × g = {written('weight', weight)} × {written('ratio', grade)}"),
    )


def holding_on_steepest_grade(readings: Readings, part: Part) -> Worked | Missing:
    """h = R/G: what one hand brake holds back, of what the steepest grade of the legs asks for; 100 % or more holds.

    R = μ·F of its shoes, G = W·g. Friction and force are recorded, never taken for granted.
    """
    move = readings.standing.move
    if move is None or not move.legs:
        return Missing("move", "legs", "no legs are given")
    grades: list[Input] = []
    for leg in move.legs:
        grade = figure(readings, f"leg {leg.number}", "steepest_grade")
        if isinstance(grade, Missing):
            return grade
        grades.append(grade)
    found = figures(readings, (part.key, "shoe_force"), (part.key, "shoe_friction"))
    if isinstance(found, Missing):
        return found
    force, friction = found
    weight = weighed_with_carried(readings)
    if isinstance(weight, Missing):
        return weight
    steepest = max(grades, key=lambda one: one.amount)
    if not steepest.amount:
        return Missing("move", "legs", "no leg has a grade, so that nothing has to be held")

    def work() -> Result:
        held = hand_brake_holding(force.amount, friction.amount, weight.amount, steepest.amount)
        share = Enclosure.of(held.retarding.amount) / held.needed.amount
        numbers = f"{written('weight', held.retarding.amount)}/{written('weight', held.needed.amount)}"
        found = result("ratio", share, f"h = R/G = {numbers}")
        return Result(found.dimension, found.amount, f"{held.retarding.line}; {held.needed.line}; {found.line}")

    return derived(part.key, "shoe_friction", (*found, *weight.used, steepest), work)
