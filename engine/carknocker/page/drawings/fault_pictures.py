"""The small picture beside each fault: the car with the axles, boxes or couplers marked; a strip of dates for what is
void or runs out; counts for a spare that must be aboard."""

from collections.abc import Sequence
from datetime import date, timedelta

from msgspec.structs import replace

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Refusal
from carknocker.page.drawings.canvas import BESIDE, HEAVY, LINE, THIN, Canvas
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.running_gear import axles_of, numbers_on
from carknocker.page.drawings.text_width import LEAST, SMALL, shortened, text_width, wrapped_lines
from carknocker.page.drawings.timeline import DatedRow, dated_rows, lack_words
from carknocker.page.model import Drawing
from carknocker.record.model import Part
from carknocker.vocabulary.program_names import COUPLER
from carknocker.wording.parts import named

_LEFT, _RIGHT = 2.5, BESIDE - 2.5


def fault_pictures(index: JudgementIndex, faults: FaultNumbers) -> dict[int, Drawing]:
    """The pictures by the numbers of the faults; none for a fault of which nothing can be shown."""
    dated = {row.fault: row for row in dated_rows(index, faults) if row.fault is not None}
    groups: dict[int, list[Refusal]] = {}
    for refusal in index.judgement.refusals:
        number = faults.by_refusal.get(refusal.identity)
        if number is not None:
            groups.setdefault(number, []).append(refusal)
    found: dict[int, Drawing] = {}
    for number, refusals in sorted(groups.items()):
        spare = next((one.duty.requirement for one in refusals if one.duty and one.duty.requirement.spare), None)
        if number in dated:
            picture = _dates(index, number, dated[number])
        elif spare is not None:
            picture = _counts(index, number, spare.spare, spare.number)
        else:
            picture = _car(index, faults, number, refusals)
        if picture is not None:
            found[number] = replace(picture, headed=True)
    return found


def _lines(canvas: Canvas, words: str, y: float) -> float:
    """Words below a picture. Returns the last base line."""
    for line in wrapped_lines(words, BESIDE, SMALL, most=3):
        canvas.text(0, y, line, size=SMALL)
        y += 3.5
    return y - 3.5


def _car(index: JudgementIndex, faults: FaultNumbers, number: int, refusals: Sequence[Refusal]) -> Drawing | None:
    parts = {one.finding.part.key: one.finding.part for one in refusals if one.finding is not None}
    alone = FaultNumbers({one: own for one, own in faults.by_refusal.items() if own == number})
    trucks = index.trucks()
    couplers = [one for one in parts.values() if one.kind == COUPLER]
    canvas = Canvas(f"fault-{_spelt(number)}", BESIDE)
    rail = 18.0
    canvas.text(_LEFT, 3.2, "B", size=SMALL, bold=True)
    canvas.text(_RIGHT, 3.2, "A", size=SMALL, bold=True, anchor="end")
    canvas.shape([(3, 13.6), (3, 7), (5, 5.2), (41, 5.2), (43, 7), (43, 13.6)], width=LINE, fill="tint")
    canvas.line(0, rail, BESIDE, rail, width=LINE)
    places: list[Part] = []
    for letter, x in (("B", 1.0), ("A", BESIDE - 2.6)):
        bad = any(one.position == letter for one in couplers)
        canvas.box(x, 13.4, 1.6, 1.6, width=THIN, fill="fault" if bad else "ink")
        places.extend(one for one in couplers if one.position == letter)
    for truck, middle in zip(trucks, (10.5, 35.5), strict=False):
        axles = axles_of(index, truck)[:4]
        if truck.key in parts:
            places.append(truck)
            canvas.box(middle - 6, 14.6, 12, 1.4, width=HEAVY, tone="fault")
        for place, axle in enumerate(axles):
            x = middle + (place - (len(axles) - 1) / 2) * min(3.8, 11 / max(len(axles) - 1, 1))
            wheels = numbers_on(
                alone, index, (axle.left.wheel, axle.right.wheel, axle.wheelset, axle.steel, axle.place)
            )
            boxes = numbers_on(alone, index, (axle.left.box, axle.right.box, axle.left.bearing, axle.right.bearing))
            canvas.circle(x, rail - 1.7, 1.7, width=HEAVY if wheels else THIN, fill="fault" if wheels else "paper",
                          tone="fault" if wheels else "ink")  # fmt: skip
            if boxes:
                canvas.box(x - 0.8, rail - 2.5, 1.6, 1.6, width=0, fill="fault")
            if wheels or boxes:
                places.append(axle.place)
    if not places:
        return None
    words = named(places, index)
    y = _lines(canvas, words, rail + 4.6)
    return canvas.finish(y + 1.2, "Where the fault is", f"The car from its side with {words} marked.")


