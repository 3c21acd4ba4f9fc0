"""What the owner of an invented coach answers, and what a shop inspector finds on it: one value for each attribute; and
how a form is filled in with it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

HOST = "An Inland Railroad"
ANSWERS = (
    "mark=QZZX 9",
    "name=Example",
    "kind_of_car=lightweight passenger car",
    "built_on=1949",
    "designed_to_carry=the public",
    "private_car=yes",
    "truck_kind=two-axle",
    "frame=one-piece cast",
    "equalized=yes",
    "connections_to_body=air hose, brake rod",
    "bearing_class=grease-lubricated roller",
    "control_valve=26-C",
    "main_reservoir_line=no",
    "signal_line=yes",
    "braked=yes",
    "mounting=truck",
    "end_kind=wide vestibule",
    "coupler_type=type H",
    "hand_brake=B",
    "head_end_power=no",
    "communication_line=no",
    "water=no",
    "gas_system=none",
    f"people=HM: shop inspector; Hal Mott; accepted by {HOST} until 2030-12-31",
    "gauges=G-1: finger gauge; reads to 1/32 in; checked 2026-03-01; due 2028-03-01, "
    "G-2: coupler height gauge; reads to 1/16 in; checked 2026-03-01; due 2028-03-01, "
    "G-3: back-to-back gauge; reads to 1/64 in; checked 2026-03-01; due 2028-03-01, "
    "G-4: air gauge; reads to 1 psi; checked 2026-03-01; due 2027-03-01, "
    "G-5: taper gauge; reads to 1/64 in; checked 2026-03-01; due 2028-03-01, "
    "G-6: rule; reads to 1/32 in; checked 2020-01-01; never due",
    "numbers=as offered",
    "counted_by=HM",
    "counted_on=2026-09-01",
    f"host={HOST}",
    "train=passenger",
    "out=2026-11-06",
    "back=2026-11-12",
    "rides=nobody",
    "from=Quillon Junction",
    "to=Tarn Bridge",
    "miles=96 mi",
)
"""The answers to `new`, as options."""

GAUGES = (
    ("coupler height", "G-2"), ("back-to-back", "G-3"), ("cut-out", "G-4"), ("air gauge", "G-4"), ("taper", "G-5"),
    ("finger", "G-1"), ("hollow", "G-1"), ("feeler", "G-5"), ("rule", "G-6"), ("tape", "G-6"), ("depth", "G-6"),
)  # fmt: skip
"""A word of the tool that a form asks for, and the gauge that is at hand for it."""

FOUND = {
    "box_kind": "box", "wear_kind": "multiple-wear", "nominal_diameter": "36", "fitted_as_replacement": "no",
    "flange_thickness": "1-3/16", "flange_height": "1-1/16", "rim_thickness": "1-3/4", "tread_hollow": "1/16",
    "heat_label": "intact", "cap_screws_loose_or_missing": "0", "cap_screw_locks_defective": "0", "axle_class": "D",
    "journal_centers": "76", "flange_kind": "wide", "gouge_depth": "0", "takes_journal_centers": "76",
    "held_to_body_by": "locking center pin", "visible_condition": "sound", "side_bearing_kind": "roller",
    "made_to_touch": "no", "in_contact": "no", "springs_broken": "0", "spring_kind": "coil",
    "marker_sockets": "reached from the platform", "coupler_height": "34", "lever_length": "44", "free_slack": "1/4",
    "diaphragm_fitted": "yes", "drag_when_released": "no", "fastening": "bolts", "listed_with_the_authority": "yes",
    "diameter": "3/4", "brake cylinder diameter": "10", "clear_length": "18", "clearance": "2-1/2",
    "side bearing clearance": "3/16", "distance_from_side": "10", "projection": "3/4", "bracket_welded": "no",
    "bracket_part_of_car_body": "no", "release_mode": "graduated", "brake_maintenance_done_on": "2026-06-01",
    "brake_pipe_leakage": "before 90 psi after 88 psi minutes 1", "emergency_valve_marked": "marked",
    "nominal_stroke": "8", "piston_travel": "7", "badge_plate_least_travel": "6", "badge_plate_travel": "8",
    "reservoir_kind": "combined",
    "in_service_before_2007": "yes", "combustion_equipment": "no", "battery": "yes", "battery_vented": "yes",
    "battery_gassing": "no", "lowest_part_over_rail": "6", "vestibule_steps_lit": "lit",
    "door_release_handles": "in place", "highest_voltage": "120", "switches_not_for_load": "none fitted",
    "daylight_only": "no", "place": "rear", "mixed": "no", "operative_brakes": "100", "lid": "closed",
    "back_to_back": "53-1/8", "back_to_back_largest": "53-1/8", "takes_axle_class": "D",
    "smallest_wheel_diameter": "33", "largest_wheel_diameter": "36", "makers_clearance": "1/4", "approved": "yes",
    "height": "50",
}  # fmt: skip
"""Attribute, or kind and attribute where kinds differ → what is found."""

SIGNED = {"by": "HM", "result": "passed", "code": "passenger", "device": "D-7", "device_due": "2026-12-01"}
"""What each test on the form says, besides its day and place."""

PUT_ALL = """(typed) => {
  for (const [id, text] of Object.entries(typed)) {
    const field = document.getElementById(id);
    if (field.closest('[hidden]') !== null) continue;
    if (field.multiple) for (const one of field.options) one.selected = text.split(', ').includes(one.value);
    else field.value = text;
    field.dispatchEvent(new Event('input', {bubbles: true}));
    field.dispatchEvent(new Event('change', {bubbles: true}));
  }
}"""
"""Fills in the fields that are shown, with the events that typing makes."""

TICK_ALL = """() => {
  const ticks = [...document.querySelectorAll('[data-tick]')];
  for (const one of ticks) if (one.offsetParent !== null && !one.checked) one.click();
}"""
"""Ticks what is shown."""


def fill_in(page: Any, told: Any, day: str, found: Mapping[str, str] = FOUND, without: str = "") -> None:
    """Fills in everything that an open form asks for. told: as `told_of` reads it; found: value by attribute, or by
    kind and attribute; without: the gauge that is not at hand."""
    values = typed(told, day, found, without)
    for _ in range(2):  # some shows only once something is so
        page.evaluate(PUT_ALL, values)
        page.evaluate(TICK_ALL)


def typed(told: Any, day: str, found: Mapping[str, str], without: str) -> dict[str, str]:
    """Field → what is typed there."""
    values: dict[str, str] = {}
    for number, sheet in enumerate(told["sheets"], start=1):
        if sheet["signed"]:
            values |= {f"on-{number}": day, f"by-{number}": "HM (shop inspector)"}
            for place, tool in enumerate(sheet["gauges"], start=1):
                gauge = next((own for word, own in GAUGES if word in tool), "")
                values |= {f"gauge-{number}-{place}": gauge} if gauge not in ("", without) else {}
        ticked = {tick["row"] for tick in sheet["ticks"]}
        for box in sheet["boxes"]:
            text = _found(box, day, found) if box["row"] not in ticked else ""
            values |= {box["id"]: text} if text else {}
    return values


def _found(box: Any, day: str, found: Mapping[str, str]) -> str:
    part, attribute = box["part"], box["attribute"]
    if part.startswith("test “"):
        if attribute == "at":
            return ", ".join(str(number) for number in range(1, 13))
        return day if attribute == "on" else SIGNED.get(attribute, "")
    if box["writes"] == "entry":
        return ""
    kind = " ".join(part.removeprefix("new ").split()[:2])
    return found.get(f"{kind} {attribute}", found.get(attribute, ""))
