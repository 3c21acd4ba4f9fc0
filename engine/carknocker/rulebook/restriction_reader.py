"""Reads restrictions: what a finding, a host's written permission or a consequence limits (speed, place, destination,
riders) or requires (tag, handling)."""

import re

from carknocker.documents import Node, nearest, some
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.rulebook.model import Restriction
from carknocker.rulebook.reading_context import Context

SORTS = ("speed", "place", "destination", "riders", "tag", "handling")
PLACES = ("front", "middle", "rear")
RIDERS = ("passengers", "crew", "nobody")
_OF_THE_TRAIN = r"(?:of )?the train.?s maximum allowable speed"
_HALF = re.compile(rf"half {_OF_THE_TRAIN}")
_SHARE = re.compile(rf"(?P<share>[\d./ ]+\s*(?:%|percent|per cent)) {_OF_THE_TRAIN}")


def read_restrictions(node: Node, context: Context) -> tuple[Restriction, ...] | None:
    """The restrictions of a mapping such as `{speed: 40 mph, place: [rear]}`. Two speeds are two restrictions."""
    entries = context.entries(node, SORTS, "a restriction")
    if entries is None:
        return None
    if not entries:
        context.note(node, "no restriction", f"at least one of {some(SORTS)}")
        return None
    found: list[Restriction] = []
    before = len(context.problems)
    for sort, value in entries.items():
        match sort:
            case "speed":
                found.extend(speed for item in value.as_sequence() if (speed := _speed(item, context)) is not None)
            case "place":
                places = _known_words(value, "train", "place", "a place in the train", context)
                found.append(Restriction("place", words=places))
            case "destination":
                destinations = _known_words(value, "move", "goes_to", "a destination", context)
                found.append(Restriction("destination", words=destinations))
            case "riders":
                riders = context.choice(value, RIDERS, "riders")
                found.append(Restriction("riders", words=(riders or "",)))
            case "tag":
                found.extend(Restriction("tag", words=(text,)) for text, _ in context.texts(value, "a tag"))
            case _:
                found.extend(Restriction("handling", words=(text,)) for text, _ in context.texts(value, "handling"))
    return tuple(found) if len(context.problems) == before else None


def _speed(node: Node, context: Context) -> Restriction | None:
    text = context.text(node, "a speed")
    if node.kind != "scalar":
        return None
    try:
        if _HALF.fullmatch(text):
            return Restriction("speed", share=Quantity("ratio", 1, 2))
        share = _SHARE.fullmatch(text)
        if share is not None:
            return Restriction("speed", share=read_quantity(share["share"], "ratio"))
        return Restriction("speed", quantity=read_quantity(text, "speed"))
    except QuantityError as error:
        context.note(
            node,
            error.found,
            f"{error.expected}, or `half the train's maximum allowable speed`",
            error.nearest,
            error.remedy,
        )
        return None


def _known_words(node: Node, kind: str, attribute: str, what: str, context: Context) -> tuple[str, ...]:
    """The words of a restriction, each one that the move may say of itself."""
    listed = context.lookup.attributes(kind).get(attribute)
    more = PLACES if attribute == "place" else ()
    known = tuple(dict.fromkeys((*more, *(listed.one_of if listed is not None else ()))))
    found = context.texts(node, what)
    for text, item in found:
        if text not in known:
            context.note(item, f"`{text[:60]}` for {what}", f"one of {some(known)}", nearest(text, known))
    if not found:
        context.note(node, node.describe(), f"one of {some(known)}")
    return tuple(text for text, _ in found)
