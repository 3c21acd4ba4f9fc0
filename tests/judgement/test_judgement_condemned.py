"""A figure past its limit is not kept again by somebody else's good one: work that changes it stands between, or a
reader whom the host accepts, a second reader, a photograph or `sure` stands for it."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move
from carknocker.rulebook import load_library, rulesets_folders

FOLDER = Path("cases/larkspur")
LIBRARY = load_library(rulesets_folders())
AS_OF = date(2026, 9, 1)
CONDEMNED = "good-after-condemned"


def sheet(reads: str, by: str, on: str) -> str:
    return f"  - {{on: {on}, by: {by}, car: level track, readings: {{{reads}}}}}\n"


def judged(case: str, sheets: str, work: str = "", others: str = "") -> Judgement:
    """The demo car with sheets after its own: NB owns it, CW is a shop inspector whom the host accepts."""
    folder = FOLDER / case
    text = (folder / "car.yaml").read_text(encoding="utf-8").replace("sheets:\n", f"sheets:\n{sheets}", 1)
    text = text.replace("people:\n", f"people:\n{others}", 1)
    if work:
        text = text.replace("moves_made:\n", f"work:\n  - {{id: J-1, on: 2026-08-22, {work}}}\nmoves_made:\n", 1)
    move = read_move(folder / "move.yaml")
    return judge(read_car_text(text, "car.yaml"), move, LIBRARY.rulebooks(move).at_out, AS_OF)


def touched(judgement: Judgement) -> set[str]:
    return {one.attribute for doubt in judgement.doubts if doubt.name == CONDEMNED for one in doubt.touched}


def figure(place: str, attribute: str, reads: str, gauge: str, more: str = "") -> str:
    kind, at = place.split(" ", 1) if " " in place else (place, "")
    reading = f"{{{attribute}: {{reads: {reads}, gauge: {gauge}{more}}}}}"
    return f"{kind}: {{{at}: {reading}}}" if at else f"{kind}: {reading}"


FIGURES = {
    # within what two finger gauges leave open; the limits are 7/8 in (215.103), 5 psi/min (238.313(g)(7)), 31-1/2 in
    "flange": ("wheels L1", "flange_thickness", "7/8 in", "1 in", "F-1", "passenger"),
    "flange in freight": ("wheels L1", "flange_thickness", "7/8 in", "1 in", "F-1", "freight"),
    "piston travel": ('brake_cylinders "1"', "piston_travel", "12 in", "8 in", "F-5", "passenger"),
    "leakage": ("brake_system", "brake_pipe_leakage", "9 psi per minute", "2 psi per minute", "F-3", "freight"),
    "insulation": ("head_end_power", "insulation_resistance", "0 ohm", "10 megohm", "S-4", "passenger"),
    "coupler": ("couplers B", "coupler_height", "31 in", "31-1/2 in", "F-4", "freight"),
    # far more than the gauges leave open: what wears grew thick again
    "shoe": ("brake_shoes L2", "thickness", "1/8 in", "1-1/4 in", "F-5", "freight"),
    "hanger": ("brake_rigging B", "hanger_thickness", "1/4 in", "1 in", "F-5", "passenger"),
    "bolster": ("bolsters B", "bolster_crack_length", "3 in", "0 in", "F-5", "freight"),
}
BAD, GOOD = "2026-08-20", "2026-08-25"


def read(name: str, bad_by: str = "CW", good_by: str = "NB", more: str = "") -> str:
    place, attribute, bad, good, gauge, _ = FIGURES[name]
    later = figure(place, attribute, good, gauge, more)
    return sheet(figure(place, attribute, bad, gauge), bad_by, BAD) + sheet(later, good_by, GOOD)


@pytest.mark.parametrize("name", FIGURES)
def test_a_condemned_figure_is_not_good_by_the_owners_word(name: str) -> None:
    attribute, case = FIGURES[name][1], FIGURES[name][5]
    judgement = judged(case, read(name))
    assert touched(judgement) == {attribute}
    against = {one.id for doubt in judgement.doubts if doubt.name == CONDEMNED for one in doubt.touched}
    assert any(
        finding.verdict in ("breached", "not shown") and finding.effect == "refuse" and finding.doubts
        for finding in judgement.findings
        if any(one.id in against for doubt in finding.doubts for one in doubt.touched)
    )
    assert judgement.outcome == "not ready"


@pytest.mark.parametrize("name", FIGURES)
def test_an_accepted_reader_or_whoever_is_sure_stands_for_it(name: str) -> None:
    case = FIGURES[name][5]
    assert not touched(judged(case, read(name, good_by="PD")))
    assert not touched(judged(case, read(name, more=", sure: misread on the 20th")))


@pytest.mark.parametrize(
    ("name", "work", "changed"),
    [
        ("piston travel", "did: piston travel adjusted, at: '1'", True),
        ("piston travel", "did: brake shoes renewed, at: B", True),
        ("piston travel", "did: slack adjuster repaired, at: B", True),
        ("piston travel", "did: coupler repaired, at: B", False),
        ("flange", "did: wheels turned, at: [L1, R1], cut: 1/4 in", True),
        ("flange", "did: bearing opened, at: L1", False),
        ("leakage", "did: hose gasket renewed, at: '1'", True),
        ("leakage", "did: electrical repair", False),
        ("insulation", "did: head-end power work", True),
        ("coupler", "did: coupler height adjusted, at: B", True),
        ("coupler", "did: shims adjusted, at: B", True),
    ],
)
def test_work_that_changes_it_stands_between(name: str, work: str, changed: bool) -> None:
    assert bool(touched(judged(FIGURES[name][5], read(name), work))) is not changed


def test_who_read_it_reads_again_within_what_the_gauges_leave_open() -> None:
    """The same reader: 7/8 in, then 15/16 in by a gauge to 1/16 in. From 12 in of piston travel to 8 in is another
    figure."""
    assert not touched(judged("passenger", read("flange", "NB", "NB").replace("1 in, gauge", "15/16 in, gauge")))
    assert touched(judged("passenger", read("piston travel", "NB", "NB"))) == {"piston_travel"}


def test_a_second_reader_has_read_it_since() -> None:
    second = "  AB: {role: owner's helper}\n"
    place, attribute, _, good, gauge, case = FIGURES["flange"]
    again = sheet(figure(place, attribute, good, gauge), "AB", "2026-08-26")
    before = sheet(figure(place, attribute, good, gauge), "AB", "2026-08-19")
    assert touched(judged(case, read("flange") + before, others=second)) == {"flange_thickness"}
    assert not touched(judged(case, read("flange") + again, others=second))


@pytest.mark.parametrize(("other", "stands"), [("Ann Quill", True), ("ann  quill", True), ("Ann B. Quill", False)])
def test_one_person_under_two_short_names_is_no_second_reader(other: str, stands: bool) -> None:
    place, attribute, _, good, gauge, case = FIGURES["flange"]
    people = (
        f"  AB: {{role: owner's helper, full_name: Ann Quill}}\n  AC: {{role: owner's helper, full_name: {other}}}\n"
    )
    again = sheet(figure(place, attribute, good, gauge), "AC", "2026-08-26")
    found = touched(judged(case, read("flange", good_by="AB") + again, others=people))
    assert found == ({"flange_thickness"} if stands else set())


def test_what_breaches_nothing_costs_nothing() -> None:
    place, attribute, _, good, gauge, case = FIGURES["flange"]
    worn = sheet(figure(place, attribute, "15/16 in", gauge), "CW", BAD)
    assert not judged(case, worn + sheet(figure(place, attribute, good, gauge), "NB", GOOD)).doubts


def test_a_figure_that_rests_on_several_readings_is_condemned_by_them() -> None:
    """Clearance of both side bearings of an end over 3/4 in together (215.119(c)(3)), each within the other's doubt."""
    wide = "side_bearings: {BL: {clearance: {reads: 1/2 in, gauge: F-2}}, BR: {clearance: {reads: 1/2 in, gauge: F-2}}}"
    near = wide.replace("1/2 in", "5/32 in")
    judgement = judged("freight", sheet(wide, "CW", BAD) + sheet(near, "NB", GOOD))
    assert touched(judgement) == {"clearance"}
    assert judgement.outcome == "not ready"
    adjusted = "did: side bearings adjusted, at: B"
    assert not touched(judged("freight", sheet(wide, "CW", BAD) + sheet(near, "NB", GOOD), adjusted))


def test_a_crack_that_an_inspector_measured_still_contradicts_who_calls_the_frame_sound() -> None:
    """49 CFR 215.119(a): the owner's 0 in clears no crack of 3 in."""
    bad = sheet(figure("trucks B", "frame_crack_length", "3 in", "F-5"), "CW", BAD)
    good = sheet(figure("trucks B", "frame_crack_length", "0 in", "F-5"), "NB", GOOD)
    assert judged("freight", bad).outcome == judged("freight", bad + good).outcome == "not ready"
    assert judged("freight", good).outcome == "ready"


def test_what_goes_the_way_it_wears_needs_no_work() -> None:
    """A coupler over 34-1/2 in sinks as springs and wheels wear; under 31-1/2 in it does not rise by itself."""
    sank = (figure("couplers B", "coupler_height", reads, "F-4") for reads in ("34-5/8 in", "34-1/4 in"))
    rose = (figure("couplers B", "coupler_height", reads, "F-4") for reads in ("31-3/8 in", "31-1/2 in"))
    for readings, doubted in ((sank, set()), (rose, {"coupler_height"})):
        bad, good = readings
        assert touched(judged("freight", sheet(bad, "CW", BAD) + sheet(good, "NB", GOOD))) == doubted
