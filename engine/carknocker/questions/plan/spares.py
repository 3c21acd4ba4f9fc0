"""Which spare would answer a duty: one off the shelf that fits, else one to be bought that does."""

from collections.abc import Mapping

from msgspec.structs import replace

from carknocker.judgement.model import Duty, Judgement
from carknocker.judgement.observed_value import exact, text_of
from carknocker.record.model import Spare
from carknocker.record.part_keys import wheelset_key
from carknocker.record.values import Value
from carknocker.vocabulary import load_vocabulary
from carknocker.whatif.hypothetical_car import NOWHERE


def spare_to_carry(duty: Duty, judgement: Judgement, taken: Mapping[str, Spare]) -> Spare | None:
    """One more spare that rides along: off the shelf where one fits, else bought. None where the record does not tell
    what would fit, and for a whole wheelset that is not on record: it is to be named before it can be judged."""
    name = duty.requirement.spare
    wanted = _wanted(duty, judgement)
    if wanted is None:
        return None
    kind = load_vocabulary().spares[name]
    for spare in judgement.situation.standing.car.spares:
        now = taken.get(spare.id, spare)
        if spare.name == name and now.shelf > 0 and _fits(now, wanted, judgement):
            return replace(now, carried=now.carried + 1, shelf=now.shelf - 1)
    if kind.thing:
        return None
    bought = taken.get(f"bought {name}", Spare(f"bought {name}", name, "", 0, 0, wanted, NOWHERE))
    return replace(bought, carried=bought.carried + 1)


def _wanted(duty: Duty, judgement: Judgement) -> dict[str, Value] | None:
    """The spare's own attributes with the values that the part asks for; None where one is not recorded."""
    situation = judgement.situation
    wanted: dict[str, Value] = {}
    for attribute, fitted in load_vocabulary().spares[duty.requirement.spare].fits.items():
        owner = situation.owner(duty.part.key, fitted.kind)
        if owner is None:
            owner = next(iter(situation.standing.reach(duty.part.key, fitted.kind)), None)
        held = None if owner is None else situation.values_of(owner).get(fitted.name)
        if held is None:
            return None
        wanted[attribute] = held.value
    return wanted


def _fits(spare: Spare, wanted: Mapping[str, Value], judgement: Judgement) -> bool:
    own = wheelset_key(spare.serial)
    for attribute, value in wanted.items():
        given = spare.facts.get(attribute)
        if given is None and spare.serial and own in judgement.situation.values:
            held = judgement.situation.values_of(own).get(attribute)
            given = None if held is None else held.value
        if given is None or (exact(given), _word(given)) != (exact(value), _word(value)):
            return False
    return True


def _word(value: Value) -> str:
    return (text_of(value) or "").casefold()
