"""Plans against brute force that shares nothing with them: what work does to a wheel, and what the sample law asks of a
car, are written down here a second time as plain arithmetic, and every set of work is tried."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from fractions import Fraction
from itertools import combinations, product
from math import floor, pi

import pytest
from example_counts import examples
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from msgspec import Struct
from msgspec.structs import replace
from planning_samples import car_text, checked, library_in, wheelset

from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.model import Plan
from carknocker.rulebook import Library
from carknocker.vocabulary import work_to
from carknocker.whatif.work.model import BOUGHT
from carknocker.whatif.work.prices import Prices, read_prices_text

TRUCKS = {"B": (1, 2, 3), "A": (4, 5)}
TRUCK_OF = {axle: truck for truck, axles in TRUCKS.items() for axle in axles}
MOST_JOBS = 3
PRICED = """
format: carknocker-prices/1
work:
  wheels turned: {cost: 700, hours: 12}
  wheelset renewed: {cost: 300, hours: 4}
  truck rolled out and returned: {cost: 100, hours: 8}
  center-plate liner renewed: {cost: 150, hours: 5}
  shims adjusted: {hours: 2}
spares:
  wheelset: {cost: 600}
"""
COSTS = {"turned": (700, 12), "renewed": (300, 4), "out": (100, 8), "liner": (150, 5), "shims": (0, 2)}
BOUGHT_COSTS = 600


class Axle(Struct, frozen=True):
    """A wheelset, both wheels alike but for their sizes. sizes: None where they are still to be chosen."""

    flange: Fraction
    rim: Fraction
    cut: Fraction
    plain: bool
    fits: bool
    sizes: tuple[int, int] | None


class Car(Struct, frozen=True):
    axles: Mapping[int, Axle]
    heights: Mapping[str, bool]
    liners: Mapping[str, bool]


Done = tuple[str, int | str, str]
"""A job: turned, renewed, height, shims, liner; the axle or the end; the wheelset put there, `S-1` or `bought`."""
ON_THE_SHELF = 0
"""Where the spare is: it may be turned there."""


def turned(axle: Axle) -> Axle:
    """Both wheels cut as deep as the deeper cut asks, and to one size: 1/8 in of circumference is a tape."""
    assert axle.sizes is not None  # only of a wheelset to be bought it is open
    smallest = min(axle.sizes)
    size = floor(smallest - 16 * pi * float(axle.cut))
    deepest = axle.cut + Fraction((max(axle.sizes) - smallest) / (16 * pi))
    return replace(axle, flange=Fraction(9, 8), rim=axle.rim - deepest, cut=Fraction(0), sizes=(size, size))


NEW = Axle(Fraction(9, 8), Fraction(2), Fraction(0), False, True, None)


def after(car: Car, jobs: Collection[Done], spare: Axle | None) -> Car:
    axles, heights, liners = dict(car.axles), dict(car.heights), dict(car.liners)
    if spare is not None and ("turned", ON_THE_SHELF, "") in jobs:
        spare = turned(spare)
    for what, where, which in jobs:
        if where == ON_THE_SHELF:
            continue
        if isinstance(where, int):
            new = NEW if which == "bought" or spare is None else spare
            axles[where] = turned(axles[where]) if what == "turned" else new
        else:
            heights[where] = True
            liners[where] = liners[where] or what == "liner"
    return Car(axles, heights, liners)


def lawful(car: Car) -> bool:
    """The sample law, with whatever sizes suit for the wheelsets whose sizes are open."""
    for axle in car.axles.values():
        if not (axle.flange > Fraction(7, 8) and axle.rim >= 1 and not axle.plain and axle.fits):
            return False
    if not (all(car.heights.values()) and all(car.liners.values())):
        return False
    open_ = [number for number, axle in car.axles.items() if axle.sizes is None]
    known = {number: axle.sizes for number, axle in car.axles.items() if axle.sizes is not None}
    there = {size for sizes in known.values() for size in sizes}
    step = (1, 1, 4, 12)[min(len(open_), 3)]
    choices = sorted(there | set(range(min(there) - 24, max(there) + 25, step)))
    return any(
        sizes_lawful({**known, **{number: (size, size) for number, size in zip(open_, chosen, strict=True)}})
        for chosen in product(choices, repeat=len(open_))
    )


def sizes_lawful(sizes: Mapping[int, tuple[int, int]]) -> bool:
    every = [size for pair in sizes.values() for size in pair]
    ends = Fraction(sum(sizes[1] + sizes[3]), 4)
    mates = all(abs(left - right) <= 3 for left, right in sizes.values())
    return mates and Fraction(sum(sizes[2]), 2) <= ends and max(every) - min(every) <= 20


def weight(jobs: frozenset[Done], priced: bool) -> tuple[Fraction | int, ...]:
    """Jobs with their roll-outs; work without a price, cost, hours; wheelsets to be bought."""
    out = {
        TRUCK_OF[where] if isinstance(where, int) else where
        for what, where, _ in jobs
        if what not in FREE and where != ON_THE_SHELF
    }
    bought = sum(which == "bought" for _, _, which in jobs)
    names = [*(what for what, _, _ in jobs), *("out" for _ in out)]
    if not priced:
        return len(names), bought
    cost = sum(COSTS.get(name, (0, 0))[0] for name in names) + BOUGHT_COSTS * bought
    return (
        len(names),
        sum(name not in COSTS for name in names),
        cost,
        sum(COSTS.get(n, (0, 0))[1] for n in names),
        bought,
    )


FREE = ("height", "shims")
"""Work for which no truck rolls out."""


def every_set(spare: bool) -> Iterator[frozenset[Done]]:
    wheels: list[Done] = [("turned", axle, "") for axle in (*TRUCK_OF, *((ON_THE_SHELF,) if spare else ()))]
    wheels += [("renewed", axle, which) for axle in TRUCK_OF for which in ("bought", *(("S-1",) if spare else ()))]
    rest: list[Done] = [(what, end, "") for what in ("height", "shims", "liner") for end in "BA"]
    for number in range(MOST_JOBS + 1):
        for jobs in combinations((*wheels, *rest), number):
            at = [where for what, where, _ in jobs if what in ("turned", "renewed")]
            if len(set(at)) == len(at) and sum(which == "S-1" for _, _, which in jobs) < 2:
                yield frozenset(jobs)


def works_of(found: Plan) -> frozenset[Done]:
    """The jobs of a plan in the words of this file, without its roll-outs."""
    names = {
        "wheels turned": "turned", "wheelset renewed": "renewed", "coupler height adjusted": "height",
        "shims adjusted": "shims", "center-plate liner renewed": "liner",
    }  # fmt: skip
    positions = {part.key: part.position for part in found.check.judgement.parts.values()}
    done = set()
    for job in found.jobs:
        if job.work != work_to("roll a truck out"):
            place = str(ON_THE_SHELF) if job.at[0].startswith("wheel S-1 ") else positions[job.at[0]].lstrip("LR")
            which = "bought" if job.serial == BOUGHT else job.serial
            done.add((names[job.work], int(place) if place.isdigit() else place, which))
    return frozenset(done)


@pytest.fixture(scope="module")
def sizes(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("sizes"), sizes=True)


GOOD: dict[str, object] = wheelset()


def axle_of(one: Mapping[str, object]) -> Axle:
    given_sizes = one["tapes"]
    return Axle(
        _inches(one["flange"]), _inches(one["rim"]), _inches(one["cut"]), one["class"] == "plain",
        one["centers"] == "6 ft 5 in", given_sizes,  # type: ignore[arg-type]
    )  # fmt: skip


def _inches(text: object) -> Fraction:
    whole, _, part = str(text).removesuffix(" in").partition("-")
    return Fraction(whole) + (Fraction(part) if part else 0)


def assert_least(
    sizes: Library,
    bad: Mapping[int, dict[str, object]],
    spare: dict[str, object] | None,
    low: str,
    thin: str,
    priced: bool,
) -> tuple[Plan, list[frozenset[Done]]]:
    """The plan of such a car, and all the least sets by brute force, after comparing them."""
    given_all = {f"W-{axle}": bad.get(axle, GOOD) for axle in TRUCK_OF}
    records = given_all if spare is None else {**given_all, "S-1": spare}
    text = car_text(
        {truck: [f"W-{axle}" for axle in axles] for truck, axles in TRUCKS.items()}, records,
        heights=("31 in" if "B" in low else "33 in", "31 in" if "A" in low else "33 in"),
        liners=("1/8 in" if "B" in thin else "1/2 in", "1/8 in" if "A" in thin else "1/2 in"),
    )  # fmt: skip
    found = plan(checked(text, sizes), read_prices_text(PRICED, "prices.yaml") if priced else Prices())
    car = Car(
        {axle: axle_of(given_all[f"W-{axle}"]) for axle in TRUCK_OF},
        {end: end not in low for end in "BA"}, {end: end not in thin for end in "BA"},
    )  # fmt: skip
    other = None if spare is None else axle_of(spare)
    good = [jobs for jobs in every_set(spare is not None) if lawful(after(car, jobs, other))]
    least = min((weight(jobs, priced) for jobs in good), default=None)
    best = [jobs for jobs in good if weight(jobs, priced) == least]
    chosen = works_of(found)
    if found.suffices and len(chosen) > MOST_JOBS:
        assert not good
        assert lawful(after(car, chosen, other))
        return found, best
    assert found.suffices == bool(good)
    assert found.proven
    if good:
        assert chosen in best
        assert len(found.others) == min(len(best) - 1, 5)
    return found, best


def test_two_axles_of_different_size_want_one_changed_and_either_will_do(sizes: Library) -> None:
    bad = {1: wheelset(tapes=(100, 100)), 5: wheelset(tapes=(130, 130))}
    _, best = assert_least(sizes, {axle: wheelset(tapes=(110, 110)) for axle in TRUCK_OF} | bad, None, "", "", False)
    # axle 1 alone larger, or axle 5 alone smaller: no other axle helps, whichever wheelset is bought for it
    assert {where for jobs in best for _, where, _ in jobs} <= {1, 5}


def test_turning_one_axle_for_its_flange_makes_it_too_small_beside_the_middle_axle(sizes: Library) -> None:
    found, best = assert_least(sizes, {1: wheelset(flange="7/8 in", cut="3/8 in")}, None, "", "", False)
    assert works_of(found) == frozenset({("renewed", 1, "bought")})
    assert len(best) == 1


def test_prices_turn_the_choice_between_sets_of_as_many_jobs(sizes: Library) -> None:
    bad = {4: wheelset(flange="7/8 in"), 5: wheelset()}
    free, _ = assert_least(sizes, bad, None, "", "", False)
    paid, _ = assert_least(sizes, bad, None, "", "", True)
    assert works_of(free) == works_of(paid) == frozenset({("turned", 4, "")})
    # a wheelset off the shelf is cheaper to put in than turning is
    spare, _ = assert_least(sizes, bad, wheelset(), "", "", True)
    assert works_of(spare) == frozenset({("renewed", 4, "S-1")})


_WHEELSETS = st.builds(
    wheelset,
    flange=st.sampled_from(["1-1/8 in", "7/8 in"]),
    rim=st.sampled_from(["2 in", "1-1/8 in"]),
    cut=st.sampled_from(["1/8 in", "1/4 in"]),
    bearing=st.sampled_from(["grease-lubricated roller"] * 4 + ["plain"]),
    centers=st.sampled_from(["6 ft 5 in"] * 6 + ["6 ft 4 in"]),
    tapes=st.sampled_from([(100, 100), (100, 105), (96, 96), (104, 104), (121, 121), (84, 84)]),
)


@settings(
    max_examples=examples(8), phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)  # fmt: skip
@given(
    bad=st.dictionaries(st.sampled_from(sorted(TRUCK_OF)), _WHEELSETS, max_size=2), spare=st.none() | _WHEELSETS,
    low=st.sampled_from(["", "", "B", "BA"]), thin=st.sampled_from(["", "", "B", "A"]), priced=st.booleans(),
)  # fmt: skip
def test_nothing_smaller_suffices(
    sizes: Library, bad: dict[int, dict[str, object]], spare: dict[str, object] | None, low: str, thin: str,
    priced: bool,
) -> None:  # fmt: skip
    assert_least(sizes, bad, spare, low, thin, priced)
