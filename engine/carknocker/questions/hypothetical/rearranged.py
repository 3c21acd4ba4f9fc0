"""What may be believed of a car with its wheelsets at other axles. It is made from what is believed of the car as it
stands, at far less than the cost of reading the whole record again. Readings go with their wheelset."""

from collections.abc import Mapping

from msgspec.structs import replace

from carknocker.judgement.situation import Situation
from carknocker.questions.hypothetical.hypothetical import NOWHERE, changed_fittings, fitted_now
from carknocker.record.model import Part
from carknocker.record.part_keys import axle_position_key, wheelset_key, wheelset_parts
from carknocker.vocabulary.program_names import AXLE, BEARING, WHEEL, WHEELSET

_KINDS = (WHEELSET, WHEEL, BEARING, AXLE)


def rearranged(before: Situation, at: Mapping[int, str]) -> Situation:
    """The situation with these wheelsets at these axles, as if they had always been there.

    at: axle → serial, of wheelsets that are parts of the situation. An axle that is not named keeps its wheelset, or is
    empty where that one is named for another axle.
    """
    standing = before.standing
    now = fitted_now(standing.car)
    changed = {axle: serial for axle, serial in at.items() if now.get(axle) != serial}
    if not changed:
        return before
    taken = set(at.values())
    emptied = {axle for axle, serial in now.items() if axle in changed or (axle not in at and serial in taken)}
    places: dict[str, int | None] = {now[axle]: None for axle in emptied}
    places.update({serial: axle for axle, serial in changed.items()})
    parts: dict[str, Part] = dict(standing.parts)
    inside = dict(standing.inside)
    for axle in emptied:
        position = axle_position_key(axle)
        inside[position] = tuple(key for key in inside[position] if key != wheelset_key(now[axle]))
    for serial, at_axle in places.items():
        parts.update((part.key, part) for part in wheelset_parts(serial, at_axle, False, NOWHERE))
        if at_axle is not None:
            position = axle_position_key(at_axle)
            inside[position] = (*inside[position], wheelset_key(serial))
    by_kind = {**standing.by_kind, **{kind: tuple(parts[one.key] for one in standing.by_kind[kind]) for kind in _KINDS}}
    car = replace(
        standing.car,
        fittings=changed_fittings(standing.car, changed, emptied, standing.as_of, {}),
        spares=tuple(one for one in standing.car.spares if one.serial not in taken),
        evidence=(),  # what is known of the parts is in the standing
    )
    changed_standing = replace(
        standing, car=car, parts=parts, by_kind=by_kind, inside=inside, _containers={}, _reached={}, _inside={}
    )
    return Situation(changed_standing, before.move, before.excluded, before)
