"""What was read on the wheels of a car, row by row, for the drawing of its trucks: a row for each reading that differs
from wheel to wheel; what is alike on all, and what nobody measured, in a sentence each."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

import msgspec
from msgspec.structs import replace

from carknocker.judgement.explanation import figure_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.observed_value import ObservedValue
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.figures import deciding_attribute, inches, marks_on, short_figure
from carknocker.page.drawings.limited_figures import LimitedFigure, limited_figures
from carknocker.page.drawings.marks import Line
from carknocker.page.drawings.running_gear import AxleInPlace
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.value_words import value_words
from carknocker.record.values import Bound, Figure, Value
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import (
    BACK_TO_BACK,
    DIAMETER_TO_FIT,
    MATE_DIFFERENCE,
    MATE_DIFFERENCE_IN_DIAMETER,
    MEASURED_CIRCUMFERENCE,
    MEASURED_DIAMETER,
    MIDDLE_AXLE_STEP,
    MIDDLE_AXLE_STEP_IN_DIAMETER,
    SPREAD_IN_DIAMETER,
    TAPE_SIZE,
    WHEEL,
    WHEEL_DIAMETER,
)
from carknocker.wording.faults import fault_of_findings
from carknocker.wording.parts import plural
from carknocker.wording.set_aside import set_aside_words

NOT_MEASURED = "not measured"
BEARING_CLASS = "class"
_OF_DIAMETERS = (MATE_DIFFERENCE, MATE_DIFFERENCE_IN_DIAMETER)
_SAME_FIGURE = (MEASURED_DIAMETER, MEASURED_CIRCUMFERENCE, DIAMETER_TO_FIT)
_DIAMETER, _TAPES, _FINEST_FRACTION = WHEEL_DIAMETER, TAPE_SIZE, 64
_DIFFERENCES = {
    ("middle axle", "the end axles"): (MIDDLE_AXLE_STEP, MIDDLE_AXLE_STEP_IN_DIAMETER),
    ("largest wheel", "the smallest"): (SPREAD_IN_DIAMETER,),
}
_DIAMETERS = frozenset({_DIAMETER, _TAPES})


class Cell(msgspec.Struct, frozen=True):
    """One reading. words: empty where nothing is on record. fault: its number. line: of the frame around it: `aside`
    for what restricts or is advice, `near` for what passes by less than the gauge resolves, `open` for what must be
    measured and is not."""

    words: str
    fault: int | None = None
    line: Line = "none"


class Row(msgspec.Struct, frozen=True):
    """A reading on every axle of some trucks, the axle nearest to the B end first. limit: the strictest; empty if no
    rule sets one."""

    label: str
    limit: str
    cells: tuple[Cell, ...]

    def filled(self) -> "Row":
        """The row with what nobody measured said in its place."""
        cells = (one if one.words else replace(one, words=NOT_MEASURED) for one in self.cells)
        return replace(self, cells=tuple(cells))


class TruckReadings(msgspec.Struct, frozen=True):
    """What the drawing shows. rows: by side, L and R, the reading nearest to the wheel first. between: of the wheelset.
    besides: faults that have no row of their own, by side and axle; of the axle under "". alike, differences,
    unmeasured, read: sentences."""

    rows: dict[str, tuple[Row, ...]]
    between: tuple[Row, ...]
    besides: dict[str, tuple[tuple[Cell, ...], ...]]
    alike: str
    differences: str
    unmeasured: str
    read: str

    @property
    def all_cells(self) -> Iterator[Cell]:
        """Every cell, row by row."""
        for row in (*self.rows["L"], *self.between, *self.rows["R"]):
            yield from row.cells
        for letter in ("L", "", "R"):
            for cells in self.besides[letter]:
                yield from cells


def wheel_rows() -> Iterator[tuple[str, tuple[str, ...]]]:
    """The rows of a wheel's readings: label, and the attributes that it may show. The first that is known is shown."""
    for label, lines in load_vocabulary().sheets.get("axle plan", {}).items():
        yield label, tuple(line.attribute for line in lines if line.kind == WHEEL)


