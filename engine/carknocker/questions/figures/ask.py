"""`figures`: every derived figure of a car with its worked line, what is missing for the others, and what follows."""

from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction

import msgspec

from carknocker.documents import Location
from carknocker.judgement.model import Judgement
from carknocker.quantities import Quantity
from carknocker.questions.figures.turning_plans import RimOutlook, Turning, outlooks_of, turnings_of
from carknocker.record.model import CarRecord, Move, Part
from carknocker.record.values import Bound, Figure, Value
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import BEARING, HEAT_LABEL, TRUCK
from carknocker.wording.parts import attribute_words, part_words
from carknocker.workings import WORKINGS, Missing, Readings, Worked
from carknocker.workings.heat import turned_label_calls_for
from carknocker.workings.inputs import axles_of_truck
from carknocker.workings.middle_axle import StepOfTruck, step_of_truck
from carknocker.workings.uncertainty import candidates_of, uncertainty_of


class DerivedFigure(msgspec.Struct, frozen=True):
    """A derived attribute of a part: worked, or what is missing. uncertainty: how far its readings leave it open."""

    part: Part
    attribute: Attribute
    worked: Worked | None
    missing: Missing | None
    uncertainty: Quantity | None

    @property
    def places(self) -> tuple[Location, ...]:
        """Where the readings stand that it was made from."""
        return () if self.worked is None else tuple(evidence.where for evidence in self.worked.used)

    @property
    def source(self) -> str:
        """Where the formula is from, as its working says."""
        return (WORKINGS[self.attribute.derived].__doc__ or "").strip()


class Step(msgspec.Struct, frozen=True):
    """What the step of the middle axle does to a three-axle truck."""

    truck: Part
    effect: StepOfTruck | Missing


class Figures(msgspec.Struct, frozen=True):
    """All of it. move: None where none was asked for; then what hangs on a move is missing."""

    car: CarRecord
    move: Move | None
    day: date
    figures: tuple[DerivedFigure, ...]
    turning: tuple[Turning, ...]
    outlooks: tuple[RimOutlook, ...]
    steps: tuple[Step, ...]
    turned_labels: tuple[tuple[Part, tuple[str, ...]], ...]
    parts: Mapping[str, Part]


def figures_of(car: CarRecord, day: date, readings: Readings, judgement: Judgement | None) -> Figures:
    """Every derived figure of the car on the day. judgement: of the move, whose limits a turning plan keeps to; None
    where no move is asked for, and then there is no plan."""
    parts = readings.standing.parts
    return Figures(
        car,
        None if judgement is None else judgement.move,
        day,
        tuple(_figures(readings)),
        () if judgement is None else turnings_of(judgement),
        () if judgement is None else outlooks_of(judgement),
        tuple(
            Step(truck, step_of_truck(readings, truck))
            for truck in readings.standing.by_kind.get(TRUCK, ())
            if len(axles_of_truck(readings, truck.key)) == 3
        ),
        tuple(
            (parts[axle], turned_label_calls_for(parts[axle].label))
            for axle in dict.fromkeys(_axles_with_turned_labels(readings))
        ),
        parts,
    )


def _figures(readings: Readings) -> Iterator[DerivedFigure]:
    vocabulary = load_vocabulary()
    for kind, parts in readings.standing.by_kind.items():
        derived = [one for one in vocabulary.kinds[kind].attributes.values() if one.derived in WORKINGS]
        for attribute in derived:
            working = WORKINGS[attribute.derived]
            for part in parts:
                found = working(readings, part)
                if isinstance(found, Missing):
                    yield DerivedFigure(part, attribute, None, found, None)
                    continue
                uncertainty = uncertainty_of(candidates_of(readings, part, working, found))
                yield DerivedFigure(part, attribute, found, None, _quantity(found.value, uncertainty))


def _quantity(value: Value, uncertainty: Fraction) -> Quantity | None:
    if not uncertainty:
        return None
    quantity = value.quantity if isinstance(value, Figure) else value.low if isinstance(value, Bound) else None
    return None if quantity is None else Quantity.of(quantity.dimension, uncertainty, quantity.unit)


def _axles_with_turned_labels(readings: Readings) -> Iterator[str]:
    standing = readings.standing
    for bearing in standing.by_kind.get(BEARING, ()):
        label = readings.newest(bearing.key, HEAT_LABEL)
        if label is None or getattr(label.value, "text", "") != "turned" or not bearing.fitted:
            continue
        wheelset = bearing.container
        axle = None if wheelset is None else standing.parts[wheelset].container
        if axle is not None:
            yield axle


def missing_words(missing: Missing, parts: Mapping[str, Part]) -> str:
    """What is missing, as a person says it: `tape size of wheel L3: not read`."""
    part = parts.get(missing.part)
    if part is None:
        return f"{missing.attribute.replace('_', ' ')} of {missing.part}: {missing.reason}"
    return f"{attribute_words(part.kind, missing.attribute)} of {part_words(part)}: {missing.reason}"
