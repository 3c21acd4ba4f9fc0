"""`spares`: the table by judging, what nothing covers, whether a spare is sound, what is left of a lubricant."""

import pytest
import repair_samples as samples
from case_list import answer as case_answer

from carknocker.judgement.judge import judge
from carknocker.page.text import text_of
from carknocker.questions.spares.ask import spares
from carknocker.questions.spares.page import spares_page
from carknocker.whatif.hypothetical_car import with_wheelsets


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


def apart(**given):
    """The sample with a truck A that takes other journal centers than the spare has."""
    return samples.car_text(centers="6 ft 6 in", **given)


def cell_of(answer, axle):
    return next(cell for cell in answer.cells if cell.axle == axle)


def test_a_spare_serves_where_it_fits_and_the_car_is_judged_with_it(yard):
    answer = samples.answer(yard, apart())
    found = spares(answer)
    assert [(cell.axle, cell.spare, cell.serves) for cell in found.cells] == [
        (1, "W-9", True), (2, "W-9", True), (3, "W-9", False), (4, "W-9", False),
    ]  # fmt: skip
    car = with_wheelsets(answer.judgement.car, {1: "W-9"}, samples.AS_OF)
    judged = judge(car, answer.judgement.move, answer.judgement.rulebook, samples.AS_OF)
    assert cell_of(found, 1).outcome == judged.outcome
    assert cell_of(found, 3).against[0].words == "6 ft 5 in; required the truck: journal centers that the truck takes"


def test_what_the_spare_itself_lacks_is_why_it_does_not_serve(yard):
    found = spares(samples.answer(yard, apart(**{"class": "plain"})))
    assert {reason.title for reason in cell_of(found, 1).against} == {"Bearing class accepted"}
    assert found.wheelsets[0].sound is False
    assert found.uncovered == (1, 2, 3, 4)


def test_a_spare_that_does_not_go_with_its_neighbors_does_not_serve(yard):
    found = spares(samples.answer(yard, apart(spare_tape="51")))
    assert [reason.title for reason in cell_of(found, 1).against] == ["Wheels of a truck within ten tapes"]
    assert spares(samples.answer(yard, apart(spare_tape="50"))).cells[0].serves
    assert found.wheelsets[0].sound  # by itself there is nothing against it


def test_a_breach_of_the_wheelset_that_comes_off_is_gone_with_it(yard):
    text = apart().replace("papers:", "papers:", 1)
    text = text.replace(
        "    # his note on that sheet\n",
        "\n  - {on: 2030-04-21, by: RE, gauge: G-1, readings: {wheels: {L1: {flange_thickness: 7/8 in}}}}\n",
    )
    found = spares(samples.answer(yard, text))
    assert found.outcome == "not ready"
    assert cell_of(found, 1).outcome == "not ready"  # the rule asks for another spare, and none would be aboard
    assert cell_of(found, 1).serves
    assert cell_of(found, 1).also[0].startswith("then another is wanted: Spare wheelset: not aboard")
    assert cell_of(found, 2).serves
    assert cell_of(found, 2).also[-1].endswith("from moving")


def test_axles_that_nothing_covers_and_what_the_rules_ask(yard):
    found = spares(samples.answer(yard, apart()))
    assert (found.uncovered, found.uncovered_on_the_way) == ((3, 4), (3, 4))
    shelf = spares(samples.answer(yard, apart(ninth="on the shelf")))
    assert (shelf.uncovered, shelf.uncovered_on_the_way) == ((3, 4), (1, 2, 3, 4))
    assert {demand.state for demand in shelf.demands} == {"open"}
    states = {label: demand.state for demand in found.demands for label in demand.labels}
    assert states == {"axle 1": "done", "axle 2": "done", "axle 3": "open", "axle 4": "open"}


def test_what_a_change_makes_necessary(yard):
    found = spares(samples.answer(yard, apart()))
    first = found.needed[0]
    assert first.axle == 1
    assert first.before == ("The body: fire extinguishers: reading void; wheelset renewed after it, 2030-05-01",)
    assert first.on_the_way == ("After a change the heights are read anew and the boxes felt: axle 1",)


