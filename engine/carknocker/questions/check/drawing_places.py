"""Which section of a page each drawing goes to."""

from collections.abc import Iterable, Sequence

from carknocker.page.model import Drawing, Section

NamedSection = tuple[str, Section | None]
"""A section with the name that its drawings go by; empty if it takes no drawings. None: an empty section."""

_AT = {
    "car-side": "blockers",
    "trucks-above": "blockers",
    "timeline": "lapses",
    "margins": "margins",
    "clearance": "workings",
}
_HEADINGS = {
    "blockers": "The car, with what was found",
    "lapses": "What lapses when",
    "margins": "Margins",
    "workings": "Worked figures, drawn",
}


def place_of(name: str) -> str:
    """The name of the section that a drawing belongs to, by how the drawing's name begins; empty if it has no
    section."""
    return next((place for begins, place in _AT.items() if name.startswith(begins)), "")


def place_drawings(sections: Iterable[NamedSection], drawings: Sequence[Drawing]) -> tuple[Section, ...]:
    """The sections that are not empty, with their drawings. A drawing comes first in its section; if that section is
    empty or folded, the drawing gets a section of its own before it. The drawings of the car as found follow the
    blockers, which come before all pictures. A drawing without a section comes after the first section."""
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
