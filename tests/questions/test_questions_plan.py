"""Plans: what they choose, in which order, and that nothing smaller would do."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import combinations

import pytest
from example_counts import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from planning_samples import AS_OF, MOVE, car_text, checked, library_in, wheelset

from carknocker.documents import InputRefused
from carknocker.page.markdown import markdown_of
from carknocker.page.text import text_of
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.json_form import plan_json
from carknocker.questions.plan.model import Plan
from carknocker.questions.plan.page import plan_page
from carknocker.questions.plan.schedule import STAGES
from carknocker.rulebook import Library
from carknocker.whatif.hypothetical_car import as_it_stood
from carknocker.whatif.work.model import BOUGHT, Job
from carknocker.whatif.work.prices import Prices, read_prices_text
from carknocker.whatif.work.trial import Trials, weight

TRUCKS = {"B": ["W-1", "W-2"], "A": ["W-3", "W-4"]}
SOUND = {serial: wheelset() for serials in TRUCKS.values() for serial in serials}


@pytest.fixture(scope="module")
def law(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("law"), sizes=False)


@pytest.fixture(scope="module")
def sizes(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("sizes"), sizes=True)


def planned(law: Library, prices: Prices | None = None, move: str = MOVE, **given: object) -> Plan:
    wheelsets = given.pop("wheelsets", SOUND)
    return plan(checked(car_text(TRUCKS, wheelsets, **given), law, move=move), prices)  # type: ignore[arg-type]


def works(found: Plan) -> list[tuple[str, str]]:
    return [(job.work, job.at[0]) for job in found.jobs]


def test_a_ready_car_needs_nothing(law: Library) -> None:
    found = planned(law)
    assert found.outcome == "ready"
    assert (found.jobs, found.steps, found.lacks) == ((), (), ())
    assert found.ready_on == AS_OF


def test_turning_is_offered_where_the_rim_allows_it(law: Library) -> None:
    worn = {**SOUND, "W-2": wheelset(flange="7/8 in", rim="2 in", cut="1/4 in")}
    found = planned(law, wheelsets=worn)
    assert works(found) == [("truck rolled out and returned", "truck B"), ("wheels turned", "wheel W-2 left")]
    assert found.outcome == "ready"


def test_turning_is_not_offered_where_the_rim_is_too_thin(law: Library) -> None:
    thin = {**SOUND, "W-2": wheelset(flange="7/8 in", rim="1-3/16 in", cut="1/4 in")}
    found = planned(law, wheelsets=thin)
    assert ("wheelset renewed", "axle position 2") in works(found)
    assert {one.work for one in found.not_offered} == {"wheels turned"}
    edge = {**SOUND, "W-2": wheelset(flange="7/8 in", rim="1-1/4 in", cut="1/4 in")}
    assert ("wheels turned", "wheel W-2 left") in works(planned(law, wheelsets=edge))


def test_a_wheelset_on_record_comes_before_one_to_be_bought(law: Library) -> None:
    bad = {**SOUND, "W-4": wheelset(bearing="plain")}
    assert planned(law, wheelsets=bad).jobs[-1].serial == BOUGHT
    assert planned(law, wheelsets={**bad, "S-1": wheelset()}).jobs[-1].serial == "S-1"


def test_a_spare_on_which_something_is_breached_is_not_offered(law: Library) -> None:
    bad = {**SOUND, "W-4": wheelset(bearing="plain"), "S-1": wheelset(centers="6 ft 4 in")}
    found = planned(law, wheelsets=bad)
    assert found.jobs[-1].serial == BOUGHT
    assert any("S-1" in one.label and "journal centers 6 ft 4 in" in one.reason for one in found.not_offered)


def test_one_spare_serves_one_axle(law: Library) -> None:
    bad = {**SOUND, "W-2": wheelset(bearing="plain"), "W-4": wheelset(bearing="plain"), "S-1": wheelset()}
    serials = sorted(job.serial for job in planned(law, wheelsets=bad).jobs if job.serial)
    assert serials == ["S-1", BOUGHT]


def test_a_breach_is_not_cleared_by_work_that_only_voids_its_reading(law: Library) -> None:
    worn = {**SOUND, "W-2": wheelset(flange="7/8 in")}
    found = planned(law, wheelsets=worn, heights=("31 in", "33 in"))
    assert ("coupler height adjusted", "coupler B") in works(found)


def test_one_job_that_clears_two_findings_is_enough(law: Library) -> None:
    found = planned(law, heights=("31 in", "33 in"), liners=("1/8 in", "1/2 in"))
    assert works(found) == [
        ("center-plate liner renewed", "center plate B"),
        ("truck rolled out and returned", "truck B"),
    ]


def test_what_has_no_remedy_is_said_to_be_lacking_and_the_rest_is_planned(law: Library) -> None:
    found = planned(law, underframe="wooden", heights=("31 in", "33 in"))
    assert not found.suffices
    assert [(one.label, one.reason) for one in found.lacks] == [("underframe", "no work is known that clears it")]
    assert "breached" not in found.lacks[0].fault.text
    assert works(found) == [("coupler height adjusted", "coupler B")]


def test_a_test_that_runs_out_is_made_again_and_not_too_early(law: Library) -> None:
    found = planned(law, tested="2029-01-01")
    assert [(step.sort, step.what) for step in found.steps] == [("test", "single-car brake test")]
    long_after = MOVE.replace("2030-06-01", "2031-08-01").replace("2030-06-05", "2031-08-05")
    late = planned(law, tested="2029-01-01", move=long_after)
    step = next(step for step in late.steps if step.sort == "test")
    assert step.not_before == date(2030, 8, 5)
    assert step.first == date(2030, 8, 5)
    assert late.outcome == "ready"


def test_a_spare_is_taken_from_the_shelf_or_bought(law: Library) -> None:
    shelf = planned(law, portion="carried: 0, shelf: 1")
    assert [step.what for step in shelf.steps] == ["take along 1 × service portion from the shelf"]
    none = planned(law, portion="carried: 0")
    assert [step.what for step in none.steps] == ["buy and take along 1 × service portion"]
    assert shelf.outcome == none.outcome == "ready"


def test_the_order_is_workable(law: Library) -> None:
    bad = {**SOUND, "W-2": wheelset(flange="7/8 in"), "W-4": wheelset(bearing="plain"), "S-1": wheelset()}
    found = planned(law, wheelsets=bad, heights=("31 in", "33 in"), tested="2029-01-01")
    rank = {stage: number for number, stage in enumerate(STAGES)}
    order = [rank[step.stage] for step in found.steps]
    assert order == sorted(order)
    by_number = {step.number: step for step in found.steps}
    for step in found.steps:
        for number in step.after:
            assert by_number[number].last < step.first
            assert rank[by_number[number].stage] < rank[step.stage]
    sorts = [step.sort for step in found.steps if step.sort != "spare"]
    assert sorts[0] == "roll out"
    assert sorts[-1] == "test"
    assert found.ready_on == max(step.last for step in found.steps)
    ends = [step for step in found.steps if step.critical]
    assert any(step.last == found.ready_on for step in ends)


def test_a_truck_that_rolls_out_has_its_connections_and_what_to_look_at(law: Library) -> None:
    worn = {**SOUND, "W-2": wheelset(flange="7/8 in")}
    out = planned(law, wheelsets=worn).trucks_out
    assert [one.label for one in out] == ["truck B"]
    assert out[0].disconnect == ("air hose", "ground strap")
    assert any(line.startswith("center pin B") and "never read" in line for line in out[0].look_at)


PRICES = """
format: carknocker-prices/1
currency: dollars
hours_in_a_day: 8
work:
  wheels turned: {cost: "2,000", hours: 20, lead: 10 days}
  wheelset renewed: {cost: 500, hours: 4}
  truck rolled out and returned: {cost: 100, hours: 8}
