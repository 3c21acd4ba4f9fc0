"""The work that is timed: criteria of eight kinds over parts of eight kinds, a whole car with trouble and repairs."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

from msgspec.structs import replace
from random_worlds import (
    NOWHERE,
    OUT,
    car_record,
    cause,
    compare,
    consequence,
    criterion,
    reading,
    requires,
)

from carknocker.quantities import Quantity
from carknocker.record.model import CarRecord, Evidence, Part, Work
from carknocker.record.values import Figure, Word
from carknocker.rulebook.model import CarriesUp, Consequence, Criterion, Restriction, Restricts, Voids
from carknocker.vocabulary import load_vocabulary

ATTRIBUTES = {
    "box": ("pedestal_clearance_lengthwise", "pedestal_clearance_lateral", "box_top_to_frame"),
    "safety appliance": ("diameter", "clear_length", "clearance", "height", "projection"),
    "spring": ("bolster_spring_height", "equalizer_spring_height", "free_height"),
    "equalizer": ("seat_wear", "clearance_to_frame"),
    "brake shoe": ("thickness",),
    "brake cylinder": ("piston_travel",),
    "axle": ("gouge_depth",),
    "wheel": ("flange_thickness", "flange_height", "rim_thickness", "tread_hollow", "flat_spot_length"),
}
WORDS = ("over", "at_least", "under", "at_most")
SIGNS = {"over": ">", "at_least": ">=", "under": "<", "at_most": "<="}
CRITERIA = 150
PARTS_OF_A_KIND = 15


def figure(kind: str, name: str, forty_eighths: int) -> Figure:
    """So far along what is usual of an attribute, as fine as its tool reads: what lies outside, or is finer, is
    doubtful, and doubts are not timed here."""
    attribute = load_vocabulary().kinds[kind].attributes[name]
    usual, step = attribute.ranges.usual, attribute.reads_to.amount if attribute.reads_to else Fraction(1, 16)
    least, most = Fraction(usual.least.n, usual.least.d), Fraction(usual.most.n, usual.most.d)
    exact = least + (most - least) * Fraction(forty_eighths, 48)
    return Figure(Quantity.of("length", round(exact / step) * step, "in"))


def criteria(count: int = CRITERIA) -> list[Criterion]:
    """Criteria of eight kinds in turn, each one figure against one limit that the car's readings meet."""
    kinds = list(ATTRIBUTES)
    found = []
    for number in range(count):
        kind = kinds[number % len(kinds)]
        names = ATTRIBUTES[kind]
        word = WORDS[number % len(WORDS)]
        limit = 8 + number % 5 if word in ("over", "at_least") else 40 + number % 5
        name = names[number // len(kinds) % len(names)]
        must = compare(kind, name, word, figure(kind, name, limit))
        found.append(criterion(f"b{number}", kind, must))
    return found


def flat_car(parts_of_a_kind: int = PARTS_OF_A_KIND) -> CarRecord:
    """A car with as many parts of each of the eight kinds, everything on them read."""
    parts = [Part("car", "car", "", "car", None, True, NOWHERE)]
    parts.append(Part("brake system", "brake system", "", "brake system", "car", True, NOWHERE))
    evidence: list[Evidence] = []
    for kind, names in ATTRIBUTES.items():
        for number in range(parts_of_a_kind):
            key = f"{kind} n{number}"
            parts.append(Part(key, kind, str(number), key, "car", True, NOWHERE))
            for place, name in enumerate(names):
                evidence.append(reading(key, name, figure(kind, name, 17 + (number + place) % 15), OUT))
    return replace(car_record([]), parts=tuple(parts), evidence=tuple(evidence), fittings=(), axle_trucks={})


def troubled_car(parts_of_a_kind: int, rules: list[Criterion], exceptions: int = 17, jobs: int = 10) -> CarRecord:
    """The flat car with so many unmet findings, some jobs, and a brake test that they void."""
    car = flat_car(parts_of_a_kind)
    lower: dict[tuple[str, str], int] = {}
    for one in rules:
        if one.must.word in ("over", "at_least"):
            key = (one.of, one.must.path.attribute.name)
            lower[key] = lower.get(key, 0) + 1
    evidence = list(car.evidence)
    kinds = {part.key: part.kind for part in car.parts}
    for place in range(0, len(evidence), 2):
        breaks = lower.get((kinds[evidence[place].part], evidence[place].attribute), 0)
        if 0 < breaks <= exceptions:
            exceptions -= breaks
            one = evidence[place]
            evidence[place] = replace(one, value=figure(kinds[one.part], one.attribute, 1))
    test = reading("brake system", "single_car_test", Word("passed"), OUT - timedelta(days=60), sort="test")
    work = [
        Work(f"J-{n}", False, "service portion replaced", OUT - timedelta(days=30 - n), ("brake system",), NOWHERE)
        for n in range(jobs)
    ]
    return replace(car, evidence=(*evidence, test), work=tuple(work))


def consequences() -> list[Consequence]:
    """What carries a breach up, what work voids and calls for, and a restriction."""
    unmet = [cause("finding", verdicts=("unmet",), of=kind, effect="refuse") for kind in ATTRIBUTES]
    job = [cause("work", names=("service portion replaced",))]
    tested = "single-car brake test"
    return [
        *[consequence(f"up-{number}", [one], CarriesUp(("car",))) for number, one in enumerate(unmet)],
        consequence("voids", job, Voids(tested, (), "brake system")),
        consequence("asks", job, requires("brake system", test=tested)),
        consequence("slow", [cause("unfit", names=("car",))], Restricts((Restriction("handling", words=("slowly",)),))),
    ]


def values_of(car: CarRecord) -> dict[str, dict[str, float]]:
    """The same readings as plain numbers, for engines that take dictionaries of floats."""
    found: dict[str, dict[str, float]] = {part.key: {} for part in car.parts}
    for one in car.evidence:
        if isinstance(one.value, Figure):
            found[one.part][one.attribute] = float(one.value.quantity.amount)
    return found
