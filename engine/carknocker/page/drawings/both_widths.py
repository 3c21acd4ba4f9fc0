"""A drawing in the two widths in which it is shown: that of a sheet, and that of a phone."""

from collections.abc import Callable

from msgspec.structs import replace

from carknocker.page.drawings.canvas import PHONE, SHEET
from carknocker.page.model import Drawing


def for_both(draw: Callable[[float], Drawing | None]) -> Drawing | None:
    """A drawing for a sheet, with the same for a phone."""
    drawing = draw(SHEET)
    return None if drawing is None else replace(drawing, narrow=draw(PHONE))