def truck_readings(index: JudgementIndex, faults: FaultNumbers, axles: Sequence[AxleInPlace]) -> TruckReadings:
    """The readings on some axles: of the whole car, or of one truck of it."""
    found = _Rows(index, faults, axles)
    rows: dict[str, list[Row]] = {"L": [], "R": []}
    alike: list[str] = []
    for label, names in wheel_rows():
        made = {letter: found.of_wheels(label, names, letter) for letter in "LR"}
        if names[0] == _TAPES and _DIAMETER in found.shown:
            continue
        alike.extend(_kept(made, rows, " in"))
    bearings = {letter: found.of_bearings(letter) for letter in "LR"}
    alike_bearings = list(_kept(bearings, rows, ""))
    between = found.between()
    apart = _all_alike([between])
    sentence = []
    if alike or found.sound():
        sentence.append(f"On every wheel: {', '.join((*alike, *found.sound()))}.")
    sentence.extend(f"{_upper(words)} on every axle." for words in alike_bearings)
    if apart:
        sentence.append(f"{_upper(between.label)}: {_with_limit(apart, between.limit, ' in')} on every axle.")
    return TruckReadings(
        {letter: tuple(own) for letter, own in rows.items()},
        () if apart or not any(cell.words or cell.fault for cell in between.cells) else (between.filled(),),
        {letter: found.besides(letter) for letter in ("L", "", "R")},
        " ".join(sentence),
        " ".join(_differences(index)),
        found.unmeasured(),
        found.read_by(),
    )


def _differences(index: JudgementIndex) -> Iterator[str]:
    """How the wheels of each truck differ in diameter, where that is known."""
    for truck in index.trucks():
        known = [
            _difference_words(what, than, values)
            for (what, than), names in _DIFFERENCES.items()
            if (values := [one for name in names if (one := index.value(truck.key, name)) is not None])
        ]
        if known:
            yield f"{_upper(truck.label)}: {', '.join(known)}."


def _kept(made: dict[str, Row], rows: dict[str, list[Row]], unit: str) -> Iterator[str]:
    """Adds the rows of both sides where their readings differ or one counts against the car; yields the words of
    readings that are all alike."""
    both = list(made.values())
    same = _all_alike(both)
    if same:
        yield f"{both[0].label} {_with_limit(same, both[0].limit, unit)}" if same != "0" else f"no {both[0].label}"
    elif any(cell.words or cell.fault for row in both for cell in row.cells):
        for letter, row in made.items():
            rows[letter].append(row.filled())


def _all_alike(rows: Sequence[Row]) -> str:
    """What stands in every cell of some rows; empty where they differ or one is framed."""
    cells = [cell for row in rows for cell in row.cells]
    words = {cell.words for cell in cells}
    plain = all(cell.line == "none" and cell.fault is None for cell in cells)
    return words.pop() if len(words) == 1 and plain and len(cells) > 1 else ""


def _with_limit(words: str, limit: str, unit: str) -> str:
    unit = "" if not words[-1:].isdigit() else unit
    return f"{words}{unit} (must be {limit})" if limit else f"{words}{unit}"


