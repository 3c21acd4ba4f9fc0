"""The wheelsets that may be used, and how many miles each has left at its own wear rate."""

from fractions import Fraction

from carknocker.judgement.figures import SIDES
from carknocker.judgement.model import Judgement
from carknocker.questions.arrange.model import Wheelset, Where
from carknocker.questions.plan.jobs import spare_wheelsets
from carknocker.record.model import CarRecord
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.workings import Missing
from carknocker.workings.turning_record import rim_outlook


def usable_wheelsets(judgement: Judgement, car: CarRecord) -> tuple[Wheelset, ...]:
    """Every wheelset that is fitted, carried or on the shelf: the fitted ones by their axles, then the rest by name."""
    standing = judgement.situation.standing
    axles = {fitting.wheelset: fitting.axle for fitting in car.fittings if fitting.last is None}
    carried = {spare.serial for spare in car.spares if spare.carried > 0}
    found: list[Wheelset] = []
    for serial in (*sorted(axles, key=lambda one: axles[one]), *sorted(spare_wheelsets(standing))):
        if serial in {one.serial for one in found}:
            continue
        where: Where = "fitted" if serial in axles else "carried" if serial in carried else "on the shelf"
        miles, why_not = _miles(judgement, serial)
        found.append(Wheelset(serial, where, axles.get(serial), miles, why_not))
    return tuple(found)


def _miles(judgement: Judgement, serial: str) -> tuple[Fraction | None, str]:
    """Miles until the first rim of a wheelset is at its limit, at its own wear rate; None, and why there is none."""
    least: Fraction | None = None
    for side in ("left", "right"):
        wheel = f"wheel {serial} {side}"
        limit = _rim_limit(judgement, wheel)
        if limit is None:
            return None, "no limit of the rim applies"
        found = rim_outlook(judgement.situation, wheel, limit)
        if isinstance(found, Missing):
            return None, f"{found.attribute.replace('_', ' ')} of {found.part} {found.reason}"
        least = found.left.miles if least is None else min(least, found.left.miles)
    return least, ""


def _rim_limit(judgement: Judgement, wheel: str) -> Fraction | None:
    """The greatest least rim that a refusing criterion asks of the wheel, inches."""
    limits = [
        value.quantity.amount
        for finding in judgement.findings
        if finding.part.key == wheel
        and finding.verdict != "not applicable"
        and finding.criterion.effect == "refuse"
        and isinstance(must := finding.criterion.must, Comparison)
        and must.path.attribute.name == "rim_thickness"
        and not must.path.owner
        and must.word in SIDES
        and isinstance(must.limit, Fixed)
        for value in must.limit.values
        if isinstance(value, Figure)
    ]
    return max(limits, default=None)
