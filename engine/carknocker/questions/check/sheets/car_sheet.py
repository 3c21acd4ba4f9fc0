"""Sheet 3: the car drawn, with its readings."""

from collections.abc import Sequence

from msgspec.structs import replace

from carknocker.page.drawings.canvas import ROOM_ON_THE_SHEET, SHEET
from carknocker.page.model import Block, Drawing, Item, Section

_SIDE = ("car-side",)
_ABOVE = ("trucks-above", "axle-plan")
_LEAST = ("margins",)


def car_sheet(drawings: Sequence[Drawing]) -> Section | None:
    """The sheet; None without drawings."""
    blocks: list[Block | Item] = [*_named(drawings, _SIDE)]
    above = _named(drawings, _ABOVE)
    if above:
        blocks.append(Item("Trucks from above, with the readings", above))
    if not blocks:
        return None
    drawn = tuple(blocks)
    least = least_margins(drawings)
    if least is not None and fits(drawings):
        blocks.append(least)
    lead = (
        "Seen from its R side, B end at the left. Figures are from the record; parts without one are drawn as usual "
        "for the kind."
    )
    return Section(
        "The car, drawn", tuple(blocks), folded=True, sheet=True, lead=lead, gives_way=((1, drawn),)
    )  # fmt: skip


def fits(drawings: Sequence[Drawing]) -> bool:
    """Whether the least margins have room on this sheet; else they stand with the evidence."""
    shown = _named(drawings, (*_SIDE, *_ABOVE, *_LEAST))
    return sum(one.height for one in shown) <= ROOM_ON_THE_SHEET


def least_margins(drawings: Sequence[Drawing]) -> Item | None:
    """The least margins; None without the drawing."""
    found = _named(drawings, _LEAST)
    return Item("Least margins", found) if found else None


def _named(drawings: Sequence[Drawing], begins: tuple[str, ...]) -> tuple[Drawing, ...]:
    return tuple(replace(one, headed=True) for one in drawings if one.name.startswith(begins) and one.width >= SHEET)


def drawings_of_the_appendix(drawings: Sequence[Drawing]) -> tuple[Drawing, ...]:
    """Those that stand on no sheet of the dossier."""
    return tuple(one for one in drawings if not one.name.startswith((*_SIDE, *_ABOVE, *_LEAST, "timeline")))
