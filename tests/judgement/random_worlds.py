"""Random cars, moves and rulebooks for property tests, built from the types and not from files."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from carknocker.documents import Location
from carknocker.quantities import Period, Quantity
from carknocker.record.model import (
    NO_END,
    CarRecord,
    Evidence,
    Fitting,
    Leave,
    LogStatement,
    Move,
    Part,
    Person,
    Spare,
    Work,
)
from carknocker.record.part_keys import wheelset_parts
from carknocker.record.values import Day, Figure, Word
from carknocker.rulebook.clauses import AllOf, AnyOf, AttributePath, Clause, Comparison, Fixed
from carknocker.rulebook.model import (
    CarriesUp,
    Cause,
    Consequence,
    Criterion,
    Edition,
    Relieves,
    Requires,
    Restriction,
    Restricts,
    Rulebook,
    Source,
    Voids,
    Yield,
)
from carknocker.vocabulary import load_vocabulary

NOWHERE = Location("test", 1, 1)
OUT = date(2030, 6, 15)
BACK = date(2030, 6, 25)
HOST = "Host of the test"
SOURCE = Source("test", "1", "words", "host", "invented")
INSPECTOR = Person("IN", "shop inspector", "", (HOST,), NO_END, NOWHERE)
STRANGER = Person("ST", "shop inspector", "", (), NO_END, NOWHERE)
COMPLETE = LogStatement(date(1900, 1, 1), INSPECTOR, NOWHERE)
VOCABULARY = load_vocabulary()


def attribute(kind: str, name: str) -> Any:
    found = VOCABULARY.attribute(kind, name)
    assert found is not None, (kind, name)
    return found


def inches(numerator: int, denominator: int = 16) -> Quantity:
    return Quantity.of("length", Fraction(numerator, denominator), "in")


def base_parts(axles: int = 4) -> list[Part]:
    """The places of a car with two trucks, without its wheelsets."""
    parts = [
        Part("car", "car", "", "car", None, True, NOWHERE),
        Part("brake system", "brake system", "", "brake system", "car", True, NOWHERE),
    ]
    for end in "BA":
        parts.append(Part(f"end {end}", "end", end, f"end {end}", "car", True, NOWHERE))
        parts.append(Part(f"coupler {end}", "coupler", end, f"coupler {end}", f"end {end}", True, NOWHERE))
    half = axles // 2
    for truck, numbers in (("B", range(1, half + 1)), ("A", range(half + 1, axles + 1))):
        parts.append(Part(f"truck {truck}", "truck", truck, f"truck {truck}", "car", True, NOWHERE))
        for side in "LR":
            key = f"side bearing {truck}{side}"
            parts.append(Part(key, "side bearing", f"{truck}{side}", key, f"truck {truck}", True, NOWHERE))
        for number in numbers:
            key = f"axle position {number}"
            parts.append(Part(key, "axle position", str(number), f"axle {number}", f"truck {truck}", True, NOWHERE))
    return parts


IN_DATE = Day(NO_END, NO_END, "never")


def reading(part: str, name: str, value: Any, on: date, number: int = 0, **more: Any) -> Evidence:
    more.setdefault("place", part)
    more.setdefault("sheet", on.isoformat())
    if more.get("sort") == "test":  # its device was in date, unless the facts say otherwise
        more["facts"] = {"device_due": IN_DATE, **more.get("facts", {})}
    return Evidence(
        id=f"{part} {name} {on.isoformat()} {number}",
        attribute=name,
        part=part,
        value=value,
        sort=more.pop("sort", "reading"),
        on=on,
        where=NOWHERE,
        by=more.pop("by", INSPECTOR),
        **more,
    )


def car_record(
    evidence: list[Evidence],
    *,
    axles: int = 4,
    work: list[Work] | None = None,
    spares: list[Spare] | None = None,
    leaves: list[Leave] | None = None,
    spare_wheelsets: tuple[str, ...] = (),
    log: LogStatement | None = COMPLETE,
) -> CarRecord:
    parts = base_parts(axles)
    fittings = []
    for number in range(1, axles + 1):
        parts.extend(wheelset_parts(f"W-{number}", number, False, NOWHERE))
        fittings.append(Fitting(f"W-{number}", number, None, None, "", "", False))
    for serial in spare_wheelsets:
        parts.extend(wheelset_parts(serial, None, False, NOWHERE))
    return CarRecord(
        mark="TEST 1",
        name="Test",
        file="test",
        digest="",
        parts=tuple(parts),
        axle_trucks={number: "B" if number <= axles // 2 else "A" for number in range(1, axles + 1)},
        fittings=tuple(fittings),
        evidence=tuple(sorted(evidence, key=lambda e: e.on or date.min)),
        work=tuple(sorted(work or [], key=lambda w: w.on)),
        moves_made=(),
        spares=tuple(spares or []),
        leaves=tuple(leaves or []),
        people={"IN": INSPECTOR, "ST": STRANGER},
        gauges={},
        log=log,
    )


def move(**more: Any) -> Move:
    given: dict[str, Any] = {
        "host": HOST,
        "train": "passenger",
        "out": OUT,
        "back": BACK,
        "rides": "passengers",
        "legs": (),
        "facts": {},
        "train_facts": {},
        "editions": {},
        "circular": True,
        "file": "test",
        "digest": "",
        "where": NOWHERE,
    }
    return Move(**{**given, **more})


def compare(kind: str, name: str, word: Any, *values: Any, owner: str = "") -> Comparison:
    return Comparison(AttributePath(owner, attribute(owner or kind, name)), word, Fixed(tuple(values)), NOWHERE)


def criterion(name: str, of: str, must: Clause, **more: Any) -> Criterion:
    given: dict[str, Any] = {
        "id": f"test/{name}",
        "name": name,
        "ruleset": "test",
        "edition": "1",
        "layer": "host",
        "title": name,
        "of": of,
        "when": None,
        "unless": None,
        "must": must,
        "read_within": None,
        "effect": "refuse",
        "restrictions": (),
        "shown_by": "owner before the move",
        "renewal": None,
        "source": SOURCE,
        "remedies": (),
        "examples": (),
        "may_be_relaxed": True,
        "borderline": "advise",
        "where": NOWHERE,
    }
    return Criterion(**{**given, **more})


def cause(sort: Any, **more: Any) -> Cause:
    given: dict[str, Any] = {
        "sort": sort,
        "names": (),
        "of": "",
        "criteria": (),
        "verdicts": (),
        "effect": "",
        "when": None,
        "where": NOWHERE,
    }
    return Cause(**{**given, **more})


def consequence(name: str, causes: list[Cause], *yields: Yield, **more: Any) -> Consequence:
    given: dict[str, Any] = {
        "id": f"test/{name}",
        "name": name,
        "ruleset": "test",
        "edition": "1",
        "layer": "host",
        "title": name,
        "when": None,
        "causes": tuple(causes),
        "yields": tuple(yields),
        "source": SOURCE,
        "where": NOWHERE,
    }
    return Consequence(**{**given, **more})


def requires(of: str, *, test: str = "", spare: str = "", words: str = "", **more: Any) -> Requires:
    given: dict[str, Any] = {
        "test": test,
        "spare": spare,
        "of": of,
        "when": "before departure",
        "effect": "refuse",
        "within": None,
        "each": False,
        "routine": False,
        "words": words,
    }
    return Requires(**{**given, **more})


def relieves(**more: Any) -> Relieves:
    given: dict[str, Any] = {
        "finding_same": False,
        "named": False,
        "criteria": (),
        "consequences": (),
        "of": "",
        "leaves": (),
        "purpose": "move",
    }
    return Relieves(**{**given, **more})


REACH = [
    consequence(
        "wheels-up",
        [
            cause("finding", verdicts=("unmet",), of=kind, effect="refuse")
            for kind in ("wheel", "bearing", "axle", "wheelset")
        ],
        CarriesUp(("wheelset", "axle position", "truck", "car")),
    ),
    consequence(
        "places-up",
        [
            cause("finding", verdicts=("unmet",), of=kind, effect="refuse")
            for kind in ("axle position", "truck", "side bearing", "coupler", "end", "brake system")
        ],
        CarriesUp(("end", "truck", "car")),
    ),
]


def rulebook(criteria: list[Criterion], consequences: list[Consequence]) -> Rulebook:
    edition = Edition(
        ruleset="test",
        name="1",
        title="Test",
        layer="host",
        publisher="",
        host=HOST,
        in_force=date(2020, 1, 1),
        until=None,
        checked=date(2030, 1, 1),
        builds_on=(),
        amends="",
        regimes={},
        criteria=tuple(criteria),
        consequences=tuple(consequences),
        relaxes={},
        routine_note="",
        digest="",
        where=NOWHERE,
    )
    return Rulebook((edition,), tuple(criteria), tuple(consequences), "")


# What random rulebooks are made of: kinds of part with a figure, and names of work and tests that exist.
FIGURES = {
    "wheel": ("flange_thickness", "rim_thickness", "flange_height"),
    "side bearing": ("clearance",),
    "coupler": ("coupler_height",),
}
WORK = {"wheels turned": "wheel", "wheelset renewed": "axle position", "service portion replaced": "brake system"}
EVENTS = {"slid wheels": "wheel"}
TEST = "single-car brake test"


@st.composite
def figures(draw: st.DrawFn) -> Figure:
    return Figure(inches(draw(st.integers(8, 24))))


@st.composite
def clauses(draw: st.DrawFn, kind: str) -> Clause:
    def one() -> Comparison:
        name = draw(st.sampled_from(FIGURES[kind]))
        word = draw(st.sampled_from(["over", "at_least", "under", "at_most"]))
        return compare(kind, name, word, draw(figures()))

    shape = draw(st.sampled_from(["one", "one", "all", "any"]))
    if shape == "one":
        return one()
    members = (one(), one())
    return AllOf(members) if shape == "all" else AnyOf(members)


@st.composite
def criteria(draw: st.DrawFn) -> list[Criterion]:
    found = []
    for number in range(draw(st.integers(1, 5))):
        kind = draw(st.sampled_from(sorted(FIGURES)))
        effect = draw(st.sampled_from(["refuse", "refuse", "restrict", "advise"]))
        found.append(
            criterion(
                f"c{number}",
                kind,
                draw(clauses(kind)),
                when=draw(st.none() | clauses(kind)),
                effect=effect,
                restrictions=(Restriction("speed", quantity=Quantity("speed", 40, 1)),) if effect == "restrict" else (),
                read_within=draw(st.none() | st.just(Period(days=90))),
                shown_by=draw(st.sampled_from(["owner before the move", "accepted shop", "host on the day"])),
                borderline=draw(st.sampled_from(["advise", "refuse"])),
            )
        )
    return found


@st.composite
def causes(draw: st.DrawFn, ids: list[str], earlier: list[str], for_yield: str) -> Cause:
    sorts = {
        "voids": ["work", "event"],
        "relieves": ["work", "state", "test", "leave", "finding met"],
        "carries_up": ["unfit", "finding"],
        "requires": ["work", "event", "state", "finding", "seen", "unfit", "restricted", "duty"],
        "restricts": ["work", "event", "state", "finding", "unfit", "duty"],
    }[for_yield]
    sort = draw(st.sampled_from(sorts))
    if sort == "work":
        return cause("work", names=tuple(draw(st.sets(st.sampled_from(sorted(WORK)), min_size=1))))
    if sort == "event":
        return cause("event", names=tuple(EVENTS))
    if sort == "state":
        kind = draw(st.sampled_from(sorted(FIGURES)))
        if for_yield == "relieves":
            described = compare("wheel", "plate_shape", "is", Word("straight"))
            return cause("state", of="wheel", when=described)
        return cause("state", of=kind, when=draw(clauses(kind)))
    if sort == "test":
        return cause("test", names=(TEST,))
    if sort == "leave":
        return cause("leave")
    if sort == "finding met":
        return cause("finding", verdicts=("met",), criteria=(draw(st.sampled_from(ids)),))
    if sort == "finding":
        choices = [("unmet",), ("breached",), ("not shown", "void"), ("breached", "lapses")]
        verdicts = draw(st.sampled_from(choices))
        effect = "refuse" if for_yield == "carries_up" else draw(st.sampled_from(["", "refuse"]))
        chosen = draw(st.none() | st.sampled_from(ids))
        return cause("finding", verdicts=verdicts, criteria=(chosen,) if chosen else (), effect=effect)
    if sort == "seen":
        return cause("seen", verdicts=("breached",), criteria=(draw(st.sampled_from(ids)),))
    if sort == "unfit":
        return cause("unfit", names=(draw(st.sampled_from(["wheelset", "truck", "axle position", "end", "car"])),))
    if sort == "restricted":
        return cause("restricted", names=("speed",))
    return cause("duty", names=(draw(st.sampled_from(earlier)),) if earlier and draw(st.booleans()) else ())


@st.composite
def consequences(draw: st.DrawFn, ids: list[str]) -> list[Consequence]:
    found = list(REACH)
    names: list[str] = []
    for number in range(draw(st.integers(0, 6))):
        kind = draw(st.sampled_from(["voids", "relieves", "carries_up", "requires", "restricts"]))
        given = [draw(causes(ids, names, kind)) for _ in range(draw(st.integers(1, 2)))]
        produced: Yield
        if kind == "voids":
            produced = draw(
                st.sampled_from(
                    [
                        Voids(TEST, (), "brake system"),
                        Voids("", ("flange_thickness", "rim_thickness"), "wheel"),
                        Voids("", ("coupler_height",), "coupler"),
                        Voids("", ("clearance",), "side bearing"),
                    ]
                )
            )
        elif kind == "relieves":
            same = all(one.sort == "finding" and one.verdicts == ("unmet",) for one in given)
            named = all(one.sort == "leave" for one in given) and draw(st.booleans())
            produced = relieves(
                finding_same=same,
                named=named and not same,
                criteria=() if named or same else (draw(st.sampled_from(ids)),),
                purpose=draw(st.sampled_from(["move", "repair"])),
                leaves=draw(st.sampled_from([(), (Restriction("riders", words=("crew",)),)])),
            )
        elif kind == "carries_up":
            produced = CarriesUp(draw(st.sampled_from([("truck", "car"), ("car",), ("wheelset",), ("end", "car")])))
        elif kind == "requires":
            produced = draw(
                st.sampled_from(
                    [
                        requires("brake system", test=TEST),
                        requires("truck", spare="wheelset"),
                        requires("truck", spare="air hose", each=True),
                        requires("car", words="look at it", when="on the way", routine=True),
                        requires("car", words="look at it", when="on the way"),
                    ]
                )
            )
        else:
            produced = Restricts(
                draw(
                    st.sampled_from(
                        [
                            (Restriction("speed", quantity=Quantity("speed", 30, 1)),),
                            (Restriction("place", words=("rear",)),),
                            (Restriction("riders", words=("nobody",)), Restriction("tag", words=("bad order",))),
                        ]
                    )
                )
            )
        found.append(consequence(f"q{number}", given, produced))
        if kind == "requires":
            names.append(f"test/q{number}")
    return found


@st.composite
def jobs(draw: st.DrawFn, days: st.SearchStrategy[date]) -> list[Work]:
    """Work and events, several of them on one day as often as not."""
    places = {"wheel": "wheel W-2 left", "axle position": "axle position 3", "brake system": "brake system"}
    work: list[Work] = []
    for number in range(1, draw(st.integers(0, 3)) + 1):
        name = draw(st.sampled_from([*WORK, *EVENTS]))
        on = work[-1].on if work and draw(st.booleans()) else draw(days)
        place = places[WORK.get(name) or EVENTS[name]]
        work.append(Work(f"J-{number}", name in EVENTS, name, on, (place,), NOWHERE))
    return work


@st.composite
def cars(draw: st.DrawFn, nearly_ready: bool) -> CarRecord:
    """A car; a nearly ready one has every figure read, all alike, and one or two of them changed."""
    evidence: list[Evidence] = []
    days = st.integers(0, 120).map(lambda ago: OUT - timedelta(days=ago))
    usual = draw(figures())
    keys = {
        "wheel": [f"wheel W-{n} {side}" for n in range(1, 5) for side in ("left", "right")],
        "side bearing": ["side bearing BL", "side bearing BR", "side bearing AL", "side bearing AR"],
        "coupler": ["coupler B", "coupler A"],
    }
    number = 0
    for kind, parts in keys.items():
        for part in parts:
            for name in FIGURES[kind]:
                count = 1 if nearly_ready else draw(st.integers(0, 2))
                for _ in range(count):
                    number += 1
                    value = usual if nearly_ready and draw(st.integers(0, 30)) else draw(figures())
                    place = f"axle position {part.split('-')[1][0]}" if kind == "wheel" else part
                    evidence.append(
                        reading(
                            part,
                            name,
                            value,
                            OUT - timedelta(days=3) if nearly_ready else draw(days),
                            number,
                            place=place,
                            by=INSPECTOR if nearly_ready else draw(st.sampled_from([INSPECTOR, STRANGER])),
                            resolution=draw(st.sampled_from([None, inches(1)])),
                        )
                    )
    work = draw(jobs(days))
    for _ in range(draw(st.integers(0, 2))):
        number += 1
        result = Word(draw(st.sampled_from(["passed", "passed", "failed"])))
        on = draw(days | st.sampled_from([job.on for job in work])) if work else draw(days)
        of_day = [job.id for job in work if job.on == on]
        after = frozenset(draw(st.sets(st.sampled_from(of_day)))) if of_day else frozenset()
        evidence.append(reading("brake system", "single_car_test", result, on, number, sort="test", after=after))
    spares = [
        Spare(f"S-{n}", "air hose", "", draw(st.integers(0, 2)), 0, {}, NOWHERE) for n in range(draw(st.integers(0, 1)))
    ]
    purpose = draw(st.sampled_from(["move", "repair"]))
    leaves = [
        Leave(
            "L-1",
            HOST,
            "c0",
            ("car",),
            OUT - timedelta(days=9),
            BACK,
            purpose,
            "X",
            "",
            NOWHERE,
            signed_on=OUT - timedelta(days=9),
            speed=draw(st.sampled_from([None, Quantity("speed", 30, 1)])),
            riders=draw(st.sampled_from(["", "crew"])),
        )
        for _ in range(draw(st.integers(0, 1)))
    ]
    return car_record(evidence, work=work, spares=spares, leaves=leaves)


@st.composite
def worlds(draw: st.DrawFn) -> tuple[CarRecord, Move, Rulebook]:
    """A car, a move and a rulebook."""
    found = draw(criteria())
    book = rulebook(found, draw(consequences([one.id for one in found])))
    return draw(cars(draw(st.booleans()))), move(), book
