"""A small invented rulebook with remedies that hang together, and cars for it: for plans and arrangements."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from device_dates import device_due

from carknocker.judgement.answer import CheckAnswer, check
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import Library, load_library

AS_OF = date(2030, 5, 1)

HEAD = """
format: carknocker-edition/1
ruleset: plan-law
edition: "1"
title: A law for plans
layer: law
complete: yes
publisher: nobody
in_force: 2020-01-01
checked: 2030-01-01
borderline: advise
regimes: {passenger: "one", freight: "two", excursion: "three"}
"""

RULES = """
chapter: All of it
source: {document: Law for plans, section: "1", words: "as it is said", kind: law, status: invented}
criteria:
  - id: flange
    title: Flange over 7/8 in
    of: wheel
    must: {flange_thickness: {over: 7/8 in}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheels turned, if: {rim_after_turning: {at_least: 1 in}}}, {work: wheelset renewed}]
    examples: &examples []
  - id: rim
    title: Rim at least 1 in
    of: wheel
    must: {rim_thickness: {at_least: 1 in}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheelset renewed}]
    examples: *examples
  - id: class
    title: Bearing of an accepted class
    of: bearing
    must: {class: {is_not: plain}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheelset renewed}]
    examples: *examples
  - id: centers
    title: Journal centers as the truck takes them
    of: wheelset
    must: {journal_centers: {is: {attribute: truck.takes_journal_centers}}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheelset renewed}]
    examples: *examples
  - id: mates
    title: Mates within 3 tapes
    of: wheelset
    must: {mate_difference: {at_most: 3 tapes}}
    effect: MATES
    shown_by: owner before the move
    remedies: [{work: wheels turned}, {work: wheelset renewed}]
    examples: *examples
  - id: middle
    title: Middle axle not larger than the end axles
    of: truck
    when: {truck_kind: three-axle}
    not_asked: {truck_kind: {two-axle: it has no middle axle}}
    must: {middle_axle_step: {at_most: 0 tapes}}
    effect: MATES
    shown_by: owner before the move
    remedies: [{work: wheels turned}, {work: wheelset renewed}]
    examples: *examples
  - id: spread
    title: All wheels within 20 tapes
    of: car
    must: {spread: {at_most: 20 tapes}}
    effect: MATES
    shown_by: owner before the move
    remedies: [{work: wheels turned}, {work: wheelset renewed}]
    examples: *examples
  - id: height
    title: Coupler at least 32 in
    of: coupler
    must: {coupler_height: {at_least: 32 in}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: coupler height adjusted}, {work: center-plate liner renewed}, {work: shims adjusted}]
    examples: *examples
  - id: liner
    title: Liner at least 1/4 in
    of: center plate
    must: {liner_thickness: {at_least: 1/4 in}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: center-plate liner renewed}]
    examples: *examples
  - id: hopeless
    title: No wooden underframe
    of: underframe
    must: {underframe_kind: {is_not: wooden}}
    effect: refuse
    shown_by: owner before the move
    remedies: []
    examples: *examples
  - id: brake-test
    title: A brake test within a year
    of: brake system
    must: {single_car_test: {shown: yes, within: 12 months}}
    effect: refuse
    shown_by: accepted shop
    remedies: []
    examples: *examples
consequences:
  - id: up
    title: What is refused stops the car
    cause: {finding: unmet, effect: refuse}
    carries_up: [wheelset, axle position, truck, end, brake system, car]
  - id: valve
    title: A valve portion replaced calls for a test
    cause: {work: service portion replaced}
    voids: {test: single-car brake test, of: brake system}
    requires: {test: single-car brake test, of: brake system, when: before departure}
  - id: heights
    title: Work on wheels changes heights
    cause: {work: [wheelset renewed, wheelset moved, wheels turned, center-plate liner renewed]}
    voids: {readings: [coupler_height], of: coupler}
    requires: {test: brake application and release, of: truck, when: before departure}
  - id: turned
    title: Turned wheels are read again
    cause: {work: wheels turned}
    voids: {readings: [flange_thickness, rim_thickness, turning_allowance, tape_size], of: wheel}
  - id: lined
    title: A changed liner is measured
    cause: {work: center-plate liner renewed}
    voids: {readings: [liner_thickness], of: center plate}
  - id: portion
    title: An old valve rides with its portion
    cause: {state: {control_valve: UC}, of: brake system}
    requires: {spare: service portion, of: brake system, when: before departure}
"""

MOVE = """
format: carknocker-move/1
move: {host: Test Host, train: passenger, out: 2030-06-01, back: 2030-06-05, rides: nobody, circular: none}
train: {place: rear, speed: 30 mph}
legs:
  - {from: Here, to: There, miles: 10 mi}
