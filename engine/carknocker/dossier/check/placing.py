"""Where each drawing of a page stands."""

from collections.abc import Iterable, Sequence

from carknocker.dossier.writing.page import Drawing, Section

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
    """The sections that say something, each drawing at its own: after the lead of that section, or, where the section
    has nothing else to say or is folded away, in a section by itself before it. What belongs nowhere comes first."""
    by_place: dict[str, list[Drawing]] = {}
    for drawing in drawings:
        by_place.setdefault(place_of(drawing.name), []).append(drawing)
    homeless = tuple(by_place.pop("", ()))
    found: list[Section] = []
    for name, section in sections:
        own = tuple(by_place.pop(name, ())) if name else ()
        if own and (section is None or section.folded or name == "blockers"):
            found.append(Section(_HEADINGS.get(name, "Drawings"), own))
        elif own and section is not None:
            section = Section(section.heading, (*own, *section.blocks))
        if section is not None:
            found.append(section)
    rest = (*homeless, *(drawing for own in by_place.values() for drawing in own))
    return (*found[:1], Section("Drawings", rest), *found[1:]) if rest else tuple(found)
