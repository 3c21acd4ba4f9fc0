"""Restrictions put together: for the whole car the strictest of each sort, and what is contrary to the planned move."""

from collections.abc import Iterable, Iterator, Mapping

from carknocker.judgement.facts import RestrictedFact
from carknocker.judgement.model import AgainstMove, RestrictionInForce
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Move
from carknocker.record.values import Figure, Value, Word
from carknocker.rulebook.model import Restriction

_RIDERS = {"nobody": "no riders", "crew": "crew only", "passengers": "passengers may ride"}
_STRICTEST_FIRST = tuple(_RIDERS)


def restricted_fact(restriction: Restriction) -> RestrictedFact:
    """The fact that something is restricted."""
    return RestrictedFact(restriction.sort, restriction_words(restriction))


def restriction_words(restriction: Restriction) -> str:
    """The restriction in words: `at most 40 mph`, `rear of train`."""
    match restriction.sort:
        case "speed":
            return f"at most {_speed_words(restriction)}"
        case "place":
            return " or ".join(restriction.words) + " of train"
        case "destination":
            return "only to the " + " or ".join(restriction.words)
        case "riders":
            return _RIDERS[restriction.words[0]]
        case "tag":
            return "tag: " + "; ".join(restriction.words)
        case _:
            return "; ".join(restriction.words)


def _speed_words(restriction: Restriction) -> str:
    if restriction.quantity is not None:
        return write_quantity(restriction.quantity)
    if restriction.share is None:
        return "the train's maximum allowable speed"
    share = (
        "half" if (restriction.share.n, restriction.share.d) == (1, 2) else f"{write_quantity(restriction.share)} of"
    )
    return f"{share} the train's maximum allowable speed"


def speed_limits(in_force: Iterable[RestrictionInForce], train: Mapping[str, Value]) -> list[Quantity]:
    """Every speed limit as a speed, by what is told of the train.

    A share is one of the train's maximum allowable speed; where nobody says that, of the speed at which it is to run,
    which is no higher. With neither it is no speed.
    """
    whole = _figure(train.get("maximum_allowable_speed")) or _figure(train.get("speed"))
    limits = []
    for one in in_force:
        restriction = one.restriction
        if restriction.sort != "speed":
            continue
        if restriction.quantity is not None:
            limits.append(restriction.quantity)
        elif restriction.share is not None and whole is not None:
            limits.append(Quantity.of("speed", whole.amount * restriction.share.amount, "mph"))
    return limits


def contrary_to_move(
    in_force: tuple[RestrictionInForce, ...], move: Move
) -> list[tuple[AgainstMove, tuple[RestrictionInForce, ...]]]:
    """What the move states against what is restricted, with the restrictions that say so."""
    against: list[tuple[AgainstMove, tuple[RestrictionInForce, ...]]] = []
    speed = _figure(move.train_facts.get("speed"))
    limits = speed_limits(in_force, move.train_facts)
    if speed is not None and limits:
        least = min(limits)
        if speed > least:
            saying = _of_sort(in_force, "speed")
            against.append((AgainstMove("speed", speed, least), saying))
    places = _of_sort(in_force, "place")
    if places:
        allowed = set(places[0].restriction.words)
        for one in places[1:]:
            allowed &= set(one.restriction.words)
        stated = _word(move.train_facts.get("place"))
        if not allowed:
            against.append((AgainstMove("place", "", ()), places))
        elif stated is not None and stated not in allowed:
            against.append((AgainstMove("place", stated, tuple(sorted(allowed))), places))
    against.extend(_contrary_destination(in_force, move))
    riders = _of_sort(in_force, "riders")
    if riders:
        strictest = min(_STRICTEST_FIRST.index(one.restriction.words[0]) for one in riders)
        if _STRICTEST_FIRST.index(move.rides) > strictest:
            against.append((AgainstMove("riders", move.rides, (_STRICTEST_FIRST[strictest],)), riders))
    return against


def _contrary_destination(
    in_force: tuple[RestrictionInForce, ...], move: Move
) -> Iterator[tuple[AgainstMove, tuple[RestrictionInForce, ...]]]:
    """A move that does not say where it goes may go anywhere, and so is contrary to every restriction of it."""
    saying = _of_sort(in_force, "destination")
    if saying:
        allowed = frozenset.intersection(*(frozenset(one.restriction.words) for one in saying))
        stated = _word(move.facts.get("goes_to")) or ""
        if stated not in allowed:
            yield AgainstMove("destination", stated, tuple(sorted(allowed))), saying


def _of_sort(in_force: tuple[RestrictionInForce, ...], sort: str) -> tuple[RestrictionInForce, ...]:
    return tuple(one for one in in_force if one.restriction.sort == sort)


def _figure(value: Value | None) -> Quantity | None:
    return value.quantity if isinstance(value, Figure) else None


def _word(value: Value | None) -> str | None:
    return value.text if isinstance(value, Word) and value.text not in ("anywhere", "not stated") else None
