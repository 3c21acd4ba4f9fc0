"""The one line of a fault for what lapses, is void, is not shown or is too near: each names what is wrong, and no
requirement stands for another figure."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace

from carknocker.documents import Location
from carknocker.dossier.blockers import blockers_of
from carknocker.judgement.criteria import compile_criterion
from carknocker.judgement.examples import OUT, example_standing
from carknocker.judgement.findings import judge_part
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement, Refusal
from carknocker.judgement.part_view import PartView
from carknocker.judgement.set_aside import MadeVoidBy
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import UNKNOWN
from carknocker.quantities import Quantity
from carknocker.record.model import Evidence, Work
from carknocker.record.standing import Standing
from carknocker.record.values import Figure
from carknocker.rulebook.compose import compose
from carknocker.rulebook.library import load_library, rulesets_folders
from carknocker.vocabulary import load_vocabulary

LIBRARY = load_library(rulesets_folders()).reading_examples()
VOIDING = Work("k-1", False, "wheelset renewed", date(2030, 6, 12), ("car",), Location("car.yaml", 1, 1))
LATER = 30
"""Days that a move lasts on which something runs out; it leaves on 2030-06-15 and is back on 2030-07-15."""


def line(edition: tuple[str, str], rule: str, number: int, *, days: int = 0, near: bool = False, void: str = "") -> str:
    """The fault and what clears it, of an example of an installed edition. days: how long the move lasts. near: read
    with gauges that resolve 1/16 in. void: the attribute whose reading work made void."""
    edition_read = LIBRARY.edition(*edition)
    criterion = next(one for one in edition_read.criteria if one.id.endswith(f"/{rule}") or one.id == rule)
    standing, move, key = example_standing(criterion, criterion.examples[number], load_vocabulary())
    if days:
        move = replace(move, back=OUT + timedelta(days=days))
    if near:
        standing = coarsely_read(standing)
    first = Situation(standing, move, {})
    situation = Situation(standing, move, {void: MadeVoidBy(VOIDING)}) if void else first
    compiled = compile_criterion(criterion)
    if compiled.when is not None and compiled.when(PartView(first, key, first.values_of(key), OUT)) == UNKNOWN:
        compiled = compiled.applying(when=False)
    finding = judge_part(compiled, standing.parts[key], situation, lambda: first)
    judgement = Judgement(
        car=standing.car, move=move, rulebook=compose([edition_read]), as_of=OUT, outcome="NOT READY",
        findings=(finding,), refusals=(Refusal(finding=finding, stops=("car",)),), restrictions=(), duties=(),
        on_the_way=(), voided=(), reliefs=(), firings=(), parts=standing.parts, situation=situation,
    )  # fmt: skip
    (blocker,) = blockers_of(judgement.refusals, JudgementIndex(judgement))
    return f"{blocker.fault.text} | {' or '.join(blocker.clears)}"


def coarsely_read(standing: Standing) -> Standing:
    def coarse(entry: Evidence) -> Evidence:
        value = entry.value
        is_length = isinstance(value, Figure) and value.quantity.dimension == "length"
        return replace(entry, resolution=Quantity.of("length", Fraction(1, 16), "in")) if is_length else entry

    evidence = {
        part: {name: tuple(map(coarse, entries)) for name, entries in own.items()}
        for part, own in standing.evidence.items()
    }
    return replace(standing, evidence=evidence)


KESTREL, LAW, PRACTICE = ("kestrel-and-northern", "7"), ("us-federal", "2015"), ("trade-practice", "2026")


def test_a_date_that_runs_out_is_named_and_work_alone_makes_it_later() -> None:
    assert line(KESTREL, "roller-bearing-age", 1, days=LATER).startswith(
        "The bearing: reconditioned 2020-06-15 good through 2030-06-15; move ends 2030-07-15"
        " | bearing renewed or wheelset renewed or "
    )


def test_of_readings_the_attribute_is_named_as_read_void() -> None:
    assert line(LAW, "flange-thickness", 0, void="flange_thickness").startswith(
        "The wheel: flange thickness: reading void; wheelset renewed after it, 2030-06-12 | "
    )


def test_of_two_figures_that_nobody_read_no_limit_stands_for_both() -> None:
    assert line(PRACTICE, "center-plate-shim", -1).startswith(
        "The center plate: liner thickness not measured; liner pieces not counted | "
    )


def test_each_figure_too_near_its_limit_has_its_own() -> None:
    assert line(LAW, "sill-step", 1, near=True).startswith(
        "The safety appliance: tread length 10 in (must be at least 10 in);"
        " clear depth of the step 8 in (must be at least 8 in); height over the rail 24 in (must be at most 24 in),"
        " each too near its limit for the gauge | "
    )


@pytest.mark.parametrize(
    ("edition", "rule", "number", "said"),
    [
        (PRACTICE, "control-valves-work", 3, "The brake system: a control valve does not work | "),
        (LAW, "truck-frame", 4, "The truck: frame cracked in a stress area | "),
        (LAW, "couples-by-impact", 1, "The coupler: does not couple by impact | "),
        (PRACTICE, "coupler-swings-far-enough", 2, "The coupler: swings 7-31/64 in each side, less than the sharpest"),
    ],
)
def test_what_a_breach_must_be_is_said_once_and_of_the_figure_at_fault(edition, rule, number, said) -> None:
    assert line(edition, rule, number).startswith(said)


def test_an_exception_that_is_open_is_no_condition() -> None:
    said = line(KESTREL, "head-end-power-insulation", -1)
    assert "applies; it does unless head-end power fitted: no | " in said