"""


def library_in(folder: Path, *, sizes: bool) -> Library:
    """The law in a folder; sizes: whether the criteria about wheel sizes refuse."""
    place = folder / "plan-law" / "1"
    place.mkdir(parents=True, exist_ok=True)
    (place / "edition.yaml").write_text(HEAD.lstrip("\n"), encoding="utf-8")
    (place / "all.yaml").write_text(
        RULES.lstrip("\n").replace("MATES", "refuse" if sizes else "advise"), encoding="utf-8"
    )
    return load_library([folder])


def wheelset(
    *, flange: str = "1-1/8 in", rim: str = "2 in", cut: str = "1/8 in", bearing: str = "grease-lubricated roller",
    centers: str = "6 ft 5 in", tapes: tuple[int, int] = (100, 100), shown: bool = True,
) -> dict[str, object]:  # fmt: skip
    return {
        "flange": flange, "rim": rim, "cut": cut, "class": bearing, "centers": centers, "tapes": tapes, "shown": shown,
    }  # fmt: skip


def car_text(
    trucks: dict[str, list[str]], wheelsets: dict[str, dict[str, object]], *,
    heights: tuple[str, str] = ("33 in", "33 in"), liners: tuple[str, str] = ("1/2 in", "1/2 in"),
    underframe: str = "steel", tested: str = "2030-03-01",
    portion: str = "carried: 1", centers: str = "6 ft 5 in", more: str = "",
) -> str:  # fmt: skip
    """A record: trucks B and A with the serials of their axles, and every wheelset that there is."""
    lines = [
        "format: carknocker-car/1", "car: {mark: TSTX 1, name: Sample, built_on: 1931}", "trucks:",
    ]  # fmt: skip
    axle = 1
    fitted: list[str] = []
    for truck, serials in trucks.items():
        axles = ", ".join(f"{axle + place}: {serial}" for place, serial in enumerate(serials))
        axle += len(serials)
        fitted.extend(serials)
        kind = "three-axle" if len(serials) == 3 else "two-axle"
        if len({len(beneath) for beneath in trucks.values()}) > 1:
            kind = f"{{reads: {kind}, sure: five axles make the search short}}"
        lines.append(
            f"  {truck}: {{truck_kind: {kind}, takes_journal_centers: {centers}, "
            f"connections_to_body: [air hose, ground strap], axles: {{{axles}}}}}"
        )
    lines.append("wheelsets:")
    for serial, given in wheelsets.items():
        where = "" if serial in fitted else ", where: on the shelf"
        lines.append(
            f"  {serial}: {{journal_centers: {given['centers']}, bearings: {{class: {given['class']}}}{where}}}"
        )
    lines += [
        f"underframe: {{underframe_kind: {underframe}}}", "brake_system: {control_valve: UC}",
        "people:", "  RE: {role: owner}", "  HM: {role: shop inspector, accepted_by: [Test Host], until: 2031-12-31}",
        "gauges:", "  T-1: {kind: universal gauge, checked: 2020-01-01, due: never}",
        "sheets:", "  - on: 2030-04-01", "    by: HM", "    gauge: T-1", "    readings:",
        f"      couplers: {{B: {{coupler_height: {heights[0]}}}, A: {{coupler_height: {heights[1]}}}}}",
        f"      center_plates: {{B: {{liner_thickness: {liners[0]}}}, A: {{liner_thickness: {liners[1]}}}}}",
        "      wheels:",
    ]  # fmt: skip
    for serial, given in wheelsets.items():
        at = fitted.index(serial) + 1 if serial in fitted else None
        names = (f"{serial} left", f"{serial} right") if at is None else (f"L{at}", f"R{at}")
        if given["shown"]:
            for name, tape in zip(names, given["tapes"], strict=True):  # type: ignore[call-overload]
                lines.append(
                    f'        "{name}": {{flange_thickness: {given["flange"]}, rim_thickness: {given["rim"]}, '
                    f"turning_allowance: {given['cut']}, tape_size: {tape} tapes, tape_id: T-1}}"
                )
    lines += [
        "tests:",
        f"  - {{test: single-car brake test, on: {tested}, by: HM, result: passed, device_due: {device_due(tested)}}}",
        "spares:",
        f"  - {{spare: service portion, {portion}, control_valve: UC}}",
    ]  # fmt: skip
    return "\n".join(lines) + "\n" + more


def checked(text: str, library: Library, as_of: date = AS_OF, move: str = MOVE) -> CheckAnswer:
    return check(read_car_text(text, "car.yaml"), read_move_text(move.lstrip("\n"), "move.yaml"), library, as_of)
