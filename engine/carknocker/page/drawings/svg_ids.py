"""Puts a drawing into a page that is already laid out, and renames drawings so that several can share a page."""

from msgspec.structs import replace

from carknocker.page.model import Drawing, Page, Section

_ENDINGS = ("title", "description", "hatching")


def drawn_into(page: Page, drawing: Drawing | None, place: int, heading: str) -> Page:
    """The page with the drawing as section number `place`, counted from 0; the page unchanged if there is no
    drawing."""
    if drawing is None:
        return page
    sections = list(page.sections)
    sections.insert(place, Section(heading, (drawing,)))
    return replace(page, sections=tuple(sections))


def renamed(drawing: Drawing, name: str) -> Drawing:
    """The drawing with another name and ids, so that two cars on one page can each have an axle plan. Ids stand in
    quotation marks, which no text of a drawing contains."""
    svg, old = drawing.svg, drawing.name
    svg = svg.replace(f'"{old}-title {old}-description"', f'"{name}-title {name}-description"', 1)
    for ending in _ENDINGS:
        svg = svg.replace(f'"{old}-{ending}"', f'"{name}-{ending}"')
        svg = svg.replace(f'"url(#{old}-{ending})"', f'"url(#{name}-{ending})"')
    return replace(drawing, name=name, svg=svg)
