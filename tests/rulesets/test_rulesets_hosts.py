"""The invented hosts: each thing that a circular must speak of is there, in every edition of it."""

import pytest
from work_records import judged

from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.check import check_library
from carknocker.rulebook.model import Edition

LIBRARY = load_library(rulesets_folders(), with_examples=True)
EDITIONS = [("kestrel-and-northern", "7"), ("kestrel-and-northern", "8"), ("marrow-creek-and-eastern", "3")]
PAPERS = {
    "brake-maintenance-record", "periodic-inspection-record", "trucks-out-record", "wheel-readings-sheet",
    "scale-ticket", "clearance-diagram", "liability-insurance", "agreement", "release-of-liability",
    "proof-of-ownership", "mark-registration", "move-request", "head-end-power-report", "emergency-card",
    "list-of-riders", "contact-card", "gas-fuel-battery-statement", "log-of-moves-and-work", "owners-drawings",
}  # fmt: skip
# item of a circular → for each host, the criteria or consequences that speak of it
ITEMS: dict[str, tuple[set[str], set[str]]] = {
    "bearing classes": ({"bearing-class"}, {"bearing-class"}),
    "checks of bearings": (
        {"roller-bearing-age", "oil-level", "lubricant-known", "roller-turns-smoothly"},
        {"bearing-age", "heat-label-fitted", "rotation"},
    ),
    "truck kinds": ({"truck-kind"}, {"truck-frame"}),
    "speed caps by truck": (
        {"built-up-truck-speed", "bolted-pedestal-speed"}, {"three-axle-truck-speed", "two-axle-truck-speed"},
    ),
    "wheel limits tighter than law": (
        {"flange-height", "tread-hollow"},
        {"flange-thickness", "flange-height", "rim-thickness", "tread-hollow", "flat-spot"},
    ),
    "control valves": ({"control-valve"}, {"control-valve"}),
    "truck retention": ({"truck-held-to-body", "retention-secured"}, {"truck-held-to-body"}),
    "axle retention": ({"axles-held", "axle-fasteners"}, {"axles-held"}),
    "coupler type and height": ({"coupler-type", "coupler-height"}, {"coupler-type", "coupler-height"}),
    "clearance": ({"extreme-width", "height-over-rail"}, {"extreme-width", "height-over-rail"}),
    "curve": ({"sharpest-curve"}, {"sharpest-curve"}),
    "weight": ({"leg-weight", "leg-weight-per-foot"}, {"leg-weight"}),
    "age": ({"trucks-out", "aged-car-letter"}, {"built-within-90-years"}),
    "trucks out": ({"trucks-out"}, {"trucks-out"}),
    "annual inspection": ({"annual-inspection"}, {"annual-inspection"}),
    "spares by what yards stock": ({"unstocked-wheelset-needs-a-spare"}, {"unstocked-wheelset-needs-a-spare"}),
    "spares": (
        {"spare-air-hose", "customary-spares", "old-control-valve-needs-its-portion"}, {"spares-ride-along"},
    ),
    "rear marker": ({"rear-marker-batteries"}, {"marker-and-batteries"}),
    "head-end power": (
        {"head-end-power-through", "head-end-power-insulation", "communication-line-through"},
        {"head-end-power-through", "head-end-power-insulation"},
    ),
    "jumper cables": ({"power-jumper-rides-along"}, {"power-jumpers-ride-along"}),
    "fire": ({"occupied-extinguishers", "extinguisher-tags"}, {"occupied-fire-and-first-aid"}),
    "first aid": ({"first-aid-and-alarms"}, {"occupied-fire-and-first-aid"}),
    "papers": (PAPERS | {"wheelset-certificates", "shippers-cards"}, PAPERS),
    "notice": ({"request-notice"}, {"request-notice"}),
}  # fmt: skip


def _names(edition: Edition) -> set[str]:
    return {entry.name for entry in (*edition.criteria, *edition.consequences)}


@pytest.mark.parametrize(("ruleset", "edition"), EDITIONS)
@pytest.mark.parametrize("item", ITEMS)
def test_a_circular_speaks_of(item: str, ruleset: str, edition: str) -> None:
    wanted = ITEMS[item][0 if ruleset == "kestrel-and-northern" else 1]
    assert wanted - _names(LIBRARY.edition(ruleset, edition)) == set()


def test_the_editions_hold_together() -> None:
    """What can be told wrong without judging a car, in each edition and in every rulebook that they make."""
    assert [f"{problem.where}: {problem.found}" for problem in check_library(LIBRARY)] == []


def _refusing(host: str) -> set[str]:
    return {one.criterion.id for one in judged("happened: set out", host=host).findings
            if one.unmet and one.criterion.effect == "refuse" and one.criterion.layer == "host"}  # fmt: skip


def test_the_second_host_refuses_what_the_first_accepts() -> None:
    assert _refusing("Kestrel & Northern") == set()
    names = {name.split("/")[1] for name in _refusing("Marrow Creek & Eastern")}
    assert {"hose-age", "truck-held-to-body", "trucks-out", "scale-ticket", "annual-inspection"} <= names


def _restrictions(brakes: str) -> list[str]:
    restricted = judged("happened: set out", brakes=brakes).restrictions
    return sorted(
        str(one.restriction.quantity.n if one.restriction.quantity else one.restriction.share and "half")
        for one in restricted if one.restriction.sort == "speed"
    )  # fmt: skip


@pytest.mark.parametrize(
    ("brakes", "speeds"),
    [("100 %", []), ("85 %", []), ("84 %", ["40", "half"]), ("75 %", ["40", "half"]), ("74 %", ["20"]),
     ("50 %", ["20"])],
)  # fmt: skip
def test_speeds_by_the_share_of_operative_brakes(brakes: str, speeds: list[str]) -> None:
    """238.15(d)(2) to (4)."""
    assert _restrictions(brakes) == speeds


@pytest.mark.parametrize(("brakes", "verdict"), [("50 %", "met"), ("49 %", "breached")])
def test_under_half_of_the_brakes_nothing_moves(brakes: str, verdict: str) -> None:
    findings = judged("happened: set out", brakes=brakes).findings
    assert {one.verdict for one in findings if one.criterion.name == "half-of-the-brakes"} == {verdict}