def _spelt(number: int) -> str:
    """A number in letters, since a drawing's name has no figures."""
    return "-".join("abcdefghij"[int(one)] for one in str(number))


def _dates(index: JudgementIndex, number: int, row: DatedRow) -> Drawing | None:
    move = index.judgement.move
    stop = row.void_since or row.end
    if stop is None:
        return None
    first = max(min(filter(None, (row.start, stop, move.out))), stop - timedelta(days=120))
    first = min(first, stop) - timedelta(days=10)
    last = max(move.back, stop) + timedelta(days=15)

    def at(day: date) -> float:
        return _LEFT + (_RIGHT - _LEFT) * max((day - first).days, 0) / (last - first).days

    canvas = Canvas(f"fault-{_spelt(number)}", BESIDE)
    out, back = at(move.out), at(move.back)
    half = text_width("move", SMALL, bold=True) / 2
    canvas.text(min(max((out + back) / 2, half), BESIDE - half), 3.2, "move", size=SMALL, bold=True, anchor="middle")
    canvas.box(out, 4.2, max(back - out, 0.8), 10.3, width=0, fill="shade")
    begin = at(row.start) if row.start is not None else _LEFT
    if row.start is None or row.start < first:
        canvas.arrow_head(begin - 2, 9, "left")
    canvas.box(begin, 7, max(at(stop) - begin, 0.4), 4, fill="dark")
    if stop < move.back:
        canvas.hatched(at(stop), 7, back - at(stop), 4, tone="fault")
    canvas.line(at(stop), 5.6, at(stop), 14.5, width=HEAVY, tone="fault")
    canvas.line(0, 14.5, BESIDE, 14.5, width=LINE)
    day = stop.isoformat()
    half = text_width(day, SMALL, bold=True) / 2
    canvas.text(min(max(at(stop), half), BESIDE - half), 18, day, size=SMALL, bold=True, anchor="middle", tone="fault")
    told = lack_words(row, move.out, move.back)
    y = _lines(canvas, told, 22)
    kind = "void since" if row.void_since else "good to"
    return canvas.finish(
        y + 1.2,
        "The days",
        f"{row.label}: {kind} {day}; the move is {move.out.isoformat()} to {move.back.isoformat()}.",
    )


def _counts(index: JudgementIndex, number: int, name: str, wanted: int) -> Drawing:
    spares = [one for one in index.standing.car.spares if one.name == name]
    aboard, shelf = sum(one.carried for one in spares), sum(one.shelf for one in spares)
    canvas = Canvas(f"fault-{_spelt(number)}", BESIDE)
    for x, count, label, bad in ((0.5, aboard, "aboard", True), (17.5, shelf, "on the shelf", False)):
        canvas.box(x, 0.6, 13, 9, width=HEAVY if bad else THIN, tone="fault" if bad else "ink",
                   fill="none" if bad else "shade")  # fmt: skip
        canvas.text(x + 6.5, 6.6, str(count), size=12, bold=True, anchor="middle", tone="fault" if bad else "ink")
        canvas.text(x + 6.5, 13, label, size=LEAST, anchor="middle", bold=bad)
    words = name if wanted == 1 else f"{name}: {wanted} must be aboard"
    y = _lines(canvas, shortened(words, BESIDE * 2, SMALL), 17.4)
    return canvas.finish(y + 1.2, "Spares", f"{name}: {aboard} aboard, {shelf} on the shelf; {wanted} must be aboard.")
