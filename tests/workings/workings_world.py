"""A car for the tests of workings: parts, readings and a move, with every reading counted as valid."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any

import msgspec
from random_worlds import COMPLETE, HOST, NOWHERE, OUT, car_record, move

from carknocker.quantities import read_quantity
from carknocker.record.model import Evidence, Leg, LogStatement, MoveMade, Part, Work
from carknocker.record.standing import Standing, stand
from carknocker.record.values import Bound, Count, Day, Figure, Value, Word
from carknocker.vocabulary import load_vocabulary
from carknocker.workings import WORKINGS, Missing, Worked

VOCABULARY = load_vocabulary()
READ_ON = date(2030, 6, 1)


class World:
    """Readings of a car that stands as given."""

    def __init__(self, standing: Standing) -> None:
        self.standing = standing

    def counted(self, key: str, attribute: str) -> list[Evidence]:
        return list(self.standing.evidence.get(key, {}).get(attribute, ()))

    def newest(self, part: str, attribute: str) -> Evidence | None:
        found = self.counted(part, attribute)
        return found[-1] if found else None

    def work_out(self, part: str, attribute: str) -> Worked | Missing:
        """What the vocabulary's working of that attribute yields for the part."""
        here = self.standing.parts[part]
        found = VOCABULARY.attribute(here.kind, attribute)
        assert found is not None
        assert found.derived
        return WORKINGS[found.derived](self, here)


def value_of(kind: str, attribute: str, written: str) -> Value:
    """The value that a text is for an attribute."""
    found = VOCABULARY.attribute(kind, attribute)
    assert found is not None, (kind, attribute)
    if found.type == "count":
        return Count(int(written))
    if found.type == "date":
        day = date.fromisoformat(written) if len(written) == 10 else date(int(written), 1, 1)
        return Day(day, day if len(written) == 10 else date(int(written), 12, 31), written)
    if found.type in ("yes or no", "one of", "identity", "text", "list of"):
        return Word(written)
    return Figure(read_quantity(written, found.type, signed=found.signed))


def world(
    readings: Mapping[str, Mapping[str, Any]],
    *,
    axles: int = 4,
    legs: list[dict[str, str]] | None = None,
    work: list[Work] | None = None,
    moves_made: tuple[MoveMade, ...] = (),
    log: LogStatement | None = COMPLETE,
    more_parts: list[Part] | None = None,
    more_evidence: list[Evidence] | None = None,
    train: str = "passenger",
    train_facts: dict[str, Value] | None = None,
    facts: dict[str, Value] | None = None,
    neighbors: dict[str, dict[str, Value]] | None = None,
) -> World:
    """The world of those readings: part → attribute → text, or a value as it is. Two trucks of half the axles each,
    wheelsets W-1, W-2 … at them, descriptions undated and readings of one day."""
    parts = list(more_parts or [])
    kinds = {part.key: part.kind for part in (*car_record([], axles=axles).parts, *parts)}
    evidence = list(more_evidence or [])
    for part, attributes in readings.items():
        for name, written in attributes.items():
            value = value_of(kinds[part], name, written) if isinstance(written, str) else written
            evidence.append(reading_of(part, kinds[part], name, value))
    car = car_record(evidence, axles=axles, work=work, log=log)
    car = msgspec.structs.replace(car, parts=(*car.parts, *parts), moves_made=moves_made)
    made = [
        Leg(
            number, leg.get("from", f"Place {number}"), leg.get("to", f"Place {number + 1}"),
            read_quantity(leg["miles"], "distance"),
            {name: value_of("leg", name, text) for name, text in leg.items() if name not in ("miles", "from", "to")},
            NOWHERE,
        )
        for number, leg in enumerate(legs or [], start=1)
    ]  # fmt: skip
    planned = move(
        legs=tuple(made), train=train, train_facts=train_facts or {}, facts=facts or {}, neighbors=neighbors or {}
    )
    return World(stand(car, planned, OUT))


def reading_of(part: str, kind: str, name: str, value: Value, on: date = READ_ON, resolution: str = "") -> Evidence:
    """One description or reading."""
    attribute = VOCABULARY.attribute(kind, name)
    assert attribute is not None, (kind, name)
    described = attribute.description
    return Evidence(
        f"{part} {name} {on}", name, part, part, value, "description" if described else "reading",
        None if described else on, NOWHERE,
        resolution=read_quantity(resolution, attribute.type) if resolution else None,
    )  # fmt: skip


def bound(low: str = "", high: str = "", *, low_open: bool = False, high_open: bool = False) -> Bound:
    """A length by a go/no-go gauge."""
    return Bound(
        read_quantity(low, "length") if low else None, low_open,
        read_quantity(high, "length") if high else None, high_open,
    )  # fmt: skip


def made(out: str, back: str, miles: int) -> MoveMade:
    """A move made."""
    return MoveMade(
        date.fromisoformat(out), date.fromisoformat(back), read_quantity(f"{miles} miles", "distance"), HOST, NOWHERE
    )


def yielded(found: Worked | Missing) -> Fraction:
    assert isinstance(found, Worked), found
    assert isinstance(found.value, Figure), found.value
    return found.value.quantity.amount


def lacking(found: Worked | Missing) -> tuple[str, str]:
    assert isinstance(found, Missing), found
    assert found.reason
    return found.part, found.attribute