def test_age_stowage_and_weight_of_what_rides_along(yard):
    found = spares(samples.answer(yard, apart()))
    wheelset = found.wheelsets[0]
    told = {line.label: line for line in (*wheelset.ageing, *wheelset.stowage)}
    assert not told["rust on treads or seals from standing"].known
    assert told["left bearing: reconditioned"].text == "2025-02-01, 1,946 days before departure"
    assert told["where the spare wheelset is stowed"].text == "baggage room"
    weights = {line.label: line.text for line in found.weights}
    assert weights["gross weight with the carried wheelsets"] == "W = G + ΣW₁ = 150,000 lb + 3,000 lb = 153,000 lb"
    assert weights["gross limit"] == "over the limit of the leg Here to There, 152,000 lb"


def test_signs_of_long_standing_are_told_though_no_rule_asks(yard):
    signs = (
        "wheelsets: {W-9: {standing_rust: yes}}\n      bearings: {W-9 left: {standing_marks: yes, heat_label: intact}}"
    )
    found = spares(samples.answer(yard, apart().replace("      body: {fire", f"      {signs}\n      body: {{fire")))
    wheelset = found.wheelsets[0]
    assert wheelset.sound
    assert wheelset.signs_of_standing == (
        "wheelset W-9: rust on treads or seals from standing: yes (2030-04-20, R. Example)",
        "bearing W-9 left: standing marks in the bearing from long rest: yes (2030-04-20, R. Example)",
    )
    assert "LOOK AT IT AGAIN" in text_of(spares_page(found))
    assert spares(samples.answer(yard, apart())).wheelsets[0].signs_of_standing == ()


def test_a_spare_that_was_on_the_scale_is_not_counted_twice(yard):
    text = apart().replace("spare_wheelset_aboard: no", "spare_wheelset_aboard: yes")
    weights = {line.label: line.text for line in spares(samples.answer(yard, text)).weights}
    assert weights["gross weight with the carried wheelsets"] == "W = G = 150,000 lb"
    bare = apart().replace(", spare_wheelset_aboard: no", "")
    unknown = {line.label: line for line in spares(samples.answer(yard, bare)).weights}
    assert not unknown["gross weight with the carried wheelsets"].known


def test_lubricants_with_substitute_approver_and_use(yard):
    found = spares(samples.answer(yard, apart()))
    by_product = {one.product: one for one in found.consumables}
    assert list(by_product)[-1] == ""  # what is not on record comes last
    oil = by_product["M-2 oil"]
    assert oil.labels == ("bearing L4", "bearing R4")
    assert oil.used == ("2030-03-01 oil or grease added, 2 lb",)
    told = {line.label: line for line in oil.told}
    assert told["substitute lubricant approved by"].text == "an engineer by name"
    assert told["approval on paper"].text == "by the maker"
    assert not told["lubricant in stock"].known
    assert by_product["M-1 grease"].used == ()


def test_the_page_says_the_table_and_what_is_missing(yard):
    page = text_of(spares_page(spares(samples.answer(yard, apart()))))
    assert "No spare fits axles 3 and 4" in page
    assert "READY" in page
    assert "MISSING: not on record" in page
    assert "Ready:" not in page  # how far ready goes is said of the table, never of the car


def test_a_car_without_spares_says_so(yard):
    found = spares(samples.answer(yard, apart(ninth="gone")))
    assert (found.cells, found.wheelsets, found.weights) == ((), (), ())
    page = text_of(spares_page(found))
    assert "SPARES: no spare wheelset is on record" in page
    assert "WHICH SPARE SERVES WHERE" not in page  # there is none to serve anywhere


def test_what_a_rule_asks_for_and_nobody_put_aboard_is_short():
    page = " ".join(text_of(spares_page(spares(case_answer("wren-hollow/before")))).split())
    assert "knuckle pin: 0 aboard, 0 on the shelf; asked for: Spares that every car is asked to carry (short)" in page
    assert "air hose: 2 aboard, 0 on the shelf; asked for: A spare air hose aboard (enough)" in page
    assert "(open)" not in page