spares:
  wheelset: {cost: 900, lead: 60 days}
tests:
  brake application and release: {cost: 10, hours: 1}
"""


def test_prices_decide_among_plans_of_as_many_jobs(law: Library) -> None:
    worn = {**SOUND, "W-2": wheelset(flange="7/8 in")}
    prices = read_prices_text(PRICES, "prices.yaml")
    found = planned(law, prices, wheelsets=worn)
    assert [job.serial for job in found.jobs if job.serial] == [BOUGHT]
    assert found.currency == "dollars"
    assert "1,510 dollars, of what is priced" in markdown_of(plan_page(found))
    dear = read_prices_text(PRICES.replace("cost: 900", "cost: 1600"), "prices.yaml")
    assert [job.work for job in planned(law, dear, wheelsets=worn).jobs][-1] == "wheels turned"


def test_a_part_at_hand_costs_nothing_and_one_that_is_bought_does(law: Library) -> None:
    """Adjusting uses up a dear part: it is the cheaper work only where that part is on the shelf."""
    prices = read_prices_text(
        "format: carknocker-prices/1\nwork:\n  coupler height adjusted: {cost: 50, parts: [service portion]}\n"
        "  shims adjusted: {cost: 60}\nspares:\n  service portion: {cost: 900}\n",
        "prices.yaml",
    )
    at_hand = planned(law, prices, heights=("31 in", "33 in"), portion="carried: 1, shelf: 1")
    assert works(at_hand) == [("coupler height adjusted", "coupler B")]
    assert at_hand.cost == 50
    none = planned(law, prices, heights=("31 in", "33 in"), portion="carried: 0")
    assert works(none) == [("shims adjusted", "truck B")]


def test_lead_times_and_notice_make_the_day(law: Library) -> None:
    worn = {**SOUND, "W-2": wheelset(flange="7/8 in")}
    prices = read_prices_text(PRICES, "prices.yaml")
    found = planned(law, prices, wheelsets=worn)
    step = next(step for step in found.steps if step.sort == "job")
    assert step.lead == 60
    assert step.first == date(2030, 6, 30)
    out = next(step for step in found.steps if step.sort == "roll out")
    assert out.last == date(2030, 6, 29)
    assert not found.in_time
    assert found.earliest_departure == found.ready_on + timedelta(days=1)  # done by the evening, gone the next morning


@pytest.mark.parametrize(
    ("broken", "found"),
    [
        ("work:\n  wheels trned: {cost: 1}", "wheels trned"),
        ("work:\n  wheels turned: {cost: much}", "`much`"),
        ("work:\n  wheels turned: {price: 1}", "the key `price`"),
        ("work:\n  wheels turned: {lead: 1 in}", "1 in"),
        ("work: 7", "`7`"),
        ("hours_in_a_day: 0", "hours of no day"),
        ("wrk: {}", "the key `wrk`"),
    ],
)
def test_bad_prices_are_refused_with_their_place(broken: str, found: str) -> None:
    with pytest.raises(InputRefused) as caught:
        read_prices_text(f"format: carknocker-prices/1\n{broken}\n", "prices.yaml")
    assert found in str(caught.value)
    assert str(caught.value).startswith("prices.yaml:")


def test_the_plan_is_the_same_twice(law: Library) -> None:
    bad = {**SOUND, "W-2": wheelset(flange="7/8 in"), "W-4": wheelset(bearing="plain"), "S-1": wheelset()}
    one, other = (planned(law, wheelsets=bad, heights=("31 in", "31 in")) for _ in range(2))
    assert (one.jobs, one.steps, one.others, one.trucks_out) == (
        other.jobs,
        other.steps,
        other.others,
        other.trucks_out,
    )


def test_a_wheel_turned_too_small_for_its_truck_is_seen(sizes: Library) -> None:
    trucks = {"B": ["W-1", "W-2", "W-3"], "A": ["W-4", "W-5"]}
    wheelsets = {serial: wheelset() for serials in trucks.values() for serial in serials}
    wheelsets["W-1"] = wheelset(flange="7/8 in", cut="3/8 in")
    found = plan(checked(car_text(trucks, wheelsets), sizes))
    # turned 3/8 in the wheels of axle 1 are 19 tapes smaller, and the middle axle is then larger than the end axles
    assert {job.work for job in found.jobs} == {"truck rolled out and returned", "wheelset renewed"}


def _sets(jobs: tuple[Job, ...]) -> Iterator[frozenset[Job]]:
    for number in range(len(jobs) + 1):
        for chosen in combinations(jobs, number):
            if not any(one.clashes_with(other) for one, other in combinations(chosen, 2)):
                yield frozenset(chosen)


_FLANGES = st.sampled_from(["1-1/8 in", "1-1/8 in", "7/8 in"])
_WHEELSETS = st.builds(
    wheelset, flange=_FLANGES, rim=st.sampled_from(["2 in", "1-1/8 in"]), cut=st.sampled_from(["1/8 in", "1/4 in"]),
    bearing=st.sampled_from(["grease-lubricated roller", "grease-lubricated roller", "plain"]),
)  # fmt: skip
_HEIGHTS = st.tuples(st.sampled_from(["33 in", "31 in"]), st.just("33 in"))
_LINERS = st.tuples(st.sampled_from(["1/2 in", "1/8 in"]), st.just("1/2 in"))


@settings(max_examples=examples(6), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    bad=st.tuples(_WHEELSETS, _WHEELSETS), spare=st.none() | _WHEELSETS, heights=_HEIGHTS, liners=_LINERS,
    tested=st.sampled_from(["2030-03-01", "2029-01-01"]), priced=st.booleans(),
)  # fmt: skip
def test_no_smaller_set_suffices(
    law: Library, bad: tuple[dict[str, object], dict[str, object]], spare: dict[str, object] | None,
    heights: tuple[str, str], liners: tuple[str, str], tested: str, priced: bool,
) -> None:  # fmt: skip
    """Brute force: every set of all that is on offer, each tried from the start."""
    wheelsets = {**SOUND, "W-1": bad[0], "W-4": bad[1], **({} if spare is None else {"S-1": spare})}
    answer = checked(car_text(TRUCKS, wheelsets, heights=heights, liners=liners, tested=tested), law)
    prices = read_prices_text(PRICES, "prices.yaml") if priced else Prices()
    found = plan(answer, prices)
    judged = answer.judgement
    trials = Trials(as_it_stood(judged.car, answer.day), judged.move, judged.rulebook, judged.move.out)
    trials.tried(frozenset())
    seen: set[frozenset[Job]] = set()
    sufficing: list[frozenset[Job]] = []
    while True:  # a set may bring further offers; until it does no longer
        fresh = [one for one in _sets(trials.on_offer) if one not in seen]
        if not fresh:
            break
        for jobs in fresh:
            seen.add(jobs)
            if not trials.tried(jobs).left:
                sufficing.append(jobs)
    assert found.suffices == bool(sufficing)
    assert found.proven
    lightest = min(weight(jobs, trials, prices)[:-1] for jobs in sufficing)
    chosen = frozenset(job for job in found.jobs if job.work != "truck rolled out and returned")
    assert weight(chosen, trials, prices)[:-1] == lightest
    assert found.outcome in ("ready", "ready with restrictions")


def test_the_pages_say_the_same_in_every_form(law: Library) -> None:
    bad = {**SOUND, "W-2": wheelset(flange="7/8 in", rim="1 in"), "W-4": wheelset(bearing="plain")}
    found = planned(law, wheelsets=bad, underframe="wooden")
    page = plan_page(found)
    text, markdown = text_of(page), markdown_of(page)
    told = json.loads(plan_json(found))
    assert page.verdict.startswith("PLAN: the car is NOT READY; NO WORK ON OFFER SUFFICES: ")
    for words in ("air hose, ground strap", "no work is known that clears it", "Lifting and jacking"):
        assert words in " ".join(text.split())
        assert words in markdown
    assert told["suffices"] is False
    assert [step["number"] for step in told["steps"]] == list(range(1, len(found.steps) + 1))
    assert told["trucks_out"][0]["disconnect"] == ["air hose", "ground strap"]
    assert told["not_offered"][0]["work"] == "wheels turned"
    assert plan_json(planned(law, wheelsets=bad, underframe="wooden")) == plan_json(found)


def test_connections_that_are_not_recorded_are_said_to_be_missing(law: Library) -> None:
    worn = {**SOUND, "W-2": wheelset(flange="7/8 in")}
    text = car_text(TRUCKS, worn).replace("connections_to_body: [air hose, ground strap], ", "")
    assert "NOT RECORDED" in markdown_of(plan_page(plan(checked(text, law))))