class _Rows:
    """Makes rows, and keeps who read what is in them."""

    def __init__(self, index: JudgementIndex, faults: FaultNumbers, axles: Sequence[AxleInPlace]) -> None:
        self._index = index
        self._faults = faults
        self._axles = axles
        self._read: dict[tuple[str, str], dict[str, None]] = {}
        self.shown: set[str] = set()
        self._told: set[tuple[str, int]] = set()

    # rows

    def of_wheels(self, label: str, names: tuple[str, ...], letter: str) -> Row:
        wheels = [axle.side(letter).wheel for axle in self._axles]
        mates = [axle.wheelset for axle in self._axles] if _DIAMETERS & set(names) else [None] * len(wheels)
        cells = tuple(self._cell(wheel, names, mate) for wheel, mate in zip(wheels, mates, strict=True))
        limit = self._limit([one.wheel for axle in self._axles for one in axle.sides], names)
        if _DIAMETERS & set(names):
            of_mates = self._limit([axle.wheelset for axle in self._axles], _OF_DIAMETERS)
            limit = f"mates {of_mates.replace('at most', '≤')}" if of_mates else limit
        return Row(label, limit, cells)

    def of_bearings(self, letter: str) -> Row:
        bearings = [axle.side(letter).bearing for axle in self._axles]
        return Row("bearing", "", tuple(self._cell(bearing, (BEARING_CLASS,)) for bearing in bearings))

    def between(self) -> Row:
        """The distance between the backs of the wheels."""
        sets = [axle.wheelset for axle in self._axles]
        cells = tuple(self._cell(one, (BACK_TO_BACK,)) for one in sets)
        return Row("back to back", self._limit(sets, (BACK_TO_BACK,)), cells)

    def _cell(self, part: Part | None, names: tuple[str, ...], mate: Part | None = None) -> Cell:
        if part is None:
            return Cell("")
        measured = (*names, *_SAME_FIGURE) if _DIAMETERS & set(names) else names
        numbers: set[int] = set()
        lines: set[Line] = set()
        for one, own in ((part, measured), (mate, _OF_DIAMETERS)):
            if one is None:
                continue
            for finding, mark in marks_on(self._index, one.key):
                if deciding_attribute(self._index, finding) in own:
                    number = self._faults.of_finding(finding)
                    if number is not None:
                        numbers.add(number)
                    if finding.effect == "refuse" or mark.line != "open":
                        lines.add(mark.line)
        fault = min(numbers, default=None)
        if fault is not None:
            self._told.update((one.key, fault) for one in (part, mate) if one is not None)
        line: Line = next((one for one in _BY_WEIGHT if one in lines), "none")
        for name in names:
            value = self._index.value(part.key, name)
            words = "" if value is None else _short(value, name)
            if words:
                self.shown.add(name)
                self._note(part, name)
                return Cell(words, fault, "none" if line == "open" else line)
        return Cell("", fault, line)

    def _note(self, part: Part, name: str) -> None:
        observed = self._index.observed(part.key, name)
        evidence = None if observed is None else observed.evidence
        if evidence is not None and evidence.sort == "reading" and evidence.on is not None:
            self._read.setdefault((evidence.on.isoformat(), _reader(evidence)), {})[_gauge(evidence)] = None

    def _limit(self, parts: Iterable[Part | None], names: tuple[str, ...]) -> str:
        """The strictest limits on some attributes: `over 7/8`, `53 to 53-1/2`; those of advice where no other is."""
        found = [
            one
            for part in parts
            if part is not None
            for finding in self._index.findings_on(part.key)
            for one in limited_figures(self._index, finding)
            if one.attribute.name in names
        ]
        refusing = [one for one in found if one.finding.effect == "refuse"]
        strict: dict[bool, LimitedFigure] = {}
        for one in refusing or found:
            known = strict.get(one.good_upwards)
            if known is None or _stricter(one, known):
                strict[one.good_upwards] = one
        if len(strict) == 2:
            return f"{_of(strict[True])} to {_of(strict[False])}"
        return "".join(f"{_SIGNS.get(one.word, one.word)} {_of(one)}" for one in strict.values())

    # what has no row

    def besides(self, letter: str) -> tuple[tuple[Cell, ...], ...]:
        """By axle, the faults without a row of their own, on a side or, under "", on the axle itself."""
        return tuple(tuple(self._besides(axle, letter)) for axle in self._axles)

    def _besides(self, axle: AxleInPlace, letter: str) -> Iterator[Cell]:
        side = axle.side(letter or "L")
        parts = (side.wheel, side.bearing, side.box) if letter else (axle.place, axle.wheelset, axle.steel)
        told: dict[int, str] = {}
        for part in filter(None, parts):
            said: set[str] = set()  # what two rules say of a part in the same words is told once
            for finding in self._index.findings_on(part.key):
                number = self._faults.of_finding(finding)
                if number is None or number in told or (part.key, number) in self._told:
                    continue
                words = fault_of_findings((finding,), self._index).said
                if words not in said:
                    said.add(words)
                    told[number] = words
        yield from (Cell(words, number, "against") for number, words in sorted(told.items()))

    def sound(self) -> tuple[str, ...]:
        """What every wheel was looked at for and has none of: `no shelled spot`."""
        wheels = [one.wheel for axle in self._axles for one in axle.sides]
        if not wheels or not all(wheels):
            return ()
        found = []
        for name, attribute in self._index.vocabulary.kinds[WHEEL].attributes.items():
            none = attribute.none or ("no" if attribute.defect else "")
            if not none or name in self.shown or attribute.follows:
                continue
            values = [self._index.value(wheel.key, name) for wheel in wheels if wheel is not None]
            if all(value is not None and value_words(value) == none for value in values):
                found.append(_none_of(attribute.label))
        return tuple(found)

    def unmeasured(self) -> str:
        """What a rule asks of the running gear and nobody measured, with the number of parts; what was read and does
        not count, and why; what only advice asks is a count."""
        wanted: dict[tuple[str, str], set[str]] = {}
        not_counted: dict[str, dict[tuple[str, str], set[str]]] = {}
        advised = 0
        for axle in self._axles:
            for part in axle.parts:
                for finding, mark in marks_on(self._index, part.key):
                    name = deciding_attribute(self._index, finding)
                    if mark.line != "open" or not name:
                        continue
                    if finding.effect != "refuse":
                        advised += 1
                        continue
                    why = set_aside_words(self._index.situation.why_set_aside(part.key, name))
                    told = not_counted.setdefault(why, {}) if why else wanted
                    told.setdefault((part.kind, name), set()).add(part.key)
        words = self._labels(wanted)
        aside = "".join(
            f" Read, but not counted: {', '.join(self._labels(own))}: {why}." for why, own in not_counted.items()
        )
        if not words and not advised:
            return aside.strip()
        more = f"{advised} advised reading{'' if advised == 1 else 's'} not measured." if advised else ""
        shown = words[:_MOST_UNMEASURED]
        rest = f", and {len(words) - len(shown)} more" if len(words) > len(shown) else ""
        not_measured = f"Not measured: {', '.join(shown)}{rest}." if words else ""
        return " ".join(filter(None, (not_measured, more, aside.strip())))

    def _labels(self, wanted: Mapping[tuple[str, str], set[str]]) -> list[str]:
        """Kind and attribute → parts, in words: `back to back (6 wheelsets)`."""
        return [
            f"{known.label} ({len(parts)} {kind if len(parts) == 1 else _plural(kind)})"
            for (kind, name), parts in wanted.items()
            if (known := self._index.vocabulary.attribute(kind, name)) is not None
        ]

    def read_by(self) -> str:
        """Who read it, when and with what."""
        told = []
        for (day, reader), gauges in sorted(self._read.items(), reverse=True)[:_MOST_READERS]:
            named = ", ".join(one for one in gauges if one)
            told.append(f"{day}{reader}{f' with {named}' if named else ''}")
        return f"Read {'; '.join(told)}." if told else ""


