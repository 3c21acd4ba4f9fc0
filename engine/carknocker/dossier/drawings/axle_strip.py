"""The middle of an axle plan: rails, wheels and axles from above, with what belongs to the whole axle written on it."""

import msgspec

from carknocker.dossier.drawings.axle_cells import LINE, Cell, draw_cell, other_cells
from carknocker.dossier.drawings.canvas import WIDTH, Canvas
from carknocker.dossier.drawings.marks import NO_MARK, NOT_SHOWN, OPEN
from carknocker.dossier.drawings.measuring import SMALL, TEXT, shortened
from carknocker.dossier.drawings.seen import Seen, short_figure
from carknocker.record.model import Part

_WHEEL = (44.0, 9.0)
_FREE = 28.0  # of each axle that nothing is written on
_EDGE = 12.0


class OnAxle(msgspec.Struct, frozen=True):
    """What is written on an axle. apart: back to back of its wheels; others: what was found on wheelset and axle."""

    label: str
    serial: str
    apart: Cell
    others: tuple[Cell, ...]
    fitted: bool

    @property
    def height(self) -> float:
        """How high it is."""
        return 2 * LINE + sum(cell.height for cell in (*self._apart, *self.others)) + (LINE + 2 if self.fitted else 0)

    @property
    def _apart(self) -> tuple[Cell, ...]:
        return (self.apart,) if self.fitted else ()

    @property
    def told(self) -> str:
        """The same in words."""
        if not self.fitted:
            return self.serial
        words = [f"{self.serial}, back to back {' '.join(self.apart.all_lines)}"]
        return ", ".join((*words, *(" ".join(cell.all_lines) for cell in self.others)))

    def draw(self, canvas: Canvas, middle: float, top: float, wide: float) -> None:
        """Writes it about a middle line, its upper edge at `top`."""
        canvas.text(middle, top + LINE, self.label, anchor="middle", bold=True)
        canvas.text(middle, top + 2 * LINE, self.serial, anchor="middle", size=SMALL)
        y = top + 2 * LINE
        if self.fitted:
            canvas.text(middle, y + LINE, "back to back", anchor="middle", size=SMALL)
            y += LINE + 2
        for cell in (*self._apart, *self.others):
            draw_cell(canvas, middle, y, wide, cell)
            y += cell.height


def on_axle(seen: Seen, axle: Part, room: float) -> OnAxle:
    """What is written on an axle, no wider than the room."""
    label = shortened(axle.label, room, TEXT, bold=True)
    wheelset = seen.wheelset(axle)
    if wheelset is None:
        others = other_cells(seen, (axle,), room - 10)
        return OnAxle(label, "no wheelset", Cell((NOT_SHOWN,), OPEN), tuple(others), False)
    mark = seen.mark(wheelset.key, "back_to_back")
    value = seen.value(wheelset.key, "back_to_back")
    text = "" if value is None else shortened(short_figure(value), room)
    apart = Cell((text,), mark) if text else Cell((NOT_SHOWN,), OPEN if mark == NO_MARK else mark)
    steel = next(iter(seen.of_kind(wheelset.key, "axle")), None)
    others = other_cells(seen, (wheelset, steel, axle), room - 10)
    return OnAxle(label, shortened(wheelset.key.removeprefix("wheelset "), room, SMALL), apart, tuple(others), True)


def draw_strip(canvas: Canvas, strip: list[OnAxle], middles: list[float], wide: float, top: float) -> float:
    """The strip, B end on the left. Returns its lower edge."""
    high = max(one.height for one in strip) + 2 * _FREE
    rails = (top + _EDGE, top + _EDGE + high)
    for y in rails:
        canvas.line(0, y, WIDTH, y, width=1.6)
    canvas.text(0, rails[0] + _FREE + 2 * LINE, "wheelset", size=SMALL)
    for one, middle in zip(strip, middles, strict=True):
        upper = rails[0] + _FREE
        for y in rails:
            canvas.box(middle - _WHEEL[0] / 2, y - _WHEEL[1] / 2, *_WHEEL, fill="ink" if one.fitted else "none",
                       dashes="" if one.fitted else "4 3", round_by=2)  # fmt: skip
        for begin, end in ((rails[0] + 4.5, upper), (upper + one.height + 4, rails[1] - 4.5)):
            canvas.line(middle - 2, begin, middle - 2, end)
            canvas.line(middle + 2, begin, middle + 2, end)
        one.draw(canvas, middle, upper, wide)
    return rails[1] + _EDGE
