"""Refusals in words: which part each is about, what is against the move, and what a refusal stops."""

from collections.abc import Iterable

from carknocker.documents import listed
from carknocker.judgement.assemble import stops_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import AgainstMove, Refusal
from carknocker.judgement.permissions import Permission
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Part
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.wording.parts import named
from carknocker.wording.sources import place_words


def label_of_refusal(refusal: Refusal) -> str:
    """The label of the part that a refusal is about; empty for the move as stated."""
    if refusal.finding is not None:
        return refusal.finding.part.label
    return "" if refusal.duty is None else refusal.duty.part.label


def permission_words(permission: Permission) -> str:
    """`the host's written permission (Kestrel & Northern circular 7, 8.1)`; one that only lets it move for repair says
    so."""
    only = ", to move for repair only" if permission.purpose == "repair" else ""
    return f"the host's written permission{only} ({place_words(permission.rule.source)})"


def against_words(against: AgainstMove) -> str:
    """`the train is to run at 60 mph; the car may run at most 40 mph`."""
    return "; ".join(filter(None, (stated_words(against), allowed_words(against))))


def stated_words(against: AgainstMove) -> str:
    """What the move states, or that no statement would pass."""
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
        case "destination":
            return f"the move goes to: {stated}" if stated else "the move does not say where it goes (`goes_to`)"
        case "riders":
            return f"{stated} are to ride"


def allowed_words(against: AgainstMove) -> str:
    """What is allowed; empty if nothing is."""
    if isinstance(against.allowed, Quantity):
        return f"the car may run at most {write_quantity(against.allowed)}"
    return f"allowed: {' or '.join(against.allowed)}" if against.allowed else ""


def _said(stated: Quantity | str) -> str:
    return write_quantity(stated) if isinstance(stated, Quantity) else stated


def stops_words(refusals: Iterable[Refusal], index: JudgementIndex) -> str:
    """What some refusals stop together, level by level up to the car: `wheelset W-35, and with it axle 5, truck A and
    the car`. What is against the move stops the move."""
    each = list(refusals)
    levels: dict[str, list[Part]] = {}
    parts = index.judgement.parts
    depth = index.judgement.situation.standing.containers
    for refusal in each:
        for key in stopped_by(refusal, index):
            if key in parts:
                levels.setdefault(parts[key].kind, []).append(parts[key])
    if not levels:
        return "the move" if all(_against(refusal) for refusal in each) else "the car"
    inner_first = sorted(levels, key=lambda kind: (-max(len(depth(part.key)) for part in levels[kind]), kind))
    first, *others = (named(levels[kind], index) for kind in inner_first)
    if not others:
        return first
    with_it = "with it" if len({part.key for part in levels[inner_first[0]]}) == 1 else "with them"
    return f"{first}, and {with_it} {listed(others)}"


def stopped_by(refusal: Refusal, index: JudgementIndex) -> tuple[str, ...]:
    """Keys of the parts that a refusal (or a duty not done) makes unfit, nearest first."""
    if refusal.duty is None:
        return refusal.stops
    return stops_of(refusal.duty.fact, index.paths_up)


def _against(refusal: Refusal) -> bool:
    finding = refusal.finding
    return refusal.against is not None or (finding is not None and finding.part.kind in MOVE_KINDS)
