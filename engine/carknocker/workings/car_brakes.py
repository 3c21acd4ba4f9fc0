"""Braking ratio and operative share of a car, from its record."""

from fractions import Fraction

from msgspec.structs import replace

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.braking import (
    Lever,
    RatioBasis,
    braking_ratio,
    compound_ratio,
    cylinder_force,
    share_operative,
    shoe_force,
)
from carknocker.workings.enclosure import Enclosure
from carknocker.workings.inputs import Input, derived, figure, figures, inside, word
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
        return Missing(part.key, "brake_levers", "none on record")
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
