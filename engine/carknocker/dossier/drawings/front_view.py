"""The car from its end against what passes on a leg, both about the middle of the track, and to one scale."""

from collections.abc import Iterator
from fractions import Fraction

from carknocker.dossier.drawings.canvas import WIDTH, Canvas
from carknocker.dossier.drawings.lengths import Lengths
from carknocker.dossier.drawings.measuring import SMALL, broken
from carknocker.dossier.drawings.passage import Passage
from carknocker.dossier.drawings.seen import inch_words, length_words

_FRONT = 150.0
_LINE = 14.0


def swing_words(amount: Fraction | None) -> str:
    """A swing, to a 64th: there is a root in it."""
    return "not shown" if amount is None else inch_words(_to_64(amount))


def _to_64(amount: Fraction) -> Fraction:
    return Fraction(round(amount * 64), 64)


def front_view(canvas: Canvas, passage: Passage, lengths: Lengths, top: float) -> float:
    """The end of the car against what passes, both about the middle of the track."""
    rows = list(front_rows(passage, lengths))
    tallest = max(passage.height or 0, lengths.height or 0)
    if passage.width is None or not tallest or lengths.width is None:
        for words, _ in rows:
            canvas.text(0, top + 10, words, size=SMALL)
            top += _LINE
        return top
    scale, middle, rail = _FRONT / float(tallest), 76.0, top + _FRONT + 6
    high = float(passage.height or tallest) * scale
    half = float(passage.width) * scale / 2
    canvas.box(middle - half, rail - high, 2 * half, high, dashes="10 3 2 3", width=1.4)
    tall = float(lengths.height or 0) * scale
    if tall:
        half = float(lengths.width) * scale / 2
        canvas.box(middle - half, rail - tall, 2 * half, tall, fill="tint", width=1.6)
    if passage.narrowed is not None:
        left, half = float(passage.narrowed) * scale / 2, float(passage.width) * scale / 2
        for x in (middle - half, middle + left):
            canvas.box(x, rail - high, max(half - left, 0), high, fill="hatching", width=0)
    canvas.line(0, rail, 152, rail, width=1.6)
    y = top + 16
    for words, kind in rows:
        _swatch(canvas, 164, y, kind)
        for line in broken(words, WIDTH - 190, SMALL, most=3):
            canvas.text(188, y, line, size=SMALL)
            y += _LINE
        y += 8
    return max(rail + 12, y)


def _swatch(canvas: Canvas, x: float, y: float, kind: str) -> None:
    if kind == "car":
        canvas.box(x, y - 9, 16, 10, fill="tint", width=1.6)
    elif kind == "limit":
        canvas.box(x, y - 9, 16, 10, dashes="10 3 2 3", width=1.4)
    elif kind == "narrowed":
        canvas.box(x, y - 9, 16, 10, fill="hatching", width=0)
    else:
        canvas.box(x, y - 9, 16, 10, dashes="4 3", kind="open")


def front_rows(passage: Passage, lengths: Lengths) -> Iterator[tuple[str, str]]:
    """What the view shows, in words, each with the kind of line that stands for it."""
    if passage.width is None:
        yield "Clearance of the leg: not shown", "open"
    else:
        named = f" ({passage.limit_name})" if passage.limit_name else ""
        high = "" if passage.height is None else f", {length_words(passage.height)} high"
        yield f"Limit{named}: {length_words(passage.width)} wide{high}", "limit"
    if passage.narrowed is None:
        yield "Width left for a car as long as this: not shown", "open"
    else:
        yield f"Given up for swing: {length_words(_to_64(passage.narrowed))} is left for this car", "narrowed"
    wide = "not shown" if lengths.width is None else f"{length_words(lengths.width)} wide"
    tall = "height not shown" if lengths.height is None else f"{length_words(lengths.height)} high"
    yield f"This car: {wide}, {tall}", "car"
