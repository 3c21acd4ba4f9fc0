"""Where each drawing of a page stands."""

from collections.abc import Iterable, Sequence

from carknocker.page.model import Drawing, Section

Placed = tuple[str, Section | None]
"""A section by the name under which drawings are put into it; no name: none is. None: it has nothing to say."""

_AT = {
    "axle-plan": "blockers",
    "car-side": "blockers",
    "wheel-profile": "blockers",
    "timeline": "lapses",
    "margins": "criteria",
    "wheel-diameters": "workings",
    "middle-axle": "workings",
    "clearance": "workings",
}
_HEADINGS = {
    "blockers": "The car, with what was found",
    "lapses": "What lapses when",
    "criteria": "How much is to spare",
    "workings": "Workings, drawn",
}


def place_of(name: str) -> str:
    """The section that a drawing belongs to, by the beginning of its name; empty: none of its own."""
    return next((place for begins, place in _AT.items() if name.startswith(begins)), "")


def placed(sections: Iterable[Placed], drawings: Sequence[Drawing]) -> tuple[Section, ...]:
    """The sections that say something, each drawing in its own: first in it, or, where that section has nothing else to
    say or is folded away, in one by itself before it. The car as it was found follows the blockers, which come before
    all pictures. What belongs nowhere comes after the first section."""
    by_place: dict[str, list[Drawing]] = {}
    for drawing in drawings:
        by_place.setdefault(place_of(drawing.name), []).append(drawing)
    homeless = tuple(by_place.pop("", ()))
    found: list[Section] = []
    for name, section in sections:
        own = tuple(by_place.pop(name, ())) if name else ()
        apart = Section(_HEADINGS.get(name, "Drawings"), own) if own else None
        if section is None or apart is None:
            found.extend(one for one in (section, apart) if one is not None)
        elif name == "blockers":
            found.extend((section, apart))
        elif section.folded:
            found.extend((apart, section))
        else:
            found.append(Section(section.heading, (*own, *section.blocks)))
    rest = (*homeless, *(drawing for own in by_place.values() for drawing in own))
    return (*found[:1], Section("Drawings", rest), *found[1:]) if rest else tuple(found)
