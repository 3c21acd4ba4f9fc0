"""What refuses the car or the move, in words."""

import msgspec

from carknocker.judgement.model import AgainstMove, Refusal
from carknocker.quantities import Quantity, write_quantity


class RefusalName(msgspec.Struct, frozen=True):
    """title: of the criterion or consequence, or what is against the move. label: the part it is about, empty for the
    move."""

    title: str
    label: str


def refusal_name(refusal: Refusal) -> RefusalName:
    """What a refusal is called, and on which part."""
    if refusal.finding is not None:
        return RefusalName(refusal.finding.criterion.title, refusal.finding.part.label)
    if refusal.duty is not None:
        return RefusalName(refusal.duty.consequence.title, refusal.duty.part.label)
    return RefusalName("" if refusal.against is None else against_words(refusal.against), "")


def against_words(against: AgainstMove) -> str:
    """`the train is to run at 60 mph; the car may run at most 40 mph`."""
    return "; ".join(filter(None, (stated_words(against), allowed_words(against))))


def stated_words(against: AgainstMove) -> str:
    """What the move states, or that nothing it could state would do."""
    stated = _said(against.stated)
    match against.sort:
        case "speed":
            return f"the train is to run at {stated}"
        case "place":
            return (
                f"the car is to run {stated} in the train"
                if stated
                else ("no place in the train satisfies all that restricts it")
            )
        case "riders":
            return f"{stated} are to ride"


def allowed_words(against: AgainstMove) -> str:
    """What is allowed; empty where nothing is."""
    if isinstance(against.allowed, Quantity):
        return f"the car may run at most {write_quantity(against.allowed)}"
    return f"allowed: {' or '.join(against.allowed)}" if against.allowed else ""


def _said(stated: Quantity | str) -> str:
    return write_quantity(stated) if isinstance(stated, Quantity) else stated
