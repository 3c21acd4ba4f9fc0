"""Braking ratio and operative share of a car, from its record."""

from fractions import Fraction

from carknocker.record.model import Evidence, Part
from carknocker.workings.braking import RatioBasis, braking_ratio, cylinder_force, share_operative, shoe_force
from carknocker.workings.enclosure import Enclosure
from carknocker.workings.inputs import Input, derived, figure, inside, word
from carknocker.workings.model import Missing, Readings, Worked, Working
from carknocker.workings.result import Result, number


def nominal_ratio_at(pressure: int) -> Working:
    """The working of the nominal braking ratio at a cylinder pressure, of the light weight."""

    def nominal_ratio(readings: Readings, part: Part) -> Worked | Missing:
        """Nominal: force of all cylinders at the pressure, times the lever ratio of the whole rigging, without losses,
        over the light weight."""
        cylinders = inside(readings, "car", "brake cylinder")
        if not cylinders:
            return Missing(part.key, "brake_cylinders", "none on record")
        diameters: list[Input] = []
        for key in cylinders:
            diameter = figure(readings, key, "diameter")
            if isinstance(diameter, Missing):
                return diameter
            diameters.append(diameter)
        ratio = figure(readings, part.key, "lever_ratio")
        if isinstance(ratio, Missing):
            return ratio
        weight = figure(readings, "car", "light_weight")
        if isinstance(weight, Missing):
            return weight

        def work() -> Result:
            forces = [cylinder_force(one.amount, Fraction(pressure)) for one in diameters]
            total = Enclosure.of(0)
            for force in forces:
                total = total + force.amount
            shoes = shoe_force(total, ratio.amount)
            basis = RatioBasis("nominal", Fraction(pressure), "light")
            found = braking_ratio(shoes.amount, weight.amount, basis).result
            count = len(forces)
            each = f"{count} cylinder{'s' if count != 1 else ''}, lever ratio {number(ratio.amount)}"
            return Result(found.dimension, found.amount, f"{found.line}; {each}: {shoes.line}")

        return derived(part.key, "lever_ratio", (*diameters, ratio, weight), work)

    return nominal_ratio


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