_MOST_UNMEASURED, _MOST_READERS = 6, 4
_BY_WEIGHT: tuple[Line, ...] = ("against", "open", "aside", "near")
_SIGNS = {"over": "over", "under": "under", "at_least": "at least", "at_most": "at most"}
_LEADING = re.compile(r"^(longest |length of the )")


def _none_of(label: str) -> str:
    label = _LEADING.sub("", label)
    return f"not {label}" if label.startswith(("overheated", "loose")) else f"no {label}"


def _plural(kind: str) -> str:
    named = plural(kind)
    return named.removesuffix(" of")


def _short(value: Value, name: str) -> str:
    amount = figure_of(ObservedValue(value, None)) if name == _DIAMETER else None
    if amount is not None and amount.denominator > _FINEST_FRACTION:
        return f"{float(amount):.2f}"  # worked out from a tape, whose divisions are 1/8 in of circumference
    return short_figure(value) or value_words(value)


def _of(one: LimitedFigure) -> str:
    dimension = one.attribute.type
    return inches(Quantity.of(dimension, one.limit, "in")) if dimension == "length" else one.written(one.limit)


def _stricter(one: LimitedFigure, known: LimitedFigure) -> bool:
    away = (one.limit - known.limit) * (1 if one.good_upwards else -1)
    return away > Fraction(0)


def _reader(evidence: Evidence) -> str:
    return f" by {evidence.by.name}" if evidence.by is not None else ""


def _gauge(evidence: Evidence) -> str:
    return "" if evidence.gauge is None else evidence.gauge.name


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]


def _one_figure(value: Value) -> Quantity | None:
    """The figure of a value that is written as one, though it may only enclose it."""
    match value:
        case Figure(quantity):
            return quantity
        case Bound(Quantity() as low, _, Quantity() as high) if write_quantity(low) == write_quantity(high):
            return low
        case _:
            return None


def _difference_words(one: str, other: str, values: Sequence[Value]) -> str:
    """`middle axle 3 tapes or 0.119 in smaller than the end axles`; what is no one figure as it is."""
    figures = [figure for value in values if (figure := _one_figure(value)) is not None]
    if len(figures) < len(values) or len({quantity.n < 0 for quantity in figures if quantity.n}) > 1:
        return f"{one} less {other} {' or '.join(map(value_words, values))}"
    if not any(quantity.n for quantity in figures):
        return f"{one} as large as {other}"
    much = " or ".join(
        write_quantity(Quantity.of(quantity.dimension, abs(quantity.amount), quantity.unit)) for quantity in figures
    )
    return f"{one} {much} {'smaller' if any(quantity.n < 0 for quantity in figures) else 'larger'} than {other}"
