"""The car on the sharpest curve of the move, and its outline against the leg's clearance, narrowed for a long car."""

from collections.abc import Iterator

from carknocker.dossier.drawings.canvas import WIDTH, Canvas
from carknocker.dossier.drawings.curve_view import ACROSS, OnCurve, draw_curve
from carknocker.dossier.drawings.front_view import front_rows, front_view, swing_words
from carknocker.dossier.drawings.lengths import Lengths, lengths_of
from carknocker.dossier.drawings.marks import Mark, tag
from carknocker.dossier.drawings.measuring import SMALL, broken
from carknocker.dossier.drawings.passage import Passage, on_curve, sharpest
from carknocker.dossier.drawings.seen import Seen
from carknocker.dossier.writing.page import Drawing
from carknocker.rulebook.clauses import FromPart
from carknocker.wording.limits import value_words

_LINE = 14.0
_ABOUT = frozenset(
    {"extreme_width", "height_over_rail", "allowed_width", "clearance", "clearance_width", "clearance_height"}
)


def clearance(seen: Seen) -> Drawing | None:
    """The drawing; None where no leg states its curve, or the car's length, width or centers are not on record."""
    passage, lengths = sharpest(seen), lengths_of(seen)
    car = None if passage is None else on_curve(seen, passage, lengths)
    if passage is None or car is None:
        return None
    canvas = Canvas("clearance")
    y = 0.0
    for line in broken(f"{_degrees(seen, passage)}: {passage.name}", WIDTH - 2, bold=True, most=2):
        canvas.text(0, y + 12, line, bold=True)
        y += _LINE
    y = draw_curve(canvas, car, y + 6) + 6
    for words in _curve_words(seen, passage, car):
        for line in broken(words, WIDTH - 2, SMALL, most=3):
            canvas.text(0, y + 10, line, size=SMALL)
            y += _LINE
    y = front_view(canvas, passage, lengths, y + 16)
    for title, mark in _found(seen, passage):
        wide = tag(canvas, WIDTH - 1, y + 12, mark, anchor="end")
        for line in broken(title, WIDTH - wide - 10, SMALL, most=2):
            canvas.text(0, y + 12, line, size=SMALL)
            y += _LINE
        y += 5
    title = "The car on the sharpest curve, and the clearance of that leg"
    return canvas.finish(y + 2, title, _described(seen, passage, lengths, car))


def _degrees(seen: Seen, passage: Passage) -> str:
    value = seen.value(passage.part.key, "sharpest_curve")
    return f"Curve of {value_words(value)}" if value is not None else "Curve"


def _curve_words(seen: Seen, passage: Passage, car: OnCurve) -> list[str]:
    swings = {name: seen.amount(passage.part.key, name) for name in ("swing_in", "swing_out")}
    told = [
        f"Swing-in at the middle: {swing_words(swings['swing_in'])}. Swing-out at the end corner: "
        f"{swing_words(swings['swing_out'])}.",
        f"Full line: center of the track. Dashed: the car's sides on straight track. Across drawn {ACROSS} times as "
        "large as along; the outside of the curve is up.",
    ]
    if not car.wheelbase:
        told.append("Axle spacing: not shown; drawn with the trucks as points.")
    return told


def _found(seen: Seen, passage: Passage) -> Iterator[tuple[str, Mark]]:
    told: dict[tuple[str, Mark], None] = {}
    for finding, mark in seen.marked(passage.part.key):
        names = set()
        for leaf in seen.context.compiled(finding.criterion).leaves:
            names.add(leaf.comparison.path.attribute.name)
            if isinstance(leaf.comparison.limit, FromPart):
                names.add(leaf.comparison.limit.path.attribute.name)
        if names & _ABOUT:
            told[finding.criterion.title, mark] = None
    yield from list(told)[:4]


def _described(seen: Seen, passage: Passage, lengths: Lengths, car: OnCurve) -> str:
    told = [f"{_degrees(seen, passage)}: {passage.name}.", *_curve_words(seen, passage, car)]
    told.extend(f"{words}." for words, _ in front_rows(passage, lengths))
    told.extend(f"{title}: {mark.word}." for title, mark in _found(seen, passage))
    return " ".join(told)
