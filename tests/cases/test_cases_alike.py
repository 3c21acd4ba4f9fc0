"""What is alike but for the part is told once, with all its parts, in `why` and `compare`; nothing is left out."""

import re

from case_list import answer

from carknocker.cli.output import joined
from carknocker.page.model import Table, Tree
from carknocker.questions.compare.page import compare_page
from carknocker.questions.why.ask import why
from carknocker.questions.why.json_form import why_json
from carknocker.questions.why.model import WhyNode
from carknocker.questions.why.page import why_page
from carknocker.whatif.differences.compare import compare
from carknocker.wording.sources import place_of


def every(nodes: tuple[WhyNode, ...]) -> list[WhyNode]:
    return [found for node in nodes for found in (node, *every(node.because))]


def flat(page: str) -> str:
    return re.sub(r"\s+", " ", page)


def test_six_plain_bearings_are_one_reason():
    page = flat(joined([why_page(why(answer("wren-hollow/before")))]))
    assert page.count("plain, not accepted; must be sealed tapered cartridge") == 1
    assert "bearing L1–L3, R1–R3: plain, not accepted; must be sealed tapered cartridge" in page
    assert "bearing L1–L3, R1–R3: class of bearing: plain" in page
    assert all(f"unfit: wheelset {serial}" in page for serial in ("W-31", "W-32", "W-33"))


def test_why_of_a_whole_car_can_be_read():
    page = joined([why_page(why(answer("wren-hollow/before")))])
    assert len(page.splitlines()) < 280


def test_every_rule_and_every_place_of_the_record_is_still_named():
    found = why(answer("wren-hollow/before"))
    page, judgement = flat(joined([why_page(found)])), found.check.judgement
    for node in every(found.nodes):
        for label, text in node.lines:
            if label in ("rule", "on", "by", "gauge", "paper", "measured"):
                assert f"{label}: {flat(text)}" in page
        if node.where is not None:
            file, _, line = place_of(node.where, judgement).rpartition(":")
            assert re.search(rf"{re.escape(file)}:[\d, ]*\b{line}\b", page), node.where


def test_readings_that_differ_stay_apart():
    page = flat(joined([why_page(why(answer("wren-hollow/before"), "truck A"))]))
    assert "wheel R5: flange thickness: 7/8 in or less by go/no-go gauge" in page


def test_what_changed_alike_is_one_entry_with_all_that_explains_it():
    page = compare_page(compare(answer("wren-hollow/before"), answer("wren-hollow/after")))
    cleared = next(section for section in page.sections if section.heading == "Cleared")
    (table,) = (block for block in cleared.blocks if isinstance(block, Table))
    (bearings,) = (row for row in table.rows if row[0].startswith("Bearings L1–L3"))
    assert bearings == (
        "Bearings L1–L3, R1–R3: plain, not accepted; must be sealed tapered cartridge, grease-lubricated roller or "
        "oil-lubricated roller (another part now)",
        "breached, plain",
        "met, grease-lubricated roller",
        "bearing L1–L3, R1–R3: class of bearing grease-lubricated roller; J-13; J-14; J-15",
    )  # fmt: skip
    text = flat(joined([page]))
    for work in ("J-13", "J-14", "J-15"):
        assert text.count(f"{work} wheelset renewed, 2026-10-12, axle") >= 1
    assert text.count("wheelset W-32 → wheelset W-52") == 1
    assert "bearing W-32 right →" not in text  # it went with its wheelset


def test_what_is_not_shown_on_a_whole_car_takes_a_few_lines_for_each_criterion() -> None:
    found = why(answer("nothing-measured"))
    page = why_page(found)
    (tree,) = (block for section in page.sections for block in section.blocks if isinstance(block, Tree))
    missing = next(leaf for leaf in tree.leaves[0].under if leaf.text.startswith("not shown: "))
    (group,) = (node for node in found.nodes[0].because if node.said == missing.text)
    assert len(missing.under) == len(group.because) > 50
    for leaf in missing.under:
        assert (len(leaf.notes), leaf.under) == (1, ()), leaf
    rule = next(leaf for leaf in missing.under if "“Tire tight on its wheel”" in leaf.text)
    assert rule.text == (
        "Wheels L1–L4, R1–R4: nothing on record says whether “Tire tight on its wheel” applies; it does where wear "
        "kind: tired"
    )
    assert rule.notes == ("49 CFR 229.75(l); rule: tire-tight",)
    one = flat(joined([why_page(why(answer("nothing-measured"), "wheel L1", "tire-tight"))]))
    assert "stops: wheelset T-1, axle 1, truck B and the car" in one
    said = (
        ": nothing on record says whether “Tire tight on its wheel” applies; it does where wear kind: tired (not shown)"
    )
    assert why_json(found).count(said) == 8
