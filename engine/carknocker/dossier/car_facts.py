"""What a host's mechanical officer asks first about a car: whose it is, whom to call, what it is, how large and how
heavy, what it runs on."""

from collections.abc import Iterable

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.vocabulary.program_names import (
    AXLE_SPACING,
    BEARING,
    BRAKE_CYLINDER,
    BRAKE_SHOE,
    BRAKE_SYSTEM,
    BUILDER,
    BUILT_ON,
    CAR_KIND,
    CONTACT_CARD,
    CONTROL_VALVE,
    COUPLER,
    COUPLER_TYPE,
    EXTREME_WIDTH,
    GROSS_WEIGHT,
    HEIGHT_OVER_RAIL,
    HIGHEST_THING,
    LENGTH_OVER_COUPLERS,
    REBUILT_ON,
    TRUCK_CENTERS,
    TRUCK_KIND,
    WIDEST_THING,
)

_CAR = "car"
_OWNER, _HELPER = "owner", "owner's helper"


class Contact(msgspec.Struct, frozen=True):
    """Someone to call. can_decide: whether a paper on record says that he can decide about the car. Fields are None
    where they are not on file."""

    name: str | None
    telephone: str | None
    hours: str | None
    can_decide: bool


class Dated(msgspec.Struct, frozen=True):
    """A figure with the day of its reading and the paper of its sheet, None where it has none."""

    value: str
    on: str | None
    paper: str | None


class TruckFacts(msgspec.Struct, frozen=True):
    """A truck. bearings: the classes of its bearings, each once. weight: that on the truck."""

    truck: str
    kind: str | None
    frame: str | None
    axle_spacing: str | None
    axles: int
    bearings: tuple[str, ...]
    weight: Dated | None


class CouplerAtEnd(msgspec.Struct, frozen=True):
    """The type of the coupler at an end."""

    end: str
    type: str | None


class CarFacts(msgspec.Struct, frozen=True):
    """The car. A fact is None where it is not on file.

    owner: the name of whoever has that role. brake_cylinders: how many are on record; their diameters and the materials
    of the brake shoes, each once.
    """

    owner: str | None
    call: tuple[Contact, ...]
    kind: str | None
    built: str | None
    rebuilt: str | None
    builder: str | None
    length_over_couplers: str | None
    extreme_width: str | None
    widest_thing: str | None
    height_over_rail: str | None
    highest_thing: str | None
    weight: Dated | None
    truck_centers: str | None
    trucks: tuple[TruckFacts, ...]
    control_valve: str | None
    brake_cylinders: int
    cylinder_diameters: tuple[str, ...]
    shoe_materials: tuple[str, ...]
    couplers: tuple[CouplerAtEnd, ...]


def car_facts_of(index: JudgementIndex) -> CarFacts:
    """The facts of the car as it stands on the day of the judgement."""
    people = index.judgement.car.people.values()
    owners = [person.full_name or person.name for person in people if person.role == _OWNER]

    def of_car(attribute: str) -> str | None:
        return _said(_CAR, attribute, index)

    cylinders = _fitted(BRAKE_CYLINDER, index)
    return CarFacts(
        owner=" and ".join(owners) or None,
        call=tuple(_contacts(index)),
        kind=of_car(CAR_KIND),
        built=of_car(BUILT_ON),
        rebuilt=of_car(REBUILT_ON),
        builder=of_car(BUILDER),
        length_over_couplers=of_car(LENGTH_OVER_COUPLERS),
        extreme_width=of_car(EXTREME_WIDTH),
        widest_thing=of_car(WIDEST_THING),
        height_over_rail=of_car(HEIGHT_OVER_RAIL),
        highest_thing=of_car(HIGHEST_THING),
        weight=_dated(_CAR, GROSS_WEIGHT, index),
        truck_centers=of_car(TRUCK_CENTERS),
        trucks=tuple(_truck(truck, index) for truck in index.trucks()),
        control_valve=_said(BRAKE_SYSTEM, CONTROL_VALVE, index),
        brake_cylinders=len(cylinders),
        cylinder_diameters=_each_once(_said(one.key, "diameter", index) for one in cylinders),
        shoe_materials=_each_once(_said(one.key, "material", index) for one in _fitted(BRAKE_SHOE, index)),
        couplers=tuple(
            CouplerAtEnd(one.position, _said(one.key, COUPLER_TYPE, index)) for one in _fitted(COUPLER, index)
        ),
    )


def _contacts(index: JudgementIndex) -> Iterable[Contact]:
    """Whoever can decide, by the papers on record; then the owner and his helpers, as far as they have a telephone."""
    for entry in index.situation.counted(_CAR, CONTACT_CARD):
        facts = {name: value_words(value) for name, value in entry.facts.items()}
        yield Contact(facts.get("name"), facts.get("telephone"), facts.get("hours"), True)
    for role in (_OWNER, _HELPER):
        for person in index.judgement.car.people.values():
            if person.role == role and person.telephone:
                yield Contact(person.full_name or person.name, person.telephone, None, False)


def _truck(truck: Part, index: JudgementIndex) -> TruckFacts:
    axles = index.axles(truck)
    inside = [index.standing.parts[key] for key in index.inside(truck.key)]
    bearings = index.in_order(part for part in inside if part.kind == BEARING)
    return TruckFacts(
        truck=truck.position,
        kind=_said(truck.key, TRUCK_KIND, index),
        frame=_said(truck.key, "frame", index),
        axle_spacing=_said(truck.key, AXLE_SPACING, index),
        axles=len(axles),
        bearings=_each_once(_said(one.key, "class", index) for one in bearings),
        weight=_dated(_CAR, f"weight_on_truck_{truck.position}", index),
    )


def _said(part: str, attribute: str, index: JudgementIndex) -> str | None:
    value = index.value(part, attribute)
    return None if value is None else value_words(value)


def _dated(part: str, attribute: str, index: JudgementIndex) -> Dated | None:
    held = index.observed(part, attribute)
    if held is None:
        return None
    evidence = held.evidence
    on = None if evidence is None or evidence.on is None else evidence.on.isoformat()
    return Dated(value_words(held.value), on, None if evidence is None else evidence.sheet or None)


def _fitted(kind: str, index: JudgementIndex) -> list[Part]:
    return [one for one in index.standing.by_kind.get(kind, ()) if one.fitted and one.unlisted is None]


def _each_once(words: Iterable[str | None]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for word in words if word is not None))
